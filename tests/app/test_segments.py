"""Segments: found by a reference flight, flown from the hand-over, repeated with new numbers."""

from __future__ import annotations

import os
from functools import cache
from pathlib import Path

import pytest

from tests.app.help import screen_text, straight_in
from tests.app.test_app import bench
from trainer.app.screens.debrief import DebriefScreen
from trainer.app.screens.flight import FlightScreen
from trainer.app.screens.home import HomeScreen
from trainer.app.screens.segments import SegmentsScreen
from trainer.app.segments import Flyable, reference_of, trend_text
from trainer.records.journal import Segment
from trainer.records.store import Records
from trainer.scenario import compose, library
from trainer.scenario.crew_files import parse_moment_text
from trainer.scenario.draw import draw

ONE_A_FLOW = (
    "straight-in", "to-the-stop", "localizer-only", "cold-path", "speed-to-four", "turboprop-ils",
    "glide-first",
)  # fmt: skip
"""An exercise of each flow."""
GOLDEN = Path(__file__).parent / "golden"


@cache
def found() -> tuple[Flyable, ...]:
    return reference_of(straight_in()).parts


def test_the_segments_come_in_order_and_hold_what_is_done_in_them() -> None:
    names = [one.part.name for one in found()]
    assert names == [
        "set-up", "localizer", "glide alive", "to the gate", "gate to minimums", "roll-out",
    ]  # fmt: skip
    for one in found():
        assert one.begins < one.ends
        assert all(one.begins <= work.step < one.ends for work in one.work)
    inside = {one.part.name: {work.item for work in one.work} for one in found()}
    assert "tune" in inside["set-up"]
    assert "gear down" in inside["glide alive"]
    assert "runway in sight" in inside["gate to minimums"]
    assert "reverse" in inside["roll-out"]


def test_the_ends_of_a_segment_are_text_that_a_command_line_takes() -> None:
    exercise = straight_in()
    for part in exercise.flow.parts:
        for text in (part.from_moment, part.until_moment):
            if text:
                parse_moment_text(text, exercise)


def test_a_segment_that_an_exercise_never_reaches_is_not_offered() -> None:
    captured = compose.load("path-captured", library.default_library())
    names = [one.part.name for one in reference_of(captured).parts]
    assert "localizer" not in names  # it begins with localizer and PATH captured
    assert "gate to minimums" in names


@pytest.mark.parametrize(
    "name",
    [
        pytest.param(one, marks=() if one in ONE_A_FLOW else pytest.mark.long)
        for one in library.default_library().names("exercise")
    ],
)
def test_a_segment_takes_half_a_minute_to_two_minutes(name: str) -> None:
    parts = reference_of(draw(compose.load(name, library.default_library()), 0)).parts
    assert parts
    assert all(30 <= one.seconds <= 120 for one in parts), [
        (one.part.name, one.seconds) for one in parts
    ]


def test_every_flow_has_the_clusters_of_an_approach() -> None:
    found = library.default_library()
    for name in ONE_A_FLOW:
        names = {part.name for part in compose.load(name, found).flow.parts}
        assert {"set-up", "to the gate", "gate to minimums", "roll-out", "go-around"} <= names
        assert names & {"localizer", "path"}


def test_the_trend_is_bars_and_figures_the_newest_at_the_right() -> None:
    assert trend_text([]) == "not flown yet"
    assert trend_text([0.0, 50.0, 100.0]) == "▁▅█  0 50 100"
    assert trend_text([-20.0]) == "▁  -20"


def test_the_records_keep_the_last_ten_of_each_segment_apart() -> None:
    exercise, records = straight_in(), Records(None)
    for number in range(12):
        for until in ("here", "there"):
            attempt = records.begin(
                exercise.canonical, exercise.digest, exercise.name, "segment", "solo", 0, 1,
                "2026-01-01T00:00:00Z", Segment("coached", "", until),
            )  # fmt: skip
            if until == "there" or number != 5:
                attempt.finish({"outcome": "passed", "points": float(number)}, b"", "")
    assert records.trend(exercise.name, "", "there") == [float(one) for one in range(2, 12)]
    assert records.trend(exercise.name, "", "here")[:4] == [1.0, 2.0, 3.0, 4.0]
    assert records.trend("another", "", "there") == []


async def test_a_segment_is_chosen_flown_from_the_hand_over_and_repeated_by_one_key() -> None:
    async with bench() as at:
        at.outside.points = [60.0, 80.0]
        await at.press("g")
        for _ in range(50):
            if at.shows(SegmentsScreen):
                break
            await at.settle()
        assert at.shows(SegmentsScreen)
        await at.laid_out()
        text = at.text()
        assert "▸ set-up" in text
        assert "60 80" in text
        await at.press("end", *["down"] * 5, "up", "down", "1", "2", "enter")
        assert at.shows(FlightScreen)
        flight = at.flight.driver
        assert flight.level == "coached"
        assert flight.row.radio_ft < 150.0
        assert "CREW    you have control" in at.text()
        assert at.outside.levels == ["segment"]
        await at.pass_time(120.0)
        assert at.shows(DebriefScreen)
        assert "this segment, last ten: ▅▇  60 80; F6 with new numbers" in at.text()
        at.clock.advance(2.0)
        await at.press("f6")
        assert at.shows(FlightScreen)
        assert at.flight.driver.row.radio_ft < 150.0
        assert at.outside.seeds[-1] != 0


async def test_the_segments_go_back_and_an_exercise_without_any_says_so() -> None:
    async with bench() as at:
        at.app.push_screen(SegmentsScreen("x", "[/foo] Nothing", (), lambda part: (), "check"))
        await at.settle()
        await at.laid_out()
        assert "names no segment" in at.text()
        await at.press("enter", "down", "pagedown", "3")
        assert at.shows(SegmentsScreen)
        await at.press("f10")
        assert at.shows(HomeScreen)


@pytest.mark.parametrize("size", [(80, 24), (100, 30), (140, 40)])
async def test_the_segments_as_text(size: tuple[int, int]) -> None:
    async with bench(size=size) as at:
        screen = SegmentsScreen(
            "straight-in", "Straight in", found(), lambda part: (55.0, 71.0, 96.0), "coached"
        )
        at.app.push_screen(screen)
        await at.settle()
        await at.press("down", "down")
        text = screen_text(at.app)
    golden = GOLDEN / f"segments-{size[0]}x{size[1]}.txt"
    if os.environ.get("UPDATE_GOLDENS"):
        golden.write_text(text, encoding="utf-8")
    assert text == golden.read_text(encoding="utf-8")
