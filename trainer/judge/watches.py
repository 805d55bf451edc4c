"""Watches: what must never be so. One finding is one excursion, entered for long enough.

Three kinds: a moment of the grammar, the limit speeds of the type, and words that named what was
not shown. Excursions closer together than 5 s are one.
"""

from __future__ import annotations

from trainer.flight.moments import Evaluator
from trainer.flight.observers import Observer
from trainer.flight.row import Row
from trainer.guidance.speeds import speed_range
from trainer.judge.truth import COLUMN_WORDS, MODE_CLAIMS
from trainer.scenario.exercise import Exercise, Watch
from trainer.scenario.phrases import Call
from trainer.units import steps_for
from trainer.values import dataclass

MERGE = steps_for(5.0)
LIMIT_MARGIN_KT = 2.0
LIMIT_MAJOR_KT = 5.0
LIMIT_ENTER = steps_for(1.0)
LIMIT_LONG = steps_for(5.0)
"""Beyond a limit for longer than this is grave, however little."""


SLOWEST = "manoeuvring"
"""The limit that is a lowest speed: manoeuvring speed, reference speed in a landing stage."""
SLOWEST_ABOVE_FT = 100.0
"""Radio height below which the speed may fall, for the flare and on the runway (our figure)."""


@dataclass(slots=True)
class Excursion:
    """A stretch of steps in which a watch was not kept."""

    watch: Watch
    start: int
    end: int
    worst: float | None = None
    limit: float | None = None
    unit: str = ""
    severity: str = ""
    detail: str = ""


class _Kept:
    """One watch on its way: since when it is broken, and the excursion being written."""

    def __init__(self, watch: Watch, evaluator: Evaluator) -> None:
        self.watch = watch
        moment = watch.moment
        self.observer: Observer | None = evaluator.watch(moment) if moment is not None else None
        self.while_ = evaluator.watch(watch.while_) if watch.while_ is not None else None
        is_limit = watch.kind not in ("never", "always")
        self.enter = LIMIT_ENTER if is_limit and watch.for_s == 0.0 else steps_for(watch.for_s)
        self.is_never = watch.kind == "never"
        self.since: int | None = None
        self.silenced = False
        self.current: Excursion | None = None


def _beyond_kt(value_kt: float, limit_kt: float, kept: _Kept) -> float:
    """How far a speed is beyond its limit, above or below."""
    return limit_kt - value_kt if kept.watch.limit == SLOWEST else value_kt - limit_kt


class Watcher:
    """All watches of one flight."""

    def __init__(self, exercise: Exercise, evaluator: Evaluator) -> None:
        self.excursions: list[Excursion] = []
        self._exercise = exercise
        self._evaluator = evaluator
        kept = [_Kept(watch, evaluator) for watch in exercise.flow.watches]
        self._limits = [one for one in kept if one.watch.kind == "limit"]
        self._moments = [one for one in kept if one.observer is not None]
        self._mismatch = next(
            (watch for watch in exercise.flow.watches if watch.kind == "mismatch"), None
        )
        self._last_false: Excursion | None = None
        aircraft = exercise.aircraft
        self._flap_limits = tuple(stage.limit_kt for stage in aircraft.flaps)

    def look(self, row: Row) -> None:
        """See whether anything watched is broken at `row`."""
        happenings = self._evaluator.context.happenings
        for kept in self._limits:
            excess = self._excess(kept.watch.limit, row)
            is_meant = kept.while_ is None or kept.while_.now
            is_broken = (
                is_meant and excess is not None and _beyond_kt(*excess, kept) > LIMIT_MARGIN_KT
            )
            if is_broken or kept.since is not None:
                self._follow(kept, row, is_broken, excess)
        for kept in self._moments:
            assert kept.observer is not None
            is_broken = kept.observer.now == kept.is_never
            is_broken = is_broken and (kept.while_ is None or kept.while_.now)
            if not is_broken and kept.since is None:
                continue
            if ("said", kept.watch.unless_said, "") in happenings:
                kept.silenced = True
            self._follow(kept, row, is_broken, None)

    def _follow(
        self, kept: _Kept, row: Row, is_broken: bool, excess: tuple[float, float] | None
    ) -> None:
        step = row.step
        if not is_broken:
            kept.since = None
            kept.silenced = False
            return
        if kept.since is None:
            kept.since = step
        if kept.silenced or step - kept.since < kept.enter:
            return
        current = kept.current
        if current is None or kept.since - current.end > MERGE:
            current = kept.current = Excursion(kept.watch, kept.since, step)
            current.severity = kept.watch.severity
            self.excursions.append(current)
        current.end = step
        if excess is not None:
            value, limit = excess
            beyond_kt = _beyond_kt(value, limit, kept)
            if current.worst is None or beyond_kt > _beyond_kt(
                current.worst, current.limit or 0.0, kept
            ):
                current.worst, current.limit, current.unit = round(value, 1), limit, "kt"
            is_major = beyond_kt > LIMIT_MAJOR_KT or step - kept.since > LIMIT_LONG
            if is_major:
                current.severity = "major"
            elif current.severity != "major":
                current.severity = "advisory"

    def _excess(self, limit: str, row: Row) -> tuple[float, float] | None:
        """Speed and the limit speed that now applies, kt; None where there is none."""
        aircraft = self._exercise.aircraft
        if limit == "maximum":
            return (row.cas_kt, aircraft.max_speed_kt)
        if limit == SLOWEST:
            if row.radio_ft < SLOWEST_ABOVE_FT:
                return None
            aircraft = self._exercise.speeds_at(row.is_icing).aircraft
            allowed = speed_range(
                aircraft, self._exercise.start.mass_t, row.flap, row.flap_lever, row.gear
            )
            return (row.cas_kt, allowed.low_kt)
        if limit == "flaps":
            # Moving parts count against the limit of the selected stage; a retracting flap
            # against that of the stage it leaves.
            stage = max(row.flap_lever, int(row.flap + 0.999999))
            limit_kt = self._flap_limits[stage]
            return None if limit_kt is None else (row.cas_kt, limit_kt)
        gear = aircraft.gear
        if gear.is_fixed or (row.gear == 0.0 and row.gear_lever == "up"):
            return None
        is_moving = row.gear != (1.0 if row.gear_lever == "down" else 0.0)
        if is_moving:
            is_down = row.gear_lever == "down"
            limit_kt = gear.extend_limit_kt if is_down else gear.retract_limit_kt
        else:
            limit_kt = gear.extended_limit_kt
        return None if limit_kt is None else (row.cas_kt, limit_kt)

    def said_of_modes(self, step: int, call: Call, false: str) -> None:
        """Note a mode call; a false one is an excursion of the mismatch watch.

        It begins and ends at the step from which the words count, and words less than five
        seconds later belong to it; `worst` is unused.
        """
        if not false or self._mismatch is None:
            return
        column, word = MODE_CLAIMS[call.intent]
        name = COLUMN_WORDS.get(word, word.lower())
        status = " armed" if column.endswith("armed") else ""
        detail = f"{name}{status} was said; {false}"
        last = self._last_false
        if last is not None and step - last.end <= MERGE:
            last.end = max(step, last.end)
            if detail not in last.detail:
                last.detail += f"; {detail}"
            return
        self._last_false = Excursion(self._mismatch, step, step, severity=self._mismatch.severity)
        self._last_false.detail = detail
        self.excursions.append(self._last_false)
