"""What is in sight, by hand calculation of the slant distances."""

from __future__ import annotations

import math

import pytest

from trainer.units import FT
from trainer.world.sight import APPROACH_LIGHTS_M, slant_m, what_is_seen

DECISION_M = 200 * FT
# 200 ft on a 3° path with 50 ft over the threshold: 2 862 ft = 872 m before it.
DISTANCE_M = 872.0


def seen(
    visibility_m: float,
    distance_m: float = DISTANCE_M,
    height_m: float = DECISION_M,
    ceiling_m: float | None = None,
    lights: str = "full",
    lights_on: bool = True,
) -> str:
    return what_is_seen(distance_m, height_m, visibility_m, ceiling_m, lights, lights_on)


def test_the_light_systems_have_their_standard_lengths() -> None:
    # ICAO Annex 14 Vol I, 5.3.4: 900 m for precision category I, 420 m for the simple system.
    assert APPROACH_LIGHTS_M == {"full": 900.0, "basic": 420.0, "none": 0.0}


def test_distance_is_measured_along_the_slant() -> None:
    assert slant_m(400.0, 300.0) == pytest.approx(500.0)
    assert slant_m(-50.0, 30.0) == pytest.approx(30.0)


def test_from_decision_height_the_threshold_needs_874_metres() -> None:
    # √(872² + 61²) = 874.1 m.
    assert seen(874.0) == "lights"
    assert seen(875.0) == "runway"


def test_over_the_full_lights_they_are_seen_at_once() -> None:
    # 872 m is inside the 900 m system: the nearest light is right below, 61 m away.
    assert seen(550.0) == "lights"
    assert seen(60.0) == ""


def test_the_basic_lights_begin_nearer_to_the_runway() -> None:
    # √((872 − 420)² + 61²) = 456.1 m.
    assert seen(456.0, lights="basic") == ""
    assert seen(457.0, lights="basic") == "lights"


def test_without_lights_only_the_runway_counts() -> None:
    assert seen(800.0, lights="none") == ""
    assert seen(800.0, lights_on=False) == ""
    assert seen(900.0, lights="none") == "runway"


def test_in_cloud_nothing_is_seen() -> None:
    assert seen(10_000.0, ceiling_m=DECISION_M - 0.1) == ""
    assert seen(10_000.0, ceiling_m=DECISION_M) == "runway"


def test_far_out_the_height_is_part_of_the_distance() -> None:
    # 5 NM out at 1 642 ft: √(9 260² + 500²) = 9 274 m; the lights are 900 m nearer: 8 375 m.
    distance_m, height_m = 9260.0, 1642 * FT
    assert math.hypot(9260.0, height_m) == pytest.approx(9273.5, abs=0.1)
    assert seen(9300.0, distance_m, height_m) == "runway"
    assert seen(9200.0, distance_m, height_m) == "lights"
    assert seen(8300.0, distance_m, height_m) == ""


def test_past_the_threshold_the_runway_below_counts() -> None:
    assert seen(300.0, distance_m=-200.0, height_m=10.0) == "runway"


def test_an_unknown_light_system_is_refused() -> None:
    with pytest.raises(KeyError):
        seen(500.0, lights="some")


def test_a_visual_range_counts_in_place_of_the_visibility_while_the_lights_are_lit() -> None:
    assert what_is_seen(872.0, 61.0, 800.0, None, "full", True, rvr_m=1200.0) == "runway"
    assert what_is_seen(872.0, 61.0, 1500.0, None, "full", True, rvr_m=550.0) == "lights"
    assert what_is_seen(872.0, 61.0, 800.0, None, "full", False, rvr_m=1200.0) == ""
    assert what_is_seen(872.0, 61.0, 1500.0, 60.0, "full", True, rvr_m=1200.0) == ""
