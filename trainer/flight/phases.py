"""The phase of the flight: arrival, intercept, final, minimums, flare, rollout, stopped.

From anywhere above the gate: discontinued; until reverse: go-around, climb-out, decision (level).
A phase follows from rows and from the clearance that calls an approach off, never from words of
the crew; this is the one place that decides it. Surprising rule: who leaves the localizer without
being armed for it again discontinues only after half a minute, because that is also a way back.
"""

from __future__ import annotations

from trainer.flight.row import Row
from trainer.guidance.modes import Modes
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
        self._approach = exercise.approach
        self._minimums_ft = exercise.approach.minimums_ft
        gates = [gate.height_ft for gate in exercise.flow.gates if gate.is_main]
        self._gate_ft = gates[0] if gates else 0.0
        self._flare_ft = exercise.aircraft.flare.start_ft
        # By the localizer alone, or with LNAV left, the path is flown in vertical speed.
        self._is_rnp = exercise.approach.rnp is not None
        self._is_stepped = not (self._is_rnp or exercise.approach.glideslope.is_transmitted)
        self._phase = "arrival"
        self._was_on_localizer = False
        self._off_steps = 0
        self._is_called_off = False
        self._modes: Modes | None = None

    def call_off(self, row: Row) -> None:
        """The approach is called off by its controller; below the gate that is no level-off."""
        self._is_called_off = row.height_ft > self._gate_ft

    def next(self, row: Row) -> str:
        """The phase at `row`."""
        if row.modes is not self._modes:
            self._read(row.modes)
        phase = self._phase
        if self._is_around:
            phase = "go-around"
        elif row.is_on_ground:
            phase = "stopped" if row.ground_speed_kt < STOPPED_KT else "rollout"
        elif phase in ABOVE:
            phase = self._of_approach(phase, row)
        elif phase in AROUND:
            phase = "decision" if self._is_held else "climb-out"
        elif phase == "minimums" and row.radio_ft <= self._flare_ft:
            phase = "flare"
        self._phase = phase
        return phase

    def _read(self, modes: Modes) -> None:
        """What the annunciator says about the phase: read when it changes, not at every step."""
        self._modes = modes
        vertical = modes.vertical
        is_captured = modes.lateral in CAPTURED
        is_intercepting = is_captured or "LOC" in modes.lateral_armed
        if self._is_rnp:
            is_captured = modes.lateral == "NAV"
            service = modes.capability
            self._minimums_ft = self._approach.minimums_in_use_ft(service)
            self._is_stepped = self._approach.lower_minimums_ft(service) is not None
            is_led = is_captured and self._is_stepped
            is_intercepting = is_led or "PATH" in (vertical, *modes.vertical_armed)
        on_path = (*ON_PATH, "VS") if self._is_stepped else ON_PATH
        self._is_captured = is_captured
        self._is_around = vertical == "GA" or modes.thrust == "GA"
        self._is_intercepting = is_intercepting
        self._is_final = is_captured and vertical in on_path
        self._is_kept = is_captured and (self._is_stepped or vertical in ON_PATH)
        self._is_level = vertical in ("ALT", "ALT CAP")
        self._is_held = vertical == "ALT"

    def _of_approach(self, phase: str, row: Row) -> str:
        is_above_gate = row.height_ft > self._gate_ft
        if is_above_gate and self._is_given_up(row):
            return "discontinued"
        if phase == "arrival":
            return "intercept" if self._is_intercepting else phase
        if phase == "intercept":
            return "final" if self._is_final else phase
        if phase == "final" and row.altitude_ft <= self._minimums_ft:
            return "minimums"
        # Levelled off above the gate, until the path is taken up again. Below the gate nothing is
        # discontinued: there it is a go-around or the approach goes on.
        if not is_above_gate or self._is_kept:
            return "final"
        return "discontinued" if self._is_level or phase == "discontinued" else "final"

    def _is_given_up(self, row: Row) -> bool:
        """Called off, or level or climbing away from the localizer it had been on."""
        if self._is_intercepting:
            self._was_on_localizer = self._was_on_localizer or self._is_captured
            self._off_steps = 0
            return self._is_called_off
        self._off_steps = self._off_steps + 1 if row.vertical_speed_fpm > LEVEL_FPM else 0
        return self._is_called_off or (self._was_on_localizer and self._off_steps >= GIVEN_UP_STEPS)
