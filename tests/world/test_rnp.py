"""Satellite deviations and levels of service against their published scales and limits."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.units import DEG, FT, NM
from trainer.world.rnp import LpvPath, baro_vertical, downgraded, linear_lateral, service_level

LEVELS = ("", "LNAV", "LNAV/VNAV", "LPV")


def path(course_deg: float = 0.0, runway_m: float = 2500.0) -> LpvPath:
    return LpvPath(course_deg * DEG, 3 * DEG, 50 * FT, runway_m)


@pytest.mark.parametrize(("parts", "dots"), [(0.5, 0.5), (1.0, 1.0), (-2.0, -2.0), (3.0, 2.5)])
def test_on_the_widest_scale_one_dot_is_the_rnp_value(parts: float, dots: float) -> None:
    # Full scale twice the RNP value: FAA AC 20-138.
    seen = linear_lateral(parts * 0.3 * NM, 0.3 * NM)
    assert seen.dots == pytest.approx(dots)
    assert seen.full_scale_m == pytest.approx(0.6 * NM)


def test_a_display_may_stop_at_the_rnp_value() -> None:
    assert linear_lateral(0.15 * NM, 0.3 * NM, is_narrow=True).dots == pytest.approx(1.0)


@pytest.mark.parametrize(("feet", "dots"), [(75, 1.0), (-75, -1.0), (150, 2.0), (-400, -2.5)])
def test_a_barometric_dot_is_75_feet(feet: float, dots: float) -> None:
    assert baro_vertical((2000 + feet) * FT, 2000 * FT).dots == pytest.approx(dots)


def test_a_wrong_setting_cannot_be_seen_on_a_barometric_path() -> None:
    # Both figures come from the same altimeter: what is wrong with it cancels.
    for wrong_m in (0.0, 80.0):
        seen = baro_vertical(610.0 + wrong_m, 600.0 + wrong_m)
        assert seen.offset_m == pytest.approx(10.0)


def test_lpv_is_350_feet_wide_at_the_threshold() -> None:
    # As a localizer tailored to 700 ft (FAA AIM 1-1-18, 1-1-9 b.2).
    assert path().lateral(350 * FT, 0.0).dots == pytest.approx(2.0)
    assert path(90.0).lateral(0.0, -350 * FT).dots == pytest.approx(2.0)


def test_lpv_sideways_is_angular_about_305_m_beyond_the_runway() -> None:
    # Hand calculation: 350 ft × (10 NM + 2 805 m) / 2 805 m = 811 m.
    seen = path().lateral(100.0, -10 * NM)
    assert seen.full_scale_m == pytest.approx(811.0, abs=0.5)
    near, far = path().lateral(1.0, -5000.0), path().lateral(1.0, -7805.0)
    assert (far.full_scale_m - near.full_scale_m) / 2805.0 == pytest.approx(350 * FT / 2805.0)


def test_lpv_sideways_grows_no_wider_than_a_mile_and_no_narrower_than_at_the_threshold() -> None:
    assert path().lateral(100.0, -40 * NM).full_scale_m == NM
    assert path().lateral(10.0, 1500.0).full_scale_m == pytest.approx(350 * FT)


@pytest.mark.parametrize(
    ("before_nm", "full_scale_m"), [(0.1, 15.0), (2.0, 52.3), (5.0, 125.1), (9.0, 150.0)]
)
def test_lpv_up_and_down_is_a_quarter_of_the_angle_between_15_and_150_m(
    before_nm: float, full_scale_m: float
) -> None:
    # Hand calculation: (D + 291 m)·tan 0.75°, held between 15 and 150 m.
    seen = path().vertical(0.0, -before_nm * NM, 100.0)
    assert seen.full_scale_m == pytest.approx(full_scale_m, abs=0.1)


@given(st.floats(100.0, 30_000.0), st.floats(0.0, 359.0))
def test_on_the_path_both_needles_are_centred(before_m: float, course_deg: float) -> None:
    x_m, y_m = -before_m * math.sin(course_deg * DEG), -before_m * math.cos(course_deg * DEG)
    height_m = 50 * FT + before_m * math.tan(3 * DEG)
    assert path(course_deg).lateral(x_m, y_m).dots == pytest.approx(0.0, abs=1e-6)
    assert path(course_deg).vertical(x_m, y_m, height_m).dots == pytest.approx(0.0, abs=1e-6)


@pytest.mark.parametrize(
    ("horizontal_m", "vertical_m", "level"),
    [
        (39, 49, "LPV"),
        (41, 49, "LNAV/VNAV"),
        (39, 51, "LNAV"),
        (555, math.inf, "LNAV"),
        (557, 10, ""),
    ],
)
def test_the_level_of_service_follows_the_protection_levels(
    horizontal_m: float, vertical_m: float, level: str
) -> None:
    # FAA AIM 1-1-18: 40 m and 50 m for LPV, 556 m for LNAV.
    assert service_level(horizontal_m, vertical_m) == level


def test_minima_below_250_feet_need_35_metres() -> None:
    assert service_level(30.0, 36.0, is_below_250=True) == "LNAV/VNAV"
    assert service_level(30.0, 34.0, is_below_250=True) == "LPV"


def test_a_barometric_path_makes_lnav_vnav_of_lnav() -> None:
    assert service_level(200.0, math.inf, has_baro=True) == "LNAV/VNAV"
    assert service_level(20.0, 20.0, has_baro=True) == "LPV"
    assert service_level(600.0, 20.0, has_baro=True) == ""


@given(st.sampled_from(LEVELS), st.lists(st.sampled_from(LEVELS), max_size=8))
def test_a_level_of_service_only_falls(held: str, offered: list[str]) -> None:
    # FAA AIM 1-1-18: no change back to a more accurate level before the next approach.
    for available in offered:
        before, held = held, downgraded(held, available)
        assert LEVELS.index(held) == min(LEVELS.index(before), LEVELS.index(available))
