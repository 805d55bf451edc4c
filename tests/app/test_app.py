"""The screens, one flow each, flown by keys; the flight screen as text at three sizes."""

from __future__ import annotations

import asyncio
import os
import pty
import re
import select
import subprocess
import sys
import termios
import time
from collections.abc import AsyncIterator, Iterator, Sequence
from contextlib import asynccontextmanager, contextmanager
from pathlib import Path
from typing import Any

import pytest
from textual import events
from textual.message_pump import MessagePump
from textual.pilot import Pilot
from textual.screen import Screen

from tests.app.help import FLARE, HandClock, Outside, screen_text, straight_in
from trainer.app.app import TrainerApp
from trainer.app.debriefing import _with_key
from trainer.app.keymap import DEFAULT
from trainer.app.launch import Start, prepare
from trainer.app.listing import Listed
from trainer.app.local import LocalServices
from trainer.app.messages import (
    BriefRequested,
    FlightEnded,
    FlyAgainRequested,
    FlyRequested,
    RepeatRequested,
)
from trainer.app.screens.brief import BriefScreen
from trainer.app.screens.debrief import DebriefScreen
from trainer.app.screens.flight import FlightScreen
from trainer.app.screens.home import HomeScreen
from trainer.app.screens.overlay import LeaveOverlay, PauseOverlay
from trainer.app.screens.text import TextScreen
from trainer.app.scribe import LogLine
from trainer.app.widgets.keys import groups
from trainer.guidance.modes import Modes
from trainer.records.store import Records
from trainer.report.debrief import Matter, _next_drill

GOLDEN = Path(__file__).parent / "golden"
NORMAL = (100, 30)
STUCK_S = 60.0
"""An app under test that has not taken a message by then never will, s."""


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
        """Press keys, each once what the one before brought about has been done."""
        for key in keys:
            character = " " if key == "space" else key if len(key) == 1 else None
            self.app.post_message(events.Key(key, character))
            await self.settle()
        await self.laid_out()

    async def settle(self) -> None:
        """Wait until app and screen have taken every message sent so far, and their answers.

        Textual's own wait guesses from the processor time that is used, and guesses wrong on a
        busy machine; messages are taken in order, so one more at the end of each queue is sure.
        """
        for _ in range(2):
            await self.taken(self.app)
            await self.taken(self.app.screen)
        if isinstance(self.app.screen, FlightScreen) and self.app.screen.timer is not None:
            self.app.screen.timer.pause()  # time passes by `pass_time` alone

    async def laid_out(self) -> None:
        """Wait until the screen stands as it should, each panel told its size."""
        await self.taken(self.app.screen, after_refresh=True)
        for panel in self.app.screen.walk_children():
            await self.taken(panel)

    async def taken(self, pump: MessagePump, after_refresh: bool = False) -> None:
        """Wait until `pump` has taken all messages before this, or has ended.

        Raises TimeoutError with what is on the screen if that never comes.
        """
        done = asyncio.Event()
        ends = time.monotonic() + STUCK_S
        asked = pump.call_after_refresh(done.set) if after_refresh else pump.call_later(done.set)
        while asked and not done.is_set() and pump.is_running and self.app.return_value is None:
            if time.monotonic() > ends:
                raise TimeoutError(f"no answer within {STUCK_S:g} s; the screen:\n{self.text()}")
            await asyncio.sleep(0.001)

    async def pass_time(self, seconds: float, stride_s: float = 0.5) -> None:
        """Let real time pass for the flight, in strides of the clock."""
        flight = self.flight
        for _ in range(round(seconds / stride_s)):
            self.clock.advance(stride_s)
            flight.tick()
        await self.pilot.pause()

    def text(self) -> str:
        return screen_text(self.app)


