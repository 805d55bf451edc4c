"""The stable gate, criterion by criterion, at and just beyond each limit.

Limits: within one dot of localizer and glide path, sink at most 1,000 ft/min, landing
configuration, checklists done, thrust above idle: FSF ALAR Briefing Note 7.1. Speed −5/+10 kt
about the target is common practice.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from tests.judge.fold import fold
from tests.world.types import twin_jet
from trainer.judge.gates import IDLE_POWER
from trainer.judge.judgement import GateResult
from trainer.report.notes import criteria_text
from trainer.scenario.exercise import Act, Criterion, Gate, Item
from trainer.scenario.moments import Happened

CRITERIA = (
    Criterion("localizer", 1.0),
    Criterion("glideslope", 1.0),
    Criterion("speed above", 10.0),
    Criterion("speed below", 5.0),
    Criterion("sink", 1000.0),
    Criterion("bank", 15.0),
    Criterion("configuration", 0.0, "landing"),
    Criterion("thrust idle", 3.0),
)
STABLE = {
    "height_ft": 1001.0,
    "cas_kt": 137.0,
    "vertical_speed_fpm": -720.0,
    "flap_lever": 4,
    "flap": 4.0,
    "gear": 1.0,
    "gear_lever": "down",
    "glide_dots": 0.0,
    "localizer_dots": 0.0,
    "phase": "final",
    "power": 0.12,
}


STABLE_GATE = Gate("stable", 1000.0, CRITERIA, True)


def gate(changes: dict[str, Any], length: int = 60) -> GateResult:
    """The gate, passed at row 50 with `changes` in force all the time."""
    judgement = fold(
        length, {0: {**STABLE, **changes}, 50: {"height_ft": 1000.0}}, gates=(STABLE_GATE,)
    )
    (result,) = judgement.gates
    return result


def test_a_stable_approach_passes_at_its_height() -> None:
    result = gate({})
    assert (result.result, result.step, result.failed) == ("passed", 50, ())
    passed = fold(60, {0: STABLE, 50: {"height_ft": 1000.0}}, gates=(STABLE_GATE,))
    assert passed.primary() == set()


@pytest.mark.parametrize(
    ("changes", "criterion"),
    [
        ({"localizer_dots": 1.01}, "localizer"),
        ({"localizer_dots": None}, "localizer"),
        ({"glide_dots": -1.01}, "glideslope"),
        ({"cas_kt": 147.1}, "speed above"),
        ({"cas_kt": 131.9}, "speed below"),
        ({"vertical_speed_fpm": -1001.0}, "sink"),
        ({"bank_deg": -15.5}, "bank"),
        ({"flap": 3.9}, "configuration"),
        ({"flap_lever": 2, "flap": 2.0}, "configuration"),
        ({"gear": 0.9}, "configuration"),
        ({"power": 0.0}, "thrust idle"),
    ],
)
def test_just_outside_a_limit_fails(changes: dict[str, Any], criterion: str) -> None:
    result = gate(changes)
    assert result.result == "failed"
    assert [one.criterion for one in result.failed] == [criterion]


@pytest.mark.parametrize(
    "changes",
    [
        {"localizer_dots": -1.0},
        {"glide_dots": 1.0},
        {"cas_kt": 147.0},
        {"cas_kt": 132.0},
        {"vertical_speed_fpm": -1000.0},
        {"flap_lever": 3, "flap": 3.0},
    ],
)
def test_at_a_limit_passes(changes: dict[str, Any]) -> None:
    assert gate(changes).result == "passed"


def test_a_failure_carries_value_limit_and_unit() -> None:
    (failed,) = gate({"vertical_speed_fpm": -1240.0}).failed
    assert (failed.value, failed.limit, failed.unit) == (1240.0, 1000.0, "ft/min")


def test_where_nothing_is_received_the_gate_says_so_instead_of_a_figure() -> None:
    result = gate({"localizer_dots": None})
    (failed,) = result.failed
    assert (failed.value, failed.limit, failed.unit) == ("no needle", 1.0, "dot")
    assert criteria_text(result) == "localizer: no needle (limit 1 dot)"


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        ({"flap": 3.9}, "flap 36 moving, gear down"),
        ({"flap": 2.0, "flap_lever": 2}, "flap 12, gear down"),
        ({"gear": 0.0}, "flap 36, gear up"),
        ({"gear": 0.01}, "flap 36, gear moving"),
        ({"gear": 0.99, "flap": 3.5}, "flap 36 moving, gear moving"),
    ],
)
def test_a_wrong_configuration_is_told_with_what_is_still_moving(
    changes: dict[str, Any], told: str
) -> None:
    (failed,) = gate(changes).failed
    assert (failed.criterion, failed.value) == ("configuration", told)
    assert failed.limit == "flap 22 or 36, gear down"


@pytest.mark.parametrize(
    ("role", "flap", "result"),
    [
        ("approach", 3, "passed"),
        ("approach", 4, "passed"),
        ("approach", 2, "failed"),
        ("landing", 4, "passed"),
        ("landing", 3, "failed"),
    ],
)
def test_a_gate_asks_for_the_flap_of_its_role(role: str, flap: int, result: str) -> None:
    # Of a type that lands with flap 36 alone; its approach stage is flap 22, the stage 3.
    judgement = fold(
        60,
        {0: {**STABLE, "flap": float(flap), "flap_lever": flap}, 50: {"height_ft": 1000.0}},
        gates=(Gate("stable", 1000.0, (Criterion("configuration", 0.0, role),), True),),
        aircraft=replace(twin_jet(), landing_flaps=("36",)),
    )
    assert judgement.gates[0].result == result


def gate_of_checklist(expected: Act) -> GateResult:
    """A gate that asks for the landing checklist, met while `expected` has never been asked for."""
    judgement = fold(
        60,
        {0: STABLE, 50: {"height_ft": 1000.0}},
        items=(Item("waits", expected, opens=Happened("x", "")),),
        gates=(Gate("stable", 1000.0, (Criterion("checklist", 0.0, "landing"),), True),),
    )
    (result,) = judgement.gates
    return result


def test_an_open_checklist_fails_the_gate() -> None:
    (failed,) = gate_of_checklist(Act("line", checklist="landing", challenge="gear")).failed
    assert failed.value == "open: gear"


@pytest.mark.parametrize(
    "other",
    [
        Act("line", checklist="approach", challenge="altimeters"),
        Act("checklist", checklist="landing"),
    ],
)
def test_a_gate_asks_for_the_lines_of_its_own_checklist_and_nothing_else(other: Act) -> None:
    assert gate_of_checklist(other).result == "passed"


def test_a_gate_is_not_judged_in_a_go_around() -> None:
    judgement = fold(
        60,
        {0: STABLE, 20: {"phase": "go-around"}, 50: {"height_ft": 1000.0}},
        gates=(Gate("stable", 1000.0, CRITERIA, True),),
    )
    assert judgement.gates == ()


def test_a_flight_that_begins_at_the_height_of_a_gate_does_not_pass_it() -> None:
    judgement = fold(
        20,
        {0: {**STABLE, "height_ft": 1000.0}, 5: {"height_ft": 990.0}},
        gates=(Gate("stable", 1000.0, CRITERIA, True),),
    )
    assert judgement.gates == ()


def test_a_gate_is_judged_the_first_time_it_is_passed_and_not_again() -> None:
    judgement = fold(
        60,
        {
            0: STABLE,
            30: {"height_ft": 1000.0},
            40: {"height_ft": 1020.0, "cas_kt": 170.0},
            50: {"height_ft": 990.0},
        },
        gates=(Gate("stable", 1000.0, CRITERIA, True),),
    )
    assert [(one.step, one.result) for one in judgement.gates] == [(30, "passed")]


@pytest.mark.parametrize(("at", "result"), [(30, "passed"), (31, "failed")])
def test_idle_for_three_seconds_is_not_yet_too_long(at: int, result: str) -> None:
    judgement = fold(
        60,
        {0: {**STABLE, "power": 0.0}, at: {"height_ft": 1000.0}},
        gates=(Gate("stable", 1000.0, CRITERIA, True),),
    )
    assert judgement.gates[0].result == result


@pytest.mark.parametrize("power", [0.0, IDLE_POWER])
@pytest.mark.parametrize(("steps", "result"), [(30, "passed"), (31, "failed")])
def test_idle_is_counted_from_the_last_thrust_on(power: float, steps: int, result: str) -> None:
    judgement = fold(
        60,
        {
            0: {**STABLE, "power": power},
            10: {"power": IDLE_POWER + 0.001},
            51 - steps: {"power": power},
            50: {"height_ft": 1000.0},
        },
        gates=(Gate("stable", 1000.0, CRITERIA, True),),
    )
    assert judgement.gates[0].result == result


def test_a_measured_value_is_told_to_two_places() -> None:
    (failed,) = gate({"localizer_dots": -1.2345}).failed
    assert failed.value == 1.23


LIGHT = Gate(
    "light",
    500.0,
    (
        Criterion("speed above", 10.0),
        Criterion("speed below", 10.0),
        Criterion("configuration", 0.0, "approach"),
    ),
    True,
    speed_kt=170.0,
)
"""A gate at the speed and configuration of the approach, as of a light single (Part-FCL App. 7)."""


@pytest.mark.parametrize(
    ("changes", "failed"),
    [
        ({}, []),
        ({"flap_lever": 4, "flap": 4.0}, []),
        ({"flap_lever": 2, "flap": 2.0}, ["configuration"]),
        ({"flap": 2.9}, ["configuration"]),
        ({"cas_kt": 180.1}, ["speed above"]),
        ({"cas_kt": 159.9}, ["speed below"]),
        ({"cas_kt": 137.0}, ["speed below"]),
    ],
)
def test_a_gate_may_ask_for_a_speed_of_its_own_and_the_approach_stage_or_more(
    changes: dict[str, Any], failed: list[str]
) -> None:
    # The twin jet: stage 22, the third, is that of the approach.
    approach = {**STABLE, "height_ft": 501.0, "cas_kt": 170.0, "flap_lever": 3, "flap": 3.0}
    judgement = fold(60, {0: {**approach, **changes}, 50: {"height_ft": 500.0}}, gates=(LIGHT,))
    assert [one.criterion for one in judgement.gates[0].failed] == failed
