"""The stable-approach gate: at its height every criterion is looked at once.

Gates judge outcomes, never hands. The closed list of criteria is here; limits come from the flow.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from trainer.flight.row import Row
from trainer.judge.judgement import FailedCriterion, GateResult
from trainer.judge.tracks import Track
from trainer.scenario.exercise import Criterion, Exercise, Gate
from trainer.units import STEPS_PER_S

IDLE_POWER = 0.02
"""Power at or below which thrust counts as idle."""
OFF_APPROACH = ("go-around", "climb-out", "decision", "discontinued", "rollout", "stopped")


class GateWatch:
    """Waits for one gate and judges it."""

    def __init__(self, gate: Gate, exercise: Exercise) -> None:
        self.gate = gate
        self.result: GateResult | None = None
        self._exercise = exercise
        self._idle_steps = 0
        self._before_ft: float | None = None

    def look(self, row: Row, tracks: Sequence[Track]) -> str | None:
        """ "passed" or "failed" at the step at which the gate is met, else None."""
        self._idle_steps = self._idle_steps + 1 if row.power <= IDLE_POWER else 0
        before, self._before_ft = self._before_ft, row.height_ft
        height_ft = self.gate.height_ft
        if self.result is not None or row.phase in OFF_APPROACH:
            return None
        if before is None or not before > height_ft >= row.height_ft:
            return None
        failed = tuple(
            failure
            for criterion in self.gate.criteria
            if (failure := self._check(criterion, row, tracks)) is not None
        )
        result = "failed" if failed else "passed"
        self.result = GateResult(self.gate.name, row.step, row.distance_nm, result, failed, None)
        return result

    def _check(
        self, criterion: Criterion, row: Row, tracks: Sequence[Track]
    ) -> FailedCriterion | None:
        limit = criterion.limit
        name = criterion.name
        if name == "configuration":
            return self._configuration(row)
        if name == "checklist":
            unread = [
                track.item.act.challenge
                for track in tracks
                if track.item.act.kind == "line"
                and track.item.act.checklist == criterion.text
                and track.done is None
            ]
            if not unread:
                return None
            return FailedCriterion(name, f"open: {', '.join(unread)}", "complete", "")
        if name == "thrust idle":
            seconds = self._idle_steps / STEPS_PER_S
            return None if seconds <= limit else FailedCriterion(name, seconds, limit, "s")
        value, unit = _MEASURES[name](row, self._target_kt(row))
        if value is None:
            return FailedCriterion(name, NO_NEEDLE, limit, unit)
        return None if value <= limit else FailedCriterion(name, round(value, 2), limit, unit)

    def _target_kt(self, row: Row) -> float:
        return self.gate.speed_kt or self._exercise.speeds_at(row.is_icing).final_kt

    def _configuration(self, row: Row) -> FailedCriterion | None:
        aircraft = self._exercise.aircraft
        names = aircraft.landing_flaps
        if self.gate.flap_role == "approach":
            names = tuple(one.name for one in aircraft.flaps[aircraft.stage_for("approach") :])
        stages = [aircraft.stage_index(name) for name in names]
        is_flap = any(abs(row.flap - stage) < 1e-6 for stage in stages)
        if is_flap and row.gear == 1.0:
            return None
        flap = aircraft.flaps[row.flap_lever].name
        gear = "down" if row.gear == 1.0 else ("moving" if row.gear > 0.0 else "up")
        travel = "" if abs(row.flap - row.flap_lever) < 1e-6 else " moving"
        wanted = " or ".join(names)
        return FailedCriterion(
            "configuration", f"flap {flap}{travel}, gear {gear}", f"flap {wanted}, gear down", ""
        )


def _dots(value: float | None) -> tuple[float | None, str]:
    return (None if value is None else abs(value), "dot")


_MEASURES: dict[str, Callable[[Row, float], tuple[float | None, str]]] = {
    "localizer": lambda row, _: _dots(row.localizer_dots),
    "glideslope": lambda row, _: _dots(row.glide_dots),
    "speed above": lambda row, target_kt: (row.cas_kt - target_kt, "kt"),
    "speed below": lambda row, target_kt: (target_kt - row.cas_kt, "kt"),
    "sink": lambda row, _: (-row.vertical_speed_fpm, "ft/min"),
    "bank": lambda row, _: (abs(row.bank_deg), "deg"),
    "path": lambda row, _: (abs(row.path_error_ft), "ft"),
    "track": lambda row, _: _dots(row.track_dots),
}
"""What a criterion reads of a row and of the speed wanted at the gate (kt), and its unit."""

NO_NEEDLE = "no needle"
"""The value of a deviation where nothing is received."""
CRITERIA = (*_MEASURES, "configuration", "checklist", "thrust idle")
"""Names of all criteria a flow may use."""
