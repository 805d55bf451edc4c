"""The glide path from above: one that is never met, a false one, and one met on purpose."""

from __future__ import annotations

import pytest

from tests.flight.stories.story import Story

FEET_PER_NM = 318.0
"""Height of a 3° path gained per nautical mile: 6,076 tan 3° (hand calculation)."""


def high_and_armed(kind: str) -> Story:
    """Level at 5,000 ft on the localizer, 9 NM out: the path lies 2,000 ft below."""
    story = Story(kind, before_nm=9.0, altitude_ft=5000.0)
    story.press("approach mode")
    assert story.history() == [
        "lateral armed LOC",
        "vertical armed GLIDE",
        "lateral LOC",
        "lateral armed -",
    ]
    return story


@pytest.mark.parametrize("kind", ["twin jet", "turboprop", "business jet"])
def test_armed_above_the_path_the_false_one_at_nine_degrees_is_taken(kind: str) -> None:
    story = high_and_armed(kind)
    # Published: false paths lie at multiples of the angle above the path (FAA AIM 1-1-9 d.4).
    # At twice the angle the needle has no signal, between there and the false path it says high.
    assert story.until(lambda row: row.glide == "flagged")
    assert story.elevation_deg == pytest.approx(6.0, abs=0.4)
    assert story.until(lambda row: row.modes.vertical == "GLIDE")
    assert story.history() == ["vertical GLIDE", "vertical armed -"]
    assert story.elevation_deg == pytest.approx(9.0, abs=0.3)
    assert story.row.glide_dots == pytest.approx(0.0, abs=0.5)
    # Everything looks right: GLIDE shown, both needles centred. The distance says otherwise:
    # more than twice the height of a 3° path.
    assert story.row.radio_ft > 2.0 * FEET_PER_NM * story.row.along_nm


@pytest.mark.parametrize("kind", ["twin jet", "turboprop", "business jet"])
def test_on_the_false_path_the_needle_is_reversed_and_the_nose_comes_up(kind: str) -> None:
    # An official warning for a 3° path is that the sense is always reversed at 9°, and autopilots
    # were seen to pitch up there (reported of a national safety board's finding, 2013).
    story = high_and_armed(kind)
    assert story.until(lambda row: row.modes.vertical == "GLIDE")
    assert story.history() == ["vertical GLIDE", "vertical armed -"]
    story.fly(12.0)
    # Nearer, the aircraft rises through the false path: further above, and told to fly up.
    assert story.elevation_deg > 9.5
    assert story.row.glide_dots is not None
    assert story.row.glide_dots < -0.9
    # A real 3° path at this ground speed sinks 5.3 ft/min for each knot; this one hardly sinks.
    assert story.row.vertical_speed_fpm > -0.5 * 5.3 * story.row.ground_speed_kt
    story.fly(15.0)
    assert story.row.path_error_ft > 3000.0
    assert story.history() == []


def test_from_above_with_distance_against_height_the_real_path_is_met() -> None:
    story = Story("turboprop", before_nm=10.0, altitude_ft=4200.0)
    assert story.row.path_error_ft > 800.0
    story.press("localizer mode")
    story.set("altitude", 700.0)
    story.set("vertical speed", -1800.0)
    story.press("vertical speed mode")
    assert story.history() == ["lateral armed LOC", "lateral LOC", "lateral armed -", "vertical VS"]
    # The check that is announced: 7 NM, 318 times 7 and 50 ft of crossing height and 24 ft of
    # field and 43 ft of round earth: 2,343 ft is on the path.
    assert story.until(lambda row: row.dme_nm is not None and row.dme_nm <= 7.0)
    assert story.row.path_error_ft == pytest.approx(
        story.row.altitude_ft - (7.0 * FEET_PER_NM + 50.0 + 24.0 + 43.0), abs=30.0
    )
    assert 0.0 < story.row.path_error_ft < 600.0
    story.press("approach mode")
    assert story.history() == ["vertical armed GLIDE"]
    assert story.until(lambda row: row.modes.vertical == "GLIDE")
    assert story.history() == ["vertical GLIDE", "vertical armed -"]
    assert story.elevation_deg == pytest.approx(3.0, abs=0.3)
    story.fly(25.0)
    assert story.row.glide_dots == pytest.approx(0.0, abs=0.25)


def test_from_above_the_needle_on_the_stop_is_not_taken_for_the_path() -> None:
    story = high_and_armed("turboprop")
    story.fly(5.0)
    assert story.row.glide_dots == 2.5
    assert story.row.modes.vertical == "ALT"
    assert story.history() == []
