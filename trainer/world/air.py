"""The air: pressure, density and temperature by height, altimeter readings, and airspeeds.

Owns the offset standard atmosphere and the relations of calibrated, equivalent and true airspeed
and Mach number. It knows neither wind nor aircraft. The surprising rule: three heights differ here.
*Geometric* height is what the aircraft flies and the glide path is built of; *pressure altitude*
belongs to a pressure; *indicated* altitude is what an altimeter shows on its setting. On a cold day
the same indicated altitude is a lower geometric height, and the glide path is met later.
"""

from __future__ import annotations

from math import log, sqrt

from trainer.units import FT, G
from trainer.values import dataclass

GAS_CONSTANT = 287.05287
"""Specific gas constant of dry air, J/(kg K) (ICAO Doc 7488)."""
TEMPERATURE_SEA_LEVEL_K = 288.15
"""Standard temperature at mean sea level, K (ICAO Doc 7488)."""
PRESSURE_SEA_LEVEL_PA = 101325.0
"""Standard pressure at mean sea level, Pa (ICAO Doc 7488)."""
LAPSE_K_PER_M = 0.0065
"""Standard fall of temperature with height below 11 km, K/m (ICAO Doc 7488)."""
DENSITY_SEA_LEVEL = PRESSURE_SEA_LEVEL_PA / (GAS_CONSTANT * TEMPERATURE_SEA_LEVEL_K)
"""Standard density at mean sea level, kg/m³."""
SOUND_SEA_LEVEL_MS = sqrt(1.4 * GAS_CONSTANT * TEMPERATURE_SEA_LEVEL_K)
"""Standard speed of sound at mean sea level, m/s."""
STANDARD_SETTING_HPA = 1013.25
"""Altimeter setting on which an altimeter shows pressure altitude, hPa."""

_EXPONENT = G / (GAS_CONSTANT * LAPSE_K_PER_M)
_SOUND_FACTOR = 1.4 * GAS_CONSTANT
GRADIENT_FACTOR = 0.5 * G / GAS_CONSTANT * (1.0 - LAPSE_K_PER_M * GAS_CONSTANT / G)
"""Change of true airspeed with height at constant calibrated airspeed, times the temperature and
over the true airspeed, K/m: see `cas_gradient`."""


@dataclass(slots=True)
class AirState:
    """The air at one height: Pa, kg/m³, K, m/s, and the pressure's ratio to standard sea level.

    Nobody changes one; that it is not frozen halves the time of making it.
    """

    pressure_pa: float
    density: float
    temperature_k: float
    sound_ms: float
    delta: float

    @property
    def sigma(self) -> float:
        """Ratio of the density to that of the standard atmosphere at sea level."""
        return self.density / DENSITY_SEA_LEVEL


def setting_altitude_m(setting_hpa: float) -> float:
    """Pressure altitude (m) at which the standard atmosphere has pressure `setting_hpa`."""
    ratio = setting_hpa / STANDARD_SETTING_HPA
    return float(TEMPERATURE_SEA_LEVEL_K / LAPSE_K_PER_M * (1.0 - ratio ** (1.0 / _EXPONENT)))


class Air:
    """Standard atmosphere with a constant temperature offset, anchored at an altimeter station.

    At geometric height `station_m` an altimeter set to `qnh_hpa` reads exactly `station_m`: that
    is how an aerodrome's QNH is made. With the default station the pressure at mean sea level is
    `qnh_hpa`. Valid from below sea level to 11 km.
    """

    __slots__ = (
        "_anchor_k",
        "_anchor_m",
        "_offset_k_per_lapse",
        "_warm_anchor_k",
        "delta_isa_k",
        "qnh_hpa",
        "station_m",
    )

    def __init__(self, delta_isa_k: float, qnh_hpa: float, station_m: float = 0.0) -> None:
        """`delta_isa_k` −60..+50 K; `qnh_hpa` 870..1090; `station_m` −500..5000 m."""
        self.delta_isa_k = delta_isa_k
        self.qnh_hpa = qnh_hpa
        self.station_m = station_m
        self._anchor_m = setting_altitude_m(qnh_hpa) + station_m
        self._anchor_k = TEMPERATURE_SEA_LEVEL_K - LAPSE_K_PER_M * self._anchor_m
        self._warm_anchor_k = self._anchor_k + delta_isa_k
        self._offset_k_per_lapse = delta_isa_k / LAPSE_K_PER_M

    def pressure_altitude_m(self, height_m: float) -> float:
        """Pressure altitude (m) at geometric `height_m`: two Newton steps, error below 1e-6 m."""
        offset_k = self.delta_isa_k
        rise_m = height_m - self.station_m
        if offset_k == 0.0:
            return self._anchor_m + rise_m
        anchor_k, per_log_m = self._anchor_k, self._offset_k_per_lapse
        climbed_m = rise_m * anchor_k / self._warm_anchor_k
        standard_k = anchor_k - LAPSE_K_PER_M * climbed_m
        error_m = climbed_m + per_log_m * log(anchor_k / standard_k) - rise_m
        climbed_m -= error_m * standard_k / (standard_k + offset_k)
        standard_k = anchor_k - LAPSE_K_PER_M * climbed_m
        error_m = climbed_m + per_log_m * log(anchor_k / standard_k) - rise_m
        climbed_m -= error_m * standard_k / (standard_k + offset_k)
        return self._anchor_m + climbed_m

    def height_m(self, pressure_altitude_m: float) -> float:
        """Geometric height (m) of `pressure_altitude_m`, by integrating the hydrostatic law."""
        climbed_m = pressure_altitude_m - self._anchor_m
        standard_k = TEMPERATURE_SEA_LEVEL_K - LAPSE_K_PER_M * pressure_altitude_m
        stretch_m = self._offset_k_per_lapse * log(self._anchor_k / standard_k)
        return self.station_m + climbed_m + stretch_m

    def state(self, height_m: float) -> AirState:
        """The air at geometric `height_m` (up to 11 km)."""
        return self.state_at(self.pressure_altitude_m(height_m))

    def state_at(self, pressure_altitude_m: float) -> AirState:
        """The air at `pressure_altitude_m` (up to 11 km)."""
        standard_k = TEMPERATURE_SEA_LEVEL_K - LAPSE_K_PER_M * pressure_altitude_m
        delta = (standard_k / TEMPERATURE_SEA_LEVEL_K) ** _EXPONENT
        temperature_k = standard_k + self.delta_isa_k
        pressure_pa = PRESSURE_SEA_LEVEL_PA * delta
        density = pressure_pa / (GAS_CONSTANT * temperature_k)
        sound_ms = sqrt(_SOUND_FACTOR * temperature_k)
        return AirState(pressure_pa, density, temperature_k, sound_ms, delta)

    def indicated_ft(self, height_m: float, setting_hpa: float) -> float:
        """What an altimeter set to `setting_hpa` shows at geometric `height_m`, ft."""
        return (self.pressure_altitude_m(height_m) - setting_altitude_m(setting_hpa)) / FT

    def height_at_indicated_m(self, indicated_ft: float, setting_hpa: float) -> float:
        """Geometric height (m) where an altimeter set to `setting_hpa` shows `indicated_ft`."""
        return self.height_m(indicated_ft * FT + setting_altitude_m(setting_hpa))


