"""Primary and consequent: one closed table says which slips explain which outcomes.

An item verdict is always primary. A failed gate or a watch follows from an earlier item verdict
that was still uncorrected and touches one of its causes; it decides the outcome and deducts
nothing.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from tests.builders import SELECTORS, move, say
from tests.judge.fold import Deed, fold
from tests.judge.unstable import CALL, FAST, GEAR, NOW, OPEN_LINE, SPEED_ASTRAY, SPOILERS, flown
from trainer.flight.acts import Act as Made
from trainer.flight.acts import Fact
from trainer.judge.consequences import consequences
from trainer.judge.judgement import FailedCriterion, GateResult
from trainer.scenario.exercise import Act, Item, Watch
from trainer.scenario.moments import AllOf, Figure, Happened, Shows


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


# From when until when a slip explains ------------------------------------------------------------


def fast_from(step: int, **also: Any) -> dict[int, dict[str, Any]]:
    """Slow enough at first, and from `step` on faster than the watch allows."""
    return {0: {"cas_kt": 150.0}, step: {"cas_kt": 210.0, **also}}


@pytest.mark.parametrize(("gone_at", "because"), [(298, None), (299, "gear down")])
def test_what_was_late_costs_energy_until_no_margin_is_left(
    gone_at: int, because: str | None
) -> None:
    # Due at step 60 and done at step 80; the limit is broken at row 300.
    changes = {**fast_from(300), gone_at: {"margin_nm": None}}
    changes = dict(sorted(changes.items()))
    judgement = fold(
        400, changes, [move(80, "gear", "down")], [NOW], items=(GEAR,), watches=(FAST,)
    )
    assert judgement.items[0].verdict == "late"
    assert judgement.watches[0].because == because


@pytest.mark.parametrize(("broken_at", "because"), [(58, None), (59, "gear down")])
def test_what_begins_after_an_outcome_does_not_explain_it(
    broken_at: int, because: str | None
) -> None:
    # Missed from its due at step 60 on, which shows in the row before at the earliest.
    judgement = fold(400, fast_from(broken_at), extra=[NOW], items=(GEAR,), watches=(FAST,))
    assert judgement.watches[0].because == because


@pytest.mark.parametrize(("for_s", "because"), [(0.0, None), (1.4, None), (1.5, "gear down")])
def test_what_must_last_may_follow_from_what_went_wrong_meanwhile(
    for_s: float, because: str | None
) -> None:
    lasting = replace(FAST, for_s=for_s)
    judgement = fold(400, fast_from(44), extra=[NOW], items=(GEAR,), watches=(lasting,))
    assert judgement.watches[0].because == because


SPEED_SET = Item(
    "speed set", Act("set", "speed", figure=Figure(160.0)), opens=Happened("event", "now"),
    due=4.0, closes=9.0, area="energy",
)  # fmt: skip


@pytest.mark.parametrize("items", [(GEAR, SPEED_SET), (SPEED_SET, GEAR)])
def test_the_earliest_of_several_slips_explains(items: tuple[Item, ...]) -> None:
    judgement = fold(400, fast_from(300), extra=[NOW], items=items, watches=(FAST,))
    assert judgement.watches[0].because == "speed set"


@pytest.mark.parametrize(
    ("causes", "because"), [(("energy",), "speed set"), (("energy", "gear"), "gear down")]
)
def test_what_has_a_lever_of_its_own_names_that_first(
    causes: tuple[str, ...], because: str
) -> None:
    watch = replace(FAST, causes=causes)
    judgement = fold(400, fast_from(300), extra=[NOW], items=(SPEED_SET, GEAR), watches=(watch,))
    assert judgement.watches[0].because == because


def test_a_setting_that_follows_from_an_item_is_no_slip_of_its_own() -> None:
    high = {"selectors": SELECTORS._replace(speed_kt=240.0)}
    changes: dict[int, dict[str, Any]] = {
        0: {"cas_kt": 150.0, "selectors": SELECTORS._replace(speed_kt=180.0)},
        100: high,
        300: {"cas_kt": 210.0},
    }
    found = fold(
        400, changes, extra=[NOW], items=(SPEED_SET,), watches=(SPEED_ASTRAY, FAST)
    ).watches
    assert [one.because for one in found] == ["speed set", "speed set"]


@pytest.mark.parametrize("order", [(SPEED_ASTRAY, FAST), (FAST, SPEED_ASTRAY)])
def test_a_setting_is_found_within_a_watch_that_asks_for_more(order: tuple[Watch, ...]) -> None:
    assert SPEED_ASTRAY.moment is not None
    on_approach = AllOf((Shows("phase", "", ("intercept",)), SPEED_ASTRAY.moment))
    watches = tuple(
        replace(one, moment=on_approach) if one is SPEED_ASTRAY else one for one in order
    )
    changes = {
        **fast_from(300),
        0: {"cas_kt": 150.0, "selectors": SELECTORS._replace(speed_kt=240.0)},
    }
    found = {one.watch: one.because for one in fold(400, changes, watches=watches).watches}
    assert found == {"speed astray": None, "fast": "speed astray"}


@pytest.mark.parametrize(("cas_kt", "because"), [(250.0, "gear down"), (250.1, None)])
def test_a_limit_broken_by_more_than_twelve_knots_is_a_finding_whatever_led_to_it(
    cas_kt: float, because: str | None
) -> None:
    # The twin jet's first flap stage may be flown up to 238 kt.
    limit = Watch("flap speed", "limit", None, limit="flaps", causes=("energy",))
    changes: dict[int, dict[str, Any]] = {
        0: {"cas_kt": 150.0, "flap": 1.0, "flap_lever": 1},
        300: {"cas_kt": cas_kt},
    }
    (found,) = fold(400, changes, extra=[NOW], items=(GEAR,), watches=(limit,)).watches
    assert found.limit == 238.0
    assert found.because == because


def test_a_gate_names_the_lever_that_is_missing_before_what_lies_further_off() -> None:
    # Speed missed from step 50 on, gear from step 60 on; the gear is up at the gate.
    assert flown(items=(SPEED_SET, GEAR)).gates[0].because == "gear down"
    assert flown(items=(SPEED_SET,)).gates[0].because == "speed set"


def test_what_does_not_touch_an_outcome_stands_in_nobodys_way() -> None:
    assert flown(items=(CALL, GEAR)).gates[0].because == "gear down"


def test_what_is_over_stands_in_nobodys_way() -> None:
    armed_late = replace(SPOILERS, due=4.0, closes=9.0)
    judgement = fold(
        400, fast_from(300), [move(80, "spoilers", "armed")], [NOW], items=(armed_late, GEAR),
        watches=(FAST,),
    )  # fmt: skip
    assert judgement.items[0].verdict == "late"
    assert judgement.watches[0].because == "gear down"


def test_of_two_slips_of_one_moment_the_first_in_the_flow_explains() -> None:
    as_late = replace(SPEED_SET, due=GEAR.due)
    for items in ((GEAR, as_late), (as_late, GEAR)):
        judgement = fold(400, fast_from(300), extra=[NOW], items=items, watches=(FAST,))
        assert judgement.watches[0].because == items[0].name


def test_a_setting_that_followed_from_something_explains_nothing_when_that_is_over() -> None:
    # Gear late from step 60 to 80, made good when no margin is left at step 200; the wrong speed,
    # selected meanwhile, follows from it, and is no slip that could explain the limit at step 300.
    changes: dict[int, dict[str, Any]] = {
        0: {"cas_kt": 150.0, "selectors": SELECTORS._replace(speed_kt=180.0)},
        100: {"selectors": SELECTORS._replace(speed_kt=240.0)},
        200: {"margin_nm": None},
        300: {"cas_kt": 210.0},
    }
    found = fold(
        400, changes, [move(80, "gear", "down")], [NOW], items=(GEAR,),
        watches=(SPEED_ASTRAY, FAST),
    ).watches  # fmt: skip
    assert [one.because for one in found] == ["gear down", None]


def test_a_watch_over_what_must_always_be_so_is_no_wrong_setting() -> None:
    never_160 = Watch("not there", "always", SPEED_ASTRAY.moment, causes=("energy",))
    changes: dict[int, dict[str, Any]] = {
        0: {"cas_kt": 150.0, "selectors": SELECTORS._replace(speed_kt=180.0)},
        300: {"cas_kt": 210.0},
    }
    found = fold(400, changes, watches=(never_160, FAST)).watches
    assert [(one.watch, one.because) for one in found] == [("not there", None), ("fast", None)]


# What the air does -------------------------------------------------------------------------------


def upset_gate(*criteria: str) -> GateResult:
    failed = tuple(FailedCriterion(one, 12.0, 10.0, "") for one in criteria)
    return GateResult("stable", 500, 3.0, "failed", failed, None)


@pytest.mark.parametrize(
    ("step", "because"), [(199, None), (200, "shear"), (500, "shear"), (501, None)]
)
def test_a_change_of_the_wind_excuses_a_gate_for_thirty_seconds(
    step: int, because: str | None
) -> None:
    _, (gate,) = consequences([], [], [upset_gate("speed below", "sink")], [(step, "shear")], [])
    assert gate.because == because


def test_the_air_excuses_only_what_it_upsets() -> None:
    for criteria in (("configuration",), ("speed below", "configuration")):
        _, (gate,) = consequences([], [], [upset_gate(*criteria)], [(400, "shear")], [])
        assert gate.because is None


# Words -------------------------------------------------------------------------------------------


SAID = Watch("said, not shown", "mismatch", None, severity="major", causes=("awareness",))


def test_false_words_follow_from_the_call_that_they_were_said_for() -> None:
    waits = replace(CALL, name="glide captured", act=Act("say", intent="glide captured"))
    deeds = [say(30, "glide captured")]
    judgement = fold(200, {}, deeds, [NOW], items=(waits,), watches=(SAID,))
    assert judgement.items[0].verdict == "wrong"
    assert judgement.watches[0].because == "glide captured"


@pytest.mark.parametrize(
    ("item", "deeds", "said_at"),
    [
        (GEAR, [], 60),  # missed from the very step at which they were said
        (SPEED_SET, [(Made(20, 1, "pilot", "set", "speed", "170"),
                      Fact(20, "acted", "speed", "170"))], 40),  # wrong, but earlier
    ],
)  # fmt: skip
def test_false_words_follow_from_no_other_slip(item: Item, deeds: list[Deed], said_at: int) -> None:
    every = [*deeds, say(said_at, "glide captured")]
    judgement = fold(200, {}, every, [NOW], items=(item,), watches=(SAID,))
    assert judgement.items[0].is_finding
    assert judgement.watches[0].because is None


def test_false_words_follow_from_no_wrong_setting() -> None:
    astray = {0: {"selectors": SELECTORS._replace(speed_kt=240.0)}}
    found = fold(200, astray, [say(60, "glide captured")], watches=(SPEED_ASTRAY, SAID)).watches
    assert [one.because for one in found] == [None, None]


def test_a_finding_says_why_by_what_was_said_or_else_by_its_watch() -> None:
    changes: dict[int, dict[str, Any]] = {0: {"cas_kt": 210.0}}
    watches = (replace(FAST, why="too fast"), replace(SAID, why="not shown"))
    found = fold(200, changes, [say(60, "glide captured")], watches=watches).watches
    assert [one.why for one in found] == [
        "too fast", "glide was said; shown was vertical ALT, nothing armed",
    ]  # fmt: skip
