"""The board: every item of a flight with its window, opened, closed and settled step by step.

Owns opening, voiding, missing, recurring instances, giving way, and what the end of the approach
takes away. Knows no act: who matches acts to items tells it what is settled.
"""

from __future__ import annotations

from collections.abc import Iterable

from trainer.flight.acts import Fact
from trainer.flight.moments import Evaluator, is_announced
from trainer.flight.observers import NEVER
from trainer.flight.row import Row
from trainer.judge.hands import Hands
from trainer.judge.tracks import Track, track_of
from trainer.judge.truth import is_shown
from trainer.scenario.exercise import Event, Exercise
from trainer.scenario.happenings import derived_items
from trainer.scenario.moments import Happened, requirements
from trainer.units import steps_for

OF_THE_APPROACH = ("intercept localizer", "approach", "continue approach", "land")
"""Clearances that end with the approach they are for."""
SELF_CORRECTED = steps_for(3.0)
"""A slip put right within this time, before any effect, is no finding."""

ALREADY_SO = "already so when it fell due"
BEYOND_IT = "the flap lever stands beyond it"
BY_AIRCRAFT = "called by the aircraft"
SETTLED_BY_ITSELF = (ALREADY_SO, BEYOND_IT, BY_AIRCRAFT)
"""How an item is said to be done that nobody had to act for."""


