"""Torque: which setting holds the selected speed, and which settings bring the aircraft to it.

Owns the setting known by heart and what counts as right. It knows no item. The surprising rule: a
setting is judged by its effect. While the speed is too high anything up to the holding torque is
right, while it is too low anything from it on; near the speed it must be about the holding torque.
"""

from __future__ import annotations

import math

from trainer.flight.row import AHEAD_S, Row
from trainer.scenario.atmosphere import air_of
from trainer.scenario.controls import CONTROLS
from trainer.scenario.exercise import Exercise
from trainer.units import DEG, FPM, KT
from trainer.world.energy import Performance
from trainer.world.hand import Seen, known_power

AT_SPEED_KT = 4.0
"""Within this much of the selected speed, or on the way through it, the setting must hold it (our
figure)."""
FAR_KT = 8.0
"""Further than this from the selected speed a crew sets more or less than what holds it (ours)."""
_ON_PATH = ("GLIDE", "PATH")
_LEVEL = ("ALT", "ALT CAP")


class TorqueByHeart:
    """What the crew of one exercise knows of its torque."""

    def __init__(self, exercise: Exercise) -> None:
        weather, runway = exercise.weather, exercise.approach.runway
        self._aircraft = exercise.aircraft
        self._mass_t = exercise.start.mass_t
        self._air = air_of(weather, runway)
        self._slope = math.tan(exercise.approach.glideslope.angle_deg * DEG)
        self._performances: dict[str, Performance] = {}

    def holding_percent(self, row: Row) -> float:
        """The torque (%, 0..100) that holds the selected speed once all that moves has arrived.

        In the present vertical mode, with the levers of flap, gear and propellers as they stand.
        """
        target_ms = row.selectors.speed_kt * KT
        seen = Seen(
            row.cas_kt * KT,
            target_ms,
            self._climb_ms(row),
            float(row.flap_lever),
            1.0 if row.gear_lever == "down" else 0.0,
        )
        return 100.0 * known_power(self._performance(row), self._air.state(row.height_m), seen)

    def set_percent(self, row: Row) -> float:
        """The torque (%) a good crew sets, in the steps of the type's hand.

        On the way to another speed less or more than what holds it, by the law of the hand; at the
        speed what is known by heart, and only where that stands already and the speed still goes
        away, a correction by the same law.
        """
        law = self._aircraft.hand
        assert law is not None
        step = 100.0 * law.step
        by_heart = self.holding_percent(row)
        off_kt = row.cas_kt - row.selectors.speed_kt
        missing_kt = -(off_kt + law.trend_s * (row.speed_trend_kt_s or 0.0))
        stands_there = abs(row.selectors.torque_percent - by_heart) <= 2.0 * step
        if abs(missing_kt) > (law.deadband_kt if stands_there else FAR_KT):
            by_heart += 100.0 * law.power_per_kt * missing_kt
        return min(100.0, max(0.0, step * round(by_heart / step)))

    def brings(self, row: Row, torque_percent: float) -> bool:
        """Whether a setting holds the selected speed, or brings the aircraft to it from `row`."""
        more = torque_percent - self.holding_percent(row)
        within = CONTROLS["torque"].tolerance
        now_kt = row.cas_kt - row.selectors.speed_kt
        ahead_kt = now_kt + AHEAD_S * (row.speed_trend_kt_s or 0.0)
        least_kt, most_kt = sorted((now_kt, ahead_kt))
        if least_kt > 0.0 and most_kt > AT_SPEED_KT:
            return more <= within
        if most_kt < 0.0 and least_kt < -AT_SPEED_KT:
            return more >= -within
        return abs(more) <= within

    def _performance(self, row: Row) -> Performance:
        setting = row.propellers
        if setting not in self._performances:
            self._performances[setting] = Performance(
                self._aircraft, self._mass_t, self._air.delta_isa_k, setting
            )
        return self._performances[setting]

    def _climb_ms(self, row: Row) -> float:
        """The climb rate of the present vertical mode at the selected speed, m/s."""
        vertical = row.modes.vertical
        if vertical in _LEVEL:
            return 0.0
        if vertical in _ON_PATH:
            faster_kt = row.selectors.speed_kt - row.cas_kt
            return -max(0.0, row.ground_speed_kt + faster_kt) * KT * self._slope
        return row.vertical_speed_fpm * FPM
