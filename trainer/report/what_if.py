"""What would have happened: an attempt flown again with one slip put right.

Owns the one edit and what of the recording still applies after it. It changes no judgement.
Surprising rule: until the edit the flight is the same to the last bit; after it a recorded act is
kept while the step it settled opens as it did. Where that moment has moved, the step is done with
the delay the pilot took; where it has gone, the act is left out; what opens only now is done as a
good crew would.
"""

from __future__ import annotations

from collections.abc import Sequence

from trainer.crew.session import Session
from trainer.crew.words import act_of
from trainer.errors import UserError, did_you_mean
from trainer.flight.acts import Act, Fact, by_step, numbered
from trainer.flight.row import Row
from trainer.judge.judgement import GateResult, Judgement
from trainer.judge.tracker import Tracker
from trainer.judge.tracks import Track
from trainer.judge.truth import MODE_CLAIMS
from trainer.scenario.book import book_of
from trainer.scenario.exercise import Exercise
from trainer.text import quoted
from trainer.values import dataclass

_KINDS = {
    "do": ("press", "move"),
    "set": ("set",),
    "say": ("say",),
    "read back": ("read back",),
    "checklist": ("checklist",),
    "line": ("line",),
}
Key = tuple[str, str, str, int]
"""What makes a step the same in both flights: its name, or its item and the change that opened it,
with the how manieth of these it is."""


@dataclass(frozen=True, slots=True)
class WhatIf:
    """The flight as it would have been: its judgement and rows, and the item put right."""

    item: str
    judgement: Judgement
    rows: Sequence[Row]


@dataclass(slots=True)
class _Recorded:
    """One step of the recording: when it opened, when and by which acts it was settled.

    `was_left_out`: never settled, though its time came.
    """

    opened: int
    done: int | None
    was_in_time: bool
    was_left_out: bool
    acts: tuple[int, ...]


@dataclass(slots=True)
class _Slip:
    """The slip that is put right: its step, and the serials of the acts it was made of."""

    key: Key
    acts: frozenset[int]
    button: str


def what_if(
    exercise: Exercise, acts: Sequence[Act], facts: Sequence[Fact], rows: Sequence[Row], item: str
) -> WhatIf:
    """Fly the attempt again with the slip on `item` put right.

    Args:
        exercise: the drawn exercise that was flown.
        acts: what was done, in order.
        facts: what happened, as stored.
        rows: the flight, as stored.
        item: name of the item, as the judgement has it ("mode call 2") or as the debrief calls it
            ("mode call 2 (glide captured)").

    Raises:
        UserError: there is no such item, or nothing was wrong with it.
    """
    acts = numbered(acts)
    tracker, recorded = _recording(exercise, acts, facts, rows)
    named = {track.name: (key, track) for key, track in _keyed(tracker.tracks).items()}
    if item not in named:
        item = item.partition(" (")[0]
    if item not in named:
        raise UserError(f"there is no item {quoted(item)}{did_you_mean(item, list(named))}")
    slip = _slip(*named[item], acts, recorded)
    session = Session(exercise, book_of(exercise))
    pilot = _Pilot(session.tracker, acts, rows, recorded, slip)
    if any(fact.kind == "end" for fact in facts):
        return WhatIf(item, session.run(pilot.acts), session.flight.rows)
    while not session.is_over and session.row.step < rows[-1].step:  # a segment ends where it did
        session.step(pilot.acts(session.row))
    return WhatIf(item, session.judgement(), session.flight.rows)


# The recording ----------------------------------------------------------------------------------


def _recording(
    exercise: Exercise, acts: Sequence[Act], facts: Sequence[Fact], rows: Sequence[Row]
) -> tuple[Tracker, dict[Key, _Recorded]]:
    """The tracker at the end of the recorded flight, and every step that opened in it."""
    acts_of = by_step(acts)
    facts_of = by_step(facts)
    tracker = Tracker(exercise, book_of(exercise))
    tracker.start(rows[0])
    settled: dict[str, tuple[int, ...]] = {}
    for row in rows[1:]:
        step = row.step - 1
        taken = acts_of.get(step, [])
        waiting = [track for track in tracker.tracks if track.done is None] if taken else []
        tracker.advance(taken, facts_of.get(step, []), row)
        for track in waiting:
            if track.done is not None:
                settled[track.name] = tuple(act.serial for act in taken if _fits(act, track))
    last = rows[-1].step
    recorded = {
        key: _Recorded(
            track.opened,
            track.done,
            track.done is not None and track.done <= track.due,
            track.done is None and (track.is_missed or (track.is_open and track.due < last)),
            settled.get(track.name, ()),
        )
        for key, track in _keyed(tracker.tracks).items()
        if track.opened is not None
    }
    return tracker, recorded


