"""A flight and its tracker, stepped together: what everybody who flies something uses.

The driver of the app, the scripted crews, the proof and the tests differ only in where the acts
come from.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from trainer.flight.acts import Act, Fact
from trainer.flight.compact import CompactRows
from trainer.flight.flight import Flight
from trainer.flight.row import Row
from trainer.garbage import collection_paused
from trainer.judge.judgement import Judgement
from trainer.judge.tracker import Tracker
from trainer.scenario.book import book_of
from trainer.scenario.exercise import Exercise
from trainer.scenario.phrases import PhraseBook

Crew = Callable[[Row], Sequence[Act]]


class Session:
    """One flight being judged as it is flown.

    `rows`: where flight and tracker keep the rows together; None = each in a list of its own.
    """

    def __init__(
        self, exercise: Exercise, book: PhraseBook | None = None, rows: CompactRows | None = None
    ) -> None:
        self.exercise = exercise
        self.book = book or book_of(exercise)
        self.flight = Flight(exercise, self.book, rows)
        self.tracker = Tracker(exercise, self.book, rows=rows)
        self.tracker.start(self.flight.row)

    @property
    def row(self) -> Row:
        """The newest row."""
        return self.flight.row

    @property
    def is_over(self) -> bool:
        """Whether the flight has ended."""
        return self.flight.is_over

    def step(self, acts: Sequence[Act] = ()) -> list[Fact]:
        """Fly one step with `acts` and judge it; returns the facts of the step.

        Acts get their serial number here, so that no two of a flight share one.
        """
        first = len(self.flight.acts) + 1
        acts = [act._replace(serial=first + place) for place, act in enumerate(acts)]
        row, facts = self.flight.step(acts)
        self.tracker.advance(acts, facts, row)
        return facts

    def run(self, crew: Crew) -> Judgement:
        """Fly to the end with `crew`, then judge."""
        with collection_paused():
            while not self.flight.is_over:
                self.step(crew(self.flight.row))
        return self.judgement()

    def judgement(self) -> Judgement:
        """The judgement of what has been flown so far."""
        from trainer.judge.verdicts import conclude  # what judges at the end is not needed before

        return conclude(self.tracker, self.flight.rows, self.flight.reason)
