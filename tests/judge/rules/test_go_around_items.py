"""A go-around takes away what was not yet due; what was due and undone stands.

The watches of path and configuration stop with the approach; limits, level and track run on.
"""

from __future__ import annotations

from tests.judge.small import (
    NOW,
    gear,
    judge,
)
from trainer.scenario.moments import Happened


def test_go_around_voids_what_was_not_yet_due_and_keeps_what_was() -> None:
    due_later = gear(name="due later", due=40.0, closes=60.0)
    waiting = gear(name="waiting", opens=Happened("event", "never"))
    judgement = judge(
        [gear(), due_later, waiting], 300, changes={80: {"phase": "go-around"}}, extra=[NOW]
    )
    assert {item.item: item.verdict for item in judgement.items} == {
        "gear down": "missed",
        "due later": "not reached",
        "waiting": "not reached",
    }
