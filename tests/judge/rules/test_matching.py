"""Matching: which item an act of hands belongs to.

First the open item of that control and value that is due first; then one that has not opened
yet (early); then an open item of that control (wrong, once it has stood for a second); else it
is listed and costs nothing. A refused act settles nothing.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from tests.builders import modes, move, press, row
from tests.judge.small import NOW, approach, gear, judge, only, speed, turn
from trainer.flight.acts import Act, Fact
from trainer.judge.matching import found_text
from trainer.scenario.exercise import Act as Expected
from trainer.scenario.exercise import Item
from trainer.scenario.moments import Happened


def test_an_act_goes_to_the_open_item_that_is_due_first() -> None:
    later = gear(name="later", due=9.0)
    judgement = judge([later, gear()], 300, [move(40, "gear", "down")], extra=[NOW])
    assert {item.item: item.verdict for item in judgement.items} == {
        "later": "missed",
        "gear down": "on time",
    }


def test_an_early_press_whose_effect_is_gone_must_be_done_again() -> None:
    armed = {"modes": modes(lateral_armed=("LOC",), vertical_armed=("GLIDE",))}
    deeds = [press(5, "approach mode"), press(40, "approach mode")]
    judgement = judge([approach()], 200, deeds, {41: armed}, extra=[NOW])
    verdict = only(judgement)
    assert (verdict.verdict, verdict.is_corrected) == ("early", True)


def test_an_early_press_that_still_holds_when_it_opens_is_settled() -> None:
    armed = {"modes": modes(lateral_armed=("LOC",), vertical_armed=("GLIDE",))}
    verdict = only(judge([approach()], 200, [press(5, "approach mode")], {6: armed}, extra=[NOW]))
    assert (verdict.verdict, verdict.is_corrected) == ("early", False)


def test_a_press_that_undoes_the_first_settles_nothing() -> None:
    verdict = only(judge([approach()], 300, [press(40, "approach mode")], extra=[NOW]))
    assert verdict.verdict == "missed"


def test_a_wrong_value_that_stands_is_wrong() -> None:
    verdict = only(judge([speed()], 200, [turn(30, "170")], extra=[NOW]))
    assert (verdict.verdict, verdict.credit, verdict.is_corrected) == ("wrong", 0.0, False)


def test_a_value_that_stands_for_less_than_a_second_is_not_wrong() -> None:
    for back, verdict in ((39, "on time"), (40, "on time"), (80, "wrong")):
        deeds = [turn(30, "170"), turn(back, "160")]
        assert only(judge([speed()], 200, deeds, extra=[NOW])).verdict == verdict, back
    # Gone on to another wrong one: the first was passed through, or stood for a second.
    for on, found in ((39, "speed 180"), (40, "speed 170")):
        deeds = [turn(30, "170"), turn(on, "180"), turn(90, "160")]
        assert only(judge([speed()], 200, deeds, extra=[NOW])).found.startswith(found), on


def test_a_value_that_has_not_stood_for_a_second_when_the_item_closes_is_not_wrong() -> None:
    # Open from step 20 for 10 s.
    for at, verdict in ((110, "wrong"), (115, "missed")):
        assert only(judge([speed()], 200, [turn(at, "170")], extra=[NOW])).verdict == verdict, at


def test_a_hand_on_another_control_does_not_make_a_value_one_passed_through() -> None:
    deeds = [turn(30, "170"), move(35, "speedbrake", "out"), turn(90, "160")]
    assert only(judge([speed()], 200, deeds, extra=[NOW])).verdict == "wrong"


def test_a_right_value_counts_at_once_and_what_follows_is_another_act() -> None:
    judgement = judge([speed()], 200, [turn(30, "160"), turn(35, "170")], extra=[NOW])
    assert (only(judgement).verdict, only(judgement).done) == ("on time", 30)
    assert len(judgement.unmatched) == 1


def test_the_value_of_an_item_to_come_is_early_and_not_wrong_in_the_open_one() -> None:
    after = replace(speed(140.0), name="slower", opens=Happened("event", "later"), early="harmful")
    judgement = judge([speed(), after], 300, [turn(30, "140")], extra=[NOW])
    found = {one.item: one.verdict for one in judgement.items}
    assert found == {"speed": "missed", "slower": "early"}


def test_an_early_value_that_was_left_again_before_its_opening_must_be_set_again() -> None:
    item = replace(speed(140.0), opens=Happened("event", "later"), early="harmful")
    later = Fact(150, "event", "later")
    at_140 = row().selectors._replace(speed_kt=140.0)
    at_160 = row().selectors._replace(speed_kt=160.0)
    for stays_until, is_set_again in ((None, False), (60, True)):
        deeds = [turn(10, "140"), turn(170, "140")]
        changes = {11: {"selectors": at_140}}
        if stays_until is not None:
            deeds.insert(1, turn(stays_until, "160"))
            changes |= {stays_until + 1: {"selectors": at_160}}
        found = judge([item], 300, deeds, changes, [later])
        assert (only(found).verdict, only(found).is_corrected) == ("early", is_set_again)
        assert len(found.unmatched) == 1, "the way back, or the second time where it stood"


def test_a_press_is_for_the_item_of_its_own_button() -> None:
    waits = gear(name="director", act=Expected("do", "flight director"))
    assert (
        only(judge([waits], 200, [press(40, "flight director")], extra=[NOW])).verdict == "on time"
    )
    assert only(judge([waits], 200, [press(40, "autopilot")], extra=[NOW])).verdict == "missed"


def test_another_value_before_the_opening_is_only_listed() -> None:
    found = judge([speed()], 200, [turn(5, "170"), turn(30, "160")], extra=[NOW])
    assert (only(found).verdict, len(found.unmatched)) == ("on time", 1)


def test_an_early_value_left_after_its_opening_was_early() -> None:
    item = replace(speed(), early="harmful")
    stands = {16: {"selectors": row().selectors._replace(speed_kt=160.0)}}
    deeds = [turn(15, "160"), turn(25, "170")]
    assert only(judge([item], 200, deeds, stands, [NOW])).verdict == "early"


def test_a_refused_act_settles_nothing() -> None:
    act, _ = press(30, "approach mode")
    refused = Fact(30, "refused", "approach mode", reason="no localizer received")
    verdict = only(judge([approach()], 300, [(act, refused)], extra=[NOW]))
    assert verdict.verdict == "missed"


def test_an_unmatched_act_costs_nothing() -> None:
    judgement = judge([gear()], 200, [move(40, "gear", "down"), turn(45, "180")], extra=[NOW])
    assert judgement.points == 100.0
    assert len(judgement.unmatched) == 1


def refused_at(step: int, item: Item) -> str:
    """The verdict where approach mode was refused at `step`; it opens at step 20."""
    deed = (
        Act(step, 1, "pilot", "press", "approach mode"),
        Fact(step, "refused", "approach mode", reason="nothing is received"),
    )
    return only(judge([item], 200, [deed], extra=[NOW])).verdict


def test_a_refused_press_is_early_only_where_early_is_forbidden() -> None:
    assert refused_at(5, approach(early="forbidden")) == "early"
    assert refused_at(5, approach(early="harmful")) == "missed"
    assert refused_at(5, gear(early="forbidden")) == "missed", "another control"
    assert refused_at(40, approach(early="forbidden")) == "missed", "it is open by then"


def test_a_value_that_a_selector_refuses_is_not_early() -> None:
    act, _ = turn(5, "999")
    refused = Fact(5, "refused", "speed", "999", reason="the selector ends at 400")
    waiting = replace(speed(), early="forbidden")
    assert only(judge([waiting], 200, [(act, refused)], extra=[NOW])).verdict == "missed"


def test_a_value_that_is_refused_as_another_is_taken_counts_for_nothing() -> None:
    act, _ = turn(30, "160")
    refused = Fact(30, "refused", "speed", "160", reason="the selector is stuck")
    judgement = judge([speed()], 200, [turn(30, "220"), (act, refused)], extra=[NOW])
    assert only(judgement).verdict == "wrong"


def test_of_two_refused_presses_the_first_is_told() -> None:
    deeds = [
        (Act(step, 1, "pilot", "press", "approach mode"),
         Fact(step, "refused", "approach mode", reason=f"reason {step}"))
        for step in (5, 9)
    ]  # fmt: skip
    assert only(judge([approach(early="forbidden")], 200, deeds, extra=[NOW])).found == (
        "refused: reason 5"
    )


@pytest.mark.parametrize(
    ("shown", "told"),
    [
        ({"localizer": "none", "glide": "flagged"},
         "localizer not received, glide path not received; nothing armed"),
        ({"localizer": "covered", "glide": "received"},
         "localizer received, glide path received outside its coverage; nothing armed"),
        ({"modes": modes(lateral_armed=("LOC",), vertical_armed=("GLIDE",))},
         "localizer received, glide path received outside its coverage; LOC and GLIDE armed"),
    ],
)  # fmt: skip
def test_what_was_received_and_armed_is_told_with_the_press(
    shown: dict[str, Any], told: str
) -> None:
    pressed = press(5, "approach mode")[0]
    assert found_text(pressed, row(6, **shown)) == (
        f"approach mode at 12.0 NM, 3000 ft, 210 kt; {told}"
    )


def test_on_an_rnp_final_the_level_of_service_is_told_with_the_press() -> None:
    pressed = press(5, "approach mode")[0]
    told = found_text(pressed, row(6, track="received", modes=modes(capability="LPV")))
    assert told.endswith("; LPV shown; nothing armed")
    none = modes(lateral_armed=("NAV",), vertical_armed=("PATH",))
    told = found_text(pressed, row(6, track="flagged", modes=none))
    assert told.endswith("; no level of service shown; NAV and PATH armed")
