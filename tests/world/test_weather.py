"""Reported weather: published conversions, codes and the physics of visual range."""

from __future__ import annotations

import pytest

from trainer.world.weather import VisualRange, converted_visibility_m, miles_for_range


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


def test_visual_range_is_that_of_the_third_of_the_runway() -> None:
    whole = VisualRange(550.0, 300.0, 125.0)
    found = [whole.at(along_m, 2400.0) for along_m in (-900.0, 799.0, 801.0, 1601.0, 2500.0)]
    assert found == [550.0, 550.0, 300.0, 125.0, 125.0]
    assert VisualRange(550.0, None, None).at(2000.0, 2400.0) == 550.0
    assert VisualRange(None, 300.0, None).at(100.0, 2400.0) is None


# Runway condition assessment matrix (FAA AC 150/5200-30D, ICAO Doc 9981; from memory).
