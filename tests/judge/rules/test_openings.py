"""What opens and for whom: an item is void where nobody could act, or nobody has to.

The other pilot's half of an exchange waits for nobody, and what the aircraft calls is no act of the
crew. A moment that makes an item void does so before it is due. What ends with the approach is
void unless it was due by then; what holds whether an approach is flown or not outlives it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import pytest

from tests.builders import SELECTORS, modes, move, say
from tests.judge.fold import fold
from tests.judge.small import MODE_CALL, NOW, Deed, call, gear, judge, only, speed, turn
from trainer.flight.acts import Act as Made
from trainer.flight.acts import Fact
from trainer.judge.board import ALREADY_SO, BEYOND_IT, BY_AIRCRAFT
from trainer.judge.judgement import ItemVerdict
from trainer.scenario.exercise import Act, Event, Item
from trainer.scenario.moments import START, AllOf, Compare, Figure, Happened, Shows

AT_MINIMUMS = Shows("phase", "", ("minimums",))
AROUND = {"phase": "go-around"}


def test_what_the_aircraft_calls_is_waived() -> None:
    found = only(judge([call(role="aircraft")], 200, extra=[NOW]))
    assert (found.verdict, found.credit, found.found) == ("not reached", None, BY_AIRCRAFT)


def test_an_answer_of_the_other_pilot_is_not_asked_of_one_alone() -> None:
    assert only(judge([call(is_response=True)], 200, extra=[NOW])).verdict == "not reached"


@pytest.mark.parametrize(
    ("at", "verdict"), [(10, "not reached"), (69, "not reached"), (70, "missed")]
)
def test_what_makes_an_item_void_must_come_before_it_is_due(at: int, verdict: str) -> None:
    # Opened at step 20, due at step 70.
    item = gear(void=AT_MINIMUMS)
    changes = {at: {"phase": "minimums"}}
    assert only(judge([item], 200, (), changes, [NOW])).verdict == verdict


@pytest.mark.parametrize("closes", [10.0, Happened("event", "never")])
def test_what_is_done_is_void_no_more(closes: float | Happened) -> None:
    item = gear(void=AT_MINIMUMS, closes=closes)
    found = judge([item], 200, [move(30, "gear", "down")], {50: {"phase": "minimums"}}, [NOW])
    assert only(found).verdict == "on time"


def test_a_window_that_is_over_as_it_begins_is_none() -> None:
    assert (
        only(judge([gear(due=AT_MINIMUMS, closes=0.0)], 200, extra=[NOW])).verdict == "not reached"
    )


@pytest.mark.parametrize(("engaged", "verdict"), [("FD", "on time"), ("AP", "missed")])
def test_of_several_answers_one_that_is_so_already_is_enough(engaged: str, verdict: str) -> None:
    said, done = Act("say", intent="checked"), Act("do", "autopilot off")
    item = call("answer", act=said, answers=(said, done))
    shown = {0: {"modes": modes(engagement=engaged)}}
    assert only(judge([item], 200, changes=shown, extra=[NOW])).verdict == verdict


@pytest.mark.parametrize(("phase", "verdict"), [("minimums", "not reached"), ("final", "early")])
def test_what_is_void_just_now_cannot_be_done_too_early(phase: str, verdict: str) -> None:
    item = gear(opens=Happened("event", "later"), void=AT_MINIMUMS, early="harmful")
    found = judge([item], 200, [move(30, "gear", "down")], {0: {"phase": phase}})
    assert only(found).verdict == verdict


RECURRING = Item(
    "slow down", Act("set", "speed", figure=Figure(160.0)), due=5.0, closes=10.0,
    each=Compare("speed", "above", Figure(200.0)), while_=Shows("phase", "", ("final",)),
)  # fmt: skip


def test_a_state_that_lasted_before_it_mattered_is_not_asked_for() -> None:
    found = judge([RECURRING], 300, (), {100: {"phase": "final"}})
    assert found.items == (), "it was above 200 kt all the time"
    anew: dict[int, dict[str, Any]] = {
        100: {"phase": "final"}, 120: {"cas_kt": 190.0}, 130: {"cas_kt": 210.0},
    }  # fmt: skip
    assert [one.opened for one in judge([RECURRING], 160, (), anew).items] == [130]


def test_only_a_mode_that_changes_is_a_change() -> None:
    each = replace(MODE_CALL, each=Happened("changed", "any"))
    other = [Fact(19, "acted", "lateral", "LOC"), Fact(29, "acted", "gear", "down")]
    shown = {0: {"modes": modes(lateral="LOC")}}
    assert judge([each], 100, (), shown, other).items == ()


def test_a_late_flap_keeps_its_time_when_the_lever_goes_further() -> None:
    item = gear(name="flap", act=Act("do", "flaps", "12"), closes=Happened("event", "end"))
    further = {81: {"flap_lever": 2}, 101: {"flap_lever": 3}}
    deeds = [move(80, "flaps", "12"), move(100, "flaps", "22")]
    found = only(judge([item], 300, deeds, further, [NOW, Fact(199, "event", "end")]))
    assert (found.verdict, found.done) == ("late", 80)


@pytest.mark.parametrize(("value", "found"), [("down", ALREADY_SO), ("up", "nothing")])
def test_what_is_so_already_is_done_as_it_opens(value: str, found: str) -> None:
    judgement = judge([gear()], 200, changes={0: {"gear_lever": value}}, extra=[NOW])
    assert only(judgement).found == found


# Flaps, overtaken --------------------------------------------------------------------------------


def flap(position: str) -> Item:
    opens = Happened("event", "now")
    return Item(f"flap {position}", Act("do", "flaps", position), opens=opens, due=20.0)


@pytest.mark.parametrize(
    ("stage", "is_go_around", "found"),
    [(3, False, BEYOND_IT), (1, False, "nothing"), (1, True, BEYOND_IT), (3, True, "nothing")],
)
def test_a_stage_is_overtaken_further_out_on_the_approach_and_further_in_after_it(
    stage: int, is_go_around: bool, found: str
) -> None:
    # Flap 12 is the stage 2.
    items: dict[str, Any] = {"go_around" if is_go_around else "items": (flap("12"),)}
    start: dict[str, Any] = {"flap_lever": 1 if stage == 3 else 3}
    changes = {0: start | (AROUND if is_go_around else {}), 60: {"flap_lever": stage}}
    if found == "nothing":
        changes[0]["flap_lever"] = stage
    judgement = fold(600, changes, extra=[NOW], **items)
    assert only(judgement).found == found


# Each time ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("column", "changed", "count"),
    [
        ("any", "thrust", 1),
        ("thrust", "thrust", 1),
        ("lateral", "thrust", 0),
        ("armed", "thrust", 0),
    ],
)
def test_a_column_asks_for_its_own_changes(column: str, changed: str, count: int) -> None:
    item = call("checked", each=Happened("changed", column))
    shown = {20: {"modes": modes(thrust="IDLE")}}
    facts = [Fact(19, "mode", changed, "IDLE", "SPEED")]
    assert len(judge([item], 200, changes=shown, extra=facts).items) == count


@pytest.mark.parametrize("column", ["lateral armed", "vertical armed"])
def test_both_armed_lists_are_one_column(column: str) -> None:
    item = call("checked", each=Happened("changed", "armed"))
    shown = {20: {"modes": modes(lateral_armed=("LOC",), vertical_armed=("LOC",))}}
    assert (
        len(judge([item], 200, changes=shown, extra=[Fact(19, "mode", column, "LOC")]).items) == 1
    )


def test_what_was_shown_for_less_than_a_step_was_never_there_to_be_read() -> None:
    facts = [Fact(19, "mode", "lateral armed", "LOC"), Fact(19, "mode", "lateral", "LOC", "NAV")]
    shown = {20: {"modes": modes(lateral="LOC")}}
    (one,) = judge([MODE_CALL], 200, changes=shown, extra=facts).items
    assert one.expected == 'call "localizer captured"'


def test_a_happening_asks_each_time_it_occurs() -> None:
    item = call("checked", each=Happened("event", "traffic"))
    facts = [Fact(step, "event", "traffic") for step in (19, 20, 99)]
    found = judge([item], 300, extra=facts).items
    assert [one.opened for one in found] == [20, 21, 100]
    assert {one.weight for one in found} == {1.0 / 3.0}


def test_a_state_that_is_so_from_the_start_asks_at_once() -> None:
    item = call("checked", each=Compare("speed", "above", Figure(200.0)))
    (one,) = judge([item], 50).items
    assert one.opened == 0


def test_what_recurs_on_the_approach_does_so_no_more_in_a_go_around() -> None:
    item = call("checked", each=Happened("event", "traffic"))
    fact = [Fact(99, "event", "traffic")]
    assert judge([item], 300, changes={50: AROUND}, extra=fact).items == ()
    around = fold(300, {50: AROUND}, extra=fact, go_around=(item,))
    assert len(around.items) == 1


# The end of the approach -------------------------------------------------------------------------


@pytest.mark.parametrize("phase", ["go-around", "discontinued"])
@pytest.mark.parametrize(("at", "verdict"), [(69, "not reached"), (70, "missed")])
def test_the_end_of_the_approach_takes_what_was_not_due(phase: str, at: int, verdict: str) -> None:
    assert only(judge([gear()], 300, (), {at: {"phase": phase}}, [NOW])).verdict == verdict


def test_what_waited_on_the_approach_opens_no_more_after_it() -> None:
    assert only(judge([gear()], 300, (), {10: AROUND}, [NOW])).verdict == "not reached"


@pytest.mark.parametrize(
    ("grants", "verdict"), [("descend", "missed"), ("approach", "not reached")]
)
def test_a_clearance_outlives_the_approach_unless_it_was_for_it(grants: str, verdict: str) -> None:
    slots = (("altitude", "2000"),) if grants == "descend" else ()
    event = Event("cleared", Happened("event", "x"), atc="cleared", grants=grants, slots=slots)
    item = Item(
        "read back cleared", Act("read back", event="cleared"),
        opens=Happened("event", "cleared"), due=10.0, closes=20.0,
    )  # fmt: skip
    facts = [Fact(19, "event", "cleared")]
    found = judge([item], 400, (), {50: AROUND}, facts, events=(event,))
    assert only(found).verdict == verdict


def test_an_act_for_the_go_around_is_none_on_the_approach() -> None:
    item = gear(early="harmful")
    deeds = [move(5, "gear", "down"), move(40, "gear", "down")]
    early = fold(300, {}, deeds, [NOW], go_around=(item,))
    assert len(early.unmatched) == 1, "before its opening it waits for nothing on the approach"
    assert only(early).verdict == "on time"
    around = fold(300, {0: AROUND}, deeds, [NOW], go_around=(item,))
    assert only(around).verdict == "early"


# An assigned speed -------------------------------------------------------------------------------


WANTED = Happened("event", "now")
KEEP = Fact(9, "event", "keep")
ASSIGNED = Event("keep", Happened("event", "x"), grants="speed", slots=(("speed", "180"),))


def held(deeds: Sequence[Deed] = (), selected_kt: float = 210.0, **item: Any) -> ItemVerdict:
    """A target of 160 kt, asked for from step 20 on; 5 NM, where 180 kt end, come at step 525."""
    changes: dict[int, dict[str, Any]] = {
        step: {"distance_nm": 12.0 - step / 75.0} for step in range(600)
    }
    changes[300] |= {"selectors": SELECTORS._replace(speed_kt=selected_kt)}
    target = replace(speed(), opens=AllOf((Happened("event", "now"),)), **item)
    return only(judge([target], 700, deeds, changes, [KEEP, NOW], events=(ASSIGNED,)))


def test_a_target_waits_while_a_speed_is_assigned_and_has_its_time_afterwards() -> None:
    # Due and closing move by the 505 steps from the opening to the end of the assigned speed.
    found = held()
    assert (found.verdict, found.opened, found.due, found.closed) == ("missed", 20, 575, 625)
    assert held([turn(560, "160")]).verdict == "on time"
    assert held([turn(300, "160")]).verdict == "missed", "nothing asked for it yet"


def test_a_target_that_any_other_happening_asks_for_waits_too() -> None:
    target = replace(speed(), opens=Happened("passed", "ORVEN"))
    passed = Fact(19, "passed", "ORVEN")
    found = only(judge([target], 300, (), None, [KEEP, passed], events=(ASSIGNED,)))
    assert found.verdict == "not reached", "180 kt hold to the end of this flight"


def test_a_target_that_stands_when_the_assigned_speed_ends_is_done() -> None:
    found = held(selected_kt=160.0)
    assert (found.verdict, found.done, found.found) == ("on time", 525, ALREADY_SO)


@pytest.mark.parametrize(("below_nm", "verdict"), [(6.0, "not reached"), (4.5, "missed")])
def test_a_target_that_closes_meanwhile_was_overtaken(below_nm: float, verdict: str) -> None:
    closes = Compare("distance", "below", Figure(below_nm))
    assert held(closes=closes).verdict == verdict


@pytest.mark.parametrize(
    "item",
    [
        gear(opens=AllOf((Happened("event", "now"),))),
        replace(speed(), act=Act("set", "heading", figure=Figure(90.0)), opens=AllOf((WANTED,))),
        speed(),  # opened by a clearance: it is what was assigned
    ],
)
def test_what_is_no_target_of_the_flow_does_not_wait(item: Item) -> None:
    found = only(judge([item], 300, extra=[KEEP, NOW], events=(ASSIGNED,)))
    assert (found.verdict, found.due) == ("missed", 70)


def test_without_an_assigned_speed_a_target_does_not_wait() -> None:
    target = replace(speed(), opens=AllOf((WANTED,)))
    assert only(judge([target], 300, extra=[NOW], events=(ASSIGNED,))).due == 70


# Declined ----------------------------------------------------------------------------------------


def declined(step: int, item: Item, *deeds: Deed) -> dict[str, str]:
    """The verdicts where "unable" answers a clearance of step 19."""
    event = Event("lower", Happened("event", "x"), grants="descend", slots=(("altitude", "2000"),))
    answer = Item(
        "read back lower", Act("read back", event="lower"),
        opens=Happened("event", "lower"), due=10.0, closes=20.0,
    )  # fmt: skip
    found = judge(
        [item, answer], 400, [*deeds, say(step, "unable")], None, [Fact(19, "event", "lower")],
        words={"unable": ("unable",)}, events=(event,),
    )  # fmt: skip
    return {one.item: one.verdict for one in found.items}


DESCENT = Item(
    "descend", Act("set", "altitude", figure=Figure(2000.0)), opens=Happened("event", "lower"),
    due=10.0, closes=20.0,
)  # fmt: skip


def test_unable_answers_a_clearance_and_takes_away_what_it_asked_for() -> None:
    assert declined(50, DESCENT) == {"read back lower": "on time", "descend": "not reached"}
    allowed = replace(DESCENT, opens=Happened("granted", "descend"))
    assert declined(50, allowed)["descend"] == "not reached"
    other = replace(DESCENT, opens=START)
    assert declined(50, other)["descend"] == "missed"
    spoken = replace(DESCENT, act=Act("say", intent="checked"))
    assert declined(50, spoken)["descend"] == "missed", "what is said of it is still true"


def test_unable_takes_nothing_away_that_was_done() -> None:
    set_it = Made(25, 1, "pilot", "set", "altitude", "2000"), Fact(25, "acted", "altitude", "2000")
    assert declined(50, DESCENT, set_it)["descend"] == "on time"


def test_unable_said_too_late_takes_nothing_away() -> None:
    assert declined(300, DESCENT) == {"read back lower": "missed", "descend": "missed"}


def test_what_outlives_the_approach_keeps_nothing_else_alive() -> None:
    event = Event("lower", Happened("event", "x"), grants="descend", slots=(("altitude", "2000"),))
    answer = Item(
        "read back lower", Act("read back", event="lower"), opens=WANTED, due=10.0, closes=20.0
    )
    found = judge([answer, gear()], 400, (), {50: AROUND}, [NOW], events=(event,))
    assert [one.verdict for one in found.items] == ["missed", "not reached"]
