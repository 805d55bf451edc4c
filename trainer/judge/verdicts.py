"""From tracks to a judgement: verdicts, credit, what follows from what, points, outcome.

Everything that needs the end of the flight is settled here: late credit needs a closing that lies
after the act, a consequence needs the item it follows from.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import pairwise

from trainer.flight.ending import LEVEL, STOPPED
from trainer.flight.observers import NEVER
from trainer.flight.row import Row
from trainer.judge.briefed import judged_briefing
from trainer.judge.causes import touches
from trainer.judge.consequences import consequences
from trainer.judge.explain import better_text, expected_text
from trainer.judge.judgement import (
    DEDUCTIONS,
    Annunciation,
    AreaPoints,
    GateResult,
    ItemVerdict,
    Judgement,
    WatchFinding,
)
from trainer.judge.order import inversions
from trainer.judge.tracker import Tracker
from trainer.judge.tracks import LATE_SPAN, Track, Wrong
from trainer.scenario.exercise import Exercise
from trainer.scenario.procedure import recurring_part
from trainer.units import steps_for

GO_AROUND_WINDOW = steps_for(8.0)
"""Time within which a failed gate must be answered by a go-around or discontinuation."""
ANSWERED = ("go-around", "climb-out", "decision", "discontinued")
"""Phases that answer a failed gate."""
UNFINISHED = "abandoned: the flight was not flown to an end"
"""The reason where nothing has ended the flight, such as at the end of a segment."""


def conclude(tracker: Tracker, rows: Sequence[Row], reason: str) -> Judgement:
    """Judge what `tracker` has followed over `rows`; `reason` is why the flight ended, or "".

    Of the accepted techniques the one counts, as a whole, that was best flown: by its items alone,
    because a slip against another technique could explain away a watch. As written where equal.
    """
    written = _concluded(tracker, rows, reason)
    wrong = {item.item for item in written.items if item.is_finding}
    wrong |= {recurring_part(name) for name in wrong}
    return max(
        (written, *(_concluded(one, rows, reason) for one in tracker.others(wrong))),
        key=lambda one: (_weighted(one.items).points or 0.0, -len(one.primary())),
    )


def _concluded(tracker: Tracker, rows: Sequence[Row], reason: str) -> Judgement:
    exercise = tracker.exercise
    charged = tracker.hearing.charged()
    tracks = sorted(tracker.tracks, key=lambda track: (track.place, track.opened or 0))
    counts = _instances(tracks)
    items = tuple(
        _verdict(track, tracker, rows, track.weight / counts.get(track.item.name, 1), charged)
        for track in tracks
    )
    watches, gates = consequences(
        items, tracker.watcher.excursions, tracker.gate_results(), tracker.upset, rows
    )
    watches += inversions(tracks, exercise.flow.ordered)
    points = _points(items, watches)
    outcome, why = _outcome(exercise, rows, tracks, gates, watches, points, reason)
    return Judgement(
        exercise=exercise.name,
        exercise_digest=exercise.digest,
        seed=exercise.seed,
        outcome=outcome,
        reason=why,
        points=points,
        areas=_areas(items),
        items=items,
        watches=watches,
        gates=gates,
        modes=_annunciations(tracker, rows),
        unmatched=tuple(tracker.board.unmatched),
        technique=tracker.technique,
        briefing=judged_briefing(exercise, tracker.briefed),
    )


# Items ------------------------------------------------------------------------------------------


def _instances(tracks: Sequence[Track]) -> dict[str, int]:
    counts: dict[str, int] = {}
    for track in tracks:
        if track.item.each is not None:
            counts[track.item.name] = counts.get(track.item.name, 0) + 1
    return counts


def _verdict(
    track: Track,
    tracker: Tracker,
    rows: Sequence[Row],
    weight: float,
    charged: Mapping[Track, Wrong],
) -> ItemVerdict:
    wrong = track.wrong or charged.get(track)
    verdict, credit = _grade(track, wrong, len(rows) - 1)
    at = track.done
    found = track.done_found
    is_corrected = False
    began_at = corrected = None
    if verdict == "early":
        assert track.early is not None
        found = track.early.found
        is_corrected = track.done is not None and track.done > track.early.step
        at = began_at = track.early.step
    elif verdict == "wrong":
        assert wrong is not None
        found = wrong.found
        corrected = _corrected(track)
        is_corrected = corrected is not None
        at = began_at = wrong.step
    elif verdict in ("late", "missed"):
        began_at = track.due if track.due != NEVER else track.closes
    item = track.item
    place = None if at is None else rows[at].distance_nm
    return ItemVerdict(
        item=track.name,
        area=item.area,
        verdict=verdict,
        done=track.done if verdict not in ("early", "wrong") else at,
        opened=track.opened,
        due=None if track.due == NEVER else track.due,
        closed=track.closes if track.closes < len(rows) else None,
        distance_nm=place,
        expected=expected_text(track, tracker),
        found=found or ("nothing" if verdict == "missed" else ""),
        better=better_text(track, tracker, rows, verdict),
        is_corrected=is_corrected,
        credit=credit,
        weight=weight,
        touches=touches(item.act),
        why=item.why,
        source=item.source,
        began_at=began_at,
        corrected=corrected,
    )


def _corrected(track: Track) -> int | None:
    """When a wrong act was put right; a checklist line only by being read again."""
    if track.item.act.kind == "line":
        return track.corrected
    return track.done


def _grade(track: Track, wrong: Wrong | None, last: int) -> tuple[str, float | None]:
    """Verdict and credit of one track; `last` is the last step of the flight."""
    if track.is_waived:
        return "not reached", None
    if track.early is not None:
        return "early", {"harmful": 0.5, "forbidden": 0.0}[track.item.early]
    if track.done is None and wrong is None:
        if track.is_missed or (track.is_open and track.due < last):
            return "missed", 0.0
        return "not reached", None
    if wrong is not None:
        return "wrong", 0.0 if _corrected(track) is None else 0.5
    assert track.done is not None
    if track.done <= track.due:
        return "on time", 1.0
    span = track.closes - track.due if track.closes != NEVER else LATE_SPAN
    if span <= 0:
        return "late", 0.0
    return "late", max(0.0, 1.0 - (track.done - track.due) / span)


# Points and outcome -----------------------------------------------------------------------------


def _areas(items: Sequence[ItemVerdict]) -> tuple[tuple[str, AreaPoints], ...]:
    order: dict[str, list[ItemVerdict]] = {}
    for item in items:
        order.setdefault(item.area, []).append(item)
    return tuple((area, _weighted(group)) for area, group in order.items())


def _weighted(items: Sequence[ItemVerdict]) -> AreaPoints:
    weight = 0.0
    credit = 0.0
    for item in items:
        if item.credit is not None:
            weight += item.weight
            credit += item.weight * item.credit
    return AreaPoints(None if weight == 0.0 else 100.0 * credit / weight, weight)


def _points(items: Sequence[ItemVerdict], watches: Sequence[WatchFinding]) -> float | None:
    points = _weighted(items).points
    if points is None:
        return None
    for watch in watches:
        if watch.because is None:
            points -= DEDUCTIONS[watch.severity]
    return max(0.0, round(points, 6))


def _outcome(
    exercise: Exercise,
    rows: Sequence[Row],
    tracks: Sequence[Track],
    gates: Sequence[GateResult],
    watches: Sequence[WatchFinding],
    points: float | None,
    reason: str,
) -> tuple[str, str]:
    """Outcome and the reason for it."""
    if reason not in (STOPPED, LEVEL):
        return "repeat", reason or UNFINISHED
    for gate in gates:
        if gate.result == "failed" and not _is_answered(gate, rows, tracks):
            is_late = any(row.phase in ANSWERED for row in rows[gate.step :])
            what = "the go-around came late" if is_late else "the approach was continued"
            return "repeat", f"the {gate.gate} gate was not met and {what}"
    for watch in watches:
        if watch.severity == "critical":
            return "repeat", f"{watch.watch}: {watch.why}" if watch.why else watch.watch
    if points is None or points < exercise.pass_points:
        shown = "no points" if points is None else f"{points:.1f} points"
        return "repeat", f"{shown}, {exercise.pass_points:.0f} are needed"
    return "passed", reason


def _is_answered(gate: GateResult, rows: Sequence[Row], tracks: Sequence[Track]) -> bool:
    """Whether the gate was answered in its window; a phase shows one row after the act.

    The window lasts as long as the go-around that this gate asked for was due, which moves while
    something more urgent is open: who is on time has answered.
    """
    until = gate.step + GO_AROUND_WINDOW
    for track in tracks:
        is_asked_by_it = track.item.act.control == "go-around" and track.opened == gate.step
        if is_asked_by_it and track.due != NEVER:
            until = max(until, track.due)
    return any(row.phase in ANSWERED for row in rows[gate.step : until + 2])


def _annunciations(tracker: Tracker, rows: Sequence[Row]) -> tuple[Annunciation, ...]:
    shown: list[Annunciation] = []
    said = sorted(tracker.hearing.said)
    starts = [row.step for before, row in pairwise(rows) if row.modes != before.modes]
    for place, step in enumerate([0, *starts]):
        until = starts[place] if place < len(starts) else len(rows)
        words = [text for when, text in said if step <= when < until]
        shown.append(Annunciation(step, *rows[step].modes.texts(), "; ".join(words) or None))
    return tuple(shown)
