"""Atmosphere and airspeeds against a second library and published tables."""

from __future__ import annotations

import math
import warnings

import pytest

from trainer.units import FT, KT
from trainer.world.air import (
    DENSITY_SEA_LEVEL,
    SOUND_SEA_LEVEL_MS,
    Air,
    cas_from_mach,
    cas_from_tas,
    cas_gradient,
    density_altitude_m,
    deviation_k,
    mach_from_cas,
    setting_altitude_m,
    sound_speed_ms,
    standard_temperature_k,
    tas_from_cas,
)

STANDARD = Air(0.0, 1013.25)


@pytest.mark.filterwarnings("ignore")
@pytest.mark.parametrize("feet", [0, 1000, 3000, 5000, 10000, 20000, 30000, 36000])
def test_the_standard_atmosphere_agrees_with_ambiance(feet: int) -> None:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        from ambiance import Atmosphere

        # ambiance takes geometric height and our heights are geopotential, as an altimeter's are.
        geopotential_m = feet * FT
        earth_m = 6356766.0
        other = Atmosphere(earth_m * geopotential_m / (earth_m - geopotential_m))
    ours = STANDARD.state(geopotential_m)
    assert ours.pressure_pa == pytest.approx(float(other.pressure[0]), rel=1e-9)
    assert ours.density == pytest.approx(float(other.density[0]), rel=1e-9)
    assert ours.temperature_k == pytest.approx(float(other.temperature[0]), rel=1e-9)
    assert ours.sound_ms == pytest.approx(float(other.speed_of_sound[0]), rel=1e-6)


# US Standard Atmosphere 1976 tables: height ft, °C, hPa, density ratio, pressure ratio, sound m/s.
PUBLISHED = [
    (5000, 5.1, 843.1, 0.8617, 0.8320, 334.4),
    (10000, -4.8, 696.8, 0.7385, 0.6877, 328.4),
    (20000, -24.6, 465.6, 0.5328, 0.4595, 316.0),
    (36089, -56.5, 226.3, 0.2971, 0.2234, 295.1),
]


@pytest.mark.parametrize(("feet", "celsius", "hpa", "sigma", "delta", "sound_ms"), PUBLISHED)
def test_the_published_standard_table_is_reproduced(
    feet: int, celsius: float, hpa: float, sigma: float, delta: float, sound_ms: float
) -> None:
    air = STANDARD.state(feet * FT)
    assert air.temperature_k - 273.15 == pytest.approx(celsius, abs=0.06)
    assert air.pressure_pa / 100.0 == pytest.approx(hpa, rel=1e-3)
    assert air.sigma == pytest.approx(sigma, rel=1e-3)
    assert air.delta == pytest.approx(delta, rel=1e-3)
    assert air.sound_ms == pytest.approx(sound_ms, rel=1e-3)


def test_sea_level_values_are_the_standard_ones() -> None:
    # ICAO Doc 7488: 1.225 kg/m³ and about 340.3 m/s (661.5 kt).
    assert pytest.approx(1.225, abs=5e-6) == DENSITY_SEA_LEVEL
    assert pytest.approx(340.294, abs=1e-3) == SOUND_SEA_LEVEL_MS
    assert pytest.approx(661.47, abs=0.02) == SOUND_SEA_LEVEL_MS / KT


# Compressible pitot equation by hand; 140 and 250 kt rows also in published computer tables.
TRUE_AIRSPEEDS = [
    (140, 0, 0, 140.0),
    (140, 2000, 0, 144.1),
    (140, 3000, 0, 146.26),
    (140, 5000, 0, 150.7),
    (140, 5000, 20, 156.0),
    (180, 3000, 0, 187.97),
    (210, 3000, 0, 219.21),
    (250, 3000, 0, 260.82),
    (150, 10000, 0, 174.1),
    (210, 10000, 0, 243.03),
    (250, 5000, 0, 268.4),
    (250, 10000, 0, 288.70),
    (140, 3000, -20, 141.0),
    (210, 3000, -20, 211.3),
    (140, 3000, 20, 151.3),
    (210, 3000, 20, 226.8),
]


@pytest.mark.parametrize(("cas_kt", "indicated_ft", "delta_isa_k", "tas_kt"), TRUE_AIRSPEEDS)
def test_true_airspeed_follows_from_calibrated_airspeed(
    cas_kt: float, indicated_ft: float, delta_isa_k: float, tas_kt: float
) -> None:
    air = Air(delta_isa_k, 1013.25)
    state = air.state(air.height_at_indicated_m(indicated_ft, 1013.25))
    assert tas_from_cas(cas_kt * KT, state) / KT == pytest.approx(tas_kt, abs=0.06)


# FAA AIM 4-4-12: 250 kt calibrated is M 0.60..0.66 from FL240 to FL290 (rounded there).
@pytest.mark.parametrize(
    ("level", "mach"),
    [(240, 0.60), (250, 0.61), (260, 0.62), (270, 0.64), (280, 0.65), (290, 0.66)],
)
def test_mach_at_250_knots_agrees_with_the_aim(level: int, mach: float) -> None:
    air = STANDARD.state(level * 100.0 * FT)
    assert tas_from_cas(250.0 * KT, air) / air.sound_ms == pytest.approx(mach, abs=0.015)


@pytest.mark.parametrize("cas_kt", [40.0, 90.0, 140.0, 250.0])
@pytest.mark.parametrize("feet", [-500.0, 0.0, 3000.0, 12000.0])
@pytest.mark.parametrize("delta_isa_k", [-30.0, 0.0, 25.0])
def test_airspeeds_convert_there_and_back(cas_kt: float, feet: float, delta_isa_k: float) -> None:
    air = Air(delta_isa_k, 995.0).state(feet * FT)
    assert cas_from_tas(tas_from_cas(cas_kt * KT, air), air) / KT == pytest.approx(cas_kt)


