"""Only what the pilot does is judged; what was planted, or is the aircraft's, is nobody's finding.

A fault creates the item that answers it. Its physical consequences alone are no finding of
anybody who answers it rightly.
"""

from __future__ import annotations

from tests.crew.crews import exercise as drill
from tests.judge.small import NOW, call, judge
from trainer.proof.prove import fly_perfect
from trainer.scenario.book import book_of


def test_a_fault_that_is_answered_leaves_no_finding() -> None:
    found = drill("downgrade")
    faults = [event for event in found.events if event.fault is not None]
    assert faults
    _, judgement = fly_perfect(found, book_of(found))
    assert (judgement.points, judgement.primary()) == (100.0, set())
    asked = {one.item: one.verdict for one in judgement.items}
    assert asked[f"answer to {faults[0].name}"] == "on time"


def test_an_item_of_the_aircraft_is_nobodys() -> None:
    judgement = judge([call("glide alive", role="aircraft")], 400, extra=[NOW])
    assert judgement.primary() == set()
    assert judgement.points is None