@contextmanager
def on_terminal(
    environment: dict[str, str],
    command: Sequence[str] = (sys.executable, "-m", "trainer"),
    **streams: int,
) -> Iterator[tuple[int, subprocess.Popen[bytes]]]:
    """A command on a terminal of its own, of 100 columns and 30 rows; ended afterwards."""
    master, slave = pty.openpty()
    termios.tcsetwinsize(slave, (30, 100))
    inherited = {key: value for key, value in os.environ.items() if key != "NO_COLOR"}
    process = subprocess.Popen(
        command, env={**inherited, "TERM": "xterm-256color", **environment},
        **{"stdin": slave, "stdout": slave, "stderr": slave, **streams},  # type: ignore[call-overload]
    )  # fmt: skip
    os.close(slave)
    try:
        yield master, process
    finally:
        process.kill()
        process.wait()
        for stream in (process.stdout, process.stderr):
            if stream is not None:
                stream.close()
        os.close(master)


def until(master: int, wanted: bytes, within_s: float = 20.0) -> bytes:
    """What is written on a terminal up to `wanted`; fails with it, also where a program ends."""
    sent = b""
    ends = time.monotonic() + within_s
    while wanted not in sent:
        ready, _, _ = select.select([master], [], [], max(0.0, ends - time.monotonic()))
        assert ready, sent[-3000:]
        try:
            sent += os.read(master, 65536)
        except OSError:  # nobody has the other end open any more
            raise AssertionError(f"ended before {wanted!r}: {sent[-3000:]!r}") from None
    return sent


@asynccontextmanager
async def bench(
    start: Start | None = None, size: tuple[int, int] = NORMAL, listed: list[Listed] | None = None
) -> AsyncIterator[Bench]:
    clock, outside = HandClock(), Outside(listed)
    app = TrainerApp(outside, start, clock)
    async with app.run_test(size=size) as pilot:
        at = Bench(app, pilot, clock, outside)
        await at.settle()
        await at.laid_out()
        yield at


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
        await at.press("1", "enter")
        assert at.shows(FlightScreen)
        assert at.flight.driver.level == "guided"
        assert at.flight.driver.session.exercise.name == at.outside.listed()[0].name
        assert at.app.focused is None


async def test_a_check_draws_a_fresh_seed_and_hides_it_until_the_debrief() -> None:
    async with bench() as at:
        await at.press("3", "enter")
        assert at.outside.seeds == [4711]
        assert "4711" not in at.text()


async def test_the_list_begins_with_the_easiest_and_shows_the_level_of_the_last_result() -> None:
    async with bench() as at:
        first, *_ = listed = at.outside.listed()
        assert [one.level for one in listed] == sorted(one.level for one in listed)
        assert f"▸ {first.title}" in at.text()
        await at.press("end")
        assert f"▸ {listed[-1].title}" in at.text()
    one = Listed("straight-in", "Straight in", "", 1, "Twin jet", "ILS 14", "passed 100 guided")
    async with bench(listed=[one], size=(80, 24)) as at:
        (row,) = [line for line in at.text().splitlines() if "ILS 14" in line]
        assert row.endswith("passed 100 guided")
        assert "Twin jet" in row


async def test_the_brief_and_the_history_open_and_go_back() -> None:
    async with bench() as at:
        await at.press("b")
        assert at.shows(BriefScreen)
        await at.press("3")
        assert "110.35" in at.text()
        await at.press("enter")
        assert at.shows(HomeScreen)
        await at.press("h")
        assert at.shows(TextScreen)
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
        clock.advance(2.0)
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


async def test_a_flight_can_be_left_while_it_is_paused() -> None:
    async with bench(fly("coached")) as at:
        await at.press("f2")
        assert "F10 leave" in at.text()
        await at.press("f10")
        assert at.shows(LeaveOverlay)
        await at.press("escape")
        assert at.shows(FlightScreen)
        await at.press("f10", "n")
        assert at.shows(FlightScreen)
        assert not at.flight.driver.is_paused
        await at.press("f2", "ctrl+c", "y")
        assert at.shows(HomeScreen)


async def test_an_open_line_names_its_keys() -> None:
    async with bench(fly("coached")) as at:
        await at.press("enter")
        assert "Enter sends · Esc drops" in at.text()
        await at.press("escape")
        assert "READ BACK" not in at.text()


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


