"""Words meet items: calls by intent and slots, mode calls by what is shown, read-backs by values.

A call counts from the moment it was opened and is held against what was shown in the two seconds
before. Words nobody waited for are wrong only if they claim something false.
"""

from __future__ import annotations

from collections.abc import Sequence

from trainer.flight.acts import Act, Fact
from trainer.flight.row import Row
from trainer.judge.answers import Answers
from trainer.judge.board import Board, first_due
from trainer.judge.gates import GateWatch
from trainer.judge.tracks import ORDERS, Track, Wrong
from trainer.judge.truth import (
    MODE_CLAIMS,
    contradiction,
    family,
    is_mode_claim_true,
    is_shown,
    mode_phrase,
    read_back_error,
)
from trainer.judge.watches import Watcher
from trainer.scenario.exercise import Event
from trainer.scenario.phrases import Call, PhraseBook, Utterance
from trainer.scenario.vocabulary.words import MODE_SHOWN
from trainer.units import steps_for

ASSIGNED = ("heading", "altitude", "speed")
"""Values of a clearance that are flown."""


def assigns(event: Event) -> bool:
    """Whether a clearance assigns a value that is flown."""
    return any(slot in ASSIGNED for slot, _ in event.slots)


CALL_MAX = steps_for(8.0)
"""A call counts from the moment it was opened, but not from earlier than this before sending."""
SPEECH_MIN_S = 2.0
SPEECH_PER_LETTER_S = 0.25
"""Pace of speech (common practice, our figures)."""
SAID_AGAIN = steps_for(8.0)
"""Words opened this long after words that were not understood are those words said again."""
SHOWN_FOR = steps_for(2.0)
"""What was shown this long before a call was opened still counts as seen."""
JUST_BEFORE = steps_for(8.0)
"""A go-around call made this long before the button is the call for it."""
GATE_CLAIMS = {"one thousand stable": "passed", "one thousand not stable": "failed"}
"""Calls that claim a result of the main gate."""
COVERS = steps_for(5.0)
"""One mode call covers all changes of its axis this far back."""
BRIEF = steps_for(6.0)
"""A change that was replaced within this time may be called by what replaced it."""


def speech_steps(text: str) -> int:
    """Steps that it takes to say `text`."""
    return steps_for(max(SPEECH_MIN_S, SPEECH_PER_LETTER_S * len(text.replace(" ", ""))))