def _keyed(tracks: Sequence[Track]) -> dict[Key, Track]:
    """Every track by what it is called in both flights."""
    found: dict[Key, Track] = {}
    for track in tracks:
        fact = track.fact
        name = (track.name, "", "") if fact is None else (track.item.name, fact.name, fact.detail)
        count = 1
        while (*name, count) in found:
            count += 1
        found[*name, count] = track
    return found


def _fits(act: Act, track: Track) -> bool:
    """Whether `act` can be what settled or spoilt `track`."""
    expected = track.item.act
    if track.item.answers:
        return True
    if act.act not in _KINDS[expected.kind]:
        return False
    if expected.kind in ("do", "set"):
        return act.control == expected.control
    if expected.kind in ("checklist", "line"):
        return act.control in (expected.checklist, "")
    return True


def _slip(key: Key, track: Track, acts: Sequence[Act], recorded: dict[Key, _Recorded]) -> _Slip:
    """What the slip on `track` was made of.

    Raises:
        UserError: nothing was wrong with it.
    """
    wrongs = [wrong.step for wrong in (track.early, track.wrong) if wrong is not None]
    is_late = track.done is not None and track.done > track.due
    is_undone = track.is_missed or (track.is_open and track.due <= track.closes)
    if not (wrongs or is_late or is_undone):
        raise UserError(f"{quoted(track.name)} was not missed, late, early or wrong")
    own = recorded.get(key)
    serials = set(own.acts) if own is not None else set()
    serials |= {
        act.serial for act in acts if act.step in wrongs or act.began in wrongs if _fits(act, track)
    }
    button = track.item.act.control if _is_button(track) else ""
    if button and wrongs:
        # Pressed, taken away and pressed again: all of it belongs to the slip.
        until = track.done if track.done is not None else min(wrongs)
        serials |= {
            act.serial for act in acts if act.control == button and min(wrongs) <= act.step <= until
        }
    return _Slip(key, frozenset(serials), button if not serials else "")


def _is_button(track: Track) -> bool:
    return track.item.act.kind == "do" and not track.item.act.position


# Flown again ------------------------------------------------------------------------------------


