"""Small items and deeds that the tests of rules share: judge a few seconds made by hand."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from tests.builders import book, exercise, modes, row
from trainer.flight.acts import Act, Fact
from trainer.judge.judgement import ItemVerdict, Judgement
from trainer.judge.tracker import Tracker
from trainer.judge.verdicts import conclude
from trainer.scenario.exercise import Act as Expected
from trainer.scenario.exercise import Item
from trainer.scenario.moments import Figure, Happened

Deed = tuple[Act, Fact]


def judge(
    items: Sequence[Item],
    length: int,
    deeds: Sequence[Deed] = (),
    changes: Mapping[int, dict[str, Any]] | None = None,
    extra: Sequence[Fact] = (),
    *,
    words: Mapping[str, tuple[str, ...]] | None = None,
    **parts: Any,
) -> Judgement:
    """Judge `length` steps; `changes[n]` hold from row n on.

    `words`: calls besides those of the builders; `parts`: other parts of the exercise.
    """
    tracker = Tracker(exercise(tuple(items), **parts), book(words))
    state: dict[str, Any] = dict((changes or {}).get(0, {}))
    rows = [row(0, **state)]
    tracker.start(rows[0])
    for step in range(length):
        state.update((changes or {}).get(step + 1, {}))
        rows.append(row(step + 1, **state))
        acts = [act for act, _ in deeds if act.step == step]
        facts = [fact for _, fact in deeds if fact.step == step]
        facts += [fact for fact in extra if fact.step == step]
        tracker.advance(acts, facts, rows[-1])
    return conclude(tracker, rows, "stopped on the runway")


def only(judgement: Judgement) -> ItemVerdict:
    (item,) = judgement.items
    return item


def verdicts(judgement: Judgement) -> dict[str, str]:
    return {one.item: one.verdict for one in judgement.items}


def gear(**changes: Any) -> Item:
    """Gear down: opens at step 20, due 5 s later, closes 10 s after opening."""
    values: dict[str, Any] = {
        "name": "gear down",
        "act": Expected("do", "gear", "down"),
        "opens": Happened("event", "now"),
        "due": 5.0,
        "closes": 10.0,
    }
    return Item(**(values | changes))


NOW = Fact(19, "event", "now")


def approach(**changes: Any) -> Item:
    """Approach mode, harmful when early."""
    values: dict[str, Any] = {
        "name": "approach mode",
        "act": Expected("do", "approach mode"),
        "opens": Happened("event", "now"),
        "due": 5.0,
        "early": "harmful",
    }
    return Item(**(values | changes))


def speed(value: float = 160.0) -> Item:
    return Item(
        name="speed",
        act=Expected("set", "speed", figure=Figure(value)),
        opens=Happened("event", "now"),
        due=5.0,
        closes=10.0,
    )


def turn(step: int, value: str) -> Deed:
    return Act(step, 1, "pilot", "set", "speed", value), Fact(step, "acted", "speed", value)


def call(intent: str = "glide alive", **changes: Any) -> Item:
    values: dict[str, Any] = {
        "name": intent,
        "act": Expected("say", intent=intent),
        "opens": Happened("event", "now"),
        "due": 5.0,
        "closes": 10.0,
    }
    return Item(**(values | changes))


MODE_CALL = Item(
    name="mode call",
    act=Expected("say", intent="mode shown"),
    each=Happened("changed", "announced"),
    due=5.0,
    closes=10.0,
    weight=4.0,
)


LOC_ARMED = {"modes": modes(lateral_armed=("LOC",), vertical_armed=("PATH",))}


CHANGES = [Fact(19, "mode", "lateral armed", "LOC"), Fact(19, "mode", "vertical armed", "PATH")]


def line(challenge: str) -> Item:
    return Item(
        name=f"landing: {challenge}",
        act=Expected("line", checklist="landing", challenge=challenge),
        opens=Happened("event", "now"),
        due=10.0,
    )
