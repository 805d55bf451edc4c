"""Planned speeds: additive, reference speeds by mass, scaled selection speeds."""

from __future__ import annotations

import itertools
import math

import pytest

from tests.world.types import business_jet, piston_single, turboprop, twin_jet
from trainer.world.aircraft import AircraftType
from trainer.world.speeds import (
    CATEGORIES,
    approach_category,
    category_speed_kt,
    circling_radius_nm,
    final_speed_kt,
    height_loss_ft,
    holding_limit_kt,
    is_speed_assignable,
    least_assigned_kt,
    light_final_speed_kt,
    reference_from_stall_kt,
    selection_kt,
    speed_limit_kt,
)


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


def test_the_category_is_of_the_greater_of_two_speeds() -> None:
    # 1.3 × 100 = 130, 1.23 × 110 = 135.3.
    assert category_speed_kt(100.0, 110.0) == pytest.approx(135.3)
    assert category_speed_kt(100.0, 104.0) == pytest.approx(130.0)
    assert reference_from_stall_kt(100.0, is_one_g=False) == 130.0


def test_a_light_aircraft_adds_half_the_gust() -> None:
    # FAA practice: 70 kt, wind 10 gusting 25: 77 to 78 kt.
    assert light_final_speed_kt(70.0, 15.0) == 77.5
    assert light_final_speed_kt(70.0) == 70.0


# ICAO Doc 8168, circling.
@pytest.mark.parametrize(
    ("category", "radius_nm"), [("A", 1.68), ("B", 2.66), ("C", 4.20), ("D", 5.28), ("E", 6.94)]
)
def test_the_circling_area_has_its_published_radius(category: str, radius_nm: float) -> None:
    assert circling_radius_nm(category) == pytest.approx(radius_nm, abs=0.03)


def test_circling_is_wider_at_a_high_aerodrome() -> None:
    assert circling_radius_nm("C", 5000.0) > circling_radius_nm("C", 1000.0) + 0.3


def test_faster_categories_are_faster_in_every_respect() -> None:
    rows = list(CATEGORIES.values())
    for slow, fast in itertools.pairwise(rows):
        assert slow.threshold_kt < fast.threshold_kt
        assert slow.circling_kt < fast.circling_kt
        assert slow.missed_kt < fast.missed_kt
        assert slow.final_kt < fast.final_kt


# PANS-OPS Vol II Table III-3-6-3: at the greatest speed of each category.
@pytest.mark.parametrize(
    ("speed_kt", "radio_ft", "baro_ft"),
    [(90, 42, 130), (120, 59, 142), (140, 71, 150), (165, 85, 161)],
)
def test_the_height_loss_is_that_of_the_published_table(
    speed_kt: float, radio_ft: float, baro_ft: float
) -> None:
    assert height_loss_ft(speed_kt, is_radio=True) == pytest.approx(radio_ft, abs=0.6)
    assert height_loss_ft(speed_kt, is_radio=False) == pytest.approx(baro_ft, abs=0.6)


# 14 CFR 91.117.
@pytest.mark.parametrize(
    ("altitude_ft", "height_ft", "distance_nm", "airspace", "limit_kt"),
    [(9999, 9000, 30, "", 250), (10000, 9000, 30, "", math.inf), (3000, 2500, 4.0, "D", 200),
     (3000, 2501, 4.0, "D", 250), (3000, 2500, 4.1, "C", 250), (3000, 2000, 3.0, "B", 250),
     (3000, 2800, 9.0, "under B", 200)],
)  # fmt: skip
def test_the_general_speed_limits(
    altitude_ft: float, height_ft: float, distance_nm: float, airspace: str, limit_kt: float
) -> None:
    assert speed_limit_kt(altitude_ft, height_ft, distance_nm, airspace) == limit_kt


# AIM 5-3-8; ICAO Doc 8168 (as tabulated in AFMAN 11-217).
@pytest.mark.parametrize(
    ("altitude_ft", "rule", "is_slow", "limit_kt"),
    [(6000, "faa", False, 200), (6001, "faa", False, 230), (14000, "faa", False, 230),
     (14001, "faa", False, 265), (14000, "icao", False, 230), (14000, "icao", True, 170),
     (20000, "icao", False, 240), (20000, "icao", True, 240), (34000, "icao", False, 265),
     (10000, "turbulence", False, 280), (10000, "turbulence", True, 170)],
)  # fmt: skip
def test_the_holding_speeds(altitude_ft: float, rule: str, is_slow: bool, limit_kt: float) -> None:
    assert holding_limit_kt(altitude_ft, rule, is_slow) == limit_kt


def test_high_up_the_holding_limit_is_a_mach_number() -> None:
    # M 0.83 at FL360 is near 280 kt calibrated, less higher up; M 0.80 caps the 280 in turbulence.
    assert holding_limit_kt(36000.0) == pytest.approx(280.0, abs=5.0)
    assert holding_limit_kt(34000.0, "turbulence") == pytest.approx(280.0, abs=5.0)
    with pytest.raises(ValueError, match="rule"):
        holding_limit_kt(5000.0, "other")


def test_what_control_may_assign() -> None:
    # AIM 4-4-12.
    assert least_assigned_kt(20.1, is_jet=True) == 210.0
    assert least_assigned_kt(20.0, is_jet=True) == 170.0
    assert least_assigned_kt(20.0, is_jet=False) == 150.0
    assert is_speed_assignable(5.0, 6.2)
    assert not is_speed_assignable(4.9, 6.2)
    assert is_speed_assignable(4.5, 4.2)
