"""Power set by hand: how a scripted pilot holds a speed with the levers.

Owns the looks at the speed, the correction of the setting known by heart, and the movement of the
lever in steps. It knows no modes and no procedure. The surprising rule: between two looks nothing
changes but the lever on its way, so a hand is always a little late, as hands are.

The law is this project's own; the setting known by heart is the force balance of `energy`.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from trainer.units import KT, STEPS_PER_S, steps_for
from trainer.world.air import AirState, tas_from_cas
from trainer.world.aircraft import HandLaw
from trainer.world.energy import Performance
from trainer.world.motion import moved


class Seen(NamedTuple):
    """What the pilot has in view at one step.

    `cas_ms` and `selected_cas_ms` calibrated; `climb_ms` the climb rate commanded by the present
    vertical mode; `flap` the stage index, `gear` and `speedbrake` 0..1 *selected*, not yet
    reached; `wind_change_ms2` the rate at which the tailwind grows along the flight.
    """

    cas_ms: float
    selected_cas_ms: float
    climb_ms: float
    flap: float
    gear: float
    speedbrake: float = 0.0
    wind_change_ms2: float = 0.0


def known_power(performance: Performance, air: AirState, seen: Seen) -> float:
    """The setting 0..1 a crew knows by heart: it holds the selected speed when all has arrived."""
    tas_ms = tas_from_cas(seen.selected_cas_ms, air)
    slope = seen.climb_ms / tas_ms
    load = math.sqrt(max(0.0, 1.0 - slope * slope))
    drag_n = performance.drag_n(air, tas_ms, load, seen.flap, seen.gear, seen.speedbrake)
    return performance.holding_power(air, tas_ms, seen.climb_ms, drag_n, seen.wind_change_ms2)


class Hand:
    """The hand on the power levers during one flight.

    `lever` is where the levers stand, 0..1; `movements` counts the looks that changed the setting.
    """

    __slots__ = ("_law", "_look_steps", "_looked_cas_ms", "_looked_step", "_wanted", "lever",
                 "movements")  # fmt: skip

    def __init__(self, law: HandLaw, power: float) -> None:
        """`power` 0..1: where the levers stand at the start."""
        self._law = law
        self._look_steps = steps_for(law.look_s)
        self._looked_step: int | None = None
        self._looked_cas_ms = 0.0
        self._wanted = power
        self.lever = power
        self.movements = 0

    def power(self, step: int, performance: Performance, air: AirState, seen: Seen) -> float:
        """Lever position 0..1 for the coming step (0.1 s); call once per step, `step` rising."""
        if self._looked_step is None or step - self._looked_step >= self._look_steps:
            self._look(step, performance, air, seen)
        self.lever = moved(self.lever, self._wanted, self._law.lever_rate_per_s / STEPS_PER_S)
        return self.lever

    def put(self, step: int, power: float, cas_ms: float) -> float:
        """Move towards `power` (idle, full) whatever the speed does; lever position 0..1.

        The speed is noted, so that the next look measures its trend from here.
        """
        if power != self._wanted:
            self._wanted = power
            self.movements += 1
        self._looked_step, self._looked_cas_ms = step, cas_ms
        self.lever = moved(self.lever, power, self._law.lever_rate_per_s / STEPS_PER_S)
        return self.lever

    def follow(self, power: float) -> None:
        """The levers are moved by something else, to `power`; the hand begins from there."""
        self.lever = self._wanted = power
        self._looked_step = None

    def _look(self, step: int, performance: Performance, air: AirState, seen: Seen) -> None:
        law = self._law
        trend_ms2 = 0.0
        if self._looked_step is not None:
            elapsed_s = (step - self._looked_step) / STEPS_PER_S
            trend_ms2 = (seen.cas_ms - self._looked_cas_ms) / elapsed_s
        self._looked_step, self._looked_cas_ms = step, seen.cas_ms
        ahead_ms = seen.cas_ms + law.trend_s * trend_ms2
        error_kt = (seen.selected_cas_ms - ahead_ms) / KT
        wanted = known_power(performance, air, seen)
        if abs(error_kt) > law.deadband_kt:
            wanted += law.power_per_kt * error_kt
        wanted = min(1.0, max(0.0, wanted))
        wanted = min(1.0, round(wanted / law.step) * law.step)
        if wanted != self._wanted:
            self._wanted = wanted
            self.movements += 1