def tas_from_cas(cas_ms: float, air: AirState) -> float:
    """True airspeed (m/s) for calibrated airspeed, 0..170 m/s (compressible pitot equation)."""
    ratio = cas_ms / SOUND_SEA_LEVEL_MS
    impact_pa = PRESSURE_SEA_LEVEL_PA * ((1.0 + 0.2 * ratio * ratio) ** 3.5 - 1.0)
    pressure_pa = air.pressure_pa
    rise = (impact_pa / pressure_pa + 1.0) ** (2.0 / 7.0) - 1.0
    return sqrt(7.0 * pressure_pa / air.density * rise)


def cas_from_tas(tas_ms: float, air: AirState) -> float:
    """Calibrated airspeed (m/s) for true airspeed, 0..200 m/s (compressible pitot equation)."""
    pressure_pa = air.pressure_pa
    rise = 1.0 + air.density * tas_ms * tas_ms / (7.0 * pressure_pa)
    impact = pressure_pa / PRESSURE_SEA_LEVEL_PA * (rise**3.5 - 1.0)
    return SOUND_SEA_LEVEL_MS * sqrt(5.0 * ((impact + 1.0) ** (2.0 / 7.0) - 1.0))


def cas_gradient(tas_ms: float, air: AirState) -> float:
    """Change of true airspeed with height at constant calibrated airspeed, (m/s)/m.

    Incompressible form (V/2)(g/RT)(1 − LR/g), good to a few per cent at approach speeds.
    """
    return GRADIENT_FACTOR * tas_ms / air.temperature_k


def standard_temperature_k(pressure_altitude_m: float) -> float:
    """Temperature (K) of the standard atmosphere at `pressure_altitude_m` (−1 000..11 000)."""
    return TEMPERATURE_SEA_LEVEL_K - LAPSE_K_PER_M * pressure_altitude_m


def deviation_k(temperature_c: float, pressure_altitude_m: float) -> float:
    """How much warmer than standard (K) `temperature_c` (−90..60) is at `pressure_altitude_m`."""
    return temperature_c + 273.15 - standard_temperature_k(pressure_altitude_m)


def sound_speed_ms(temperature_c: float) -> float:
    """Speed of sound (m/s) in air of `temperature_c` (−90..60): √(1.4 R T)."""
    return sqrt(1.4 * GAS_CONSTANT * (temperature_c + 273.15))


def mach_from_cas(cas_ms: float, air: AirState) -> float:
    """Mach number of a calibrated airspeed, 0..170 m/s; it depends on the pressure alone."""
    return tas_from_cas(cas_ms, air) / air.sound_ms


def cas_from_mach(mach: float, air: AirState) -> float:
    """Calibrated airspeed (m/s) of a Mach number, 0..0.95."""
    return cas_from_tas(mach * air.sound_ms, air)


def density_altitude_m(air: AirState) -> float:
    """Height (m) at which the standard atmosphere is as dense as `air`."""
    exponent = 1.0 / (_EXPONENT - 1.0)
    return float(TEMPERATURE_SEA_LEVEL_K / LAPSE_K_PER_M * (1.0 - air.sigma**exponent))
