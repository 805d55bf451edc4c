"""The replay of a flight: what it shows at a step is what the pilot saw at that step."""

from __future__ import annotations

import os
from functools import cache
from pathlib import Path

import pytest

from tests.app.help import HandClock, driver, screen_text
from tests.app.test_app import Bench, bench, fly
from trainer.app.driver import Driver
from trainer.app.screens.debrief import DebriefScreen
from trainer.app.screens.replay import Flown, ReplayScreen
from trainer.app.view import View, view_of
from trainer.app.widgets.lines import plain
from trainer.app.widgets.timeline import bar, step_at
from trainer.crew.perfect import PerfectCrew
from trainer.report.debrief import debrief
from trainer.text import width as cells

GOLDEN = Path(__file__).parent / "golden"


@cache
def flown() -> tuple[Flown, dict[int, View], Driver]:
    """A good crew's flight to 1,500 ft with the view of every tenth step as it was seen then."""
    made = driver("check")
    crew = PerfectCrew(made.session.tracker)
    seen = {}
    while made.row.height_ft > 1500.0:
        if made.row.step % 10 == 0:
            seen[made.row.step] = view_of(made.row, made.scribe)
        made._step(made._numbered(crew.acts(made.row)))
    flight = made.session.flight
    exercise = made.session.exercise
    told = debrief(made.session.judgement(), exercise, flight.rows, flight.facts).timeline
    return Flown(exercise, flight.rows, flight.facts, told), seen, made


async def shown(at: Bench, clock: HandClock | None = None) -> ReplayScreen:
    screen = ReplayScreen(flown()[0], at.clock if clock is None else clock)
    at.app.push_screen(screen)
    await at.settle()
    await at.laid_out()
    if screen.timer is not None:
        screen.timer.pause()
    return screen


async def test_the_replay_shows_what_was_seen_at_that_step_forwards_and_backwards() -> None:
    _, seen, _ = flown()
    async with bench() as at:
        screen = await shown(at)
        steps = sorted(seen)
        for step in (*steps[:: len(steps) // 40], steps[-1], steps[7], steps[30]):
            screen.go(step)
            view = view_of(screen._flown.rows[screen._at], screen._scribe)
            assert screen.step == step
            assert view == seen[step], step


async def test_keys_move_time_by_a_second_by_ten_to_the_ends_and_from_event_to_event() -> None:
    async with bench() as at:
        screen = await shown(at)
        await at.press("right", "pagedown")
        assert screen.step == 110
        await at.press("left", "pageup", "left")
        assert screen.step == 0
        await at.press("down")
        first = screen.step
        assert first in {one.step for one in screen._told}
        await at.press("down", "up")
        assert screen.step == first
        await at.press("end")
        assert screen.step == flown()[0].rows[-1].step
        await at.press("down", "right", "home", "up")
        assert screen.step == 0


async def test_space_runs_the_replay_in_real_time_and_stops_it_and_plus_runs_faster() -> None:
    async with bench() as at:
        screen = await shown(at)
        await at.press("space")
        for _ in range(10):
            at.clock.advance(0.2)
            screen.tick()
        assert screen.step == 20
        await at.press("+")
        for _ in range(10):
            at.clock.advance(0.2)
            screen.tick()
        assert screen.step == 60
        assert "×2" in at.text() or screen._factor == 2
        await at.press("space")
        at.clock.advance(5.0)
        screen.tick()
        assert screen.step == 60


async def test_the_replay_opens_from_the_debrief_and_goes_back_to_it() -> None:
    async with bench(fly("check", "distance: below 8 NM", "distance: below 7.9 NM")) as at:
        await at.pass_time(6.0)
        at.clock.advance(2.0)
        await at.press("f7")
        assert at.shows(ReplayScreen)
        assert "REPLAY  STANDS" in at.text()
        await at.press("end", "q", "1")
        assert at.shows(ReplayScreen)
        await at.press("enter")
        assert at.shows(DebriefScreen)


async def test_a_click_on_the_time_line_goes_there() -> None:
    async with bench() as at:
        screen = await shown(at)
        await at.pilot.click("#bar", offset=(50, 0))
        await at.settle()
        last = flown()[0].rows[-1].step
        assert screen.step == pytest.approx(last / 2.0, rel=0.02)


@pytest.mark.parametrize("width", [3, 80, 140])
def test_the_time_line_shows_events_findings_and_where_one_stands(width: int) -> None:
    line = plain(bar(500, 1000, [(0, False), (1000, True), (1000, False)], width))
    assert cells(line) == max(3, width)
    if width > 3:
        assert line[1] == "·"
        assert line[-2] == "×"
        assert line[step_at_inverse(500, 1000, width)] == "◆"
        assert step_at(1, 1000, width) == 0
        assert step_at(width - 2, 1000, width) == 1000


def step_at_inverse(step: int, last: int, width: int) -> int:
    return 1 + round(step / last * (width - 3))


@pytest.mark.parametrize("size", [(80, 24), (100, 30), (140, 40)])
async def test_the_replay_as_text(size: tuple[int, int]) -> None:
    async with bench(size=size) as at:
        screen = await shown(at)
        screen.go(2200)
        await at.laid_out()
        text = screen_text(at.app)
    golden = GOLDEN / f"replay-{size[0]}x{size[1]}.txt"
    if os.environ.get("UPDATE_GOLDENS"):
        golden.write_text(text, encoding="utf-8")
    assert text == golden.read_text(encoding="utf-8")
