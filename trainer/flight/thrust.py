"""The laws that need thrust and drag, as guidance asks for them.

Binds the performance of the airframe to the air of the present step. Guidance knows neither
drag nor atmosphere; it asks this for a power or a climb rate.
"""

from __future__ import annotations

from math import cos

from trainer.flight.surroundings import Surroundings
from trainer.guidance.modes import Sensed
from trainer.units import KT
from trainer.world.air import AirState


class ThrustLaws:
    """Speed law of the autothrust and climb rate of speed-with-pitch modes."""

    __slots__ = ("_performance", "air")

    def __init__(self, around: Surroundings) -> None:
        self.take(around)
        self.air: AirState = around.air.state(around.elevation_m)

    def take(self, around: Surroundings) -> None:
        """Use the airframe of `around` from now on (its propellers have another setting)."""
        self._performance = around.airframe.performance

    def speed_power(self, sensed: Sensed, target_cas_kt: float, climb_command_ms: float) -> float:
        """Power 0..1 that steers speed to `target_cas_kt` at a commanded climb rate (m/s)."""
        performance, air, tas_ms = self._performance, self.air, sensed.tas_ms
        load = 1.0 / cos(sensed.bank_rad)
        drag_n = performance.drag_n(air, tas_ms, load, sensed.flap, sensed.gear, sensed.speedbrake)
        wind_change_ms2 = sensed.wind_gradient_ms_per_m * sensed.climb_ms
        return performance.autothrust_power(
            air,
            tas_ms,
            sensed.cas_kt * KT,
            target_cas_kt * KT,
            climb_command_ms,
            drag_n,
            wind_change_ms2,
        )

    def level_change_climb(self, sensed: Sensed, target_cas_kt: float, power: float) -> float:
        """Climb rate (m/s) that steers speed to `target_cas_kt` with pitch at `power` 0..1."""
        performance, air, tas_ms = self._performance, self.air, sensed.tas_ms
        load = 1.0 / cos(sensed.bank_rad)
        drag_n = performance.drag_n(air, tas_ms, load, sensed.flap, sensed.gear, sensed.speedbrake)
        return performance.level_change_climb_ms(
            tas_ms,
            sensed.cas_kt * KT,
            target_cas_kt * KT,
            performance.thrust_n(air, tas_ms, power),
            drag_n,
        )
