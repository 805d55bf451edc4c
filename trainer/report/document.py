"""The judgement as a JSON document: the published contract for other programs.

Owns names, order and rounding of that document and nothing of its content. Times are seconds with
one decimal, distances NM with two, None where a thing did not happen. Surprising rule: adding a
key keeps the version; changing or removing one raises it.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Any

from trainer.flight.row import Row
from trainer.judge.judgement import (
    Annunciation,
    Briefed,
    FailedCriterion,
    GateResult,
    ItemVerdict,
    Judgement,
    WatchFinding,
)
from trainer.report.competencies import NAMES, Observed, observed
from trainer.scenario.exercise import Exercise
from trainer.text import NOTICE
from trainer.units import STEPS_PER_S

FORMAT = "approach-drill/judgement"
"""What the document calls itself."""
VERSION = 1
"""Version of the document; raised when a key changes its meaning or goes."""


def judgement_json(
    judgement: Judgement,
    exercise: Exercise,
    rows: Sequence[Row],
    digest: str,
    engine: int,
    judge: int,
) -> dict[str, Any]:
    """The document of one judged flight.

    Args:
        judgement: what the judge says.
        exercise: the drawn exercise that was flown (names of the flap stages).
        rows: all rows of the flight, ten a second.
        digest: digest of the flight.
        engine: version of the engine that flew it.
        judge: version of the rules it was judged by.
    """
    return {
        "format": FORMAT,
        "version": VERSION,
        "notice": NOTICE,
        "exercise": judgement.exercise,
        "exercise_digest": judgement.exercise_digest,
        "seed": judgement.seed,
        "engine": engine,
        "judge": judge,
        "outcome": judgement.outcome,
        "reason": judgement.reason,
        "points": rounded(judgement.points, 2),
        "technique": judgement.technique,
        "areas": {
            name: {"points": rounded(area.points, 2), "weight": rounded(area.weight, 3)}
            for name, area in judgement.areas
        },
        "items": [item_entry(item) for item in judgement.items],
        "watches": [_watch(watch) for watch in judgement.watches],
        "gates": [_gate(gate) for gate in judgement.gates],
        "modes": [_mode(mode) for mode in judgement.modes],
        "briefing": [_briefed(one) for one in judgement.briefing],
        "competencies": [_observed(one) for one in observed(judgement, exercise, rows)],
        "track": track(exercise, rows),
        "digest": digest,
    }


def document_text(document: Any) -> str:
    """A JSON document as text: ASCII only, two blanks of indent, a newline at the end."""
    return json.dumps(document, indent=2, allow_nan=False) + "\n"


def seconds(step: int | None) -> float | None:
    """A step as seconds since the start, one decimal; None stays None."""
    return None if step is None else step / STEPS_PER_S


def every_second(rows: Sequence[Row]) -> list[Row]:
    """One row a second, and the last."""
    kept = [row for row in rows if row.step % STEPS_PER_S == 0]
    if rows and rows[-1].step % STEPS_PER_S:
        kept.append(rows[-1])
    return kept


def track(exercise: Exercise, rows: Sequence[Row]) -> list[dict[str, Any]]:
    """One entry a second, and the last row.

    `flaps` is the stage last reached by the surfaces, `gear` "up", "moving" or "down"; deviations
    and margin are None where nothing is received or computed. `path_ft` is the height above the
    path that PATH follows; `flown_speed_kt` the speed flown instead of the selected one.
    """
    names = [stage.name for stage in exercise.aircraft.flaps]
    return [_track_entry(names, row) for row in every_second(rows)]


def _track_entry(names: Sequence[str], row: Row) -> dict[str, Any]:
    return {
        "t_s": seconds(row.step),
        "distance_nm": rounded(row.distance_nm, 2),
        "altitude_ft": rounded(row.altitude_ft, 1),
        "height_ft": rounded(row.height_ft, 1),
        "cas_kt": rounded(row.cas_kt, 1),
        "ground_speed_kt": rounded(row.ground_speed_kt, 1),
        "vs_fpm": rounded(row.vertical_speed_fpm, 0),
        "flaps": names[int(row.flap + 1e-9)],
        "gear": gear_word(row),
        "localizer_dots": rounded(row.localizer_dots, 2),
        "glide_dots": rounded(row.glide_dots, 2),
        "margin_nm": rounded(row.margin_nm, 2),
        "path_ft": rounded(row.followed_error_ft, 0),
        "flown_speed_kt": rounded(row.protected_kt, 0) if row.protected_kt else None,
        "flown_speed_because": row.protected_why or None,
    }


def _briefed(one: Briefed) -> dict[str, Any]:
    return {
        "heading": one.heading,
        "number": one.name,
        "said": one.said or None,
        "expected": one.expected,
        "unit": one.unit,
        "verdict": one.verdict,
        "why": one.why,
        "source": one.source,
    }


def gear_word(row: Row) -> str:
    """Where the gear is: "up", "moving" or "down"."""
    if row.gear >= 1.0:
        return "down"
    return "moving" if row.gear > 0.0 else "up"


def item_entry(item: ItemVerdict) -> dict[str, Any]:
    """One item: times in s, distance in NM."""
    return {
        "item": item.item,
        "area": item.area,
        "verdict": item.verdict,
        "at_s": seconds(item.done),
        "distance_nm": rounded(item.distance_nm, 2),
        "opened_s": seconds(item.opened),
        "due_s": seconds(item.due),
        "closed_s": seconds(item.closed),
        "expected": item.expected,
        "found": item.found,
        "corrected": item.is_corrected,
        "credit": rounded(item.credit, 3),
        "weight": rounded(item.weight, 3),
        "why": item.why,
        "source": item.source,
        "better": item.better,
    }


def _watch(watch: WatchFinding) -> dict[str, Any]:
    return {
        "watch": watch.watch,
        "severity": watch.severity,
        "from_s": seconds(watch.start),
        "to_s": seconds(watch.end),
        "worst": rounded(watch.worst, 2),
        "limit": rounded(watch.limit, 2),
        "unit": watch.unit,
        "because": watch.because,
        "why": watch.why,
        "source": watch.source,
    }


def _gate(gate: GateResult) -> dict[str, Any]:
    return {
        "gate": gate.gate,
        "t_s": seconds(gate.step),
        "distance_nm": rounded(gate.distance_nm, 2),
        "result": gate.result,
        "failed": [_criterion(criterion) for criterion in gate.failed],
        "because": gate.because,
    }


def _observed(one: Observed) -> dict[str, Any]:
    return {
        "code": one.code,
        "name": NAMES[one.code],
        "behaviour": one.behaviour,
        "shown": one.shown,
        "put_right": one.put_right,
        "not_shown": one.not_shown,
        "lapses": [{"t_s": seconds(lapse.step), "what": lapse.what} for lapse in one.lapses],
    }


def _criterion(criterion: FailedCriterion) -> dict[str, Any]:
    return {
        "criterion": criterion.criterion,
        "value": _value(criterion.value),
        "limit": _value(criterion.limit),
        "unit": criterion.unit,
    }


def _value(value: float | str) -> float | str | None:
    return value if isinstance(value, str) else rounded(value, 2)


def _mode(mode: Annunciation) -> dict[str, Any]:
    return {
        "t_s": seconds(mode.step),
        "lateral": mode.lateral,
        "vertical": mode.vertical,
        "lateral_armed": mode.lateral_armed,
        "vertical_armed": mode.vertical_armed,
        "thrust": mode.thrust,
        "engagement": mode.engagement,
        "capability": mode.capability,
        "said": mode.said,
    }


def rounded(value: float | None, decimals: int) -> float | None:
    """`value` to so many decimals, never −0.0; None stays None."""
    # Adding zero turns a rounded −0.0 into 0.0, which reads better and compares equal.
    return None if value is None else round(value, decimals) + 0.0