class CallMatcher:
    """Matches calls and read-backs against the items of one board.

    `rows`: where the rows stand of which `seen` have been seen.
    """

    def __init__(
        self,
        board: Board,
        book: PhraseBook,
        watcher: Watcher,
        gates: Sequence[GateWatch],
        answers: Answers,
        rows: Sequence[Row],
    ) -> None:
        self.board = board
        self._answers = answers
        self._gates = gates
        self._just_said: list[tuple[int, str, str]] = []
        self._unclear: tuple[int, int] | None = None
        """Step from which words count that were not understood, and the step of their sending."""
        self.book = book
        self.watcher = watcher
        self.said: list[tuple[int, str]] = []
        self.seen = 0
        self._rows = rows
        self._events = {event.name: event for event in board.exercise.events}
        self._false_calls: list[tuple[Wrong, list[Track]]] = []

    def call_step(self, act: Act) -> int:
        """The step at which a call counts as made: its opening, at most 8 s before sending."""
        return act.step if act.began < 0 else max(act.began, act.step - CALL_MAX)

    def spoken(self, act: Act) -> tuple[int, int]:
        """The steps between which `act` was said, or typed where that took longer."""
        begun = self.call_step(act)
        return begun, max(act.step, begun + speech_steps(act.text))

    def _since(self, act: Act, step: int, heard: Utterance) -> int:
        """The step from which words opened at `step` count for what waits for them.

        What is said again because it was not understood keeps the time of the first try (at most
        8 s before it was sent, as any call); whether it is true is looked at when it is said.
        """
        since = step
        if self._unclear is not None and step - self._unclear[1] <= SAID_AGAIN:
            since = max(self._unclear[0], act.step - CALL_MAX)
        self._unclear = None if heard.is_clear else (since, act.step)
        return since

    def rows_before(self, step: int) -> Sequence[Row]:
        """The rows whose display still counts as seen when a call was opened at `step`."""
        last = min(step, self.seen - 1)
        return self._rows[max(0, last - SHOWN_FOR) : last + 1]

    def match_call(self, act: Act) -> None:
        """Match what was said to the calls that wait for it."""
        utterance = self.book.hear(act.text)
        step = self.call_step(act)
        since = self._since(act, step, utterance)
        rows = self.rows_before(step)
        self.said.append((step, act.text))
        is_used = False
        claims: list[Call] = []
        for call in utterance.calls:
            false = self._falsehood(call, rows)
            if call.intent in MODE_CLAIMS:
                claims.append(call)
                self.watcher.said_of_modes(step, call, false)
            if call.intent == "unable":
                is_used |= self._decline(since, act.text)
            is_used |= self._answers.by_call(call.intent, since, act.text, false)
            is_used |= self._match_intent(call, step, since, act, false)
        if claims:
            is_used |= self._match_modes(claims, step, since, act, rows)
        if not is_used:
            self._unexpected(utterance.calls, step, act, rows)

    def _decline(self, step: int, text: str) -> bool:
        """ "Unable" answers the newest clearance that is not read back yet.

        One that assigned a value comes before one that did not; an order is not declined.
        """
        newest = [one for one in self.board.exercise.events[::-1] if one.grants not in ORDERS]
        newest.sort(key=lambda one: not assigns(one))
        return any(self.board.decline(event, step, f'said "{text}"') for event in newest)

    def _falsehood(self, call: Call, rows: Sequence[Row]) -> str:
        """What is false in a call, by display, state, numbers or gate; "" if nothing is."""
        claimed = GATE_CLAIMS.get(call.intent)
        if claimed is not None:
            for gate in self._gates:
                result = gate.result
                if gate.gate.is_main and result is not None and result.result != claimed:
                    return f"the gate {gate.gate.name} had {result.result}"
        return contradiction(call, rows, self.board.exercise)

    def _match_intent(self, call: Call, step: int, since: int, act: Act, false: str) -> bool:
        same = [
            track
            for track in self.board.tracks
            if track.item.act.intent == call.intent and not track.item.answers
        ]
        track = first_due(one for one in same if one.takes_call(since))
        if track is not None:
            if false:
                track.wrong = track.wrong or Wrong(step, f'said "{act.text}"; {false}')
            else:
                self._settle(track, step, since, f'said "{act.text}"')
            return True
        if false and (denied := self._denied_by(call.intent, step)) is not None:
            denied.wrong = denied.wrong or Wrong(step, f'said "{act.text}"; {false}')
            return True
        if false and (call.intent in MODE_CLAIMS or call.intent in GATE_CLAIMS):
            # A mode or gate that is not so is a false reading, not an early one.
            return False
        waiting = self.board.still_to_come(same)
        if not waiting:
            self._just_said.append((step, call.intent, act.text))
            return False
        if waiting[0].item.early != "fine":
            waiting[0].early = waiting[0].early or Wrong(step, f'said "{act.text}"')
        elif false:
            # Early would be fine, but it is not so: "landing" where nothing is in sight.
            waiting[0].wrong = waiting[0].wrong or Wrong(step, f'said "{act.text}"; {false}')
        else:
            waiting[0].is_early_done = True
        return True

    def _settle(self, track: Track, step: int, since: int, found: str) -> None:
        """Take what was said as right; what puts a false call right counts from its own opening."""
        assert track.opened is not None
        self.board.put_right(track, step)
        at = since if track.wrong is None else step
        self.board.settle(track, max(at, track.opened), found)

    def _denied_by(self, intent: str, step: int) -> Track | None:
        """The open call that says the contrary: "no spoilers" where "spoilers" was said."""
        for track in self.board.tracks:
            other = track.item.act.intent
            is_contrary = other == f"no {intent}" or intent == f"no {other}"
            if is_contrary and track.takes_call(step):
                return track
        return None

    def look(self) -> None:
        """A call made just before the button that opens its item counts for it."""
        if not self._just_said:
            return
        step = self.board.row.step
        self._just_said = [one for one in self._just_said if step - one[0] <= JUST_BEFORE]
        for track in self.board.open_tracks():
            if not track.is_go_around:
                continue
            for when, intent, text in self._just_said:
                if intent == track.item.act.intent:
                    self.board.settle(track, step, f'said "{text}" at {when / 10.0:.1f} s')
                    break

    def _match_modes(
        self, claims: list[Call], step: int, since: int, act: Act, rows: Sequence[Row]
    ) -> bool:
        """Settle every open mode call that the words cover; a false word makes its axis wrong."""
        is_used = False
        for track in self.board.tracks:
            if track.item.act.intent != MODE_SHOWN or not track.takes_call(since):
                continue
            fact = track.fact
            assert fact is not None
            assert track.opened is not None
            axis = family(fact.name)
            same_axis = [call for call in claims if family(MODE_CLAIMS[call.intent][0]) == axis]
            if not same_axis:
                continue
            is_used = True
            false = [call for call in same_axis if not is_mode_claim_true(call.intent, rows)]
            if false:
                text = contradiction(false[0], rows, self.board.exercise)
                track.wrong = track.wrong or Wrong(step, f'said "{act.text}"; {text}')
            elif (
                0 <= step - track.opened <= COVERS
                or self._names_change(same_axis, fact)
                or self._was_brief(fact, track.opened)
            ):
                self._settle(track, step, since, f'said "{act.text}"')
        return is_used

    def _names_change(self, claims: list[Call], fact: Fact) -> bool:
        phrases = [mode_phrase(fact.name, word) for word in fact.detail.split(", ")]
        return any(call.intent in phrases for call in claims)

    def _was_brief(self, fact: Fact, opened: int) -> bool:
        """Whether a change was replaced before anybody had to have called it.

        Then naming what replaced it is the only call that is still true.
        """
        if fact.name.endswith("armed"):
            return False
        seen = self._rows[opened : min(opened + BRIEF + 1, self.seen)]
        return not all(is_shown(fact.name, fact.detail, row) for row in seen)

    def _unexpected(self, calls: Sequence[Call], step: int, act: Act, rows: Sequence[Row]) -> None:
        """Words that nobody waited for. If they claim something false they were meant for one of
        the calls that were open; for which, only its staying unsaid can tell."""
        for call in calls:
            false = self._falsehood(call, rows)
            open_calls = [one for one in self.board.open_tracks() if one.item.act.kind == "say"]
            if false and open_calls:
                wrong = Wrong(step, f'said "{act.text}"; {false}')
                open_calls.sort(key=lambda one: (one.due, one.closes, one.place))
                self._false_calls.append((wrong, open_calls))
                return
        self.board.unmatched.append(f'said "{act.text}"')

    def charged(self) -> dict[Track, Wrong]:
        """Each false call, charged to the first of the calls then open that stayed unsaid."""
        found: dict[Track, Wrong] = {}
        for wrong, candidates in self._false_calls:
            for track in candidates:
                # One that a go-around took away since was open when it was answered falsely.
                is_unsaid = track.done is None and track.wrong is None
                if is_unsaid and track not in found:
                    found[track] = wrong
                    break
        return found

    def match_read_back(self, act: Act) -> None:
        """Match a read-back to the clearance it answers, by its values."""
        step = self.call_step(act)
        self.said.append((step, act.text))
        heard = self.book.hear(act.text)
        since = self._since(act, step, heard)
        calls = heard.calls
        if not calls:
            # Not understood: "say again", as a controller would, and no loss.
            self.board.unmatched.append(f'read back "{act.text}": not understood')
            return
        if any(call.intent == "unable" for call in calls) and self._decline(since, act.text):
            return
        waiting = [
            track
            for track in self.board.tracks
            if track.item.act.kind == "read back" and track.takes_call(since)
        ]
        if act.control:
            waiting = [track for track in waiting if track.item.act.event == act.control]
        if not waiting:
            self.board.unmatched.append(f'read back "{act.text}"')
            return
        errors = {
            track.name: read_back_error(calls, self._events[track.item.act.event])
            for track in waiting
        }
        right = [track for track in waiting if not errors[track.name]]
        track = right[0] if right else waiting[-1]
        if errors[track.name]:
            if track.wrong is None:
                track.wrong = Wrong(step, f'"{act.text}": {errors[track.name]}')
            return
        self._settle(track, step, since, f'read back "{act.text}"')
