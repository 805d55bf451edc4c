"""Exchanges: each half is an item of its own role, and the answer counts from the real call.

One pilot alone answers nobody: the half of the other pilot is waived. What the aircraft calls
by itself need not be called again.
"""

from __future__ import annotations

from tests.builders import say
from tests.crew.crews import exercise as drill
from tests.judge.small import NOW, call, judge
from trainer.proof.prove import fly_perfect
from trainer.scenario.book import book_of
from trainer.scenario.compose import document_of, from_document
from trainer.scenario.exercise import Act, Exercise, Item
from trainer.scenario.moments import Happened

ANSWER = Item(
    "glide alive, answered", Act("say", intent="checked"), role="flying",
    opens=Happened("done", "glide alive"), due=6.0, is_response=True,
)  # fmt: skip


def answered() -> Exercise:
    """Straight in, with an answer to "glide alive" written in its flow."""
    document = document_of(drill("straight-in"))
    alive = next(one for one in document["flow"]["items"] if one["item"] == "glide alive")
    alive.update(role="monitoring", response="checked")
    return from_document(document)


def test_the_answer_is_an_item_of_the_other_role_that_opens_with_the_call() -> None:
    items = {item.name: item for item in answered().flow.items}
    answer = items["glide alive, answered"]
    assert answer.act.intent == "checked"
    assert answer.role == "flying"
    assert answer.opens == Happened("done", "glide alive")


def test_one_pilot_alone_answers_nobody() -> None:
    judgement = judge([call(), ANSWER], 400, [say(40, "glide alive")], extra=[NOW])
    assert [(one.verdict, one.credit) for one in judgement.items] == [
        ("on time", 1.0),
        ("not reached", None),
    ]


def test_an_answer_that_is_given_all_the_same_costs_nothing() -> None:
    deeds = [say(40, "glide alive"), say(60, "checked")]
    assert judge([call(), ANSWER], 400, deeds, extra=[NOW]).points == 100.0


def test_the_perfect_crew_alone_scores_100_with_answers_in_the_flow() -> None:
    found = answered()
    _, judgement = fly_perfect(found, book_of(found))
    assert (judgement.points, judgement.primary()) == (100.0, set())


def test_what_the_aircraft_calls_is_done_and_counts_for_nobody() -> None:
    automatic = call("glide alive", role="aircraft")
    after = call("minimums", opens=Happened("done", "glide alive"))
    judgement = judge([automatic, after], 300, extra=[NOW])
    assert [(one.verdict, one.credit) for one in judgement.items] == [
        ("not reached", None),
        ("missed", 0.0),
    ]


def test_repeating_what_the_aircraft_called_costs_nothing() -> None:
    automatic = call("glide alive", role="aircraft")
    judgement = judge([automatic, call("minimums")], 300, [say(25, "glide alive")], extra=[NOW])
    assert {one.item: one.verdict for one in judgement.items} == {
        "glide alive": "not reached",
        "minimums": "missed",
    }
