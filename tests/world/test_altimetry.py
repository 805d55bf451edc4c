"""Altimeter settings, cold days and the transition level against published tables."""

from __future__ import annotations

import math

import pytest

from trainer.units import DEG, FT, NM
from trainer.world.air import Air
from trainer.world.altimetry import (
    altitudes,
    angle_temperature_c,
    barometric_angle_deg,
    cold_correction_ft,
    cold_error_ft,
    corrected_altitude_ft,
    formula_correction_ft,
    geometric_m,
    mean_barometric_angle_deg,
    rule_correction_ft,
    setting_error_ft,
    table_correction_ft,
    transition_level,
)
from trainer.world.path import path_height_m

# Cold temperature table of ICAO Doc 8168 and FAA AIM TBL 7-3-1: ft to add, by height and °C.
HEIGHTS_FT = (200, 300, 400, 500, 600, 700, 800, 900, 1000, 1500, 2000, 3000, 4000, 5000)
COLD_TABLE = {
    10: (10, 10, 10, 10, 20, 20, 20, 20, 20, 30, 40, 60, 80, 90),
    0: (20, 20, 30, 30, 40, 40, 50, 50, 60, 90, 120, 170, 230, 280),
    -10: (20, 30, 40, 50, 60, 70, 80, 90, 100, 150, 200, 290, 390, 490),
    -20: (30, 50, 60, 70, 90, 100, 120, 130, 140, 210, 280, 420, 570, 710),
    -30: (40, 60, 80, 100, 120, 140, 150, 170, 190, 280, 380, 570, 760, 950),
    -40: (50, 80, 100, 120, 150, 170, 190, 220, 240, 360, 480, 720, 970, 1210),
    -50: (60, 90, 120, 150, 180, 210, 240, 270, 300, 450, 590, 890, 1190, 1500),
}
CELLS = [
    (temperature_c, height_ft, added_ft)
    for temperature_c, row in COLD_TABLE.items()
    for height_ft, added_ft in zip(HEIGHTS_FT, row, strict=True)
]


@pytest.mark.parametrize(("temperature_c", "height_ft", "added_ft"), CELLS)
def test_the_published_cold_table_comes_out_cell_by_cell(
    temperature_c: int, height_ft: int, added_ft: int
) -> None:
    assert table_correction_ft(height_ft, temperature_c) == added_ft


@pytest.mark.parametrize(("temperature_c", "height_ft", "added_ft"), CELLS)
def test_the_exact_correction_is_within_the_rounding_of_the_published_table(
    temperature_c: int, height_ft: int, added_ft: int
) -> None:
    exact_ft = cold_correction_ft(height_ft, temperature_c)
    # The table is rounded up to 10 ft, and made with a near formula that is 0.5 % off at its ends.
    assert 0.995 * (added_ft - 10.0) <= exact_ft <= 1.005 * added_ft


def test_above_five_thousand_feet_the_last_column_counts() -> None:
    # FAA AIM 7-3.
    assert table_correction_ft(8000.0, -20.0) == table_correction_ft(5000.0, -20.0) == 710


def test_a_warm_day_adds_nothing_by_the_table() -> None:
    assert table_correction_ft(3000.0, 20.0) == 0
    assert rule_correction_ft(3000.0, 20.0) == 0.0
    assert cold_correction_ft(3000.0, 20.0) < 0.0


@pytest.mark.parametrize("elevation_ft", [0.0, 2000.0, 5000.0])
@pytest.mark.parametrize("temperature_c", [-45.0, -20.0, 0.0, 30.0])
def test_the_error_is_that_of_the_published_equation(
    elevation_ft: float, temperature_c: float
) -> None:
    # PANS-OPS: ΔH = (−ΔT/L0) ln(1 + L0 H/(T0 + L0 He)), written out here as a second
    # implementation.
    height_ft, lapse = 1500.0, -0.0065 * 0.3048
    above_k = temperature_c + 273.15 - (288.15 + lapse * elevation_ft)
    column = math.log(1.0 + lapse * height_ft / (288.15 + lapse * elevation_ft))
    error_ft = cold_error_ft(height_ft, temperature_c, elevation_ft)
    assert error_ft == pytest.approx(-above_k / lapse * column, abs=1e-3)


def test_a_correction_added_and_flown_is_the_height_wanted() -> None:
    added_ft = cold_correction_ft(1400.0, -28.0, 700.0)
    shown_ft = 1400.0 + added_ft
    assert shown_ft - cold_error_ft(shown_ft, -28.0, 700.0) == pytest.approx(1400.0, abs=1e-4)


def test_the_near_formula_is_within_one_per_cent_of_the_exact_one() -> None:
    for height_ft in (500.0, 2000.0, 5000.0):
        for temperature_c in (-40.0, -10.0, 5.0):
            near_ft = formula_correction_ft(height_ft, temperature_c, 1000.0)
            exact_ft = cold_correction_ft(height_ft, temperature_c, 1000.0)
            assert near_ft == pytest.approx(exact_ft, rel=0.01)


