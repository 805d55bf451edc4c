"""The localizer taken too fast, on a wrong course, or where there is none."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from tests.crew.crews import exercise
from tests.flight.stories.story import COURSE_DEG, Story
from trainer.units import DEG, KT

BEHIND = ((0.0, 20.0, 40.0), (6000.0, 20.0, 40.0))
"""40 kt from behind on a heading of 200°, a cut of 60° from the left."""


def overshoot_m(cut_deg: float, wind: tuple[tuple[float, float, float], ...] = ()) -> float:
    """How far beyond the course a twin jet goes at 210 kt that comes from the left at `cut_deg`."""
    story = Story("twin jet", before_nm=14.0, right_nm=-3.0, heading_deg=COURSE_DEG + cut_deg,
                  wind=wind)  # fmt: skip
    story.press("localizer mode")
    assert story.until(lambda row: row.modes.lateral == "LOC")
    assert story.history() == ["lateral armed LOC", "lateral LOC", "lateral armed -"]
    captured = len(story.flight.rows)
    story.fly(90.0)
    assert story.history() == []
    assert story.row.localizer_dots == pytest.approx(0.0, abs=0.5)
    return max(row.cross_m for row in story.flight.rows[captured:])


def test_at_a_steep_closure_the_turn_is_too_wide_for_the_beam_and_overshoots() -> None:
    # Hand calculation: at 219 kt over the ground (112.7 m/s) the turn at 0.8 of 25° of bank has a
    # radius of 3,560 m, so a quarter turn needs 3,560 m; the needle leaves its stop at 1,080 m,
    # and at full bank (2,780 m) there is no way to stay inside.
    shallow, steep = overshoot_m(30.0), overshoot_m(90.0)
    assert shallow < 100.0
    assert 1000.0 < steep < 2780.0


def test_a_tailwind_makes_the_turn_wider_and_the_overshoot_larger() -> None:
    calm, tail = overshoot_m(60.0), overshoot_m(60.0, BEHIND)
    assert tail > 1.3 * calm > 0.0


@pytest.mark.parametrize("wrong_deg", [5.0, 10.0, -10.0])
def test_with_a_wrong_course_set_the_aircraft_settles_beside_the_beam(wrong_deg: float) -> None:
    story = Story(before_nm=16.0, right_nm=-1.5, heading_deg=160.0,
                  course_deg=COURSE_DEG + wrong_deg)  # fmt: skip
    story.press("localizer mode")
    assert story.until(lambda row: row.modes.lateral == "LOC")
    assert story.history() == ["lateral armed LOC", "lateral LOC", "lateral armed -"]
    story.fly(120.0)
    row = story.row
    # Hand calculation: the law asks for the course that is set and a closing speed of 0.045/s
    # times the offset; along the beam both cancel where 0.045 e = V sin of the error.
    standing_m = row.ground_speed_kt * KT * math.sin(wrong_deg * DEG) / 0.045
    assert row.cross_m == pytest.approx(standing_m, abs=15.0)
    assert row.track_deg == pytest.approx(COURSE_DEG, abs=0.5)
    # LOC is shown all the time; only the needle and the course window tell.
    assert row.modes.lateral == "LOC"
    assert row.localizer_dots is not None
    assert row.localizer_dots * wrong_deg > 0.0
    assert row.selectors.course_deg == COURSE_DEG + wrong_deg
    assert story.history() == []


def test_a_course_put_right_brings_the_aircraft_to_the_centre_line() -> None:
    story = Story(before_nm=16.0, right_nm=-1.5, heading_deg=160.0, course_deg=150.0)
    story.press("localizer mode")
    story.fly(150.0)
    assert abs(story.row.cross_m) > 250.0
    story.set("course", COURSE_DEG)
    story.fly(60.0)
    assert abs(story.row.cross_m) < 20.0


def test_with_the_course_still_at_north_the_localizer_is_never_captured() -> None:
    story = Story(before_nm=16.0, right_nm=-1.5, heading_deg=160.0, course_deg=0.0)
    story.press("localizer mode")
    assert not story.until(lambda row: row.modes.lateral == "LOC")
    assert story.history() == ["lateral armed LOC"]
    assert story.row.cross_m > 2000.0


def test_outside_the_sector_a_false_course_is_captured_like_a_real_one() -> None:
    localizer = replace(exercise("straight-in").approach.localizer, false_course_deg=42.0)
    story = Story("twin jet", before_nm=7.0, right_nm=9.5, heading_deg=80.0, localizer=localizer)
    story.press("localizer mode")
    assert story.history() == ["no: localizer ignored: no localizer received"]
    # 42° off the course, 8 NM from the centre line, the needle comes to life.
    assert story.until(lambda row: row.localizer_dots is not None)
    story.press("localizer mode")
    assert story.history() == ["lateral armed LOC"]
    assert story.until(lambda row: row.modes.lateral == "LOC")
    assert story.history() == ["lateral LOC", "lateral armed -"]
    assert story.row.cross_m > 5.0 * 1852.0
    assert abs(story.row.localizer_dots or 9.0) < 1.0
    # The sense is wrong there: the turn inwards drives the needle out, to the stop and the flag.
    assert story.until(lambda row: row.localizer == "flagged", 60.0)
    assert story.row.cross_m > 3.0 * 1852.0
    assert story.row.modes.lateral == "LOC"
