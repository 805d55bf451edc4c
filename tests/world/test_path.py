"""Heights and distances of a straight path."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.units import DEG, FT, NM
from trainer.world.path import path_distance_m, path_height_m


@pytest.mark.parametrize(
    ("distance_nm", "feet"),
    [
        (0.5, 209),
        (1, 368),
        (2, 687),
        (3, 1005),
        (4, 1324),
        (5, 1642),
        (6, 1961),
        (8, 2597),
        (10, 3234),
        (12, 3871),
        (15, 4827),
    ],
)
def test_path_heights_on_a_flat_earth_are_those_of_the_tables(
    distance_nm: float, feet: float
) -> None:
    # 50 ft + 318.44 ft per NM: the gradient of published rate-of-descent tables (FAA).
    flat = path_height_m(distance_nm * NM, 3 * DEG, 50 * FT, with_curvature=False)
    assert flat / FT == pytest.approx(feet, abs=1.0)


def test_the_round_earth_adds_88_feet_at_ten_miles() -> None:
    # 0.883 d² ft.
    flat = path_height_m(10 * NM, 3 * DEG, 50 * FT, with_curvature=False)
    assert (path_height_m(10 * NM, 3 * DEG, 50 * FT) - flat) / FT == pytest.approx(88.3, abs=0.1)


def test_decision_height_of_200_feet_is_2862_feet_out() -> None:
    # Hand calculation: (200 − 50)/tan 3°.
    assert path_height_m(2862 * FT, 3 * DEG, 50 * FT, False) / FT == pytest.approx(200, abs=0.1)


@pytest.mark.parametrize(
    ("height_ft", "distance_nm"), [(1400, 4.24), (2000, 6.12), (3000, 9.26), (200, 0.471)]
)
def test_a_flat_path_reaches_a_height_where_the_tables_say(
    height_ft: float, distance_nm: float
) -> None:
    # (h − 50)/318.44: ICAO Doc 8168 geometry.
    found_m = path_distance_m(height_ft * FT, 3 * DEG, 50 * FT, with_curvature=False)
    assert found_m / NM == pytest.approx(distance_nm, abs=0.006)


@given(st.floats(20.0, 5000.0), st.floats(2.0, 7.0), st.booleans())
def test_the_distance_of_a_height_is_where_the_path_has_that_height(
    height_m: float, angle_deg: float, is_curved: bool
) -> None:
    distance_m = path_distance_m(height_m, angle_deg * DEG, 15.0, is_curved)
    found_m = path_height_m(distance_m, angle_deg * DEG, 15.0, is_curved)
    assert found_m == pytest.approx(height_m, abs=1e-6)


def test_on_the_round_earth_a_level_meets_the_path_closer_in() -> None:
    flat_m = path_distance_m(3000 * FT, 3 * DEG, 50 * FT, with_curvature=False)
    round_m = path_distance_m(3000 * FT, 3 * DEG, 50 * FT)
    # 0.883 · 9.26² = 76 ft lower in the plane; at 318 ft a mile, nearly a quarter of a mile.
    assert (flat_m - round_m) / NM == pytest.approx(0.23, abs=0.01)