def test_minima_are_only_ever_rounded_up() -> None:
    # FAA AIM 7-3: 280 added may become 300, never less.
    assert corrected_altitude_ft(2000.0, -20.0, 0.0) == 2280.0
    assert corrected_altitude_ft(2000.0, -20.0, 0.0, 100.0) == 2300.0
    assert corrected_altitude_ft(2000.0, 20.0, 0.0, 100.0) == 2000.0


# Table of transition levels in common use (UK CAP 410): QNH from, to, level above 3,000 ft.
TRANSITION = [(1033, 1050, 25), (1014, 1031, 30), (996, 1013, 35), (978, 995, 40),
              (960, 977, 45), (943, 959, 50)]  # fmt: skip


@pytest.mark.parametrize(("from_hpa", "to_hpa", "level"), TRANSITION)
@pytest.mark.parametrize("more_ft", [0, 1000, 2000, 3000, 15000])
def test_the_transition_level_is_that_of_the_published_table(
    from_hpa: int, to_hpa: int, level: int, more_ft: int
) -> None:
    for setting_hpa in range(from_hpa, to_hpa + 1):
        assert transition_level(3000.0 + more_ft, setting_hpa) == level + more_ft // 100


def test_a_thousand_feet_of_layer_lifts_the_level() -> None:
    assert transition_level(5000.0, 1013.25) == 50
    assert transition_level(5000.0, 1013.25, 1000.0) == 60
    assert transition_level(5000.0, 1000.0, 1000.0) == 65


def test_a_wrong_setting_shifts_the_scale_at_every_height() -> None:
    air = Air(-10.0, 996.0)
    for height_m in (0.0, 500.0, 2500.0):
        shift_ft = air.indicated_ft(height_m, 1013.0) - air.indicated_ft(height_m, 996.0)
        assert shift_ft == pytest.approx(setting_error_ft(1013.0, 996.0))
    assert setting_error_ft(1003.0, 1013.0) < 0.0


def test_all_altitudes_agree_on_a_standard_day_and_none_on_a_hot_low_one() -> None:
    standard = altitudes(Air(0.0, 1013.25), 1500.0, 1013.25)
    for one in standard:
        assert one * FT == pytest.approx(1500.0, abs=1e-6)
    hot = altitudes(Air(20.0, 990.0), 1500.0, 990.0)
    assert hot.indicated_ft < hot.true_ft < hot.pressure_ft < hot.density_ft


def test_the_tape_is_a_little_longer_than_the_geopotential() -> None:
    assert geometric_m(10000.0 * FT) / FT - 10000.0 == pytest.approx(4.8, abs=0.05)


@pytest.mark.parametrize(("below_k", "true_deg"), [(15, 2.84), (20, 2.79), (40, 2.58)])
def test_a_cold_day_makes_a_barometric_path_shallower(below_k: int, true_deg: float) -> None:
    assert barometric_angle_deg(3.0, 15.0 - below_k) == pytest.approx(true_deg, abs=0.006)
    mean_deg = mean_barometric_angle_deg(3.0, Air(-below_k, 1013.25), 1013.25, 50.0, 1000.0)
    assert mean_deg == pytest.approx(true_deg, abs=0.01)


def test_a_beam_keeps_its_angle_and_the_altimeter_on_it_reads_high_in_the_cold() -> None:
    near_m = path_height_m(2 * NM, 3.0 * DEG, 15.0, with_curvature=False)
    far_m = path_height_m(6 * NM, 3.0 * DEG, 15.0, with_curvature=False)
    assert math.atan((far_m - near_m) / (4 * NM)) / DEG == pytest.approx(3.0)
    shown = [Air(k, 1013.25).indicated_ft(far_m, 1013.25) for k in (-20.0, 0.0, 20.0)]
    assert shown[1] == pytest.approx(far_m / FT)
    assert shown[0] > shown[1] > shown[2]
    # 1,960 ft of height are 0.0747 of it more at ISA−20 (hand calculation 288/268).
    assert shown[0] / shown[1] == pytest.approx(1.0747, abs=0.003)


@pytest.mark.parametrize("true_deg", [2.5, 3.0, 3.5])
def test_the_temperature_of_an_angle_is_the_inverse(true_deg: float) -> None:
    temperature_c = angle_temperature_c(3.0, true_deg, 1200.0)
    assert barometric_angle_deg(3.0, temperature_c, 1200.0) == pytest.approx(true_deg)


def test_a_wrong_setting_moves_a_barometric_path_without_turning_it() -> None:
    air = Air(0.0, 1003.0)
    right_deg = mean_barometric_angle_deg(3.0, air, 1003.0, 200.0, 2000.0)
    wrong_deg = mean_barometric_angle_deg(3.0, air, 1013.0, 200.0, 2000.0)
    assert wrong_deg == pytest.approx(right_deg, abs=1e-6)
    lower_m = air.height_at_indicated_m(2000.0, 1003.0) - air.height_at_indicated_m(2000.0, 1013.0)
    assert lower_m / FT == pytest.approx(setting_error_ft(1013.0, 1003.0))
