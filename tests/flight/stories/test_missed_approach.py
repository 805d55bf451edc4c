"""The missed approach as coded: to its point, on over its fixes, and level where it says."""

from __future__ import annotations

import math

from tests.flight.stories.story import COURSE_DEG, Story
from trainer.units import NM


def go_around_story(before_nm: float = 5.0, selected_ft: float = 12000.0) -> Story:
    """Level at 1,500 ft on the localizer, then a go-around on the way to the selected altitude.

    A flight ends some minutes after its level-off: the climb is long enough to see the last fix.
    """
    story = Story("twin jet", before_nm=before_nm, altitude_ft=1500.0, speed_kt=160.0, flaps=3)
    story.press("localizer mode")
    assert story.until(lambda row: row.modes.lateral == "LOC", 30.0)
    story.set("altitude", selected_ft)
    story.history()
    story.press("go-around")
    return story


def nearest_m(story: Story, fix_name: str, seconds: float) -> float:
    """The closest that the aircraft comes to a fix of the missed approach."""
    fix = next(leg.fix for leg in story.exercise.approach.missed_legs if leg.fix.name == fix_name)
    nearest = 1e9
    for _ in range(round(seconds)):
        story.fly(1.0)
        away = math.hypot(story.row.x_m - fix.x_m, story.row.y_m - fix.y_m)
        nearest = min(nearest, away)
    return nearest


def test_nav_flies_over_the_point_and_on_over_the_fixes() -> None:
    story = go_around_story()
    story.fly(5.0)
    story.press("nav mode")
    assert story.history() == ["lateral GA", "vertical GA", "thrust GA", "lateral NAV"]
    # Straight on over the runway, whatever the height, and no turn before JAXUM.
    story.until(lambda row: row.along_nm < 0.0)
    assert abs(story.row.cross_m) < 60.0
    story.until(lambda row: row.along_nm < -3.0)
    assert abs(story.row.track_deg - COURSE_DEG) < 1.0
    assert nearest_m(story, "HYDOB", 500.0) < 100.0
    assert story.row.modes.lateral == "NAV"


def test_the_go_around_levels_off_on_the_coded_track_at_the_altitude_that_is_set() -> None:
    story = go_around_story(selected_ft=4000.0)
    story.fly(5.0)
    story.press("nav mode")
    story.history()
    assert story.until(lambda row: row.modes.vertical == "ALT", 120.0)
    story.fly(20.0)
    assert story.history() == ["vertical ALT CAP", "thrust SPEED", "vertical ALT"]
    assert abs(story.row.altitude_ft - 4000.0) < 30.0
    assert story.row.modes.lateral == "NAV"
    assert story.row.phase == "decision"


def test_nav_pressed_off_the_leg_is_armed_and_captures_the_missed_approach() -> None:
    story = go_around_story()
    story.fly(5.0)
    story.set("heading", COURSE_DEG + 30.0)
    story.press("heading mode")
    story.fly(30.0)
    assert story.row.cross_m > 600.0
    story.set("heading", COURSE_DEG - 30.0)
    story.history()
    story.press("nav mode")
    assert story.history() == ["lateral armed NAV"]
    assert story.until(lambda row: row.modes.lateral == "NAV", 120.0)
    assert nearest_m(story, "HYDOB", 600.0) < 100.0


def test_an_approach_flown_on_headings_goes_on_with_the_missed_approach() -> None:
    # The coded legs begin 18 NM out and were never flown: their first leg is still the active one.
    story = go_around_story(before_nm=3.0)
    story.fly(5.0)
    story.press("nav mode")
    assert story.row.modes.lateral == "NAV"
    legs = story.flight.guidance._core.legs
    assert legs.route.legs[legs.active].name == "RW14"


def test_a_direct_to_flies_to_a_fix_of_the_missed_approach() -> None:
    story = go_around_story()
    story.fly(5.0)
    number = story.flight.cockpit.fixes.index("HYDOB") + 1
    story.set("direct to", number)
    story.press("nav mode")
    assert story.until(lambda row: row.modes.lateral == "NAV", 60.0)
    assert nearest_m(story, "HYDOB", 300.0) < 100.0


def test_behind_the_runway_there_is_no_coded_descent_to_arm() -> None:
    story = go_around_story(before_nm=2.0)
    story.fly(5.0)
    story.press("nav mode")
    story.until(lambda row: row.along_nm < -1.0)
    story.history()
    story.press("path mode")
    assert story.history() == ["no: path ignored: no coded descent ahead"]
    assert story.row.modes.lateral == "NAV"
    assert story.row.distance_nm * NM > 1000.0
