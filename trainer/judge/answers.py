"""Answers to a fault: which of the closed list was given, and whether it is accepted.

Owns the items "answer to FAULT". Knows no flight. Surprising rule: an answer does not use up the
act or the call; a go-around that answers a fault also settles the item that waited for one.
"""

from __future__ import annotations

from trainer.flight import acts
from trainer.flight.row import Row
from trainer.judge.board import Board
from trainer.judge.tracks import Track, Wrong
from trainer.scenario.answers import ANSWER_ACTS
from trainer.scenario.exercise import Act


class Answers:
    """Matches acts and calls against the open faults of one board."""

    def __init__(self, board: Board) -> None:
        self.board = board

    def by_hand(self, act: acts.Act, after: Row, found: str) -> bool:
        """Whether an act of hands answered a fault; `after` is the row it led to."""
        given = Act("do", control=act.control)
        if given not in ANSWER_ACTS.values():
            return False
        is_used = False
        for track in self._open(act.step):
            if self.board.hands.has_effect(given, after):
                self._answer(track, given, act.step, found, "")
                is_used = True
        return is_used

    def by_call(self, intent: str, step: int, text: str, false: str) -> bool:
        """Whether a call that counts from `step` answered a fault; `false`: what it got wrong."""
        given = Act("say", intent=intent)
        if given not in ANSWER_ACTS.values():
            return False
        found = list(self._open(step))
        for track in found:
            self._answer(track, given, step, f'said "{text}"', false)
        return bool(found)

    def _open(self, step: int) -> list[Track]:
        return [
            track for track in self.board.tracks if track.item.answers and track.takes_call(step)
        ]

    def _answer(self, track: Track, given: Act, step: int, found: str, false: str) -> None:
        assert track.opened is not None
        if given in track.item.answers and not false:
            self.board.put_right(track, step)
            self.board.settle(track, max(step, track.opened), found)
        elif track.wrong is None:
            told = false or "that is not accepted here"
            track.wrong = Wrong(step, f"{found}; {told}")
