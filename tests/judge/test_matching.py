"""How acts meet items: on time, late, early, wrong, missed, not reached."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

import pytest

from tests.builders import book, exercise, modes, move, press, row, say
from trainer.flight.acts import Act, Fact
from trainer.judge.judgement import ItemVerdict, Judgement
from trainer.judge.tracker import Tracker
from trainer.judge.verdicts import conclude
from trainer.scenario.exercise import Act as Expected
from trainer.scenario.exercise import Item
from trainer.scenario.moments import Compare, Figure, Happened, Shows

Deed = tuple[Act, Fact]


def judge(
    items: Sequence[Item],
    length: int,
    deeds: Sequence[Deed] = (),
    changes: Mapping[int, dict[str, Any]] | None = None,
    extra: Sequence[Fact] = (),
) -> Judgement:
    """Judge `length` steps; `changes[n]` hold from row n on."""
    tracker = Tracker(exercise(tuple(items)), book())
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


def test_an_act_inside_its_window_is_on_time() -> None:
    verdict = only(judge([gear()], 200, [move(40, "gear", "down")], extra=[NOW]))
    assert (verdict.verdict, verdict.credit) == ("on time", 1.0)
    assert (verdict.opened, verdict.due, verdict.closed, verdict.done) == (20, 70, 120, 40)


def test_credit_falls_evenly_from_due_to_closing() -> None:
    # Hand calculation: due 7.0 s, closes 12.0 s; 8.0 s is a fifth of the way.
    verdict = only(judge([gear()], 200, [move(80, "gear", "down")], extra=[NOW]))
    assert verdict.verdict == "late"
    assert verdict.credit == pytest.approx(0.8)


def test_nothing_done_is_missed_and_only_after_the_window() -> None:
    assert only(judge([gear()], 200, extra=[NOW])).verdict == "missed"
    assert only(judge([gear()], 60, extra=[NOW])).verdict == "not reached"


def test_what_never_opens_is_not_reached_and_has_no_credit() -> None:
    verdict = only(judge([gear()], 200))
    assert (verdict.verdict, verdict.credit) == ("not reached", None)


def test_nobody_is_late_before_three_seconds_of_hands() -> None:
    item = gear(due=1.0, closes=None)
    assert only(judge([item], 100, [move(50, "gear", "down")], extra=[NOW])).verdict == "on time"
    assert only(judge([item], 100, [move(51, "gear", "down")], extra=[NOW])).verdict == "late"


def test_a_due_moment_that_had_come_leaves_six_seconds() -> None:
    item = gear(due=Compare("distance", "below", Figure(13.0)), closes=None)
    verdict = only(judge([item], 300, [move(80, "gear", "down")], extra=[NOW]))
    assert (verdict.due, verdict.verdict) == (80, "on time")


def test_an_early_act_that_is_fine_counts_when_the_item_opens() -> None:
    down = {"gear_lever": "down"}
    verdict = only(judge([gear()], 100, [move(5, "gear", "down")], {6: down}, extra=[NOW]))
    assert (verdict.verdict, verdict.credit) == ("on time", 1.0)


@pytest.mark.parametrize(("early", "credit"), [("harmful", 0.5), ("forbidden", 0.0)])
def test_an_early_act_costs_what_the_item_says(early: str, credit: float) -> None:
    down = {"gear_lever": "down"}
    item = gear(early=early)
    verdict = only(judge([item], 100, [move(5, "gear", "down")], {6: down}, extra=[NOW]))
    assert (verdict.verdict, verdict.credit) == ("early", credit)


def test_an_early_lever_put_back_within_three_seconds_is_no_finding() -> None:
    item = gear(early="harmful")
    deeds = [move(0, "gear", "down"), move(15, "gear", "up"), move(40, "gear", "down")]
    assert only(judge([item], 100, deeds, extra=[NOW])).verdict == "on time"


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


def test_a_value_within_two_knots_is_right() -> None:
    assert only(judge([speed()], 200, [turn(30, "162")], extra=[NOW])).verdict == "on time"


@pytest.mark.parametrize(
    ("standing_kt", "deeds", "verdict"),
    [(152.0, [], "missed"), (145.0, [], "on time"), (210.0, [turn(30, "152")], "on time")],
)
def test_a_speed_left_over_from_before_is_no_final_speed_though_a_chosen_one_may_be_as_fast(
    standing_kt: float, deeds: list[Deed], verdict: str
) -> None:
    # Reference 132 kt, final 137 kt: up to 152 kt may be chosen, and the gate passes up to 147 kt.
    item = replace(
        speed(), act=Expected("set", "speed", figure=Figure(0.0, "final approach speed"))
    )
    stands = row().selectors._replace(speed_kt=standing_kt)
    found = judge([item], 200, deeds, changes={0: {"selectors": stands}}, extra=[NOW])
    assert only(found).verdict == verdict


def test_a_wrong_value_that_stands_is_wrong() -> None:
    verdict = only(judge([speed()], 200, [turn(30, "170")], extra=[NOW]))
    assert (verdict.verdict, verdict.credit, verdict.is_corrected) == ("wrong", 0.0, False)


def test_a_wrong_value_put_right_later_earns_half() -> None:
    verdict = only(judge([speed()], 200, [turn(30, "170"), turn(65, "160")], extra=[NOW]))
    assert (verdict.verdict, verdict.credit, verdict.is_corrected) == ("wrong", 0.5, True)


def test_a_wrong_value_put_right_within_three_seconds_is_no_finding() -> None:
    verdict = only(judge([speed()], 200, [turn(30, "170"), turn(50, "160")], extra=[NOW]))
    assert (verdict.verdict, verdict.credit) == ("on time", 1.0)


def test_an_act_goes_to_the_open_item_that_is_due_first() -> None:
    later = gear(name="later", due=9.0)
    judgement = judge([later, gear()], 300, [move(40, "gear", "down")], extra=[NOW])
    assert {item.item: item.verdict for item in judgement.items} == {
        "later": "missed",
        "gear down": "on time",
    }


def test_a_refused_act_settles_nothing() -> None:
    act, _ = press(30, "approach mode")
    refused = Fact(30, "refused", "approach mode", reason="no localizer received")
    verdict = only(judge([approach()], 300, [(act, refused)], extra=[NOW]))
    assert verdict.verdict == "missed"


def test_an_unmatched_act_costs_nothing() -> None:
    judgement = judge([gear()], 200, [move(40, "gear", "down"), turn(45, "180")], extra=[NOW])
    assert judgement.points == 100.0
    assert len(judgement.unmatched) == 1


def call(intent: str = "glide alive", **changes: Any) -> Item:
    values: dict[str, Any] = {
        "name": intent,
        "act": Expected("say", intent=intent),
        "opens": Happened("event", "now"),
        "due": 5.0,
        "closes": 10.0,
    }
    return Item(**(values | changes))


def test_a_call_is_timed_at_its_opening() -> None:
    verdict = only(judge([call()], 200, [say(90, "glide alive", began=60)], extra=[NOW]))
    assert (verdict.verdict, verdict.done) == ("on time", 60)


def test_a_call_opened_long_ago_counts_from_eight_seconds_before_sending() -> None:
    verdict = only(judge([call()], 300, [say(190, "glide alive", began=30)], extra=[NOW]))
    assert (verdict.verdict, verdict.done) == ("late", 110)


def test_unknown_words_cost_nothing_and_settle_nothing() -> None:
    deeds = [say(30, "glyph olive"), say(50, "glide alive")]
    assert only(judge([call()], 200, deeds, extra=[NOW])).verdict == "on time"


def test_a_false_call_makes_the_call_that_was_due_wrong() -> None:
    deeds = [say(30, "path captured")]
    verdict = only(judge([call("minimums")], 200, deeds, extra=[NOW]))
    assert verdict.verdict == "wrong"
    assert "shown was vertical ALT" in verdict.found


def test_a_true_call_that_nobody_waits_for_costs_nothing() -> None:
    deeds = [say(30, "checked"), say(50, "minimums")]
    assert only(judge([call("minimums")], 200, deeds, extra=[NOW])).verdict == "on time"


def test_a_wrong_number_in_a_call_is_wrong_until_it_is_said_right() -> None:
    item = call("missed approach set")
    deeds = [say(30, "missed approach 5000 set"), say(70, "missed approach 4000 set")]
    verdict = only(judge([item], 200, deeds, extra=[NOW]))
    assert (verdict.verdict, verdict.is_corrected) == ("wrong", True)


MODE_CALL = Item(
    name="mode call",
    act=Expected("say", intent="mode shown"),
    each=Happened("changed", "announced"),
    due=5.0,
    closes=10.0,
    weight=4.0,
)
LOC_ARMED = {"modes": modes(lateral_armed=("LOC",), vertical_armed=("PATH",))}
CHANGES = [
    Fact(19, "mode", "lateral armed", "LOC"),
    Fact(19, "mode", "vertical armed", "PATH"),
]


def test_one_utterance_settles_two_changes_of_one_step() -> None:
    deeds = [say(40, "localizer armed, path armed")]
    judgement = judge([MODE_CALL], 200, deeds, {20: LOC_ARMED}, extra=CHANGES)
    assert [item.verdict for item in judgement.items] == ["on time", "on time"]
    assert [item.weight for item in judgement.items] == [2.0, 2.0]


def test_saying_what_was_expected_instead_of_what_is_shown_is_wrong() -> None:
    deeds = [say(40, "localizer armed, glide armed")]
    judgement = judge([MODE_CALL], 200, deeds, {20: LOC_ARMED}, extra=CHANGES)
    assert {item.item: item.verdict for item in judgement.items} == {
        "mode call 1": "on time",
        "mode call 2": "wrong",
    }
    assert "PATH armed" in judgement.items[1].found


def test_silence_about_a_change_is_missed_and_never_wrong() -> None:
    judgement = judge([MODE_CALL], 200, changes={20: LOC_ARMED}, extra=CHANGES)
    assert {item.verdict for item in judgement.items} == {"missed"}


def test_an_expectation_makes_no_claim() -> None:
    deeds = [say(40, "looking for glide armed")]
    judgement = judge([MODE_CALL], 200, deeds, {20: LOC_ARMED}, extra=CHANGES)
    assert {item.verdict for item in judgement.items} == {"missed"}


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


def test_a_void_moment_takes_an_item_away_before_it_is_due() -> None:
    item = gear(void=Shows("phase", "", ("minimums",)))
    judgement = judge([item], 200, changes={50: {"phase": "minimums"}}, extra=[NOW])
    assert only(judgement).verdict == "not reached"


def test_a_call_begun_before_a_change_does_not_announce_it() -> None:
    armed = {"modes": modes(lateral_armed=("LOC",))}
    captured = {"modes": modes(lateral="LOC")}
    changes = [
        Fact(19, "mode", "lateral armed", "LOC"),
        Fact(39, "mode", "lateral", "LOC", "NAV"),
    ]
    deeds = [say(50, "localizer armed", began=35)]
    judgement = judge([MODE_CALL], 200, deeds, {20: armed, 40: captured}, extra=changes)
    assert {item.item: item.verdict for item in judgement.items} == {
        "mode call 1": "on time",
        "mode call 2": "missed",
    }


def line(challenge: str) -> Item:
    return Item(
        name=f"landing: {challenge}",
        act=Expected("line", checklist="landing", challenge=challenge),
        opens=Happened("event", "now"),
        due=10.0,
    )


def test_two_lines_answered_in_one_step_are_two_lines() -> None:
    deeds = [
        (Act(40, 1, "pilot", "line", "landing", name), Fact(40, "line", "landing", name))
        for name in ("gear", "flap")
    ]
    judgement = judge([line("gear"), line("flap")], 200, deeds, extra=[NOW])
    assert [item.verdict for item in judgement.items] == ["on time", "on time"]


def test_judging_in_between_changes_nothing() -> None:
    tracker = Tracker(exercise((call("minimums"),)), book())
    rows = [row(0)]
    tracker.start(rows[0])
    for step in range(200):
        rows.append(row(step + 1))
        deed = {30: say(30, "path captured"), 50: say(50, "minimums")}.get(step)
        acts = [deed[0]] if deed else []
        facts = [deed[1]] if deed else []
        tracker.advance(acts, facts + ([NOW] if step == NOW.step else []), rows[-1])
        if step == 40:
            assert conclude(tracker, rows, "").items[0].verdict == "wrong"
    assert conclude(tracker, rows, "").items[0].verdict == "on time"


def test_a_recurring_state_counts_once_each_time_it_comes_about() -> None:
    item = call(
        "checked", each=Compare("speed", "below", Figure(200.0)), opens=Happened("event", "never")
    )
    speeds = {0: {"cas_kt": 210.0}, 20: {"cas_kt": 190.0}, 60: {"cas_kt": 210.0}}
    judgement = judge([item], 200, changes={**speeds, 80: {"cas_kt": 190.0}})
    assert [one.item for one in judgement.items] == ["checked 1", "checked 2"]
