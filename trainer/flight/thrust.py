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
        return self._performance.autothrust_power(
            self.air,
            sensed.tas_ms,
            sensed.cas_kt * KT,
            target_cas_kt * KT,
            climb_command_ms,
            self._drag_n(sensed),
            sensed.wind_gradient_ms_per_m * sensed.climb_ms,
        )

    def level_change_climb(self, sensed: Sensed, target_cas_kt: float, power: float) -> float:
        """Climb rate (m/s) that steers speed to `target_cas_kt` with pitch at `power` 0..1."""
        return self._performance.level_change_climb_ms(
            sensed.tas_ms,
            sensed.cas_kt * KT,
            target_cas_kt * KT,
            self._performance.thrust_n(self.air, sensed.tas_ms, power),
            self._drag_n(sensed),
        )

    def _drag_n(self, sensed: Sensed) -> float:
        return self._performance.drag_n(
            self.air, sensed.tas_ms, 1.0 / cos(sensed.bank_rad), sensed.flap, sensed.gear,
            sensed.speedbrake,
        )  # fmt: skip
