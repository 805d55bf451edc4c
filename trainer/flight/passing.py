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
SURVEY_STEPS = 10
"""Fixes further away than that are looked at only this often: in one second none can be passed."""
_SURVEY_M = NEAR_M + 0.5 * NM


class Passing:
    """Watches the distance to every fix of the place that has not been passed."""

    def __init__(self, exercise: Exercise) -> None:
        fixes = {fix.name: fix for fix in exercise.airport.fixes}
        fixes |= {leg.fix.name: leg.fix for leg in exercise.approach.legs}
        fixes |= {leg.fix.name: leg.fix for leg in exercise.approach.steps}
        fixes |= {leg.fix.name: leg.fix for leg in exercise.approach.missed_legs}
        self._ahead = {name: (fix.x_m, fix.y_m) for name, fix in fixes.items()}
        self._near: dict[str, float] = {}

    def passed(self, row: Row) -> list[str]:
        """Names of the fixes passed since the row before."""
        if row.step % SURVEY_STEPS == 1:
            for name, (x_m, y_m) in self._ahead.items():
                away_m = math.hypot(row.x_m - x_m, row.y_m - y_m)
                if away_m <= _SURVEY_M:
                    self._near.setdefault(name, math.inf)
                else:
                    self._near.pop(name, None)
        names: list[str] = []
        for name, before_m in self._near.items():
            x_m, y_m = self._ahead[name]
            now_m = math.hypot(row.x_m - x_m, row.y_m - y_m)
            if now_m > before_m and before_m <= NEAR_M:
                names.append(name)
            self._near[name] = now_m
        for name in names:
            del self._ahead[name], self._near[name]
        return names