@pytest.mark.parametrize(("size", "pages"), [((80, 24), 3), (NORMAL, 1), ((140, 40), 1)])
async def test_the_key_list_shows_all_keys_and_covers_neither_instruments_nor_entry(
    size: tuple[int, int], pages: int
) -> None:
    async with bench(fly("coached"), size=size) as at:
        still_life(at)
        await at.press("?")
        shown = ""
        for number in range(pages):
            text = at.text()
            assert (f"page {number + 1} of {pages}" in text) == (pages > 1)
            for word in ("ENGAGED", "AP BOTH", "TO THRESHOLD", "set 4000", "kt ▼ 165"):
                assert word in text
            assert text.splitlines()[-1].startswith(" KNOB")
            shown += text
            await at.press("pagedown" if number % 2 else "down")
        fitted = DEFAULT.fitted(straight_in().aircraft.controls)
        for heading, entries in groups(fitted):
            assert heading in shown
            for cell in entries:
                assert f"{cell.shown} " in shown, cell
                assert f" {cell.text}" in shown, cell
        await at.press("?", "down")
        assert "MODES, BUTTONS" not in at.text()


async def test_a_click_on_the_title_of_the_key_list_turns_the_page() -> None:
    async with bench(fly("check"), size=(80, 24)) as at:
        await at.press("?")
        await at.pilot.click("#help", offset=(5, 0))
        await at.settle()
        assert "page 2 of" in at.text()


async def test_a_click_on_the_key_list_is_that_key() -> None:
    async with bench(fly("check"), size=(140, 40)) as at:
        await at.press("?")
        await at.pilot.click("#help", offset=(5, 2))
        await at.pilot.pause()
        assert at.flight.driver.row.modes.lateral == "HDG"


async def test_whoever_was_away_for_long_finds_a_pause_and_ctrl_z_makes_one() -> None:
    async with bench(fly("coached")) as at:
        at.clock.advance(60.0)
        at.flight.tick()
        await at.settle()
        assert at.shows(PauseOverlay)
        assert "PAUSED" in at.text()
        await at.press("enter")
        assert not at.flight.driver.is_paused
        at.app.action_suspend_process()  # no terminal here that could be given away
        await at.settle()
        assert at.shows(PauseOverlay)
        await at.press("f2")
        await at.pass_time(1.0)
        assert at.flight.driver.row.step > 5


async def test_the_key_of_a_control_that_the_type_lacks_is_no_key() -> None:
    async with bench(fly("coached")) as at:
        await at.press("y")
        assert "no key y; ? shows the keys" in at.text()
        await at.press("P")
        assert "no key P; p is approach mode" in at.text()


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


async def test_what_became_of_an_attempt_that_was_left_is_told_at_home() -> None:
    async with bench(fly("check")) as at:
        await at.pass_time(3.0)
        await at.press("f10", "y")
        assert at.shows(HomeScreen)
        assert at.outside.diaries[0].left == [30]
        assert "kept as unfinished" in at.text()
        await at.press("down")
        assert "kept as unfinished" not in at.text()


async def test_keys_of_a_call_typed_too_late_do_nothing_on_the_debrief() -> None:
    async with bench(fly("check", "distance: below 8 NM", "distance: below 7.9 NM")) as at:
        await at.pass_time(6.0)
        assert at.shows(DebriefScreen)
        await at.press("f5", "f6", "f10", "enter")
        assert at.shows(DebriefScreen)
        at.clock.advance(2.0)
        await at.press(*"runwayinsight", "enter")
        assert at.shows(DebriefScreen)
        at.clock.advance(1.9)
        await at.press("enter")
        assert at.shows(DebriefScreen)
        assert at.outside.seeds == [0]
        at.clock.advance(0.1)
        await at.press("enter")
        assert at.shows(HomeScreen)


async def test_the_debrief_names_the_keys_of_what_comes_next() -> None:
    async with bench(fly("check", "distance: below 8 NM", "distance: below 7.9 NM")) as at:
        await at.pass_time(6.0)
        text = at.text()
        assert "F5 again, same seed  F6 new seed" in text
        drill = " ".join(text.split()).partition("Next: ")[2].partition("IN ORDER")[0]
        assert "F5: the same again." in drill or "F6: the same with a new seed." in drill