class Board:
    """All tracks of one flight. `live` are those that still need looking at."""

    def __init__(self, exercise: Exercise, evaluator: Evaluator) -> None:
        self.exercise = exercise
        self.evaluator = evaluator
        self.hands = Hands(exercise, evaluator)
        self.tracks: list[Track] = []
        self.live: list[Track] = []
        self.unmatched: list[str] = []
        self.settled: list[tuple[str, str, str]] = []
        self.row: Row
        self._recurring: list[Track] = []
        self._counts: dict[str, int] = {}
        self._latest: dict[str, Track] = {}
        flow = exercise.flow
        place = 0
        for items, is_go_around in ((flow.items, False), (flow.go_around, True)):
            for item in items:
                track = track_of(item, place, evaluator, is_go_around=is_go_around)
                (self._recurring if item.each is not None else self.tracks).append(track)
                place += 1
        self._while = {
            track.name: evaluator.watch(track.item.while_)
            for track in self._recurring
            if track.item.while_ is not None
        }
        self._waiting = list(self.tracks)
        self._announce = frozenset(flow.announce)
        self._lasting = _lasting(exercise)
        self._is_over_approach = False

    def open_tracks(self) -> list[Track]:
        """Open, undone items."""
        return [track for track in self.live if track.is_open]

    def look(self, row: Row, facts: Iterable[Fact]) -> None:
        """Open, close and void what this step opens, closes and voids."""
        self.row = row
        step = row.step
        if not self._is_over_approach and row.phase in ("go-around", "discontinued"):
            self._end_approach(step)
        opened = [track for track in self._waiting if track.opens.now]
        for track in opened:
            self._waiting.remove(track)
            if not track.is_void:
                self._open(track, step)
                self.live.append(track)
        self._hold()
        settled = False
        for track in self.live:
            if track.closes == NEVER or (track.done is None and not track.is_missed):
                self._look(track, step)
            if track.is_open and self._is_passed_by(track):
                self.settle(track, step, BEYOND_IT)
            settled = settled or track.is_void or track.is_missed or track.done is not None
        if settled:
            # A late act still needs its closing; everything else is out of sight now.
            self.live = [track for track in self.live if track.is_pending or track.needs_closing]
        for track in self._recurring:
            self._recur(track, facts, step)
        self._give_way()

    def _hold(self) -> None:
        """An assigned speed stands in place of the targets of the flow until it ends."""
        is_assigned = "assigned speed" in self.evaluator.context.assigned
        for track in self.live:
            if is_assigned and track.is_pending and is_target(track):
                closes = track.closes_observer
                # What closes meanwhile was overtaken: the next target is the one that counts.
                track.is_void = closes is not None and closes.now
                track.hold()
            elif track.is_held and not is_assigned:
                track.is_held = False
                if track.is_pending and self.hands.holds(track.item.act, self.row):
                    self.settle(track, self.row.step, ALREADY_SO)

    def decline(self, event: Event, step: int, found: str) -> bool:
        """ "Unable", said while the read-back is open, is as right as complying.

        What the clearance asked for or permitted is void.
        """
        name = event.name
        answer = next(
            (one for one in self.tracks if one.item.act.event == name and one.takes_call(step)),
            None,
        )
        if answer is None:
            return False
        assert answer.opened is not None
        self.settle(answer, max(step, answer.opened), found)
        declined = (Happened("event", name), Happened("granted", event.grants))
        for track in self.tracks:
            asked = track.item.act.kind in ("set", "do") and track.done is None
            if asked and any(need in declined for need in requirements(track.item.opens)):
                track.is_void = True
        return True

    def _give_way(self) -> None:
        """Less urgent items wait while a more urgent one is open."""
        if len(self.live) < 2:
            return
        open_tracks = self.open_tracks()
        first = min((track.urgency for track in open_tracks), default=0)
        for track in open_tracks:
            if track.urgency > first:
                track.give_way()

    def _open(self, track: Track, step: int) -> None:
        if track.void_observer is not None and track.void_observer.now:
            track.is_void = True
            return
        if track.item.is_response:
            # One pilot alone has nobody to answer.
            track.is_void = True
            return
        track.open_at(step)
        if track.closes <= step:
            # Its window was over before it began: nobody could have acted.
            track.is_void = True
        if track.is_void:
            return
        if track.item.role == "aircraft":
            track.is_waived = True
            self.settle(track, step, BY_AIRCRAFT)
            return
        act = track.item.act
        if track.early is not None:
            if act.kind in ("say", "checklist") or self.hands.holds(act, self.row):
                self.settle(track, track.early.step, track.early.found)
        elif track.is_early_done or any(
            one.kind in ("do", "set") and self.hands.holds(one, self.row)
            for one in (track.item.answers or (act,))
        ):
            self.settle(track, step, ALREADY_SO)

    def _look(self, track: Track, step: int) -> None:
        if track.is_void:
            return
        track.look(step)
        if track.done is not None or track.is_missed:
            return
        if track.void_observer is not None and track.void_observer.now and step < track.due:
            track.is_void = True
        elif step > track.closes:
            track.is_void = track.is_held
            track.is_missed = not track.is_held

    def _is_passed_by(self, track: Track) -> bool:
        """Whether a flap stage is overtaken by the lever: configuration is judged by its effect.

        On the approach a further stage, in a go-around a stage already retracted.
        """
        act = track.item.act
        if act.control != "flaps":
            return False
        beyond = self.row.flap_lever - self.exercise.aircraft.stage_index(act.position)
        return beyond < 0 if track.is_go_around else beyond > 0

    def _recur(self, track: Track, facts: Iterable[Fact], step: int) -> None:
        if self._is_over_approach and not track.is_go_around:
            return
        each = track.item.each
        if isinstance(each, Happened) and each.kind == "changed":
            causes: list[Fact | None] = [
                fact
                for fact in facts
                if fact.kind == "mode" and self._concerns(each, fact) and self._is_still_shown(fact)
            ]
        else:
            # A state counts at the step at which it comes about, and again while it lasts once
            # nobody answered to it in time; a happening counts whenever it occurs.
            latest = self._latest.get(track.name)
            is_new = not track.was_true or (latest is not None and latest.is_missed)
            is_now = getattr(track.opens, "occurred", track.opens.now and is_new)
            track.was_true = track.opens.now
            causes = [None] if is_now else []
        limit = self._while.get(track.name)
        if not causes or (limit is not None and not limit.now):
            return
        for fact in causes:
            count = self._counts[track.name] = self._counts.get(track.name, 0) + 1
            instance = track_of(
                track.item, track.place, self.evaluator, is_go_around=track.is_go_around
            )
            instance.name = f"{track.name} {count}"
            instance.fact = fact
            instance.open_at(step)
            self._latest[track.name] = instance
            self.tracks.append(instance)
            self.live.append(instance)

    def _concerns(self, each: Happened, fact: Fact) -> bool:
        if each.name == "announced":
            return is_announced(fact, self._announce)
        column = "armed" if fact.name.endswith("armed") else fact.name
        return each.name in ("any", column)

    def _is_still_shown(self, fact: Fact) -> bool:
        """Whether anything a change brought stands on the display; what passed within the step
        (armed and captured at once) was never there to be read."""
        words = fact.detail.split(", ")
        before = fact.before.split(", ")
        new = [word for word in words if word not in before]
        return any(is_shown(fact.name, word, self.row) for word in new)

    def _end_approach(self, step: int) -> None:
        self._is_over_approach = True
        for track in self.tracks:
            if track.is_go_around or track.name in self._lasting:
                continue
            if track.opened is None or (track.is_open and step < track.due):
                track.is_void = True

    def settle(self, track: Track, step: int, found: str) -> None:
        """Take `track` as done at `step`."""
        track.done = step
        track.is_missed = False
        track.done_found = found
        self.settled.append(("done", track.item.name, ""))

    def still_to_come(self, tracks: Iterable[Track]) -> list[Track]:
        """Those of `tracks` that have not opened and still may; go-around items only in one."""
        return [
            track
            for track in tracks
            if track.is_waiting
            and track.is_go_around == self._is_over_approach
            and not (track.void_observer is not None and track.void_observer.now)
        ]

    def open_line(self, track: Track) -> None:
        """Open a checklist line that is answered before its answer is true."""
        self._waiting.remove(track)
        track.open_at(self.row.step)

    def put_right(self, track: Track, step: int) -> None:
        """A wrong act that is put right at once was a slip of the hand."""
        if track.wrong is not None and step - track.wrong.step <= SELF_CORRECTED:
            track.wrong = None


def _lasting(exercise: Exercise) -> frozenset[str]:
    """Items of clearances that hold whether an approach is flown or not: they outlive it."""
    names: set[str] = set()
    for event in exercise.events:
        if event.grants not in OF_THE_APPROACH:
            names.update(item.name for item in derived_items(event, True))
    return frozenset(names)


def is_target(track: Track) -> bool:
    """Whether an item of the flow asks for a target speed of its own."""
    act, opens = track.item.act, track.item.opens
    is_of_clearance = isinstance(opens, Happened) and opens.kind == "event"
    return act.control == "speed" and not track.is_go_around and not is_of_clearance


def first_due(tracks: Iterable[Track]) -> Track | None:
    """The track due first, then closing first, then first in the file; None without any."""
    best: Track | None = None
    for track in tracks:
        if best is None or (track.due, track.closes, track.place) < (
            best.due,
            best.closes,
            best.place,
        ):
            best = track
    return best
