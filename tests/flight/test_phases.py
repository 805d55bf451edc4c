"""The phase of a flight from its rows: when an approach counts as given up, and when not."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Any

from tests.builders import exercise, modes, row
from trainer.flight.phases import Phases
from trainer.flight.row import Row
from trainer.scenario.exercise import Gate
from trainer.units import steps_for

GATE = Gate("stable", 1000.0, (), True)
ON = modes(lateral="LOC", vertical_armed=("GLIDE",))
OFF = modes(lateral="HDG")


def _phases() -> Phases:
    return Phases(exercise(gates=(GATE,)))


def _last(phases: Phases, rows: Iterable[Row]) -> str:
    phase = ""
    for one in rows:
        phase = phases.next(one)
    return phase


def _for(seconds: float, **changes: Any) -> list[Row]:
    return [row(step, **changes) for step in range(steps_for(seconds))]


def test_called_off_above_the_gate_is_discontinued_at_once() -> None:
    phases = _phases()
    phases.next(row(modes=ON))
    phases.call_off(row(modes=ON))
    assert phases.next(row(modes=ON)) == "discontinued"


def test_called_off_below_the_gate_only_a_go_around_is_left() -> None:
    phases = _phases()
    low: dict[str, Any] = {
        "height_ft": 700.0,
        "altitude_ft": 700.0,
        "radio_ft": 700.0,
        "distance_nm": 2.0,
    }
    glide = modes(lateral="LOC", vertical="GLIDE")
    _last(phases, _for(1.0, modes=glide))
    phases.call_off(row(modes=glide, **low))
    assert phases.next(row(modes=glide, **low)) == "final"
    assert phases.next(row(modes=modes(lateral="GA", vertical="GA"), **low)) == "go-around"


def test_off_the_localizer_for_half_a_minute_and_level_it_is_given_up() -> None:
    phases = _phases()
    phases.next(row(modes=ON))
    phases.next(row(modes=ON))
    assert _last(phases, _for(29.0, modes=OFF)) == "intercept"
    assert _last(phases, _for(2.0, modes=OFF)) == "discontinued"


def test_armed_again_within_half_a_minute_it_was_a_way_back() -> None:
    phases = _phases()
    _last(phases, _for(1.0, modes=ON))
    _last(phases, _for(25.0, modes=OFF))
    again = modes(lateral="HDG", lateral_armed=("LOC",))
    assert _last(phases, _for(60.0, modes=again)) == "intercept"


def test_descending_beside_the_localizer_is_no_level_off() -> None:
    phases = _phases()
    _last(phases, _for(1.0, modes=ON))
    assert _last(phases, _for(60.0, modes=OFF, vertical_speed_fpm=-800.0)) == "intercept"


def test_before_the_localizer_nothing_can_be_given_up() -> None:
    assert _last(_phases(), _for(60.0, modes=OFF)) == "arrival"


def test_by_the_localizer_alone_vertical_speed_is_final_and_a_step_is_no_level_off() -> None:
    made = exercise(gates=(GATE,))
    approach = made.approach
    stepped = replace(
        made,
        approach=replace(approach, glideslope=replace(approach.glideslope, is_transmitted=False)),
    )
    phases = Phases(stepped)
    _last(phases, _for(1.0, modes=modes(lateral="LOC", vertical="VS")))
    assert _last(phases, _for(1.0, modes=modes(lateral="LOC", vertical="VS"))) == "final"
    assert _last(phases, _for(40.0, modes=modes(lateral="LOC", vertical="ALT"))) == "final"
