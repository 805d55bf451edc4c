"""The energy margin of the flight, looked at every two seconds (less often while it is large).

Writes what is left in hand into the rows; the judge and the hints read it there. No copy of the
engine and no crew: one dimension along the path, in the actual wind.
"""

from __future__ import annotations

import math

from trainer.flight.row import Row
from trainer.flight.surroundings import Surroundings, path_to
from trainer.scenario.exercise import Exercise
from trainer.units import NM
from trainer.world.margin import Energy, energy_margin
from trainer.world.wind import head_and_cross

EVERY_STEPS = 20
SELDOM_STEPS = 60
PLENTY_NM = 6.0
"""Above this margin a look every six seconds is enough: level with the path ahead the margin falls
by at most four miles per mile flown, so it cannot come near anything a flow asks for in between."""
_PHASES = ("arrival", "intercept", "final", "minimums")


class Outlook:
    """Carries the last margin from look to look."""

    def __init__(self, exercise: Exercise, around: Surroundings, gate: str = "") -> None:
        """Count to the gate called `gate`, by default to the main one."""
        gates = [one for one in exercise.flow.gates if (one.name == gate if gate else one.is_main)]
        self._path = path_to(exercise, gates[0].height_ft if gates else math.inf)
        self._around = around
        self._stage = exercise.aircraft.stage_for(gates[0].flap_role if gates else "landing")
        self._speed_kt = gates[0].speed_kt if gates else None
        self._exercise = exercise
        self._margin_nm: float | None = None
        self._every_steps = EVERY_STEPS

    def margin_nm(self, row: Row, phase: str) -> float | None:
        """Margin to the main gate (NM) at `row`; None past the gate or off the approach."""
        if phase not in _PHASES or row.height_ft <= self._path.gate_ft:
            self._margin_nm, self._every_steps = None, EVERY_STEPS
        elif row.step % self._every_steps == 0:
            self._margin_nm = margin_nm = self.worked_out_nm(row)
            self._every_steps = SELDOM_STEPS if margin_nm > PLENTY_NM else EVERY_STEPS
        return self._margin_nm

    def worked_out_nm(self, row: Row) -> float:
        """Margin to the gate (NM) from where the aircraft is at `row`, above the gate."""
        east_ms, north_ms = self._around.wind.at(row.height_m)
        headwind_ms, _ = head_and_cross(east_ms, north_ms, self._around.final_course_rad)
        energy = Energy(
            distance_m=row.distance_nm * NM,
            height_m=row.height_m,
            cas_kt=row.cas_kt,
            flap=row.flap,
            flap_lever=row.flap_lever,
            gear=row.gear,
            is_gear_selected=row.gear_lever == "down",
            tail_ms=-headwind_ms,
        )
        target_kt = self._speed_kt or self._exercise.speeds_at(row.is_icing).final_kt
        return energy_margin(
            self._around.airframe, energy, self._path, self._stage, target_kt
        ).margin_nm
