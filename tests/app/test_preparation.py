"""Set-up and briefing: knobs really turned, numbers stated and judged, then the flight."""

from __future__ import annotations

import os
import re
from pathlib import Path

import pytest

from tests.app.help import HandClock, Outside, straight_in
from tests.app.test_app import NORMAL, Bench, bench
from trainer.app.app import TrainerApp
from trainer.app.keymap import DEFAULT
from trainer.app.launch import Start
from trainer.app.screens.brief import BriefScreen
from trainer.app.screens.debrief import DebriefScreen
from trainer.app.screens.flight import FlightScreen
from trainer.app.screens.home import HomeScreen
from trainer.app.screens.preparation import PreparationScreen
from trainer.app.scribe import Scribe
from trainer.app.settings import Settings
from trainer.app.view import view_of
from trainer.app.widgets.lines import plain
from trainer.app.widgets.preparing import set_lines
from trainer.crew.session import Session
from trainer.flight.acts import Act
from trainer.judge.batch import judge
from trainer.judge.briefed import judged_briefing
from trainer.report.debrief import debrief
from trainer.report.plain import briefing_lines, plain_text
from trainer.scenario import compose, library
from trainer.scenario.briefed import slots

GOLDEN = Path(__file__).parent / "golden"
NAMES = [one.name for one in slots(straight_in())]


def prepare(level: str) -> Start:
    return Start("straight-in", level, 0, prepares=True)


def screen_of(at: Bench) -> PreparationScreen:
    found = at.app.screen
    assert isinstance(found, PreparationScreen)
    return found


async def type_in(at: Bench, *entries: str) -> None:
    """Each entry character by character; what ends in `⏎` with Enter."""
    for entry in entries:
        keys = ["enter" if one == "⏎" else one for one in entry]
        await at.press(*keys)


def test_a_briefing_states_the_numbers_of_the_sheet_under_the_headings_of_the_trade() -> None:
    by_name = {one.name: one for one in slots(straight_in())}
    assert [one.heading for one in by_name.values()] == (
        ["weather"] * 3 + ["performance"] * 3 + ["approach"] * 6 + ["missed approach"] * 2
    )
    shown = {name: one.shown for name, one in by_name.items()}
    assert shown == {
        "visibility": "4000", "altimeter setting": "1012", "ceiling": "600",
        "reference speed": "132", "final approach speed": "137", "landing flap": "36",
        "frequency": "110.35", "final course": "140", "final fix, distance": "9.0",
        "final fix, altitude": "3000", "path angle": "3.00", "minimum": "225",
        "first track": "140", "altitude": "4000",
    }  # fmt: skip
    assert all(one.is_right(one.shown) for one in by_name.values())
    assert [one.why for one in by_name.values() if len(one.why) > 78] == []  # a line of 80 cells


@pytest.mark.parametrize(
    ("name", "said", "is_right"),
    [
        ("final approach speed", "139", True),  # within 2 kt
        ("final approach speed", "140", False),
        ("minimum", "226", False),  # exact: a number is known by heart or it is not
        ("final course", "320", False),  # the other way
        ("final course", "500", True),  # 360° more is the same direction
        ("path angle", "3", True),
        ("frequency", "110.3", False),
        ("minimum", "-", False),
    ],
)
def test_a_number_is_right_within_what_the_sheet_allows(
    name: str, said: str, is_right: bool
) -> None:
    slot = next(one for one in slots(straight_in()) if one.name == name)
    assert slot.is_right(said) == is_right


