"""Configuration is judged by its effect: late only past the last chance, never by the clock.

Early gear as drag inside its limit is right; a stage passed on the way is not wrong, and a
stage overtaken by a further one is done by it. What is done already when the item opens is
done.
"""

from __future__ import annotations

import pytest

from tests.builders import move
from tests.crew.crews import exercise as drill
from tests.judge.small import NOW, gear, judge, only
from trainer.flight.moments import Evaluator
from trainer.proof.prove import fly_perfect
from trainer.scenario.book import book_of
from trainer.scenario.compose import document_of, from_document
from trainer.scenario.exercise import Act, Item
from trainer.scenario.moments import Happened

BY_ENERGY = {"due": Happened("last chance", "stable"), "closes": None}


@pytest.mark.parametrize(("done", "verdict"), [(160, "on time"), (262, "late")])
def test_gear_is_late_only_when_the_energy_is_used_up(done: int, verdict: str) -> None:
    # At 216 kt over the ground the checklist's 12 s are 0.72 NM: a margin below that is the last
    # chance. It comes at 20 s, eighteen seconds after opening.
    changes = {0: {"margin_nm": 2.0}, 200: {"margin_nm": 0.5}}
    judgement = judge([gear(**BY_ENERGY)], 400, [move(done, "gear", "down")], changes, extra=[NOW])
    assert only(judgement).verdict == verdict


def test_gear_as_drag_before_its_item_opens_is_right() -> None:
    down = {6: {"gear_lever": "down"}}
    judgement = judge([gear(**BY_ENERGY)], 100, [move(5, "gear", "down")], down, extra=[NOW])
    assert only(judgement).verdict == "on time"


def flap(position: str) -> Item:
    return Item(
        f"flap {position}", Act("do", "flaps", position), opens=Happened("event", "now"), due=20.0
    )


def test_a_stage_on_the_way_is_not_wrong_and_one_overtaken_is_done() -> None:
    deeds = [move(30, "flaps", "4"), move(60, "flaps", "12")]
    lever = {31: {"flap_lever": 1}, 61: {"flap_lever": 2}}
    assert only(judge([flap("12")], 300, deeds, lever, extra=[NOW])).verdict == "on time"
    straight = [move(60, "flaps", "12")]
    judgement = judge([flap("4"), flap("12")], 300, straight, {61: {"flap_lever": 2}}, extra=[NOW])
    assert [one.verdict for one in judgement.items] == ["on time", "on time"]


def test_the_last_chance_is_that_of_the_gate_it_names() -> None:
    document = document_of(drill("straight-in"))
    lower = dict(document["flow"]["gates"][0], gate="lower", height="500 ft")
    lower.pop("main")
    document["flow"]["gates"].append(lower)
    found = from_document(document)
    session, _ = fly_perfect(drill("straight-in"), book_of(drill("straight-in")), ())
    evaluator = Evaluator(found, book_of(found))
    main = evaluator.watch(Happened("last chance", "stable"))
    other = evaluator.watch(Happened("last chance", "lower"))
    # The same aircraft without any landing flap: far down the path the upper gate is lost first.
    rows = [row._replace(flap=0.0, flap_lever=0, cas_kt=205.0) for row in session.flight.rows]
    for row in rows:
        if row.margin_nm is not None:
            margin = row.margin_nm - 20.0 if row.distance_nm < 9.0 else row.margin_nm
            row = row._replace(margin_nm=margin)
        evaluator.observe(row, ())
    assert main.first < other.first < len(rows)
