"""Variants: another accepted technique is right as a whole, and nobody takes the best of two.

A flow writes beside an item what differs in another technique. All variants of one name, with
every other item as written, are one technique. The flight is judged by each of them and the
best counts; where the exercise fixes one, only that.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from tests.builders import book, exercise, move, row
from tests.crew.crews import edited
from tests.crew.crews import exercise as drill
from tests.judge.fold import Deed, fold
from tests.judge.unstable import FAST
from trainer.errors import FileProblems
from trainer.flight.acts import Act, Fact
from trainer.judge.judgement import Judgement
from trainer.judge.tracker import Tracker
from trainer.proof.prove import fly_perfect
from trainer.scenario.book import book_of
from trainer.scenario.compose import document_of, from_document
from trainer.scenario.exercise import Act as Expected
from trainer.scenario.exercise import Item
from trainer.scenario.moments import Figure, Happened
from trainer.scenario.techniques import fixed, techniques

pytestmark = pytest.mark.dear


def target(name: str, event: str, speed_kt: float, slower_kt: float) -> Item:
    """A target speed, and what it is in the technique "slow"."""
    item = Item(
        name, Expected("set", "speed", figure=Figure(speed_kt)), opens=Happened("event", event)
    )
    slow = replace(item, act=Expected("set", "speed", figure=Figure(slower_kt)))
    return replace(item, variants=(("slow", slow),))


ITEMS = (target("first", "one", 190.0, 180.0), target("second", "two", 170.0, 160.0))
EVENTS = [Fact(9, "event", "one"), Fact(99, "event", "two")]


def turn(step: int, value: str) -> Deed:
    return Act(step, 1, "pilot", "set", "speed", value), Fact(step, "acted", "speed", value)


def flown(first: str, second: str) -> Judgement:
    return fold(600, {}, [turn(30, first), turn(120, second)], EVENTS, items=ITEMS)


def verdicts(judgement: Judgement) -> list[str]:
    return [one.verdict for one in judgement.items]


@pytest.mark.parametrize(
    ("first", "second", "technique"), [("190", "170", ""), ("180", "160", "slow")]
)
def test_each_technique_is_right_as_a_whole(first: str, second: str, technique: str) -> None:
    judgement = flown(first, second)
    assert verdicts(judgement) == ["on time", "on time"]
    assert (judgement.points, judgement.technique) == (100.0, technique)
    assert [(one.opened, one.done) for one in judgement.items] == [(10, 30), (100, 120)]


@pytest.mark.parametrize(("first", "second"), [("190", "160"), ("180", "170")])
def test_half_of_one_and_half_of_another_is_neither(first: str, second: str) -> None:
    assert "wrong" in verdicts(flown(first, second))


def test_a_slip_is_judged_by_the_technique_that_explains_most() -> None:
    judgement = fold(600, {}, [turn(30, "180")], EVENTS, items=ITEMS)
    assert judgement.technique == "slow"
    assert verdicts(judgement) == ["on time", "missed"]


@pytest.mark.parametrize(("weight", "points", "technique"), [(2.0, 50.0, "slow"), (3.0, 60.0, "")])
def test_points_come_first_and_of_equal_points_those_with_fewer_findings(
    weight: float, points: float, technique: str
) -> None:
    # As written two items of weight 1 are wrong, as "slow" a single one of `weight`.
    third = target("third", "three", 150.0, 140.0)
    ((name, slow),) = third.variants
    third = replace(third, weight=weight, variants=((name, replace(slow, weight=weight)),))
    deeds = [turn(30, "180"), turn(120, "160"), turn(220, "150")]
    events = [*EVENTS, Fact(199, "event", "three")]
    judgement = fold(600, {}, deeds, events, items=(*ITEMS, third))
    assert (judgement.points, judgement.technique) == (points, technique)


def test_as_written_counts_where_no_technique_is_better() -> None:
    assert fold(600, {}, [], EVENTS, items=ITEMS).technique == ""


def test_a_technique_that_differs_only_in_what_was_right_is_not_looked_at() -> None:
    whole = exercise((*ITEMS, Item("bug", Expected("set", "minimums", figure=Figure(230.0)))))
    tracker = Tracker(whole, book())
    tracker.start(row(0))
    assert [one.technique for one in tracker.others({"second", "bug"})] == ["slow"]
    assert list(tracker.others({"bug"})) == []


def test_no_technique_is_chosen_to_explain_away_a_watch() -> None:
    # Flown as written, and 40 kt fast afterwards; as "slow" two light items would be wrong, and the
    # watch would follow from them: 98 points instead of 95.
    light = tuple(replace(one, weight=0.1) for one in ITEMS)
    heavy = Item(
        "gear", Expected("do", "gear", "down"), opens=Happened("event", "one"), weight=10.0
    )
    deeds = [turn(30, "190"), turn(120, "170"), move(40, "gear", "down")]
    fast: dict[int, dict[str, Any]] = {0: {"cas_kt": 170.0}, 300: {"cas_kt": 210.0}}
    judgement = fold(600, fast, deeds, EVENTS, items=(*light, heavy), watches=(FAST,))
    assert judgement.technique == ""
    assert judgement.points == pytest.approx(95.0)
    assert [one.because for one in judgement.watches] == [None]


def test_a_fixed_technique_is_the_only_one() -> None:
    whole = exercise(ITEMS)
    assert techniques(whole) == ("slow",)
    only = fixed(whole, "slow")
    assert techniques(only) == ()
    tracker = Tracker(only, book())
    tracker.start(row(0))
    assert list(tracker.others({"first"})) == []
    assert tracker.tracks[0].item.act.figure == Figure(180.0)


def test_an_exercise_fixes_a_technique_by_its_name() -> None:
    document = document_of(drill("straight-in"))
    document["exercise"]["technique"] = "manoeuvring speeds"
    found = from_document(document)
    assert techniques(found) == ()
    assert next(one for one in found.flow.items if one.name == "speed 190").act.figure == Figure(
        185
    )
    document["exercise"]["technique"] = "as written"
    assert techniques(from_document(document)) == ()


def test_an_unknown_technique_is_refused_with_the_known_ones() -> None:
    document = document_of(drill("straight-in"))
    document["exercise"]["technique"] = "manoeuvring speed"
    with pytest.raises(FileProblems, match='did you mean "manoeuvring speeds"'):
        from_document(document)


def test_the_perfect_crew_of_each_shipped_technique_has_no_finding() -> None:
    found = drill("straight-in")
    for name in ("", *techniques(found)):
        one = fixed(found, name)
        _, judgement = fly_perfect(one, book_of(one))
        assert (judgement.points, judgement.primary()) == (100.0, set()), name


def test_a_shipped_technique_mixed_with_the_written_one_is_one_finding() -> None:
    slow = "{replace: speed 190, with: {set: {speed: 185 kt}}}"
    slower = "{replace: speed 175, with: {set: {speed: 168 kt}}}"
    assert edited("straight-in", slow, slower).primary() == set()
    assert edited("straight-in", slow).primary() == {("speed 190", "wrong")}
