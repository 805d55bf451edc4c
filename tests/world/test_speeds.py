"""Planned speeds: additive, reference speeds by mass, scaled selection speeds."""

from __future__ import annotations

import pytest

from tests.world.types import business_jet, piston_single, turboprop, twin_jet
from trainer.world.aircraft import AircraftType
from trainer.world.speeds import final_speed_kt, selection_kt


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
