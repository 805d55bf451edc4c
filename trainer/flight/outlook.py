"""The energy margin of the flight, looked at every two seconds until the main gate.

Writes what is left in hand into the rows; the judge and the hints read it there. No copy of the
engine and no crew: one dimension along the path, in the actual wind.
"""

from __future__ import annotations

from trainer.flight.row import Row
from trainer.flight.surroundings import Surroundings
from trainer.scenario.exercise import Exercise
from trainer.units import FT
from trainer.world.margin import MarginInputs, energy_margin
from trainer.world.wind import head_and_cross

EVERY_STEPS = 20
_PHASES = ("arrival", "intercept", "final", "minimums")


class Outlook:
    """Carries the last margin from look to look."""

    def __init__(self, exercise: Exercise, around: Surroundings) -> None:
        gates = [gate for gate in exercise.flow.gates if gate.is_main]
        self._gate_ft = gates[0].height_ft if gates else 0.0
        self._has_gate = bool(gates)
        self._around = around
        self._exercise = exercise
        self._landing_stage = exercise.aircraft.stage_for("landing")
        self._margin_nm: float | None = None

    def margin_nm(self, row: Row, phase: str) -> float | None:
        """Margin to the main gate (NM) at `row`; None past the gate or off the approach."""
        if not self._has_gate or phase not in _PHASES or row.height_ft <= self._gate_ft:
            self._margin_nm = None
            return None
        if row.step % EVERY_STEPS:
            return self._margin_nm
        approach = self._exercise.approach
        east_ms, north_ms = self._around.wind.at(row.height_m)
        headwind_ms, _ = head_and_cross(east_ms, north_ms, self._around.final_course_rad)
        self._margin_nm = energy_margin(
            self._around.airframe,
            MarginInputs(
                distance_nm=row.distance_nm,
                height_m=row.height_m,
                cas_kt=row.cas_kt,
                flap=row.flap,
                flap_stage=row.flap_lever,
                gear=row.gear,
                is_gear_down=row.gear_lever == "down",
                tailwind_ms=-headwind_ms,
                landing_stage=self._landing_stage,
                target_kt=self._exercise.final_kt,
                path_angle_deg=approach.glideslope.angle_deg,
                crossing_m=approach.glideslope.crossing_ft * FT,
                elevation_m=self._around.elevation_m,
                gate_ft=self._gate_ft,
                is_curved=self._exercise.curved_earth,
            ),
        ).margin_nm
        return self._margin_nm


