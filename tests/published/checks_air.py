"""Constants, the standard atmosphere and airspeeds."""

from __future__ import annotations

import functools
import warnings
from collections.abc import Callable

from tests.published.record import Check
from trainer.units import FT, HPA_PER_INHG, KT, NM, G
from trainer.world.air import (
    DENSITY_SEA_LEVEL,
    GAS_CONSTANT,
    LAPSE_K_PER_M,
    PRESSURE_SEA_LEVEL_PA,
    SOUND_SEA_LEVEL_MS,
    TEMPERATURE_SEA_LEVEL_K,
    Air,
    AirState,
    mach_from_cas,
    sound_speed_ms,
    standard_temperature_k,
    tas_from_cas,
)
from trainer.world.altimetry import geometric_m

ISA = "US Standard Atmosphere 1976 / ICAO Doc 7488"
TABLED = "engineering table of the standard atmosphere, in Hg and % of density"


def air_at(feet: float, deviation_k: float = 0.0) -> AirState:
    return Air(deviation_k, 1013.25).state_at(feet * FT)


def tas_kt(cas_kt: float, feet: float, deviation_k: float = 0.0) -> float:
    return tas_from_cas(cas_kt * KT, air_at(feet, deviation_k)) / KT


@functools.cache
def library(feet: float) -> tuple[float, float, float, float]:
    """Pa, kg/m³, K and m/s of the reference library at a geopotential height."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        from ambiance import Atmosphere

        one = Atmosphere(geometric_m(feet * FT))
    found = (one.pressure, one.density, one.temperature, one.speed_of_sound)
    first, second, third, fourth = (float(value[0]) for value in found)
    return first, second, third, fourth


def ours(feet: float) -> tuple[float, float, float, float]:
    one = air_at(feet)
    return one.pressure_pa, one.density, one.temperature_k, one.sound_ms


CONSTANTS = (
    Check("nautical mile", "BIPM SI brochure", "published", 1852.0, 0.0, "m", lambda: NM),
    Check("knot", "BIPM SI brochure (mile per hour)", "published", 0.514444, 1e-6, "m/s",
          lambda: KT),
    Check("foot", "international foot", "published", 0.3048, 0.0, "m", lambda: FT),
    Check("standard gravity", "ICAO Doc 7488", "published", 9.80665, 0.0, "m/s²", lambda: G),
    Check("feet in a nautical mile", "definitions of mile and foot", "published", 6076.12, 0.005,
          "ft", lambda: NM / FT),
    Check("gas constant of air", "8.31447 / 0.0289644", "computed", 287.05, 0.05, "J/kg/K",
          lambda: GAS_CONSTANT),
    Check("inch of mercury", "13,595.1 kg/m³ × 9.80665 m/s² × 25.4 mm", "computed", 33.86389, 1e-5,
          "hPa", lambda: HPA_PER_INHG),
    Check("sea level temperature", ISA, "published", 288.15, 0.0, "K",
          lambda: TEMPERATURE_SEA_LEVEL_K),
    Check("sea level pressure", ISA, "published", 101325.0, 0.0, "Pa",
          lambda: PRESSURE_SEA_LEVEL_PA),
    Check("sea level density", ISA, "published", 1.225, 5e-6, "kg/m³",
          lambda: DENSITY_SEA_LEVEL),
    Check("sea level speed of sound", ISA, "published", 340.3, 0.05, "m/s",
          lambda: SOUND_SEA_LEVEL_MS),
    Check("sea level speed of sound in knots", "√(1.4 R T)", "computed", 661.479, 0.001, "kt",
          lambda: sound_speed_ms(15.0) / KT),
    Check("speed of sound at 5,000 ft, ISA+20", "√(1.4 R T)", "computed", 346.203, 0.001, "m/s",
          lambda: air_at(5000.0, 20.0).sound_ms),
    Check("fall of temperature in 1,000 ft", ISA, "published", 1.9812, 5e-5, "K",
          lambda: LAPSE_K_PER_M * 1000.0 * FT),
    Check("standard temperature at 5,000 ft by the pilots' rule", "FAA AIM 7-3-1",
          "rule of thumb", 5.0, 0.15, "°C",
          lambda: standard_temperature_k(5000.0 * FT) - 273.15),
    Check("temperature at the tropopause", ISA, "published", 216.65, 0.005, "K",
          lambda: Air(0.0, 1013.25).state_at(11000.0).temperature_k),
    Check("pressure at the tropopause", ISA, "published", 22632.0, 1.0, "Pa",
          lambda: Air(0.0, 1013.25).state_at(11000.0).pressure_pa),
)  # fmt: skip

# Height ft: °C, hPa, density ratio, sound m/s, sound kt.
TABLE = {
    5000: (5.1, 843.1, 0.8617, 334.4, 650.0),
    10000: (-4.8, 696.8, 0.7385, 328.4, 638.3),
    20000: (-24.6, 465.6, 0.5328, 316.0, 614.3),
    36089: (-56.5, 226.3, 0.2971, 295.1, 573.6),
}


def _table() -> list[Check]:
    found = []
    for feet, (celsius, hpa, sigma, sound_ms, sound_kt) in TABLE.items():
        rows: tuple[tuple[str, float, float, str, Callable[[AirState], float]], ...] = (
            ("temperature", celsius, 0.06, "°C", lambda air: air.temperature_k - 273.15),
            ("pressure", hpa, 1e-3 * hpa, "hPa", lambda air: air.pressure_pa / 100.0),
            ("density ratio", sigma, 1e-3 * sigma, "–", lambda air: air.sigma),
            ("speed of sound", sound_ms, 1e-3 * sound_ms, "m/s", lambda air: air.sound_ms),
            ("sound in knots", sound_kt, 1e-3 * sound_kt, "kt", lambda air: air.sound_ms / KT),
        )
        for what, expected, tolerance, unit, of in rows:
            found.append(
                Check(f"{what} at {feet:,} ft", ISA, "published", expected, tolerance, unit,
                      functools.partial(lambda feet, of: of(air_at(feet)), feet, of))
            )  # fmt: skip
    return found


PRESSURES = tuple(
    Check(f"pressure at {feet:,} ft in inches", TABLED, "published", inches,
          0.02, "inHg",
          functools.partial(lambda feet: air_at(feet).pressure_pa / 100.0 / HPA_PER_INHG, feet))
    for feet, inches in ((2000, 27.82), (4000, 25.84), (6000, 23.98), (8000, 22.22), (10000, 20.57))
)  # fmt: skip
DENSITIES = tuple(
    Check(f"density at {feet:,} ft", TABLED, "published", percent, 0.1, "%",
          functools.partial(lambda feet: 100.0 * air_at(feet).sigma, feet))
    for feet, percent in ((2000, 94.3), (4000, 88.8), (6000, 83.6), (8000, 78.6), (10000, 73.8))
)  # fmt: skip
RULES = (
    Check("pressure at 3,000 ft by an inch a thousand feet", "FAA PHAK", "rule of thumb", 26.92,
          0.11, "inHg", lambda: air_at(3000.0).pressure_pa / 100.0 / HPA_PER_INHG),
    Check("true airspeed at 3,000 ft by 2 % a thousand feet (150 kt)", "common practice",
          "rule of thumb", 159.0, 2.5, "kt", lambda: tas_kt(150.0, 3000.0)),
)  # fmt: skip
LIBRARY = tuple(
    Check(f"{what} at {feet:,} ft, ours over the library's", "ambiance 1.3.1", "library", 1.0,
          1e-6, "–",
          functools.partial(lambda feet, place: ours(feet)[place] / library(feet)[place], feet,
                            place))
    for feet in (0, 1000, 3000, 5000, 10000, 18000, 36000)
    for place, what in enumerate(("pressure", "density", "temperature", "speed of sound"))
)  # fmt: skip
TRUE = tuple(
    Check(f"true airspeed of {cas_kt} kt at {feet:,} ft, ISA{deviation_k:+d}",
          "compressible pitot equation", "computed", expected, 0.01, "kt",
          functools.partial(tas_kt, cas_kt, feet, deviation_k))
    for cas_kt, feet, deviation_k, expected in (
        (140, 0, 0, 140.0), (140, 2000, 0, 144.126), (140, 5000, 0, 150.652),
        (140, 5000, 20, 155.972), (150, 10000, 0, 174.053), (180, 3000, 0, 187.966),
        (250, 5000, 0, 268.398), (250, 10000, 0, 288.702),
    )
)  # fmt: skip
MACH = (
    *(
        Check(f"Mach number of 250 kt at FL{level}", "FAA AIM 4-4-12 note", "published", mach,
              0.015, "–",
              functools.partial(lambda feet: mach_from_cas(250 * KT, air_at(feet)), 100.0 * level))
        for level, mach in ((240, 0.60), (250, 0.61), (260, 0.62), (270, 0.64), (280, 0.65),
                            (290, 0.66))
    ),
    *(
        Check(f"Mach number of 250 kt at {feet:,} ft", "compressible pitot equation", "computed",
              mach, 2e-5, "–",
              functools.partial(lambda feet: mach_from_cas(250 * KT, air_at(feet)), feet))
        for feet, mach in ((5000, 0.41291), (10000, 0.45227), (24000, 0.59174), (29000, 0.65457))
    ),
)  # fmt: skip

CHECKS = (*CONSTANTS, *_table(), *PRESSURES, *DENSITIES, *RULES, *LIBRARY, *TRUE, *MACH)
