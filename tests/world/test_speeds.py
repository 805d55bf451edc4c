"""Planned speeds: additive, reference speeds by mass, scaled selection speeds."""

from __future__ import annotations

import itertools
import math

import pytest

from tests.world.types import business_jet, piston_single, turboprop, twin_jet
from trainer.world.aircraft import AircraftType
from trainer.world.speeds import CATEGORIES, approach_category, final_speed_kt, selection_kt


# Common practice: half the headwind plus the full gust, at least 5 and at most 20 kt.
@pytest.mark.parametrize(
    ("head_kt", "gust_kt", "expected_kt"),
    [(0, 0, 137), (8, 0, 137), (20, 0, 142), (20, 8, 150), (30, 15, 152), (-10, 0, 137)],
)
def test_the_wind_is_added_within_its_bounds(
    head_kt: float, gust_kt: float, expected_kt: float
) -> None:
    assert final_speed_kt(132.0, head_kt, gust_kt) == expected_kt


# Reference speed by mass, kt: a·√m worked by hand.
@pytest.mark.parametrize(
    ("kind", "mass_t", "expected_kt"),
    [
        (twin_jet(), 44.0, 115),
        (twin_jet(), 58.0, 132),
        (twin_jet(), 64.0, 138),
        (turboprop(), 18.2, 106),
        (business_jet(), 8.3, 107),
        (piston_single(), 0.97, 60),
    ],
)
def test_reference_speed_grows_with_the_root_of_mass(
    kind: AircraftType, mass_t: float, expected_kt: int
) -> None:
    assert round(kind.reference_kt(mass_t)) == expected_kt


def test_planned_flap_speeds_scale_with_the_root_of_mass() -> None:
    kind = twin_jet()
    assert selection_kt(kind, 58.0, 1) == 208.0
    assert selection_kt(kind, 14.5, 1) == pytest.approx(104.0)
    assert selection_kt(kind, 58.0, 0) is None


# 14 CFR 97.3.
@pytest.mark.parametrize(
    ("speed_kt", "category"),
    [(90.9, "A"), (91, "B"), (120.9, "B"), (121, "C"), (140.9, "C"), (141, "D"), (165.9, "D"),
     (166, "E"), (240, "E")],
)  # fmt: skip
def test_the_category_begins_at_its_bound(speed_kt: float, category: str) -> None:
    assert approach_category(speed_kt) == category


def test_a_speed_that_is_no_number_has_no_category() -> None:
    with pytest.raises(ValueError, match="number"):
        approach_category(math.nan)


# ICAO Doc 8168, circling.


def test_faster_categories_are_faster_in_every_respect() -> None:
    rows = list(CATEGORIES.values())
    for slow, fast in itertools.pairwise(rows):
        assert slow.threshold_kt < fast.threshold_kt
        assert slow.circling_kt < fast.circling_kt
        assert slow.missed_kt < fast.missed_kt
        assert slow.final_kt < fast.final_kt


# PANS-OPS Vol II Table III-3-6-3: at the greatest speed of each category.


# 14 CFR 91.117.


# AIM 5-3-8; ICAO Doc 8168 (as tabulated in AFMAN 11-217).
