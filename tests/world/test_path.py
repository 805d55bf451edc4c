"""Heights and distances of a straight path."""

from __future__ import annotations

import pytest

from trainer.units import DEG, FT, NM
from trainer.world.path import path_height_m


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
