"""The tracker: follows every item through a flight, step by step, and never flies.

One implementation for everybody: the live judge, the perfect crew, the hints and the batch judge
are all this. It reads rows, acts and facts; from the flight it takes nothing else.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence

from trainer.flight.acts import Act, Fact
from trainer.flight.moments import Evaluator
from trainer.flight.row import Row
from trainer.judge.answers import Answers
from trainer.judge.board import Board
from trainer.judge.deviations import Deviations
from trainer.judge.gates import GateWatch
from trainer.judge.hands import Hands
from trainer.judge.hearing import CallMatcher
from trainer.judge.judgement import GateResult
from trainer.judge.matching import HandMatcher
from trainer.judge.tracks import Track
from trainer.judge.watches import Watcher
from trainer.scenario.exercise import Exercise
from trainer.scenario.phrases import PhraseBook
from trainer.scenario.techniques import better_for, fixed, techniques


class Tracker:
    """Items, gates and watches of one flight on their way.

    Call `start` with row 0, then `advance` once per step; `judge.verdicts.conclude` does the rest.
    `technique` is the set of variants followed ("" = as written); `others` follow the remaining
    ones over what was seen, and the judgement is that of the best. Nobody needs them while a
    flight goes on, nor when nothing was found, so they are not followed step by step. `rows`:
    where the rows are kept, each before it is advanced to; None = in a list of the tracker.
    """

    def __init__(
        self,
        exercise: Exercise,
        book: PhraseBook,
        technique: str = "",
        rows: Sequence[Row] | None = None,
    ) -> None:
        self._accepted = exercise
        self._others = techniques(exercise)
        own: list[Row] = []
        self.rows: Sequence[Row] = own if rows is None else rows
        self._kept = own if rows is None else None
        self._taken: dict[int, tuple[Sequence[Act], Sequence[Fact]]] = {}
        self.technique = technique
        self.exercise = exercise = fixed(exercise, "") if self._others else exercise
        self.book = book
        self.evaluator = Evaluator(exercise, book)
        self.board = Board(exercise, self.evaluator)
        self.gates = [GateWatch(gate, exercise) for gate in exercise.flow.gates]
        self.watcher = Watcher(exercise, self.evaluator)
        answers = Answers(self.board)
        self.hearing = CallMatcher(self.board, book, self.watcher, self.gates, answers, self.rows)
        self._matching = HandMatcher(self.board, answers)
        self._deviations = Deviations(self.board)
        self.briefed: dict[str, str] = {}
        self._shears = frozenset(one.name for one in exercise.events if one.shear is not None)
        self.upset: list[tuple[int, str]] = []
        """Steps at which an event changed the wind, with its name."""
        self.row: Row

    @property
    def hands(self) -> Hands:
        """What hands are expected to do."""
        return self.board.hands

    @property
    def tracks(self) -> list[Track]:
        """Every item and instance, in file order, instances after them."""
        return self.board.tracks

    @property
    def live(self) -> list[Track]:
        """The tracks that still need looking at."""
        return self.board.live

    def open_tracks(self) -> list[Track]:
        """Open, undone items."""
        return self.board.open_tracks()

    def gate_results(self) -> list[GateResult]:
        """Gates judged so far."""
        return [gate.result for gate in self.gates if gate.result is not None]

    def others(self, wrong: Collection[str]) -> Iterator[Tracker]:
        """A tracker of each technique that could be better, which has seen what this one has.

        `wrong`: the items of this one with a finding.
        """
        for name in better_for(self._accepted, wrong):
            other = Tracker(fixed(self._accepted, name), self.book, name, self.rows)
            first, *rows = self.rows
            other.start(first)
            for place, row in enumerate(rows, start=1):
                other.advance(*self._taken.get(place, ((), ())), row)
            yield other

    def start(self, row: Row) -> None:
        """Look at row 0."""
        if self._kept is not None:
            self._kept.append(row)
        self.hearing.seen += 1
        self.row = row
        self.evaluator.observe(row, ())
        self.board.look(row, ())

    def advance(self, acts: Sequence[Act], facts: Sequence[Fact], row: Row) -> None:
        """Take the acts and facts of a step and the row they led to."""
        if self._others and (acts or facts):
            self._taken[self.hearing.seen] = (tuple(acts), tuple(facts))
        if acts:
            self._match(acts, facts, row)
        if facts:
            self.hands.take(facts)
        if facts and self._shears:
            self.upset += [(row.step, fact.name) for fact in facts if fact.name in self._shears]
        if self._kept is not None:
            self._kept.append(row)
        self.hearing.seen += 1
        self.row = row
        happenings, self.board.settled = self.board.settled, []
        for gate in self.gates:
            result = gate.look(row, self.tracks)
            if result is not None:
                happenings.append(("gate", gate.gate.name, result))
        self.evaluator.observe(row, facts, happenings)
        self.board.row = row
        self._matching.look()
        self.board.look(row, facts)
        self._deviations.look(row)
        self.hearing.look()
        self.watcher.look(row)

    def _match(self, acts: Sequence[Act], facts: Sequence[Fact], row: Row) -> None:
        refused = {fact[2:4]: fact.reason for fact in facts if fact.kind == "refused"}
        accepted = {fact[2:4] for fact in facts if fact.kind == "acted"}
        lines = [fact for fact in facts if fact.kind == "line"]
        for act in acts:
            done = act.control, act.value
            if done in refused and done not in accepted:
                self._matching.refused(act, refused[done])
                continue
            match act.act:
                case "brief":
                    self.briefed[act.control] = act.value
                case "say":
                    self.hearing.match_call(act)
                    self._deviations.take_sentence(*self.hearing.spoken(act))
                case "read back":
                    self.hearing.match_read_back(act)
                    self._deviations.take_sentence(*self.hearing.spoken(act))
                case "checklist":
                    self._matching.match_checklist(act)
                case "line":
                    if lines:
                        self._matching.match_line(act, lines.pop(0))
                case _:
                    self._matching.match_hand(act, row)
