"""Order: judged only inside groups that the flow declares ordered, between neighbours.

Anything else may be done in any order. Two neighbours done the other way round are one finding,
"B before A", and both keep their own verdicts. In an ordered group each pair of neighbours is
also tried the wrong way round when an exercise is proved.
"""

from __future__ import annotations

from tests.builders import move
from tests.crew.crews import exercise as drill
from tests.judge.fold import Deed, fold
from trainer.flight.acts import Act, Fact
from trainer.judge.judgement import Judgement
from trainer.proof.mutants import mutants_of
from trainer.proof.prove import fly_perfect
from trainer.proof.trying import try_mutant
from trainer.scenario.book import book_of
from trainer.scenario.compose import document_of, from_document
from trainer.scenario.exercise import Act as Expected
from trainer.scenario.exercise import Flow, Item
from trainer.scenario.moments import Figure, Happened

OPEN = [Fact(9, "event", "now")]
ITEMS = tuple(
    Item(name, act, opens=Happened("event", "now"), due=60.0, group="pair", why="It is so.")
    for name, act in (
        ("gear down", Expected("do", "gear", "down")),
        ("speed", Expected("set", "speed", figure=Figure(160.0))),
        ("arm spoilers", Expected("do", "spoilers", "armed")),
    )
)
SPEED: Deed = (Act(40, 1, "pilot", "set", "speed", "160"), Fact(40, "acted", "speed", "160"))
RIGHT = [move(30, "gear", "down"), SPEED, move(50, "spoilers", "armed")]
FIRST_TWO_SWAPPED = [SPEED, move(45, "gear", "down"), move(50, "spoilers", "armed")]


def judged(deeds: list[Deed], *ordered: str) -> Judgement:
    flow = Flow("flow", "", ITEMS, (), (), (), (), (), ordered)
    return fold(900, {}, deeds, OPEN, flow=flow)


def test_the_written_order_is_no_finding() -> None:
    assert judged(RIGHT, "pair").primary() == set()


def test_two_neighbours_the_other_way_round_are_one_finding() -> None:
    judgement = judged(FIRST_TWO_SWAPPED, "pair")
    assert judgement.primary() == {("speed before gear down", "watch")}
    assert judgement.points == 98.0
    assert {one.verdict for one in judgement.items} == {"on time"}


def test_two_done_in_one_step_are_in_order() -> None:
    at_once = [SPEED, move(40, "gear", "down"), move(50, "spoilers", "armed")]
    assert judged(at_once, "pair").primary() == set()


def test_what_nobody_had_to_do_has_no_place_in_the_order() -> None:
    # The spoilers are armed already when the group opens; gear and speed follow.
    flow = Flow("flow", "", ITEMS, (), (), (), (), (), ("pair",))
    deeds = [move(30, "gear", "down"), SPEED]
    judgement = fold(900, {0: {"spoilers": "armed"}}, deeds, OPEN, flow=flow)
    assert {one.item: one.verdict for one in judgement.items}["arm spoilers"] == "on time"
    assert judgement.primary() == set()


def test_order_outside_ordered_groups_is_free() -> None:
    assert judged(FIRST_TWO_SWAPPED).primary() == set()


def test_what_was_left_out_has_no_place_in_the_order() -> None:
    judgement = judged([move(30, "spoilers", "armed"), move(50, "gear", "down")], "pair")
    assert judgement.primary() == {("arm spoilers before gear down", "watch"), ("speed", "missed")}


def test_every_neighbour_pair_of_an_ordered_group_is_tried_the_wrong_way_round() -> None:
    document = document_of(drill("straight-in"))
    flow = document["flow"]
    flow["ordered"] = ["bugs"]
    for item in flow["items"]:
        if item["item"] in ("minimums bug", "final speed bug", "brake setting"):
            item["group"] = "bugs"
    found = from_document(document)
    reference, judgement = fly_perfect(found, book_of(found))
    assert judgement.primary() == set()
    mutants, _ = mutants_of(found, reference.tracker, reference.flight.rows)
    swapped = [one for one in mutants if one.name.startswith("swapped")]
    assert [one.item for one in swapped] == [
        "final speed bug before minimums bug", "brake setting before final speed bug",
    ]  # fmt: skip
    for mutant in swapped:
        result = try_mutant(mutant, reference)
        assert result.is_exact, (mutant.name, result.found)
