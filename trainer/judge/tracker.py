"""The tracker: follows every item through a flight, step by step, and never flies.

One implementation for everybody: the live judge, the perfect crew, the hints and the batch judge
are all this. It reads rows, acts and facts; from the flight it takes nothing else. Matching of an
act: (1) the open undone item with the same control and right value that is due first; (2) an item
not yet open: early; (3) an open item of the same control with another value: wrong, pending;
(4) else unmatched, which costs nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from trainer.flight.acts import Act, Fact
from trainer.flight.moments import NEVER, Evaluator, is_announced
from trainer.flight.row import Row
from trainer.judge.gates import GateWatch
from trainer.judge.hands import Hands
from trainer.judge.judgement import GateResult
from trainer.judge.tracks import Track, Wrong, track_of
from trainer.judge.truth import (
    MODE_CLAIMS,
    contradiction,
    family,
    is_mode_claim_true,
    is_shown,
    read_back_error,
)
from trainer.judge.watches import Watcher
from trainer.scenario.exercise import Exercise
from trainer.scenario.moments import Happened
from trainer.scenario.phrases import Call, PhraseBook
from trainer.units import steps_for

CALL_MAX = steps_for(8.0)
"""A call counts from the moment it was opened, but not from earlier than this before sending."""
SHOWN_FOR = steps_for(2.0)
"""What was shown this long before a call was opened still counts as seen."""
SELECTOR_STANDS = steps_for(1.0)
SELF_CORRECTED = steps_for(3.0)
COVERS = steps_for(5.0)
"""One mode call covers all changes of its axis this far back."""


class Tracker:
    """Items of one flight on their way.

    Call `start` with row 0, then `advance` once per step, then `finish`.
    """

    def __init__(self, exercise: Exercise, book: PhraseBook) -> None:
        self.exercise = exercise
        self.book = book
        self.evaluator = Evaluator(exercise, book)
        self.hands = Hands(exercise, self.evaluator)
        flow = exercise.flow
        self.tracks: list[Track] = []
        self._recurring: list[Track] = []
        self._counts: dict[str, int] = {}
        place = 0
        for items, is_go_around in ((flow.items, False), (flow.go_around, True)):
            for item in items:
                track = track_of(item, place, self.evaluator, is_go_around=is_go_around)
                (self._recurring if item.each is not None else self.tracks).append(track)
                place += 1
        self._while = {
            track.name: self.evaluator.watch(track.item.while_)
            for track in self._recurring
            if track.item.while_ is not None
        }
        self._waiting = list(self.tracks)
        self.live: list[Track] = []
        self.gates = [GateWatch(gate, exercise) for gate in flow.gates]
        self.watcher = Watcher(exercise, self.evaluator)
        self.unmatched: list[str] = []
        self.said: list[tuple[int, str]] = []
        self.changes: list[Fact] = []
        self._events = {event.name: event for event in exercise.events}
        self._announce = frozenset(flow.announce)
        self._history: list[Row] = []
        self._standing: list[tuple[int, Track, str, str]] = []
        self._false_calls: list[tuple[Wrong, list[Track]]] = []
        self._settled: list[tuple[str, str, str]] = []
        self._is_over_approach = False
        self.row: Row

    def start(self, row: Row) -> None:
        """Look at row 0."""
        self.row = row
        self._history.append(row)
        self.evaluator.observe(row, ())
        self._open_and_close(())

    def advance(self, acts: Sequence[Act], facts: Sequence[Fact], row: Row) -> None:
        """Take the acts and facts of a step and the row they led to."""
        refused = {
            fact.name: fact.reason for fact in facts if fact.kind == "refused"
        } if facts else {}
        accepted = {fact.name for fact in facts if fact.kind == "acted"} if refused else set()
        for act in acts:
            if act.control in refused and act.control not in accepted:
                self._refused(act, refused[act.control])
            else:
                self._match(act, row)
        self.row = row
        self._history.append(row)
        happenings = self._settled
        self._settled = []
        for gate in self.gates:
            result = gate.look(row, self.tracks)
            if result is not None:
                happenings.append(("gate", gate.gate.name, result))
        self.evaluator.observe(row, facts, happenings)
        if self._standing:
            self._look_at_standing()
        self._open_and_close(facts)
        self.watcher.look(row, facts)
        for fact in facts:
            if fact.kind == "mode":
                self.changes.append(fact)

    def open_tracks(self) -> list[Track]:
        """Open, undone items, in file order."""
        return [track for track in self.live if track.is_open]

    def gate_results(self) -> list[GateResult]:
        """Gates judged so far."""
        return [gate.result for gate in self.gates if gate.result is not None]

    # Windows ------------------------------------------------------------------------------------

    def _open_and_close(self, facts: Iterable[Fact]) -> None:
        row = self.row
        step = row.step
        if not self._is_over_approach and row.phase in ("go-around", "discontinued"):
            self._end_approach(step)
        opened = [track for track in self._waiting if track.opens.now]
        for track in opened:
            self._waiting.remove(track)
            if not track.is_void:
                self._open(track, step)
                self.live.append(track)
        settled = False
        for track in self.live:
            if track.closes == NEVER or (track.done is None and not track.is_missed):
                self._look(track, step)
            settled = settled or track.is_void or track.is_missed or track.done is not None
        if settled:
            # A late act still needs its closing; everything else is out of sight now.
            self.live = [track for track in self.live if track.is_open or track.needs_closing]
        for track in self._recurring:
            self._recur(track, facts, step)
        self._give_way()

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
        track.open_at(step)
        if track.closes <= step:
            # Its window was over before it began: nobody could have acted.
            track.is_void = True
            return
        act = track.item.act
        if track.early is not None:
            if act.kind in ("say", "checklist") or self.hands.holds(act, self.row):
                self._settle(track, track.early.step, track.early.found)
                track.is_early_done = True
        elif track.is_early_done or (
            act.kind in ("do", "set") and self.hands.holds(act, self.row)
        ):
            track.is_early_done = False
            self._settle(track, step, "already so when it fell due")

    def _look(self, track: Track, step: int) -> None:
        if track.is_void:
            return
        track.look(step)
        if track.done is not None or track.is_missed:
            return
        if track.void_observer is not None and track.void_observer.now and step < track.due:
            track.is_void = True
        elif step > track.closes:
            track.is_missed = True

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
            is_now = getattr(track.opens, "occurred", track.opens.now)
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
            if track.is_go_around:
                continue
            if track.opened is None or (track.is_open and step < track.due):
                track.is_void = True

    def _settle(self, track: Track, step: int, found: str) -> None:
        track.done = step
        track.is_missed = False
        track.done_found = found
        track.row_done = self.row
        self._settled.append(("done", track.item.name, ""))

    # Matching -----------------------------------------------------------------------------------

    def _first_due(self, tracks: Iterable[Track]) -> Track | None:
        best: Track | None = None
        for track in tracks:
            if best is None or (track.due, track.closes, track.place) < (
                best.due,
                best.closes,
                best.place,
            ):
                best = track
        return best

    def _refused(self, act: Act, reason: str) -> None:
        """A refused act settles nothing; it is early only where early is forbidden."""
        for track in self.tracks:
            item = track.item
            if (
                track.is_waiting
                and item.early == "forbidden"
                and item.act.kind == "do"
                and item.act.control == act.control
                and track.early is None
            ):
                track.early = Wrong(act.step, f"refused: {reason}")
                return

    def _match(self, act: Act, after: Row) -> None:
        match act.act:
            case "say":
                self._match_call(act)
            case "read back":
                self._match_read_back(act)
            case "checklist":
                self._match_simple(act, "checklist")
            case "line":
                self._match_line(act)
            case _:
                self._match_hand(act, after)

    def _match_hand(self, act: Act, after: Row) -> None:
        kind = "set" if act.act == "set" else "do"
        same = [
            track
            for track in self.tracks
            if track.item.act.kind == kind and track.item.act.control == act.control
        ]
        right = [track for track in same if self.hands.matches(track.item.act, act)]
        track = self._first_due(one for one in right if one.is_open)
        if track is not None:
            if self.hands.has_effect(track.item.act, after):
                self._put_right(track, act.step)
                self._settle(track, act.step, found_text(act, after))
            else:
                self.unmatched.append(f"{found_text(act, after)}: without effect")
            return
        self._leave(same, act)
        waiting = [one for one in right if one.is_waiting]
        if waiting:
            self._early(waiting[0], act, after)
            return
        open_one = self._first_due(one for one in same if one.is_open)
        if open_one is None:
            self.unmatched.append(found_text(act, after))
        elif not self.hands.is_on_the_way(open_one.item.act, act, self.row):
            value = act.value
            self._standing.append((act.step + SELECTOR_STANDS, open_one, act.control, value))

    def _early(self, track: Track, act: Act, after: Row) -> None:
        if track.item.early == "fine":
            return
        if track.early is None:
            track.early = Wrong(act.step, found_text(act, after))

    def _leave(self, same: Iterable[Track], act: Act) -> None:
        """A control that leaves an early value again within 3 s was a slip of the hand."""
        for track in same:
            if (
                track.is_waiting
                and track.early is not None
                and act.step - track.early.step <= SELF_CORRECTED
                and act.act != "press"
            ):
                track.early = None

    def _put_right(self, track: Track, step: int) -> None:
        if track.wrong is not None and step - track.wrong.step <= SELF_CORRECTED:
            track.wrong = None
        self._standing = [one for one in self._standing if one[1] is not track]

    def _look_at_standing(self) -> None:
        """A lever or selector counts as wrong once it has stood for a second."""
        step = self.row.step
        still: list[tuple[int, Track, str, str]] = []
        for when, track, control, value in self._standing:
            if step < when:
                still.append((when, track, control, value))
            elif track.is_open and track.wrong is None:
                found = f"{control} {value}".strip()
                track.wrong = Wrong(when - SELECTOR_STANDS, found)
        self._standing = still

    def _match_simple(self, act: Act, kind: str) -> None:
        same = [
            track
            for track in self.tracks
            if track.item.act.kind == kind and track.item.act.checklist == act.control
        ]
        track = self._first_due(one for one in same if one.is_open)
        if track is not None:
            self._settle(track, act.step, f"{act.control} checklist begun")
            return
        waiting = [one for one in same if one.is_waiting]
        if not waiting:
            self.unmatched.append(f"{act.control} checklist begun")
        elif waiting[0].item.early == "fine":
            waiting[0].is_early_done = True
        elif waiting[0].early is None:
            waiting[0].early = Wrong(act.step, f"{act.control} checklist begun")

    def _match_line(self, act: Act) -> None:
        row = self.row
        for track in self.tracks:
            expected = track.item.act
            if (
                expected.kind == "line"
                and expected.checklist == row.checklist
                and expected.challenge == row.challenge
                and track.done is None
                and not track.is_void
            ):
                if track.opened is None:
                    track.open_at(row.step)
                    self._waiting.remove(track)
                if not all(line.now for line in track.lines):
                    track.wrong = Wrong(act.step, f"{expected.challenge} confirmed, but not so")
                self._settle(track, act.step, f"{expected.challenge} confirmed")
                return
        self.unmatched.append("checklist line")

    # Speech -------------------------------------------------------------------------------------

    def call_step(self, act: Act) -> int:
        """The step at which a call counts as made: its opening, at most 8 s before sending."""
        return act.step if act.began < 0 else max(act.began, act.step - CALL_MAX)

    def rows_before(self, step: int) -> list[Row]:
        """The rows whose display still counts as seen when a call was opened at `step`."""
        last = min(step, len(self._history) - 1)
        return self._history[max(0, last - SHOWN_FOR) : last + 1]

    def _match_call(self, act: Act) -> None:
        utterance = self.book.hear(act.text)
        step = self.call_step(act)
        rows = self.rows_before(step)
        self.said.append((step, act.text))
        is_used = False
        claims: list[Call] = []
        for call in utterance.calls:
            if not call.intent:
                continue
            false = contradiction(call, rows, self.exercise)
            if call.intent in MODE_CLAIMS:
                claims.append(call)
                self.watcher.said_of_modes(step, call, false, rows)
            is_used |= self._match_intent(call, step, act, false)
        if claims:
            is_used |= self._match_modes(claims, step, act, rows)
        if not is_used:
            self._unexpected(utterance.calls, step, act, rows)

    def _match_intent(self, call: Call, step: int, act: Act, false: str) -> bool:
        same = [
            track
            for track in self.tracks
            if track.item.act.kind == "say" and track.item.act.intent == call.intent
        ]
        track = self._first_due(one for one in same if one.takes_call(step))
        if track is not None:
            assert track.opened is not None
            if false:
                track.wrong = track.wrong or Wrong(step, f'said "{act.text}"; {false}')
            else:
                self._put_right(track, step)
                self._settle(track, max(step, track.opened), f'said "{act.text}"')
            return True
        waiting = [one for one in same if one.is_waiting]
        if not waiting:
            return False
        if waiting[0].item.early == "fine":
            waiting[0].is_early_done = True
        elif waiting[0].early is None:
            waiting[0].early = Wrong(step, f'said "{act.text}"')
        return True

    def _match_modes(self, claims: list[Call], step: int, act: Act, rows: list[Row]) -> bool:
        """Settle every open mode call that the words cover; a false word makes its axis wrong."""
        is_used = False
        for track in self.tracks:
            if track.item.act.intent != "mode shown" or not track.takes_call(step):
                continue
            fact = track.fact
            axis = family(fact.name) if fact is not None else ""
            same_axis = [
                call for call in claims if not axis or family(MODE_CLAIMS[call.intent][0]) == axis
            ]
            if not same_axis:
                continue
            is_used = True
            assert track.opened is not None
            false = [
                call for call in same_axis if not is_mode_claim_true(call.intent, rows)
            ]
            if false:
                text = contradiction(false[0], rows, self.exercise)
                track.wrong = track.wrong or Wrong(step, f'said "{act.text}"; {text}')
            elif step - track.opened <= COVERS or self._names_change(same_axis, fact):
                self._put_right(track, step)
                self._settle(track, max(step, track.opened), f'said "{act.text}"')
        return is_used

    def _names_change(self, claims: list[Call], fact: Fact | None) -> bool:
        if fact is None:
            return True
        words = fact.detail.split(", ")
        return any(
            MODE_CLAIMS[call.intent][0] == fact.name and MODE_CLAIMS[call.intent][1] in words
            for call in claims
        )

    def _unexpected(
        self, calls: Sequence[Call], step: int, act: Act, rows: list[Row]
    ) -> None:
        """Words that nobody waited for. If they claim something false they were meant for one of
        the calls that were open; for which, only its staying unsaid can tell."""
        for call in calls:
            if not call.intent:
                continue
            false = contradiction(call, rows, self.exercise)
            open_calls = [
                one for one in self.tracks if one.is_open and one.item.act.kind == "say"
            ]
            if false and open_calls:
                wrong = Wrong(step, f'said "{act.text}"; {false}')
                open_calls.sort(key=lambda one: (one.due, one.closes, one.place))
                self._false_calls.append((wrong, open_calls))
                return
        self.unmatched.append(f'said "{act.text}"')

    def attribute_false_calls(self) -> None:
        """Charge each false call to the first of the calls then open that stayed unsaid."""
        for wrong, candidates in self._false_calls:
            for track in candidates:
                if track.done is None and track.wrong is None and not track.is_void:
                    track.wrong = wrong
                    break
        self._false_calls = []

    def _match_read_back(self, act: Act) -> None:
        step = self.call_step(act)
        self.said.append((step, act.text))
        calls = self.book.hear(act.text).calls
        waiting = [
            track
            for track in self.tracks
            if track.item.act.kind == "read back" and track.takes_call(step)
        ]
        if act.control:
            waiting = [track for track in waiting if track.item.act.event == act.control]
        if not waiting:
            self.unmatched.append(f'read back "{act.text}"')
            return
        errors = {
            track.name: read_back_error(calls, self._events[track.item.act.event])
            for track in waiting
        }
        right = [track for track in waiting if not errors[track.name]]
        track = right[0] if right else waiting[-1]
        assert track.opened is not None
        if errors[track.name]:
            if track.wrong is None:
                track.wrong = Wrong(step, f'"{act.text}": {errors[track.name]}')
            return
        self._put_right(track, step)
        self._settle(track, max(step, track.opened), f'read back "{act.text}"')


def found_text(act: Act, row: Row) -> str:
    """What was done and where, as a sentence: the state is that right after the act."""
    action = f"{act.control} {act.value}".strip()
    place = f"{action} at {row.distance_nm:.1f} NM, {row.altitude_ft:.0f} ft, {row.cas_kt:.0f} kt"
    if act.control not in ("approach mode", "localizer mode"):
        return place
    received = f"localizer {_signal(row.localizer)}, glide path {_signal(row.glide)}"
    armed = " and ".join(row.modes.lateral_armed + row.modes.vertical_armed) or "nothing"
    return f"{place}; {received}; {armed} armed"


def _signal(state: str) -> str:
    return {
        "none": "not received",
        "flagged": "not received",
        "received": "received outside its coverage",
        "covered": "received",
    }[state]