async def test_a_finding_is_flown_again_from_before_it_with_the_same_values() -> None:
    async with bench(fly("check", "distance: below 8 NM", "distance: below 7.9 NM")) as at:
        await at.pass_time(6.0)
        at.app.screen.post_message(FlyAgainRequested("distance: below 9 NM"))
        await at.settle()
        assert at.shows(FlightScreen)
        assert at.outside.seeds == [0, 0]
        assert at.outside.levels == ["segment", "segment"]
        assert 8.9 < at.flight.driver.row.distance_nm < 9.0


def test_the_next_drill_is_told_with_the_key_that_does_it_here() -> None:
    slip = Matter("a slip", 1.0, False, 0)
    clean = _next_drill(straight_in(), (), (), is_whole=True)
    flawed = _next_drill(straight_in(), (slip,), (), is_whole=True)
    part = _next_drill(straight_in(), (), (), is_whole=False)
    assert part == "Next: the whole of straight-in (approach-drill fly straight-in)."
    assert _with_key(clean) == f"{clean} F6: the same with a new seed."
    assert _with_key(flawed) == f"{flawed} F5: the same again."
    assert _with_key("Nothing was missed.") == "Nothing was missed."


async def test_fast_time_says_why_it_runs_slowly_and_the_entry_line_claims_nothing() -> None:
    async with bench(fly("coached"), size=(80, 24)) as at:
        await at.press("+", "+", "+")
        assert "COACHED  ×8" in at.text()
        await at.pass_time(10.0)
        head, *_, foot = at.text().splitlines()
        assert "×1 while a step is open, then ×8" in head
        assert "×8" not in foot
        await at.press("=")
        assert "×8" not in at.text()


async def test_guided_says_that_time_may_run_faster_until_the_next_step() -> None:
    async with bench(fly("guided")) as at:
        assert "Nothing to do yet" in at.text()
        await at.press("+")
        assert "GUIDED  ×2" in at.text()


async def test_keys_that_do_nothing_say_so_at_home_and_in_flight() -> None:
    async with bench() as at:
        await at.press("x")
        assert "no key x" in at.text()
        await at.press("enter", "Q")
        assert "no key Q; q is altimeter; ? shows the keys" in at.text()
        await at.press("f3")
        assert "skip works only in Guided" in at.text()


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
        at.clock.advance(2.0)
        await at.press("pagedown", "end", "home", "f6")
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
        at.clock.advance(2.0)
        await at.press("f5")
        assert at.shows(FlightScreen)
        assert at.outside.seeds == [0, 0]
        await at.pass_time(6.0)
        at.clock.advance(2.0)
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


def test_no_colour_means_no_colour_and_no_background_at_all() -> None:
    with on_terminal({"NO_COLOR": "1"}) as (master, _):
        sent = until(master, b"Straight in")
        os.write(master, b"\r")
        sent += until(master, b"LATERAL")
    codes = {part for text in re.findall(rb"\x1b\[([\d;:]*)m", sent) for part in text.split(b";")}
    assert codes & {b"1", b"7"}  # bold and reverse are sent
    assert codes <= {b"", b"0", b"1", b"4", b"7", b"22", b"24", b"27", b"39", b"49"}, codes


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


def test_without_a_terminal_the_app_refuses_before_it_imports_a_screen() -> None:
    code = (
        "import sys\nfrom trainer.app import launch\nfrom trainer.errors import UserError\n"
        "try:\n    launch.run_app()\n"
        "except UserError as error:\n    print(error.exit_code, error, 'textual' in sys.modules)"
    )
    for streams in ({"stdin": subprocess.DEVNULL}, {"stderr": subprocess.PIPE}):
        with on_terminal({}, [sys.executable, "-c", code], stdout=subprocess.PIPE, **streams) as (
            _, process,
        ):  # fmt: skip
            assert process.stdout is not None
            said = process.stdout.read()
        assert said.decode().strip() == (
            "2 needs a terminal; fly without a screen with --crew perfect False"
        )


def test_a_paint_rate_set_by_the_user_is_kept(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TEXTUAL_FPS", "30")
    prepare()
    assert os.environ["TEXTUAL_FPS"] == "30"
