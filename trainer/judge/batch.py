"""The batch judge: the tracker folded over stored rows, facts and acts. It never flies."""

from __future__ import annotations

from collections.abc import Sequence

from trainer.flight.acts import Act, Fact, by_step
from trainer.flight.row import Row
from trainer.judge.judgement import Judgement
from trainer.judge.tracker import Tracker
from trainer.judge.verdicts import conclude
from trainer.scenario.exercise import Exercise
from trainer.scenario.phrases import PhraseBook


def judge(
    exercise: Exercise,
    book: PhraseBook,
    acts: Sequence[Act],
    facts: Sequence[Fact],
    rows: Sequence[Row],
) -> Judgement:
    """Judge a flight from what was stored of it."""
    tracker = follow(exercise, book, acts, facts, rows)
    ends = [fact.name for fact in facts if fact.kind == "end"]
    return conclude(tracker, rows, ends[-1] if ends else "")


def follow(
    exercise: Exercise,
    book: PhraseBook,
    acts: Sequence[Act],
    facts: Sequence[Fact],
    rows: Sequence[Row],
) -> Tracker:
    """A tracker that has seen the whole of a stored flight."""
    acts_of, facts_of = by_step(acts), by_step(facts)
    tracker = Tracker(exercise, book)
    tracker.start(rows[0])
    for row in rows[1:]:
        step = row.step - 1
        tracker.advance(acts_of.get(step, ()), facts_of.get(step, ()), row)
    return tracker
