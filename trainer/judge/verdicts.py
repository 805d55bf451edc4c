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
from trainer.judge.causes import (
    AIR_UPSETS_S,
    CRITERION_CAUSES,
    DIRECT_CAUSES,
    OF_THE_AIR,
    touches,
)
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
from trainer.judge.watches import Excursion
from trainer.scenario.exercise import Exercise
from trainer.scenario.procedure import recurring_part
from trainer.units import steps_for

GO_AROUND_WINDOW = steps_for(8.0)
"""Time within which a failed gate must be answered by a go-around or discontinuation."""
ANSWERED = ("go-around", "climb-out", "decision", "discontinued")
"""Phases that answer a failed gate."""
FAR_BEYOND_KT = 12.0
"""A limit speed exceeded by more than this is always its own finding (our figure)."""
UNFINISHED = "abandoned: the flight was not flown to an end"
"""The reason where nothing has ended the flight, such as at the end of a segment."""
ENERGY_CAUSES = ("energy", "flaps", "gear")
LEVER_CAUSES = ("flaps", "gear")


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
    troubles = [trouble for item in items if (trouble := _trouble(item, rows)) is not None]
    gates = tuple(_gate(gate, troubles, tracker.upset) for gate in tracker.gate_results())
    watches = tuple(
        _watch(excursion, troubles)
        for excursion in sorted(tracker.watcher.excursions, key=lambda one: one.start)
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
        corrected = _corrected(track, wrong)
        is_corrected = corrected is not None
        at = began_at = wrong.step
    elif verdict in ("late", "missed"):
        began_at = track.due if track.due != NEVER else track.closes
    item = track.item
    place = None if at is None or at >= len(rows) else rows[at].distance_nm
    return ItemVerdict(
        item=track.name,
        area=item.area,
        verdict=verdict,
        done=track.done if verdict not in ("early", "wrong") else at,
        opened=track.opened,
        due=None if track.due == NEVER else track.due,
        closed=None if track.closes == NEVER or track.closes >= len(rows) else track.closes,
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


def _corrected(track: Track, wrong: Wrong) -> int | None:
    """When a wrong act was put right; a checklist line only by being read again."""
    if track.item.act.kind == "line":
        return track.corrected
    return track.done if track.done is not None and track.done > wrong.step else None


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
        return "wrong", 0.0 if _corrected(track, wrong) is None else 0.5
    assert track.done is not None
    if track.done <= track.due:
        return "on time", 1.0
    span = track.closes - track.due if track.closes != NEVER else LATE_SPAN
    if span <= 0:
        return "late", 0.0
    return "late", max(0.0, 1.0 - (track.done - track.due) / span)


# What follows from what -------------------------------------------------------------------------


class _Trouble:
    """An item verdict that may explain outcomes: from when until when it stood uncorrected."""

    __slots__ = ("item", "start", "stop", "touches")

    def __init__(self, item: ItemVerdict, start: int, stop: int) -> None:
        self.item, self.start, self.stop = item, start, stop
        self.touches = item.touches


def _trouble(item: ItemVerdict, rows: Sequence[Row]) -> _Trouble | None:
    if not item.is_finding or item.began_at is None:
        return None
    stop = len(rows)
    ended = item.done if item.verdict == "late" else item.corrected
    if ended is not None:
        # Energy lost by a late selection is made good only when the gate has been met.
        stop = ended
        if any(cause in ENERGY_CAUSES for cause in item.touches):
            stop = _gate_step(rows, ended)
    return _Trouble(item, item.began_at, stop)


def _gate_step(rows: Sequence[Row], since: int) -> int:
    """The step after which no margin is left to speak of: the main gate, or the end."""
    for row in rows[since:]:
        if row.margin_nm is None:
            return row.step + 1
    return len(rows)


def _because(
    causes: Sequence[str], step: int, troubles: Sequence[_Trouble], until: int = 0
) -> str | None:
    """The earliest item verdict uncorrected at `step` (or up to `until`) that touches a cause.

    What must be so for a while before it is found may follow from what went wrong in that while.
    """
    best: _Trouble | None = None
    for trouble in troubles:
        if not trouble.start <= max(step, until) + 1 or step > trouble.stop:
            continue
        if not any(cause in causes for cause in trouble.touches):
            continue
        if best is None or trouble.start < best.start:
            best = trouble
    return best.item.item if best is not None else None


def _gate(
    gate: GateResult, troubles: Sequence[_Trouble], upset: Sequence[tuple[int, str]]
) -> GateResult:
    if gate.result != "failed":
        return gate
    causes = [cause for one in gate.failed for cause in CRITERION_CAUSES[one.criterion]]
    # What is missing at the gate names its own lever or list before anything that lies further off.
    direct = [cause for one in gate.failed for cause in DIRECT_CAUSES.get(one.criterion, ())]
    because = _because(direct, gate.step, troubles) or _because(causes, gate.step, troubles)
    because = because or air_that_upset(gate, upset)
    return GateResult(gate.gate, gate.step, gate.distance_nm, gate.result, gate.failed, because)


def air_that_upset(gate: GateResult, upset: Sequence[tuple[int, str]]) -> str | None:
    """The change of the wind that explains the gate: what a planted event does is nobody's slip."""
    if not all(one.criterion in OF_THE_AIR for one in gate.failed):
        return None
    since = gate.step - steps_for(AIR_UPSETS_S)
    return next((name for step, name in upset if since <= step <= gate.step), None)


def _watch(excursion: Excursion, troubles: Sequence[_Trouble]) -> WatchFinding:
    watch = excursion.watch
    if watch.kind == "mismatch":
        # Words follow only from the call they were said for, never from another slip.
        because = next(
            (
                one.item.item
                for one in troubles
                if one.item.verdict == "wrong" and one.start == excursion.start
            ),
            None,
        )
    elif _is_far_beyond(excursion):
        because = None
    else:
        found = excursion.start + steps_for(watch.for_s)
        # What has a lever of its own names that before anything further off, as at a gate.
        direct = [cause for cause in watch.causes if cause in LEVER_CAUSES]
        because = _because(direct, excursion.start, troubles, found) or _because(
            watch.causes, excursion.start, troubles, found
        )
    return WatchFinding(
        watch=watch.name,
        severity=excursion.severity,
        start=excursion.start,
        end=excursion.end,
        worst=excursion.worst,
        limit=excursion.limit,
        unit=excursion.unit,
        because=because,
        why=excursion.detail or watch.why,
        source=watch.source,
    )


def _is_far_beyond(excursion: Excursion) -> bool:
    """Whether a limit was exceeded by so much that nothing excuses it."""
    if excursion.worst is None or excursion.limit is None:
        return False
    return abs(excursion.worst - excursion.limit) > FAR_BEYOND_KT


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
            return "repeat", f"the {gate.gate} gate was not met and the approach was continued"
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
        modes = rows[step].modes
        until = starts[place] if place < len(starts) else len(rows)
        words = [text for when, text in said if step <= when < until]
        shown.append(
            Annunciation(
                step,
                modes.lateral,
                modes.vertical,
                ", ".join(modes.lateral_armed),
                ", ".join(modes.vertical_armed),
                modes.thrust,
                modes.engagement,
                modes.capability,
                "; ".join(words) or None,
            )
        )
    return tuple(shown)
