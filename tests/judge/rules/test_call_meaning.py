"""Calls are taken by intent and slots, not by words.

A call is wrong only if what it claims was not so, or a value in it contradicts the state. What
is not understood is asked for again, the time is kept and nothing is lost. Words of expectation
claim nothing; silence is not called, never mismatch.
"""

from __future__ import annotations

import pytest

from tests.builders import modes, say
from tests.judge.small import CHANGES, LOC_ARMED, MODE_CALL, NOW, call, judge, only


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


@pytest.mark.parametrize("more", ["", ", glyph olive"])
def test_a_false_call_is_put_right_also_where_part_of_it_was_not_understood(more: str) -> None:
    # Words that were not understood keep their time; what was understood and false does not.
    deeds = [say(30, f"glide captured{more}"), say(70, "glide captured")]
    shown = {60: {"modes": modes(vertical="GLIDE")}}
    verdict = only(judge([call("glide captured")], 200, deeds, shown, extra=[NOW]))
    assert (verdict.verdict, verdict.credit, verdict.corrected) == ("wrong", 0.5, 70)


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
