"""The screens, one flow each, flown by keys; the flight screen as text at three sizes."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot
from textual.screen import Screen

from tests.app.help import FLARE, HandClock, Outside, screen_text
from trainer.app.app import TrainerApp
from trainer.app.launch import Start, prepare
from trainer.app.listing import Listed
from trainer.app.local import LocalServices
from trainer.app.messages import BriefRequested, FlightEnded, FlyRequested, RepeatRequested
from trainer.app.screens.debrief import DebriefScreen
from trainer.app.screens.flight import FlightScreen
from trainer.app.screens.home import HomeScreen
from trainer.app.screens.overlay import LeaveOverlay, PauseOverlay
from trainer.app.screens.text import TextScreen
from trainer.app.scribe import LogLine
from trainer.guidance.modes import Modes
from trainer.records.store import Records

GOLDEN = Path(__file__).parent / "golden"
NORMAL = (100, 30)


class Bench:
    """An app under test, its clock and its outside world."""

    def __init__(self, app: TrainerApp, pilot: Pilot[int], clock: HandClock, out: Outside) -> None:
        self.app, self.pilot, self.clock, self.outside = app, pilot, clock, out

    @property
    def flight(self) -> FlightScreen:
        return next(one for one in self.app.screen_stack if isinstance(one, FlightScreen))

    def shows(self, kind: type[Screen[Any]]) -> bool:
        return isinstance(self.app.screen, kind)

    async def press(self, *keys: str) -> None:
        await self.pilot.press(*keys)
        await self.pilot.pause()

    async def pass_time(self, seconds: float, stride_s: float = 0.5) -> None:
        """Let real time pass for the flight, in strides of the clock."""
        flight = self.flight
        for _ in range(round(seconds / stride_s)):
            self.clock.advance(stride_s)
            flight.tick()
        await self.pilot.pause()

    def text(self) -> str:
        return screen_text(self.app)


@asynccontextmanager
async def bench(
    start: Start | None = None,
    size: tuple[int, int] = NORMAL,
    listed: list[Listed] | None = None,
) -> AsyncIterator[Bench]:
    clock, outside = HandClock(), Outside(listed)
    app = TrainerApp(outside, start, clock)
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        yield Bench(app, pilot, clock, outside)


def fly(level: str, start: str = "", until: str = "") -> Start:
    return Start("straight-in", level, 0, start, until)


# Home -------------------------------------------------------------------------------------------


async def test_the_home_screen_shows_the_safety_notice_and_the_exercises() -> None:
    async with bench() as at:
        text = at.text()
        assert "not for navigation or real flight" in text
        assert "licensed instructors come first" in text
        assert "Straight in" in text
        assert "F10 quit" in text
        assert at.app.focused is None


async def test_enter_flies_the_chosen_exercise_at_the_chosen_level() -> None:
    async with bench() as at:
        await at.press("down", "1", "enter")
        assert at.shows(FlightScreen)
        assert at.flight.driver.level == "guided"
        assert at.flight.driver.session.exercise.name == "straight-in"
        assert at.app.focused is None


async def test_a_check_draws_a_fresh_seed_and_hides_it_until_the_debrief() -> None:
    async with bench() as at:
        await at.press("down", "3", "enter")
        assert at.outside.seeds == [4711]
        assert "4711" not in at.text()


async def test_the_brief_and_the_history_open_and_go_back() -> None:
    async with bench() as at:
        await at.press("down", "b")
        assert at.shows(TextScreen)
        assert "110.35" in at.text()
        await at.press("enter")
        assert at.shows(HomeScreen)
        await at.press("h")
        assert "No attempt is on record yet." in at.text()
        await at.press("f10")
        assert at.shows(HomeScreen)


async def test_attempts_that_are_not_kept_are_told_at_home_and_a_flight_is_recorded(
    tmp_path: Path,
) -> None:
    lost = LocalServices(Records(None))
    async with TrainerApp(lost).run_test(size=NORMAL) as pilot:
        await pilot.pause()
        assert "no place is known" in screen_text(pilot.app)
    kept = LocalServices(Records(tmp_path / "attempts.sqlite3"))
    clock = HandClock()
    start = fly("coached", "distance: below 8 NM", "distance: below 7.9 NM")
    app = TrainerApp(kept, start, clock)
    async with app.run_test(size=NORMAL) as pilot:
        await pilot.pause()
        for _ in range(12):
            clock.advance(0.5)
            if isinstance(app.screen, FlightScreen):
                app.screen.tick()
        await pilot.pause()
        assert isinstance(app.screen, DebriefScreen)
        await pilot.press("enter", "h")
        await pilot.pause()
        assert "straight-in" in screen_text(app)
        assert "segment" in screen_text(app)
    kept.close()
    lost.close()


async def test_f10_ends_the_program() -> None:
    async with bench() as at:
        await at.press("f10")
    assert at.app.return_value == 0


async def test_text_of_a_file_is_shown_as_it_is_and_breaks_nothing() -> None:
    nasty = "[/foo] [red]x[/red] \x1b[2J \u202e{title} [@click=app.quit]"
    listed = [Listed(nasty, nasty, nasty, 1, nasty, nasty, problem=""), Listed(
        "broken", "Broken", "", 1, "", "", problem=nasty)]  # fmt: skip
    async with bench(listed=listed, size=(140, 40)) as at:
        assert "[/foo] [red]x[/red]" in at.text()
        await at.press("down")
        assert "[/foo]" in at.text()


async def test_an_exercise_that_cannot_be_read_is_told_and_not_flown() -> None:
    listed = [Listed("no-such-thing", "Nothing", "", 1, "", "")]
    async with bench(listed=listed) as at:
        await at.press("enter")
        assert at.shows(HomeScreen)
        assert "no exercise" in at.text()


async def test_a_list_without_exercises_says_so() -> None:
    async with bench(listed=[]) as at:
        await at.press("enter", "down", "b")
        assert "No exercise was found" in at.text()


# Flight -----------------------------------------------------------------------------------------


async def test_keys_turn_knobs_press_buttons_and_speak() -> None:
    async with bench(fly("coached")) as at:
        await at.press("1", "6", "0")
        assert "160" in at.text().splitlines()[-1]
        await at.press("s")
        assert at.flight.driver.row.selectors.speed_kt == 160.0
        await at.press("h")
        assert at.flight.driver.row.modes.lateral == "HDG"
        assert ">HDG<" in at.text()
        await at.press("space", *"hello", "enter")
        await at.pass_time(0.5)
        assert "hello" in at.text()
        assert [act.act for act in at.outside.diaries[0].acts] == ["set", "press", "say"]


async def test_letters_of_a_call_never_move_anything() -> None:
    async with bench(fly("coached")) as at:
        await at.press("space", *"gear", "space", *"down")
        await at.pass_time(1.0)
        assert at.flight.driver.row.gear_lever == "up"
        assert "gear down" in at.text().splitlines()[-1]
        assert "SAY" in at.text()


async def test_escape_tab_and_control_keys_do_nothing() -> None:
    async with bench(fly("check")) as at:
        await at.press("escape", "tab", "shift+tab", "ctrl+q", "ctrl+p", "f5", "left")
        assert at.shows(FlightScreen)
        assert at.outside.diaries[0].acts == []
        assert at.app.is_running


async def test_guided_waits_says_what_to_do_and_goes_on_when_it_is_done() -> None:
    async with bench(fly("guided")) as at:
        await at.pass_time(10.0)
        assert at.flight.driver.row.step == 20
        text = at.text()
        assert "TIME WAITS" in text
        assert "110.35t" in text
        await at.press(*"110.35", "t")
        assert at.flight.driver.row.selectors.frequency == "110.35"


async def test_a_check_shows_no_hint_no_volume_and_has_no_pause() -> None:
    async with bench(fly("check")) as at:
        await at.pass_time(30.0)
        text = at.text()
        assert "NEXT" not in text
        assert "DUE" not in text
        assert "░" not in text
        assert not at.flight.query("#hint")
        await at.press("f2")
        assert at.shows(FlightScreen)
        assert "no pause" in at.text()


async def test_coached_pauses_and_goes_on() -> None:
    async with bench(fly("coached")) as at:
        await at.pass_time(1.0)
        await at.press("f2")
        assert at.shows(PauseOverlay)
        await at.pass_time(5.0)
        assert at.flight.driver.row.step == 10
        await at.press("f2")
        assert at.shows(FlightScreen)
        await at.pass_time(1.0)
        assert at.flight.driver.row.step == 20


async def test_a_gap_in_a_check_asks_for_a_key_and_that_key_does_nothing_else() -> None:
    async with bench(fly("check")) as at:
        await at.pass_time(1.0)
        await at.pass_time(5.0, stride_s=5.0)
        assert "INTERRUPTED" in at.text()
        await at.press("g")
        assert "INTERRUPTED" not in at.text()
        assert at.flight.driver.row.gear_lever == "up"
        assert at.outside.diaries[0].interruptions == [10]


async def test_a_terminal_that_is_too_small_says_so_and_stops_the_flight() -> None:
    async with bench(fly("coached")) as at:
        await at.pilot.resize_terminal(79, 24)
        await at.pilot.pause()
        assert "too small" in at.text()
        await at.pass_time(5.0)
        assert at.flight.driver.row.step == 0
        await at.pilot.resize_terminal(80, 24)
        await at.pilot.pause()
        assert "too small" not in at.text()
        assert "LATERAL" in at.text()


@pytest.mark.parametrize("size", [(1, 1), (10, 3), (79, 23), (80, 24), (200, 60)])
async def test_no_size_breaks_a_screen(size: tuple[int, int]) -> None:
    async with bench(fly("coached")) as at:
        await at.pilot.resize_terminal(*size)
        await at.pilot.pause()
        at.flight.paint()
        await at.press("?", "f10")


async def test_the_key_list_opens_beside_the_flight_and_time_runs_on() -> None:
    async with bench(fly("check")) as at:
        await at.press("?")
        assert "heading mode" in at.text()
        await at.pass_time(1.0)
        assert at.flight.driver.row.step == 10
        await at.press("?")
        assert "heading mode" not in at.text()


async def test_a_click_on_the_key_list_is_that_key() -> None:
    async with bench(fly("check"), size=(140, 40)) as at:
        await at.press("?")
        await at.pilot.click("#help", offset=(5, 1))
        await at.pilot.pause()
        assert at.flight.driver.row.modes.lateral == "HDG"


async def test_leaving_is_asked_with_one_key_and_confirmed_with_another() -> None:
    async with bench(fly("coached")) as at:
        await at.press("f10")
        assert at.shows(LeaveOverlay)
        await at.press("f10", "enter", "space")
        assert at.shows(LeaveOverlay)
        await at.pass_time(2.0)
        assert at.flight.driver.row.step == 0
        await at.press("n")
        assert at.shows(FlightScreen)
        await at.pass_time(1.0)
        assert at.flight.driver.row.step == 10
        await at.press("f10", "y")
        assert at.shows(HomeScreen)
        assert at.outside.diaries[0].judgements == []


async def test_time_runs_on_in_a_check_while_leaving_is_asked() -> None:
    async with bench(fly("check")) as at:
        await at.press("f10")
        await at.pass_time(2.0)
        assert at.flight.driver.row.step == 20


async def test_a_checklist_is_begun_and_its_lines_are_confirmed_by_enter() -> None:
    async with bench(fly("coached", "distance: below 5 NM")) as at:
        await at.press("1", "j")
        assert "APPROACH CHECKLIST" in at.text()
        first = at.flight.driver.row.challenge
        await at.press("enter")
        assert at.flight.driver.row.challenge != first


async def test_a_flight_is_guided_by_keys_from_the_flare_to_the_debrief() -> None:
    async with bench(fly("guided", FLARE)) as at:
        for _ in range(400):
            if not at.shows(FlightScreen):
                break
            driver = at.flight.driver
            hint = driver.hint
            if hint is None:
                await at.pass_time(4.0)
                continue
            await at.press(*keys_of(hint.keys))
        assert at.shows(DebriefScreen)
        text = at.text()
        assert "Straight in: passed" in text
        (judgement,) = at.outside.diaries[0].judgements
        assert judgement.outcome == "passed"
        assert not [one for one in judgement.items if one.verdict in ("wrong", "missed")]
        await at.press("pagedown", "end", "home", "n")
        assert at.shows(FlightScreen)
        assert at.outside.seeds[-1] != 0
        assert len(at.app.screen_stack) == 2


def keys_of(keys: str) -> list[str]:
    """The keys of a hint, such as `Space runway in sight Enter`."""
    if not keys.startswith(("Space", "Enter")):
        return list(keys)
    if keys == "Enter":
        return ["enter"]
    opener, text = keys.split(" ", 1)
    body = text.removesuffix(" Enter")
    return [opener.lower(), *("space" if one == " " else one for one in body), "enter"]


async def test_the_debrief_goes_home_and_the_same_seed_can_be_flown_again() -> None:
    segment = fly("check", "distance: below 8 NM", "distance: below 7.9 NM")
    async with bench(segment) as at:
        await at.pass_time(6.0)
        assert at.shows(DebriefScreen)
        assert "the segment has been flown" in at.text()
        assert at.outside.levels == ["segment"]
        await at.press("r")
        assert at.shows(FlightScreen)
        assert at.outside.seeds == [0, 0]
        await at.pass_time(6.0)
        await at.press("enter")
        assert at.shows(HomeScreen)
        await at.press("f10")
    assert at.app.return_value in (0, 1)


async def test_a_key_pressed_twice_in_a_hurry_opens_nothing_twice() -> None:
    async with bench() as at:
        for _ in range(2):
            at.app.screen.post_message(BriefRequested("straight-in"))
        await at.pilot.pause(0.2)
        await at.pilot.pause()
        assert len(at.app.screen_stack) == 2
        await at.press("enter")
        home = at.app.screen
        for _ in range(2):
            home.post_message(FlyRequested("straight-in", "coached"))
        await at.pilot.pause()
        assert len(at.app.screen_stack) == 2
        at.flight.post_message(FlightEnded())
        await at.pilot.pause()
        debrief = at.app.screen
        assert isinstance(debrief, DebriefScreen)
        for _ in range(2):
            debrief.post_message(RepeatRequested(with_new_seed=False))
        await at.pilot.pause()
        assert at.shows(FlightScreen)
        assert len(at.app.screen_stack) == 2


# Goldens ----------------------------------------------------------------------------------------


def still_life(at: Bench) -> None:
    """A made-up moment on final, so that a golden changes only when the screen does."""
    driver = at.flight.driver
    row = driver.row
    driver.session.flight.row = row._replace(
        step=2190, altitude_ft=2966.0, radio_ft=2431.0, along_nm=8.91, dme_nm=8.9, cas_kt=174.6,
        ground_speed_kt=167.0, vertical_speed_fpm=-861.0, heading_deg=141.2, track_deg=139.8,
        bank_deg=-2.4, power=0.06, flap=1.6, flap_lever=2, gear=0.4, gear_lever="down",
        spoilers="armed", autobrake="medium", localizer="covered", localizer_dots=-0.5,
        glide="covered", glide_dots=0.25, identified="IMRW", checklist="landing",
        challenge="no such line",
        selectors=row.selectors._replace(
            speed_kt=175.0, heading_deg=140.0, altitude_ft=4000.0, course_deg=140.0,
            frequency="110.35", altimeter_hpa=1009.0, minimums_ft=225.0, final_speed_kt=137.0,
        ),
        modes=Modes("LOC", "GLIDE", (), ("FLARE",), "SPEED", "AP BOTH", "OPERATIONAL"),
    )  # fmt: skip
    scribe = driver.scribe
    scribe.log[:] = [
        LogLine(1320, "YOU", "glide alive"),
        LogLine(1800, "REFUSED", "reverse selected: reverse locked in the air"),
        LogLine(1990, "ATC", "Marrow Two One, runway 14, cleared to land"),
    ]
    scribe.changed = {"vertical": 2150, "vertical armed": 2150}
    scribe._speeds[:] = [175.0, 174.9]
    at.flight.paint()


@pytest.mark.parametrize("size", [(80, 24), NORMAL, (140, 40)])
async def test_the_flight_screen_as_text(size: tuple[int, int]) -> None:
    async with bench(fly("coached"), size=size) as at:
        still_life(at)
        await at.press("1", "5", "5")
        shown = at.text()
    golden = GOLDEN / f"flight-{size[0]}x{size[1]}.txt"
    if os.environ.get("UPDATE_GOLDENS"):
        golden.parent.mkdir(exist_ok=True)
        golden.write_text(shown, encoding="utf-8")
    assert shown == golden.read_text(encoding="utf-8")


async def test_without_colour_nothing_is_lost(monkeypatch: pytest.MonkeyPatch) -> None:
    async with bench(fly("coached")) as at:
        still_life(at)
        await at.pilot.pause()
        coloured = at.text()
    monkeypatch.setenv("NO_COLOR", "1")
    async with bench(fly("coached")) as at:
        assert at.app.no_color
        still_life(at)
        await at.pilot.pause()
        assert at.text() == coloured
    for word in (">GLIDE<", "armed", "AP BOTH", "OPERATIONAL", "REFUSED", "in transit", "◆"):
        assert word in coloured


# The way in -------------------------------------------------------------------------------------


def test_the_way_in_does_not_import_textual_and_sets_the_paint_rate() -> None:
    code = (
        "import sys, os; import trainer.app.launch as launch; "
        "assert 'textual' not in sys.modules; launch.prepare(); "
        "print(os.environ['TEXTUAL_FPS'])"
    )
    environment = {key: value for key, value in os.environ.items() if key != "TEXTUAL_FPS"}
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, env=environment, check=True
    )
    assert done.stdout.strip() == "120"


def test_a_paint_rate_set_by_the_user_is_kept(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TEXTUAL_FPS", "30")
    prepare()
    assert os.environ["TEXTUAL_FPS"] == "30"
