"""Primary and consequent: one closed table says which slips explain which outcomes.

An item verdict is always primary. A failed gate or a watch follows from an earlier item verdict
that was still uncorrected and touches one of its causes; it decides the outcome and deducts
nothing.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from tests.builders import SELECTORS, move, say
from tests.judge.fold import fold
from tests.judge.unstable import (
    CALL,
    FAST,
    GEAR,
    NOW,
    OPEN_LINE,
    SPEED_ASTRAY,
    SPOILERS,
    flown,
)


def test_a_gate_failure_follows_from_the_item_that_was_missed() -> None:
    judgement = flown(items=(GEAR, CALL))
    assert judgement.gates[0].because == "gear down"
    assert judgement.primary() == {("gear down", "missed"), ("minimums", "missed")}


def test_a_gate_failure_that_no_item_explains_is_primary() -> None:
    judgement = flown(items=(CALL,))
    assert judgement.gates[0].because is None
    assert ("stable", "gate") in judgement.primary()


def test_a_call_that_was_missed_explains_no_energy() -> None:
    assert flown(items=(CALL,)).gates[0].because is None


def test_an_item_put_right_before_explains_nothing() -> None:
    # Late, but done at 8 s; what goes wrong 20 s later is not because of it.
    fast: dict[int, dict[str, Any]] = {0: {"cas_kt": 150.0}, 300: {"cas_kt": 210.0}}
    judgement = fold(
        400, fast, [move(80, "spoilers", "armed")], [NOW], items=(SPOILERS,), watches=(OPEN_LINE,)
    )
    assert judgement.items[0].verdict == "late"
    assert judgement.watches[0].because is None


def test_the_same_item_left_undone_explains_it() -> None:
    fast: dict[int, dict[str, Any]] = {0: {"cas_kt": 150.0}, 300: {"cas_kt": 210.0}}
    judgement = fold(400, fast, extra=[NOW], items=(SPOILERS,), watches=(OPEN_LINE,))
    assert judgement.watches[0].because == "spoilers"


def test_a_consequent_watch_deducts_nothing() -> None:
    fast: dict[int, dict[str, Any]] = {0: {"cas_kt": 150.0}, 300: {"cas_kt": 210.0}}
    called = [say(20, "minimums")]
    judgement = fold(400, fast, called, extra=[NOW], items=(GEAR, CALL), watches=(FAST,))
    assert judgement.watches[0].because == "gear down"
    assert judgement.points == 25.0, "weights 3 and 1, gear missed, and no 5 for the watch"


def test_what_is_consequent_decides_the_outcome_all_the_same() -> None:
    judgement = flown(items=(GEAR,), pass_points=0.0)
    assert judgement.gates[0].because == "gear down"
    assert judgement.reason == "the stable gate was not met and the approach was continued"
    fast: dict[int, dict[str, Any]] = {0: {"cas_kt": 150.0}, 300: {"cas_kt": 210.0}}
    watch = replace(FAST, severity="critical")
    judgement = fold(400, fast, extra=[NOW], items=(GEAR,), watches=(watch,), pass_points=0.0)
    assert judgement.watches[0].because == "gear down"
    assert (judgement.outcome, judgement.reason) == ("repeat", "fast")


def test_a_wrong_setting_is_charged_once_whatever_it_leads_to() -> None:
    fast: dict[int, dict[str, Any]] = {
        0: {"cas_kt": 150.0, "selectors": SELECTORS._replace(speed_kt=180.0)},
        100: {"selectors": SELECTORS._replace(speed_kt=240.0)},
        300: {"cas_kt": 210.0},
    }
    astray, fastest = fold(400, fast, watches=(SPEED_ASTRAY, FAST)).watches
    assert (astray.watch, astray.because) == ("speed astray", None)
    assert (fastest.watch, fastest.because) == ("fast", "speed astray")


def test_a_setting_put_right_before_explains_nothing() -> None:
    fast: dict[int, dict[str, Any]] = {
        0: {"cas_kt": 150.0, "selectors": SELECTORS._replace(speed_kt=240.0)},
        100: {"selectors": SELECTORS._replace(speed_kt=180.0)},
        300: {"cas_kt": 210.0},
    }
    astray, fastest = fold(400, fast, watches=(SPEED_ASTRAY, FAST)).watches
    assert astray.because is None
    assert fastest.because is None


def test_a_setting_explains_nothing_that_its_selector_does_not_touch() -> None:
    fast: dict[int, dict[str, Any]] = {
        0: {"cas_kt": 150.0, "selectors": SELECTORS._replace(speed_kt=240.0)},
        300: {"cas_kt": 210.0},
    }
    _, opened = fold(400, fast, watches=(SPEED_ASTRAY, OPEN_LINE)).watches
    assert opened.because is None
