"""A segment of one's own: cut out of the flight, flown with other numbers, repeated."""

from __future__ import annotations

import os
from functools import cache
from pathlib import Path

import pytest

from tests.app.help import screen_text, straight_in
from tests.app.test_app import Bench, bench
from trainer.app.driver import Driver
from trainer.app.own_segment import nameable, own_segment
from trainer.app.screens.debrief import DebriefScreen
from trainer.app.screens.flight import FlightScreen
from trainer.app.screens.home import HomeScreen
from trainer.app.screens.own_segment import OwnSegmentScreen
from trainer.app.screens.segments import SegmentsScreen
from trainer.app.segments import Flyable, Reference, reference_of
from trainer.crew.perfect import PerfectCrew
from trainer.crew.session import Session
from trainer.scenario import draw
from trainer.scenario.crew_files import parse_moment_text

GOLDEN = Path(__file__).parent / "golden"


@cache
def reference() -> Reference:
    return reference_of(straight_in())


def place(item: str) -> int:
    return [one.item for one in reference().work].index(item)


def cut(first: str, last: str) -> Flyable:
    return own_segment(reference(), nameable(straight_in()), place(first), place(last))


CLUSTERS = [
    ("tune", "set altimeter (qnh)"),
    ("approach mode", "first flap"),
    ("landing flap", "landing: flap"),
    ("autopilot off", "stow reverse"),
]


@pytest.mark.parametrize(("first", "last"), CLUSTERS)
def test_a_cluster_holds_its_steps_and_nothing_before(first: str, last: str) -> None:
    found = cut(first, last)
    inside = [one.item for one in found.work]
    assert inside[0] == first
    assert last in inside
    assert all(found.begins < one.step <= found.ends or not found.begins for one in found.work)


@pytest.mark.parametrize("seed", [7])
@pytest.mark.parametrize(("first", "last"), CLUSTERS)
def test_with_other_numbers_the_same_steps_are_left_to_the_pilot(
    first: str, last: str, seed: int
) -> None:
    exercise = draw.draw(straight_in(), seed)
    part = cut(first, last).part
    start = parse_moment_text(part.from_moment, exercise) if part.from_moment else None
    session = Driver(Session(exercise), "coached", start=start).session
    tracks = {one.name: one for one in session.tracker.tracks}
    assert all(tracks[name].done is None for name in (first, last))
    crew = PerfectCrew(session.tracker)
    until = session.tracker.evaluator.watch(parse_moment_text(part.until_moment, exercise))
    for _ in range(2000):
        if until.now:
            break
        session.step(crew.acts(session.row))
    assert until.now
    assert all(tracks[name].done is not None for name in (first, last))


def test_a_step_that_is_left_out_does_not_hold_the_segment_open_for_ever() -> None:
    text = cut("approach mode", "first flap").part.until_moment
    until = parse_moment_text(text, straight_in())
    driver = Driver(Session(straight_in()), "coached", until=until)
    driver.advance(0.0)
    now_s = 0.0
    while not driver.is_over and now_s < 600.0:
        now_s += 4.0
        driver.advance(now_s)
    assert driver.is_over
    assert driver.row.distance_nm > 10.0


def test_a_step_that_no_moment_can_name_moves_the_end_to_the_next_that_one_can() -> None:
    found = cut("mode call 1", "mode call 1")
    assert found.part.from_moment == '{"done":"localizer mode"}'
    assert "mode call" not in found.part.until_moment
    assert "read back cleared approach" in [one.item for one in found.work]


async def chosen(at: Bench) -> None:
    """Open the screen from home."""
    await at.press("g")
    for _ in range(50):
        if at.shows(SegmentsScreen):
            break
        await at.settle()
    await at.press("o")


async def test_a_cluster_is_chosen_flown_and_repeated_with_new_numbers() -> None:
    async with bench() as at:
        at.outside.points = [60.0, 80.0]
        await at.press("/", *"straight-in", "enter")
        await chosen(at)
        assert at.shows(OwnSegmentScreen)
        await at.press(*["down"] * place("landing flap"), "f", "down", "down", "u", "2")
        assert "3 steps" in at.text()
        assert "60 80" in at.text()
        await at.press("enter")
        assert at.shows(FlightScreen)
        assert len(at.app.screen_stack) == 2
        assert at.outside.levels == ["segment"]
        assert 5.5 < at.flight.driver.row.distance_nm < 7.0
        await at.press("2", "2", "f")
        await at.pass_time(120.0)
        assert at.shows(DebriefScreen)
        assert "this segment, last ten: ▅▇  60 80; F6 with new numbers" in at.text()
        at.clock.advance(2.0)
        await at.press("f6")
        assert at.shows(FlightScreen)
        assert at.outside.seeds[-1] != 0


async def test_the_first_and_the_last_step_never_cross_and_f10_goes_back_twice() -> None:
    async with bench() as at:
        await at.press("/", *"straight-in", "enter")
        await chosen(at)
        await at.press("end", "f", "home", "u", "pagedown", "up", "3")
        assert ", 1 step, from" in at.text()
        await at.press("f10")
        assert at.shows(SegmentsScreen)
        await at.press("f10")
        assert at.shows(HomeScreen)


@pytest.mark.parametrize("size", [(80, 24), (100, 30), (140, 40)])
async def test_a_segment_of_ones_own_as_text(size: tuple[int, int]) -> None:
    async with bench(size=size) as at:
        screen = OwnSegmentScreen(
            "straight-in", "Straight in", reference(), nameable(straight_in()),
            lambda part: (55.0, 71.0, 96.0), "coached",
        )  # fmt: skip
        at.app.push_screen(screen)
        await at.settle()
        await at.press(*["down"] * 17, "f", *["down"] * 4, "u")
        text = screen_text(at.app)
    golden = GOLDEN / f"own-segment-{size[0]}x{size[1]}.txt"
    if os.environ.get("UPDATE_GOLDENS"):
        golden.write_text(text, encoding="utf-8")
    assert text == golden.read_text(encoding="utf-8")
