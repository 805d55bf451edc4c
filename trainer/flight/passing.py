"""When a fix is passed: the step at which the distance to it stops shrinking, near enough.

The rule serves coded legs and vectors alike, and a fly-by turn passes its fix inside the turn.
"""

from __future__ import annotations

import math

from trainer.flight.row import Row
from trainer.scenario.exercise import Exercise
from trainer.units import NM

NEAR_M = 2.5 * NM
"""A fix counts as passed only within this distance of it."""


class Passing:
    """Watches the distance to every fix of the place that has not been passed."""

    def __init__(self, exercise: Exercise) -> None:
        fixes = {fix.name: fix for fix in exercise.airport.fixes}
        fixes |= {leg.fix.name: leg.fix for leg in exercise.approach.legs}
        fixes |= {leg.fix.name: leg.fix for leg in exercise.approach.missed_legs}
        self._ahead = {name: (fix.x_m, fix.y_m, math.inf) for name, fix in fixes.items()}

    def passed(self, row: Row) -> list[str]:
        """Names of the fixes passed since the row before."""
        names: list[str] = []
        for name, (x_m, y_m, before_m) in self._ahead.items():
            now_m = math.hypot(row.x_m - x_m, row.y_m - y_m)
            if now_m > before_m and before_m <= NEAR_M:
                names.append(name)
            self._ahead[name] = (x_m, y_m, now_m)
        for name in names:
            del self._ahead[name]
        return names
