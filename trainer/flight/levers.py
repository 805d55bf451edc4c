"""Power by torque: where the pilot's levers stand, and where the speed goes with them.

Owns the travel of the power levers to the torque that was set, and the speed trend a pilot reads.
Knows no item and no verdict. The surprising rule: the trend is smoothed, because in rough air the
airspeed of the last second says nothing about where the power will take it.
"""

from __future__ import annotations

from trainer.flight.row import AHEAD_S
from trainer.units import STEP_S, steps_for
from trainer.world.aircraft import AircraftType
from trainer.world.motion import moved

SMOOTHED_S = 3.0
"""Lag of the smoothed speed, and of its smoothed rate, s (our figure)."""
BACK_IN_S = 90.0
"""A speed that would be back within this time at its rate is on its way, s: the setting known by
heart alone lets it come back with a time constant of 38 s in landing configuration to 85 s clean
(measured on the shipped type, level, from 10 kt above)."""
BUG_SETTLES = steps_for(2.0)
"""Time in which hands go from the bug to the levers (our figure)."""
TORQUE_SETTLES = steps_for(8.0)
"""Time in which levers, engine and the smoothed trend answer to a new torque: from 4 to 46 % the
power is there after 4.5 s, and after 8 s the trend has followed it by six tenths (measured)."""


class PowerLevers:
    """The power levers of a type whose torque is set by hand, during one flight."""

    __slots__ = ("_power", "_step")

    def __init__(self, rate_per_s: float, power: float) -> None:
        """`power` 0..1 where they stand; they move by `rate_per_s` at most."""
        self._step = rate_per_s * STEP_S
        self._power = power

    def towards(self, torque_percent: float) -> float:
        """Lever position 0..1 for the coming step, on its way to what was set."""
        self._power = moved(self._power, torque_percent / 100.0, self._step)
        return self._power


class SpeedTrend:
    """Where the airspeed goes; call `look` once a step, then read `rate_kt_s` and `astray_kt`.

    `astray_kt` is by how much the speed will be above (negative: below) the selected one in six
    seconds. It is 0 while the speed is on its way back, and just after bug or torque were set.
    """

    __slots__ = (
        "_bug_kt", "_smooth_kt", "_still_steps", "_torque_percent", "astray_kt", "rate_kt_s",
    )  # fmt: skip

    def __init__(self) -> None:
        self._smooth_kt: float | None = None
        self._bug_kt = self._torque_percent = 0.0
        self._still_steps = 0
        self.rate_kt_s = 0.0
        self.astray_kt = 0.0

    def look(self, cas_kt: float, selected_kt: float, torque_percent: float) -> None:
        """Take the airspeed of this step, and what is set for it."""
        if self._smooth_kt is None:
            self._smooth_kt = cas_kt
        share = STEP_S / SMOOTHED_S
        before_kt = self._smooth_kt
        self._smooth_kt += share * (cas_kt - before_kt)
        self.rate_kt_s += share * ((self._smooth_kt - before_kt) / STEP_S - self.rate_kt_s)
        if self._bug_kt != selected_kt:
            self._bug_kt, self._still_steps = selected_kt, BUG_SETTLES
        if self._torque_percent != torque_percent:
            self._torque_percent, self._still_steps = torque_percent, TORQUE_SETTLES
        self._still_steps = max(0, self._still_steps - 1)
        # The smoothed speed is behind by its lag: that much further it has gone already.
        off_kt = self._smooth_kt + SMOOTHED_S * self.rate_kt_s - selected_kt
        ahead_kt = off_kt + AHEAD_S * self.rate_kt_s
        is_back_soon = off_kt * ahead_kt > 0.0 and abs(off_kt) <= -BACK_IN_S * (
            self.rate_kt_s if off_kt > 0.0 else -self.rate_kt_s
        )
        self.astray_kt = 0.0 if self._still_steps or is_back_soon else ahead_kt


def is_torque_set_by_hand(aircraft: AircraftType) -> bool:
    """Whether a pilot sets the power of this type, and no automatic or simplified hand does."""
    return "torque" in aircraft.controls