class _Pilot:
    """The pilot of the recording, without the slip: gives the acts of each step."""

    def __init__(
        self,
        tracker: Tracker,
        acts: Sequence[Act],
        rows: Sequence[Row],
        recorded: dict[Key, _Recorded],
        slip: _Slip,
    ) -> None:
        self._tracker = tracker
        self._rows = rows
        self._recorded = recorded
        self._slip = slip
        self._button = slip.button
        self._due = by_step(act for act in acts if act.serial not in slip.acts)
        self._steps_of: dict[int, list[Key]] = {}
        for key, one in recorded.items():
            for serial in one.acts:
                self._steps_of.setdefault(serial, []).append(key)
        self._now: dict[Key, Track] = {}
        self._seen = 0
        self._done: set[Key] = set()
        self._owed: set[Key] = set()

    def acts(self, row: Row) -> list[Act]:
        """What is done at `row`."""
        tracks = self._tracker.tracks
        if len(tracks) != self._seen:
            self._now = _keyed(tracks)
            self._seen = len(tracks)
        found = [kept for act in self._due.get(row.step, ()) if (kept := self._applied(act, row))]
        for key, track in self._now.items():
            if track.is_open and key not in self._done and self._is_time(key, track, row.step):
                self._done.add(key)
                found.append(act_of(track.item.act, row, self._tracker, "pilot", track))
        return found

    def _applied(self, act: Act, row: Row) -> Act | None:
        """What becomes of a recorded act at `row`: itself, itself with new figures, or nothing."""
        is_put_right = self._slip.key in self._done
        if is_put_right and act.act == "press" and act.control == self._button:
            # What was missed and is now done would be undone by the same button pressed later.
            self._button = ""
            return None
        keys = self._steps_of.get(act.serial, [])
        then = [self._now[key] for key in keys if self._has_opened_as_then(key)]
        if keys and not then:
            return None
        if row.modes != self._rows[act.step].modes and self._is_about_modes(act, bool(keys)):
            # It went by what was shown, and means something else where that differs.
            self._owed.update(keys)
            return None
        if then and row != self._rows[act.step] and self._has_figures(then[0]):
            return act_of(then[0].item.act, row, self._tracker, act.by, then[0])
        return act

    def _has_figures(self, track: Track) -> bool:
        """Whether what is said or set for this step depends on where the aircraft is."""
        expected = track.item.act
        return expected.kind == "say" or (expected.kind == "set" and expected.figure is not None)

    def _is_about_modes(self, act: Act, has_settled: bool) -> bool:
        """Whether `act` is a call that names a mode, or a button that nothing asked for."""
        if act.act != "say":
            return act.act == "press" and not has_settled
        calls = self._tracker.book.hear(act.text).calls
        return any(call.intent in MODE_CLAIMS for call in calls)

    def _has_opened_as_then(self, key: Key) -> bool:
        track = self._now.get(key)
        return track is not None and track.opened == self._recorded[key].opened

    def _is_time(self, key: Key, track: Track, step: int) -> bool:
        """Whether this open step is done now by other than the recorded acts."""
        if track.item.role == "aircraft":
            return False
        one = self._recorded.get(key)
        if key == self._slip.key or one is None:
            return track.aim_at(step)
        if one.was_left_out:
            return False
        is_as_then = one.opened == track.opened
        if one.done is None:  # the flight took it away before it was due
            return step >= track.due if is_as_then else track.aim_at(step)
        if is_as_then and key not in self._owed:
            return False
        assert track.opened is not None
        until = track.opened + one.done - one.opened
        return step >= (min(until, track.due) if one.was_in_time else until)


# The difference ---------------------------------------------------------------------------------


def told(
    judgement: Judgement,
    exercise: Exercise,
    acts: Sequence[Act],
    facts: Sequence[Fact],
    rows: Sequence[Row],
    items: Sequence[str],
) -> dict[str, tuple[str, ...]]:
    """For each of `items` what putting it right would have changed. Raises UserError."""
    found: dict[str, tuple[str, ...]] = {}
    for item in items:
        flown = what_if(exercise, acts, facts, rows, item)
        found[item] = differences(judgement, flown.judgement)
    return found


def differences(before: Judgement, after: Judgement) -> tuple[str, ...]:
    """What the edit changed, as sentences: gates, findings, outcome and points."""
    told = []
    was = {gate.gate: gate for gate in before.gates}
    now = {gate.gate: gate for gate in after.gates}
    for name in dict.fromkeys((*was, *now)):
        told += _gate_difference(name, was.get(name), now.get(name))
    gone = sorted(_findings(before) - _findings(after))
    come = sorted(_findings(after) - _findings(before))
    if gone:
        told.append(f"gone: {'; '.join(gone)}")
    if come:
        told.append(f"new: {'; '.join(come)}")
    if (before.outcome, before.reason) == (after.outcome, after.reason):
        told.append(f"{_points(after)} instead of {_points(before)}")
    else:
        told.append(f"{_outcome(after)} instead of {_outcome(before)}")
    return tuple(told)


def _gate_difference(name: str, was: GateResult | None, now: GateResult | None) -> list[str]:
    results = ["" if one is None else one.result for one in (was, now)]
    if results[0] == results[1]:
        return []
    words = {"passed": "met", "failed": "not met", "": "not reached"}
    return [f"the {name} gate {words[results[1]]} instead of {words[results[0]]}"]


def _findings(judgement: Judgement) -> set[str]:
    found = {f"{one.item} {one.verdict}" for one in judgement.items if one.is_finding}
    return found | {f"{one.watch} ({one.severity})" for one in judgement.watches}


def _outcome(judgement: Judgement) -> str:
    return f"{judgement.outcome} with {_points(judgement)} ({judgement.reason})"


def _points(judgement: Judgement) -> str:
    return "no points" if judgement.points is None else f"{judgement.points:.1f} points"
