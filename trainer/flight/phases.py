"""The phase of the flight: arrival, intercept, final, minimums, flare, rollout, stopped.

From anywhere above the gate: discontinued; until reverse: go-around, climb-out, decision (level).
A phase follows from rows and from the clearance that calls an approach off, never from words of
the crew; this is the one place that decides it. Surprising rule: who leaves the localizer without
being armed for it again discontinues only after half a minute, because that is also a way back.
"""

from __future__ import annotations

from trainer.flight.row import Row
from trainer.scenario.exercise import Exercise
from trainer.units import steps_for

CAPTURED = ("LOC", "ALIGN")
ON_PATH = ("GLIDE", "PATH", "FLARE")
ABOVE = ("arrival", "intercept", "final", "discontinued")
"""Phases from which an approach may be discontinued."""
AROUND = ("go-around", "climb-out", "decision")
GIVEN_UP_STEPS = steps_for(30.0)
"""Time off the localizer, and not armed for it, after which an approach counts as given up."""
LEVEL_FPM = -300.0
"""Vertical speed above which an aircraft is level or climbing, ft/min."""
STOPPED_KT = 5.0
"""Ground speed below which the landing roll counts as ended, kt."""


class Phases:
    """Carries the phase from row to row."""

    def __init__(self, exercise: Exercise) -> None:
        self._minimums_ft = exercise.approach.minimums_ft
        gates = [gate.height_ft for gate in exercise.flow.gates if gate.is_main]
        self._gate_ft = gates[0] if gates else 0.0
        self._flare_ft = exercise.aircraft.flare.start_ft
        # By the localizer alone the published path is flown in vertical speed, level at the steps.
        self._is_stepped = not exercise.approach.glideslope.is_transmitted
        self._on_path = (*ON_PATH, "VS") if self._is_stepped else ON_PATH
        self._phase = "arrival"
        self._was_on_localizer = False
        self._off_steps = 0
        self._is_called_off = False

    def call_off(self, row: Row) -> None:
        """The approach is called off by its controller; below the gate that is no level-off."""
        self._is_called_off = row.height_ft > self._gate_ft

    def next(self, row: Row) -> str:
        """The phase at `row`."""
        self._phase = self._after(self._phase, row)
        return self._phase

    def _after(self, phase: str, row: Row) -> str:
        modes = row.modes
        is_around = modes.vertical == "GA" or modes.thrust == "GA"
        if row.is_on_ground and not is_around:
            return "stopped" if row.ground_speed_kt < STOPPED_KT else "rollout"
        if is_around:
            return "go-around"
        if phase in AROUND:
            return "decision" if modes.vertical == "ALT" else "climb-out"
        if phase in ABOVE and row.height_ft > self._gate_ft and self._is_given_up(row):
            return "discontinued"
        if phase == "arrival":
            is_intercepting = "LOC" in modes.lateral_armed or modes.lateral in CAPTURED
            return "intercept" if is_intercepting else phase
        if phase == "intercept":
            is_final = modes.lateral in CAPTURED and modes.vertical in self._on_path
            return "final" if is_final else phase
        if phase == "final" and row.altitude_ft <= self._minimums_ft:
            return "minimums"
        if phase == "minimums" and row.radio_ft <= self._flare_ft:
            return "flare"
        if phase in ("final", "discontinued"):
            return self._of_level_off(row)
        return phase

    def _is_given_up(self, row: Row) -> bool:
        """Called off, or level or climbing away from the localizer it had been on."""
        modes = row.modes
        if modes.lateral in CAPTURED:
            self._was_on_localizer = True
        is_off = modes.lateral not in CAPTURED and "LOC" not in modes.lateral_armed
        is_off = is_off and row.vertical_speed_fpm > LEVEL_FPM
        self._off_steps = self._off_steps + 1 if is_off else 0
        return self._is_called_off or (self._was_on_localizer and self._off_steps >= GIVEN_UP_STEPS)

    def _of_level_off(self, row: Row) -> str:
        """Final or discontinued: levelled off above the gate, until the path is taken up again.

        Below the gate nothing is discontinued: there it is a go-around or the approach goes on.
        """
        modes = row.modes
        if row.height_ft <= self._gate_ft:
            return "final"
        if modes.lateral in CAPTURED and (self._is_stepped or modes.vertical in ON_PATH):
            return "final"
        is_level = modes.vertical in ("ALT", "ALT CAP")
        return "discontinued" if is_level or self._phase == "discontinued" else "final"
