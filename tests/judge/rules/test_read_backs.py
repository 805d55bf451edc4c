"""A read-back answers a clearance by its values, and only one that waits for it."""

from __future__ import annotations

import pytest

from tests.judge.small import NOW, Deed, call, judge, only, verdicts
from trainer.flight.acts import Act, Fact
from trainer.judge.judgement import Judgement
from trainer.scenario.exercise import Act as Expected
from trainer.scenario.exercise import Event, Item
from trainer.scenario.moments import Happened

LOWER = Event("lower", Happened("event", "now"), grants="descend", slots=(("altitude", "3000"),))
CLEARED = Event(
    "cleared", Happened("event", "now"), grants="approach", slots=(("runway", "14"),)
)  # fmt: skip


def answer(event: Event) -> Item:
    return call(event.name, act=Expected("read back", event=event.name))


def read(step: int, text: str, to: str = "") -> Deed:
    act = Act(step, 1, "pilot", "read back", to, text=text, began=step)
    return act, Fact(step, "read back", "", text)


def judged(*deeds: Deed) -> Judgement:
    items = [answer(LOWER), answer(CLEARED)]
    return judge(items, 200, deeds, extra=[NOW], events=(LOWER, CLEARED))


def test_each_read_back_goes_to_the_clearance_whose_values_it_carries() -> None:
    found = judged(read(30, "cleared approach 14"), read(40, "descend 3000"))
    assert verdicts(found) == {"lower": "on time", "cleared": "on time"}
    assert found.unmatched == ()


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("descend 2000", '"descend 2000": altitude 2000 was read back, 3000 was cleared'),
        ("checked", '"checked": altitude 3000 was not read back'),
    ],
)
def test_a_wrong_or_missing_value_is_wrong_until_it_is_read_back_right(
    text: str, told: str
) -> None:
    deeds = [read(30, text, "lower"), read(34, "descend 4000", "lower")]
    found = next(one for one in judged(*deeds).items if one.item == "lower")
    assert (found.verdict, found.is_corrected) == ("wrong", False)
    assert found.found == told, "the first is told"
    deeds.append(read(90, "descend 3000", "lower"))
    found = next(one for one in judged(*deeds).items if one.item == "lower")
    assert (found.verdict, found.is_corrected) == ("wrong", True)


def test_what_is_not_understood_or_answers_nothing_is_listed_and_costs_nothing() -> None:
    deeds = [
        read(5, "descend 3000"), read(30, "glyph olive"), read(35, "descend 3000"),
        read(40, "cleared approach 14"), read(50, "descend 3000"),
    ]  # fmt: skip
    found = judged(*deeds)
    assert verdicts(found) == {"lower": "on time", "cleared": "on time"}
    assert found.points == 100.0
    assert found.unmatched == (
        'read back "descend 3000"',
        'read back "glyph olive": not understood',
        'read back "descend 3000"',
    )


def test_one_item_alone_takes_no_answer_to_another_clearance() -> None:
    deeds = [read(30, "descend 3000", "cleared"), read(40, "descend 3000", "lower")]
    found = only(judge([answer(LOWER)], 200, deeds, extra=[NOW], events=(LOWER, CLEARED)))
    assert (found.verdict, found.done) == ("on time", 40)