@pytest.mark.parametrize("delta_isa_k", [-40.0, -20.0, 0.0, 20.0, 40.0])
@pytest.mark.parametrize("feet", [-1000.0, 0.0, 3000.0, 18000.0, 36000.0])
def test_height_and_pressure_altitude_convert_there_and_back(
    delta_isa_k: float, feet: float
) -> None:
    air = Air(delta_isa_k, 1002.0, 300.0)
    pressure_altitude_m = air.pressure_altitude_m(feet * FT)
    assert air.height_m(pressure_altitude_m) == pytest.approx(feet * FT, abs=1e-6)


@pytest.mark.parametrize(
    ("delta_isa_k", "true_ft"), [(-20.0, 2790.0), (0.0, 3000.0), (20.0, 3210.0)]
)
def test_a_cold_day_makes_the_true_height_lower(delta_isa_k: float, true_ft: float) -> None:
    air = Air(delta_isa_k, 1013.25)
    assert air.height_at_indicated_m(3000.0, 1013.25) / FT == pytest.approx(true_ft, abs=1.0)


def test_the_cold_correction_is_that_of_the_pans_ops_equation() -> None:
    # PANS-OPS Vol II temperature correction, worked example of Transport Canada AC 500-020:
    # aerodrome at 2,000 ft and −30 °C, 1,500 ft above it: 218 ft (4 % rule: 246 ft).
    station_m = 2000.0 * FT
    delta_isa_k = 243.15 - (288.15 - 0.0065 * station_m)
    air = Air(delta_isa_k, 1013.25, station_m)
    true_ft = air.height_at_indicated_m(3500.0, 1013.25) / FT
    assert 3500.0 - true_ft == pytest.approx(217.7, abs=0.5)


def test_an_aerodrome_setting_reads_the_elevation_on_the_ground() -> None:
    for setting_hpa in (980.0, 1013.25, 1040.0):
        air = Air(-25.0, setting_hpa, 450.0)
        assert air.indicated_ft(450.0, setting_hpa) * FT == pytest.approx(450.0, abs=1e-6)


def test_the_pressure_at_sea_level_is_the_setting() -> None:
    for delta_isa_k in (-20.0, 0.0, 20.0):
        assert Air(delta_isa_k, 998.0).state(0.0).pressure_pa == pytest.approx(99800.0, rel=1e-9)


def test_one_hectopascal_of_wrong_setting_is_about_27_feet() -> None:
    # Common practice near sea level: 27 to 28 ft per hPa, low setting reads low.
    air = Air(0.0, 1003.25)
    error_ft = air.indicated_ft(600.0, 1013.25) - air.indicated_ft(600.0, 1003.25)
    assert error_ft / 10.0 == pytest.approx(27.4, abs=0.3)


def test_a_standard_setting_shows_pressure_altitude() -> None:
    assert setting_altitude_m(1013.25) == 0.0
    air = Air(12.0, 990.0)
    assert air.indicated_ft(1500.0, 1013.25) * FT == pytest.approx(air.pressure_altitude_m(1500.0))


@pytest.mark.parametrize("cas_kt", [90.0, 137.0, 210.0])
def test_the_gradient_at_constant_calibrated_airspeed_is_the_slope(cas_kt: float) -> None:
    low, high = STANDARD.state(900.0), STANDARD.state(1000.0)
    slope = (tas_from_cas(cas_kt * KT, high) - tas_from_cas(cas_kt * KT, low)) / 100.0
    middle = STANDARD.state(950.0)
    ours = cas_gradient(tas_from_cas(cas_kt * KT, middle), middle)
    assert ours == pytest.approx(slope, rel=0.04)
    assert not math.isclose(ours, 0.0)


@pytest.mark.parametrize("level_ft", [0.0, 5000.0, 30000.0])
@pytest.mark.parametrize("mach", [0.2, 0.45, 0.78])
def test_mach_and_calibrated_airspeed_convert_there_and_back(level_ft: float, mach: float) -> None:
    air = Air(-12.0, 1013.25).state_at(level_ft * FT)
    assert mach_from_cas(cas_from_mach(mach, air), air) == pytest.approx(mach)


def test_mach_by_pressure_does_not_depend_on_temperature() -> None:
    cold, hot = (Air(k, 1013.25).state_at(3000.0) for k in (-30.0, 30.0))
    assert mach_from_cas(120.0, cold) == pytest.approx(mach_from_cas(120.0, hot))


def test_density_altitude_is_the_height_in_standard_air_and_more_on_a_hot_day() -> None:
    assert density_altitude_m(STANDARD.state(2000.0)) == pytest.approx(2000.0)
    # Near 120 ft for each kelvin above standard (common practice).
    hot_m = density_altitude_m(Air(20.0, 1013.25).state_at(5000.0 * FT))
    assert (hot_m / FT - 5000.0) / 20.0 == pytest.approx(116.0, abs=4.0)


def test_temperature_and_its_deviation_agree() -> None:
    assert standard_temperature_k(0.0) == 288.15
    assert deviation_k(-5.0, 0.0) == pytest.approx(-20.0)
    state = Air(-20.0, 1013.25).state_at(1000.0)
    assert deviation_k(state.temperature_k - 273.15, 1000.0) == pytest.approx(-20.0)
    assert sound_speed_ms(state.temperature_k - 273.15) == pytest.approx(state.sound_ms)