def test_a_wrong_number_is_told_with_the_right_one_and_costs_no_points() -> None:
    flown = []
    for acts in ((), (("minimum", "205"), ("minimum", "250"), ("ceiling", "600"))):
        session = Session(straight_in())
        session.step([Act(0, 0, "pilot", "brief", name, said) for name, said in acts])
        flown.append((session, session.judgement()))
    (_, without), (session, judgement) = flown
    assert without.briefing == ()
    assert judgement.points == without.points
    assert judgement.primary() == without.primary()
    verdicts = {one.name: one.verdict for one in judgement.briefing}
    assert verdicts.pop("minimum") == "wrong"
    assert verdicts.pop("ceiling") == "right"
    assert set(verdicts.values()) == {"left out"}
    told = debrief(judgement, session.exercise, session.flight.rows, session.flight.facts)
    first, left_out, right = briefing_lines(told)
    assert first.startswith("minimum: 250 was briefed, 225 ft is right. ")  # the last word counts
    assert "visibility" in left_out
    assert right == "right: ceiling"
    assert "Briefing (it costs no points)" in plain_text(told)


def test_the_same_acts_give_the_same_briefing_whoever_judges_them() -> None:
    session = Session(straight_in())
    said = dict.fromkeys(NAMES, "1")
    session.step([Act(0, 0, "pilot", "brief", name, one) for name, one in said.items()])
    flight = session.flight
    kept = judge(straight_in(), session.book, flight.acts, flight.facts, flight.rows)
    assert session.judgement().briefing == kept.briefing == judged_briefing(straight_in(), said)
    assert {one.verdict for one in kept.briefing} == {"wrong"}


def test_only_what_the_type_has_is_there_to_be_set() -> None:
    shown = {}
    for name in ("straight-in", "turboprop-ils"):
        exercise = compose.load(name, library.default_library())
        row = Session(exercise).row
        view = view_of(row, Scribe(exercise, row))
        lines = set_lines(view, DEFAULT, exercise.aircraft.controls, None)
        shown[name] = " ".join(plain(line) for line in lines)
        assert len(slots(exercise)) >= 12
    assert "autobrake" in shown["straight-in"]
    assert "ice protection" not in shown["straight-in"]
    assert "autobrake" not in shown["turboprop-ils"]
    assert "ice protection" in shown["turboprop-ils"]


async def test_what_is_set_up_is_set_in_the_flight_and_stands_in_the_record() -> None:
    async with bench(prepare("coached")) as at:
        await type_in(at, "110.35t", "i", "140c", "205m", "137e", "4000⏎")
        screen = screen_of(at)
        at.clock.advance(600.0)  # as long as it takes: no time passes
        await at.press("f2")
        assert "time stands still" in at.text()
        assert screen.driver.row.step == 6  # a tenth of a second for each act
        for shown in ("110.35 MHz", "140°", "205 ft", "137 kt", "✓ right", "1 of 14 briefed"):
            assert shown in at.text()
        await at.press("f5")
        assert at.shows(FlightScreen)
        row = at.flight.driver.row
        assert (row.selectors.frequency, row.selectors.minimums_ft) == ("110.35", 205.0)
        assert row.identified == "IMRW"
        await at.pass_time(2.0)
        assert at.flight.driver.row.step == 26
        kept = [(one.step, one.act, one.control, one.value) for one in at.outside.diaries[0].acts]
        assert kept == [
            (0, "set", "frequency", "110.35"), (1, "press", "identify", ""),
            (2, "set", "course", "140"), (3, "set", "minimums", "205"),
            (4, "set", "final speed", "137"), (5, "brief", "visibility", "4000"),
        ]  # fmt: skip
        found = {one.item: one.verdict for one in at.flight.driver.session.judgement().items}
        assert found["tune"] == found["course"] == "on time"
        assert found["minimums bug"] == "wrong"  # 205 ft was really set


async def test_a_rewind_does_not_undo_the_set_up() -> None:
    async with bench(prepare("coached")) as at:
        await type_in(at, "110.35t", "140c")
        await at.press("f5")
        await at.pass_time(5.0)
        await at.press("f4")
        driver = at.flight.driver
        assert driver.row.step == 2
        assert driver.row.selectors.course_deg == 140.0


