"""The field model of localizer and glide path against a second implementation."""

from __future__ import annotations

import math

import pytest

from tests.world.aids import at, glide, localizer
from trainer.units import DEG, FT, NM

FIELD_TABLE = [
    # before NM, right m, height ft, azimuth °, dots, µV/m, state, elevation °, dots, µV/m, state
    (25.00, 0, 5000, 0.00, 0.00, 38, "received", 1.87, -2.50, 203, "flagged"),
    (20.00, 0, 4000, 0.00, 0.00, 46, "covered", 1.87, -2.50, 254, "received"),
    (19.00, 0, 3000, 0.00, 0.00, 49, "covered", 1.48, -2.50, 225, "flagged"),
    (18.00, 0, 3000, 0.00, 0.00, 51, "covered", 1.56, -2.50, 247, "received"),
    (16.00, 0, 2000, 0.00, 0.00, 57, "covered", 1.17, -2.50, 219, "flagged"),
    (15.00, 0, 2000, 0.00, 0.00, 61, "covered", 1.24, -2.50, 246, "received"),
    (15.00, -926, 3000, -1.73, -1.59, 61, "covered", 1.86, -2.50, 337, "received"),
    (15.00, 6000, 3000, 11.10, 2.50, 49, "covered", 1.82, -2.50, 248, "received"),
    (15.00, 12000, 3000, 21.43, 2.50, 38, "received", 1.72, -2.50, 77, "flagged"),
    (12.00, -500, 3000, -1.14, -1.05, 74, "covered", 2.33, -1.85, 475, "received"),
    (10.00, 300, 3000, 0.81, 0.74, 87, "covered", 2.78, -0.61, 602, "received"),
    (10.00, 20000, 3000, 43.17, 2.50, 33, "flagged", 1.91, -2.50, 0, "flagged"),
    (9.26, 0, 3000, 0.00, 0.00, 93, "covered", 3.00, 0.00, 654, "covered"),
    (9.26, 0, 3200, 0.00, 0.00, 93, "covered", 3.20, 0.56, 650, "covered"),
    (9.26, 0, 2600, 0.00, 0.00, 93, "covered", 2.60, -1.10, 640, "covered"),
    (8.00, -200, 2597, -0.65, -0.60, 105, "covered", 3.00, 0.00, 755, "covered"),
    (6.00, 100, 1961, 0.41, 0.38, 133, "covered", 3.00, 0.00, 1000, "covered"),
    (6.00, 0, 4000, 0.00, 0.00, 133, "covered", 6.10, 2.50, 49, "flagged"),
    (5.00, 0, 5000, 0.00, 0.00, 154, "received", 9.07, -0.09, 1194, "received"),
    (4.00, 0, 1500, 0.00, 0.00, 181, "covered", 3.40, 1.10, 1450, "covered"),
    (3.00, 50, 1005, 0.34, 0.31, 222, "covered", 3.00, 0.00, 1951, "covered"),
    (2.00, -53, 687, -0.47, -0.43, 285, "covered", 3.00, 0.00, 2855, "covered"),
    (1.00, 0, 368, 0.00, 0.00, 398, "covered", 3.00, -0.01, 5323, "covered"),
    (0.50, 20, 209, 0.31, 0.28, 497, "covered", 3.00, -0.01, 9373, "covered"),
]


@pytest.mark.parametrize("row", FIELD_TABLE)
def test_the_field_model_reproduces_its_table(
    row: tuple[float, float, float, float, float, float, str, float, float, float, str],
) -> None:
    # Values of the project's field model from a second implementation (antenna 2 800 m beyond the
    # threshold, 3°, 50 ft, ICAO coverage). The model is an assumption, not a standard.
    (
        before,
        right,
        height,
        azimuth,
        l_dots,
        l_field,
        l_state,
        elevation,
        g_dots,
        g_field,
        g_state,
    ) = row
    loc = at(localizer(), before, right, height)
    assert loc.angle_rad / DEG == pytest.approx(azimuth, abs=0.006)
    assert loc.dots == pytest.approx(l_dots, abs=0.006)
    assert loc.field_uv_m == pytest.approx(l_field, abs=0.6)
    assert loc.state == l_state
    path = at(glide(), before, right, height)
    ground_m = math.hypot(before * NM + glide().origin_m, right)
    assert math.atan2(height * FT, ground_m) / DEG == pytest.approx(elevation, abs=0.006)
    assert path.dots == pytest.approx(g_dots, abs=0.012)
    assert path.field_uv_m == pytest.approx(g_field, abs=0.6)
    assert path.state == g_state


def test_beyond_the_radio_horizon_there_is_nothing() -> None:
    for beam in (localizer(), glide()):
        seen = beam.receive(0.0, -60.0 * NM, 500.0)
        assert seen.state == "none"
        assert seen.dots == 0.0
        assert not seen.is_usable
