"""Fold a tracker over a few rows made by hand: shared by the tests of gates and watches."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from tests.builders import book, exercise, row
from trainer.flight.acts import Act, Fact
from trainer.judge.judgement import Judgement
from trainer.judge.tracker import Tracker
from trainer.judge.verdicts import conclude

Deed = tuple[Act, Fact]


def fold(
    length: int,
    changes: Mapping[int, dict[str, Any]],
    deeds: Sequence[Deed] = (),
    extra: Sequence[Fact] = (),
    reason: str = "stopped on the runway",
    **flow: Any,
) -> Judgement:
    """Judge `length` steps of a flow; `changes[n]` hold from row n on."""
    tracker = Tracker(exercise(**flow), book())
    state: dict[str, Any] = dict(changes.get(0, {}))
    rows = [row(0, **state)]
    tracker.start(rows[0])
    for step in range(length):
        state.update(changes.get(step + 1, {}))
        rows.append(row(step + 1, **state))
        acts = [act for act, _ in deeds if act.step == step]
        facts = [fact for _, fact in deeds if fact.step == step]
        facts += [fact for fact in extra if fact.step == step]
        tracker.advance(acts, facts, rows[-1])
    return conclude(tracker, rows, reason)