async def test_a_wrong_number_is_asked_again_except_in_a_check() -> None:
    async with bench(prepare("guided")) as at:
        await type_in(at, "5000⏎")
        assert "✗ wrong" in at.text()
        await type_in(at, "4000⏎", "1013⏎")
        assert "✓ right" in at.text()
        assert "▸ altimeter setting" in at.text()
    async with bench(prepare("check")) as at:
        await type_in(at, "5000⏎", "1013⏎")
        assert at.text().count("noted") == 2
        assert "✗" not in at.text()
        assert "▸ ceiling" in at.text()
        assert "Below it nobody" not in at.text()
        at.clock.advance(60.0)
        await at.press("f5")
        await at.pass_time(1.0)
        assert at.flight.driver.interruptions == []


async def test_the_sheet_the_keys_and_the_way_out_are_one_key_away() -> None:
    async with bench(prepare("coached")) as at:
        await at.app.workers.wait_for_complete()
        await at.press("tab")
        assert "110.35 MHz, course 140°" in at.text()
        await at.pilot.resize_terminal(80, 24)
        await at.settle()
        await at.laid_out()
        assert " …" not in at.text()
        assert "altimeter still on 1013" in at.text()
        await at.press("pagedown", "pagedown")
        assert "Missed approach" in at.text()
        await at.press("tab", "?")
        assert "NUMBER, THEN KEY" in at.text()
        await at.press("?", "-", "enter")
        assert "- is no number" in at.text()
        await at.press("down", "down", "up", "enter")
        assert "▸ ceiling" in at.text()
        await at.press("space", "h", "i", "enter")
        assert "hi" in at.text()
        await at.press("f10", "n")
        assert at.shows(PreparationScreen)
        await at.press("f10", "y")
        assert at.shows(HomeScreen)
        assert at.outside.diaries[0].left


async def test_home_and_sheet_lead_to_the_set_up_and_the_same_again_begins_with_it() -> None:
    async with bench() as at:
        await at.press("1", "s")
        assert at.shows(PreparationScreen)
        assert screen_of(at).driver.level == "guided"
        await at.press("f10", "y", "b")
        await at.pilot.pause(0.2)
        await at.settle()
        assert at.shows(BriefScreen)
        await at.press("s")
        assert at.shows(PreparationScreen)
        await at.press("f5")
        at.flight.driver._reason = "enough for this test"
        await at.pass_time(0.5)
        await at.settle()
        assert at.shows(DebriefScreen)
        at.clock.advance(3.0)
        await at.press("f5")
        assert at.shows(PreparationScreen)


async def test_a_click_chooses_a_number() -> None:
    async with bench(prepare("coached")) as at:
        lines = at.text().splitlines()
        y = next(place for place, line in enumerate(lines) if "landing flap" in line)
        await at.pilot.click("#briefing", offset=(5, y - 2))
        await at.settle()
        assert "▸ landing flap" in at.text()


async def test_the_ident_is_sent_as_light_and_bell_here_too(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    clock = HandClock()
    app = TrainerApp(Outside(), prepare("coached"), clock, settings=Settings(bell=True))
    async with app.run_test(size=NORMAL) as pilot:
        rung: list[float] = []
        monkeypatch.setattr(app, "bell", lambda: rung.append(clock()))
        await pilot.press(*"110.35t", "i")
        screen = app.screen
        assert isinstance(screen, PreparationScreen)
        for _ in range(400):
            clock.advance(0.05)
            screen.blink()
    assert len(rung) == 10  # dots and dashes of IMRW: 2 + 2 + 3 + 3


@pytest.mark.parametrize("size", [(80, 24), NORMAL, (140, 40)])
async def test_the_set_up_as_text(size: tuple[int, int]) -> None:
    async with bench(prepare("coached"), size=size) as at:
        await at.app.workers.wait_for_complete()
        await type_in(at, "110.35t", "140c", "4000⏎", "990⏎", "1")
        shown = at.text()
    if size[0] >= 140:
        assert "Straight in: The whole sequence in its order, each step at" in shown
        assert not re.search(r"\S …$", shown, re.M)
    golden = GOLDEN / f"set-up-{size[0]}x{size[1]}.txt"
    if os.environ.get("UPDATE_GOLDENS"):
        golden.write_text(shown, encoding="utf-8")
    assert shown == golden.read_text(encoding="utf-8")
