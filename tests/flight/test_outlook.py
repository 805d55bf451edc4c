"""When the energy margin is looked at, and against which gate.

What the margin itself is, is checked in `tests/world/test_margin.py`.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.builders import exercise, row
from trainer.flight.outlook import PLENTY_NM, Outlook
from trainer.flight.row import Row
from trainer.flight.surroundings import surroundings_of
from trainer.scenario.exercise import Criterion, Gate, WindLayer

MAIN, LOW = Gate("main", 1000.0, (), True), Gate("low", 500.0, (), False)


def outlook(gate: str = "", gates: tuple[Gate, ...] = (LOW, MAIN)) -> Outlook:
    made = exercise(gates=gates)
    return Outlook(made, surroundings_of(made), gate)


def near(step: int, distance_nm: float) -> Row:
    """Level at 3,000 ft, clean, 210 kt."""
    return row(step, distance_nm=distance_nm)


def test_it_counts_to_the_main_gate_unless_told_another() -> None:
    below_main = row(height_ft=800.0)
    assert outlook().margin_nm(below_main, "final") is None
    assert outlook("low").margin_nm(below_main, "final") is not None
    assert outlook("low").worked_out_nm(row()) > outlook().worked_out_nm(row())


def test_without_a_gate_there_is_no_margin() -> None:
    assert outlook(gates=()).margin_nm(row(), "final") is None


def test_at_the_gate_it_is_over() -> None:
    assert outlook().margin_nm(row(height_ft=1000.1), "final") is not None
    assert outlook().margin_nm(row(height_ft=1000.0), "final") is None


@pytest.mark.parametrize("phase", ["go-around", "climb-out", "decision", "discontinued"])
def test_off_the_approach_there_is_none(phase: str) -> None:
    assert outlook().margin_nm(row(), phase) is None


def test_it_is_looked_at_every_two_seconds() -> None:
    looked = outlook()
    first = looked.margin_nm(near(0, 11.0), "final")
    assert first is not None
    assert first < PLENTY_NM
    assert looked.margin_nm(near(19, 10.0), "final") == first
    then = near(20, 10.0)
    assert looked.margin_nm(then, "final") == looked.worked_out_nm(then) < first


def test_while_there_is_plenty_a_look_every_six_seconds_is_enough() -> None:
    looked = outlook()
    first = looked.margin_nm(near(0, 40.0), "arrival")
    assert first is not None
    assert first > PLENTY_NM
    assert looked.margin_nm(near(40, 39.0), "arrival") == first
    assert looked.margin_nm(near(60, 39.0), "arrival") == pytest.approx(first - 1.0, abs=0.05)


def test_gear_on_its_way_leaves_more_while_the_speed_is_high() -> None:
    fast = row(cas_kt=250.0)
    assert outlook().worked_out_nm(fast._replace(gear_lever="down")) > outlook().worked_out_nm(fast)


def test_a_tailwind_leaves_less() -> None:
    calm = exercise(gates=(MAIN,))
    # The runway lies 140 degrees: wind from 320 is a tailwind.
    windy = replace(calm, weather=replace(calm.weather, wind=(WindLayer(0.0, 320.0, 20.0),)))
    margins = [Outlook(one, surroundings_of(one)).worked_out_nm(row()) for one in (calm, windy)]
    assert margins[1] < margins[0]


def test_a_gate_with_a_speed_and_a_stage_of_its_own_leaves_more() -> None:
    fast = replace(MAIN, speed_kt=170.0)
    approach = replace(fast, criteria=(Criterion("configuration", 0.0, "approach"),))
    by_speed, by_stage = (outlook(gates=(one,)).worked_out_nm(row()) for one in (fast, approach))
    assert outlook().worked_out_nm(row()) < by_speed < by_stage
