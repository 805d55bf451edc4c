"""Reported weather: published conversions, codes and the physics of visual range."""

from __future__ import annotations

import math

import pytest

from trainer.world.weather import (
    BRAKING,
    DAY_LUX,
    NIGHT_LUX,
    SURFACES,
    VisualRange,
    braking_coefficient,
    condition_code,
    converted_visibility_m,
    is_icing_possible,
    light_range_m,
    miles_for_range,
    visual_range_m,
)


# FAA AIM TBL 5-4-1.
@pytest.mark.parametrize(
    ("rvr_ft", "miles"),
    [(1600, 0.25), (2400, 0.5), (3200, 0.625), (4000, 0.75), (4500, 0.875), (5000, 1.0),
     (6000, 1.25), (1800, 0.5), (5500, 1.25)],
)  # fmt: skip
def test_a_visual_range_is_the_published_visibility(rvr_ft: float, miles: float) -> None:
    assert miles_for_range(rvr_ft) == miles


def test_beyond_the_table_no_visibility_stands_for_a_range() -> None:
    with pytest.raises(ValueError, match="6,000"):
        miles_for_range(6001.0)


# AMC10 CAT.OP.MPA.110.
@pytest.mark.parametrize(
    ("lights", "is_night", "range_m"),
    [("high", False, 1500.0), ("high", True, 2000.0), ("other", False, 1000.0),
     ("other", True, 1500.0), ("none", False, 1000.0), ("none", True, None)],
)  # fmt: skip
def test_a_visibility_converts_by_lights_and_time(
    lights: str, is_night: bool, range_m: float | None
) -> None:
    assert converted_visibility_m(1000.0, lights, is_night) == range_m
    assert visual_range_m(None, 1000.0, lights, is_night) == range_m
    assert visual_range_m(550.0, 1000.0, lights, is_night) == 550.0


def test_visual_range_is_that_of_the_third_of_the_runway() -> None:
    whole = VisualRange(550.0, 300.0, 125.0)
    found = [whole.at(along_m, 2400.0) for along_m in (-900.0, 799.0, 801.0, 1601.0, 2500.0)]
    assert found == [550.0, 550.0, 300.0, 125.0, 125.0]
    assert VisualRange(550.0, None, None).at(2000.0, 2400.0) == 550.0
    assert VisualRange(None, 300.0, None).at(100.0, 2400.0) is None


@pytest.mark.parametrize("visibility_m", [100.0, 800.0, 5000.0])
@pytest.mark.parametrize("lux", [DAY_LUX, NIGHT_LUX])
def test_a_light_is_seen_where_allards_law_says(visibility_m: float, lux: float) -> None:
    # A second implementation: halving the interval on E = I e^(−σR)/R².
    low, high = 1.0, 1e6
    for _ in range(200):
        middle = 0.5 * (low + high)
        power = math.exp(-middle * math.log(20.0) / visibility_m)
        if 10_000.0 * power / (middle * middle) > lux:
            low = middle
        else:
            high = middle
    expected_m = max(low, visibility_m)
    assert light_range_m(visibility_m, 10_000.0, lux) == pytest.approx(expected_m, rel=1e-6)


def test_lights_reach_further_at_night_and_never_less_than_the_visibility() -> None:
    day_m, night_m = (light_range_m(800.0, 10_000.0, lux) for lux in (DAY_LUX, NIGHT_LUX))
    assert 800.0 < day_m < night_m
    assert light_range_m(9000.0, 100.0, DAY_LUX) == 9000.0


# Runway condition assessment matrix (FAA AC 150/5200-30D, ICAO Doc 9981; from memory).
@pytest.mark.parametrize(
    ("surface", "depth_m", "temperature_c", "braking"),
    [("dry", 0.0, 0.0, "dry"), ("wet", 0.001, 5.0, "good"), ("frost", 0.0, -2.0, "good"),
     ("compacted snow", 0.0, -20.0, "good to medium"), ("compacted snow", 0.0, -5.0, "medium"),
     ("slippery wet", 0.0, 5.0, "medium"), ("dry snow", 0.01, -5.0, "medium"),
     ("dry snow", 0.003, -5.0, "good"), ("slush", 0.01, 0.0, "medium to poor"),
     ("standing water", 0.005, 5.0, "medium to poor"), ("wet", 0.005, 5.0, "medium to poor"),
     ("ice", 0.0, -5.0, "poor"), ("wet ice", 0.0, 0.0, "nil")],
)  # fmt: skip
def test_a_runway_state_has_its_braking_action(
    surface: str, depth_m: float, temperature_c: float, braking: str
) -> None:
    assert BRAKING[condition_code(surface, depth_m, temperature_c)] == braking


def test_every_word_has_a_code_and_an_unknown_one_is_refused() -> None:
    for surface in SURFACES:
        assert condition_code(surface) in BRAKING
    with pytest.raises(ValueError, match="mud"):
        condition_code("mud")


def test_friction_never_rises_as_the_code_falls() -> None:
    found = [braking_coefficient(code, 0.42, 0.22) for code in (6, 5, 4, 3, 2, 1, 0)]
    assert found[:2] == [0.42, 0.22]
    assert found == sorted(found, reverse=True)
    assert braking_coefficient(4, 0.42, 0.15) == 0.15


def test_icing_is_looked_for_in_cold_moisture() -> None:
    assert is_icing_possible(10.0, True, 9000.0)
    assert is_icing_possible(2.0, False, 1200.0)
    assert not is_icing_possible(2.0, False, 9000.0)
    assert not is_icing_possible(11.0, True, 500.0)
