"""A go-around takes away what was not yet due; what was due and undone stands.

The watches of path and configuration stop with the approach; limits, level and track run on.
"""

from __future__ import annotations

from typing import Any

import pytest

from tests.builders import SELECTORS, modes
from tests.crew.crews import exercise
from tests.judge.fold import fold
from tests.judge.small import NOW, gear, judge
from trainer.scenario.moments import Happened


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


AROUND: dict[str, Any] = {"phase": "climb-out", "modes": modes(lateral="GA", vertical="GA")}
ON_PATH: dict[str, Any] = {"phase": "final", "modes": modes(lateral="LOC", vertical="GLIDE")}
ARMED: dict[str, Any] = {"phase": "intercept", "modes": modes(vertical_armed=("GLIDE",))}
TOO_FAST: dict[str, Any] = {"flap_lever": 2, "flap": 2.0, "cas_kt": 225.0}
FOUND_IN_BOTH = ("flap limit", "gear limit", "speed limit")


@pytest.mark.parametrize(
    ("name", "approach", "broken"),
    [
        ("flap limit", ON_PATH, TOO_FAST),
        ("gear limit", ON_PATH, {"gear_lever": "down", "gear": 1.0, "cas_kt": 300.0}),
        ("speed limit", ON_PATH, {"cas_kt": 345.0}),
        ("altimeter wrong on the path", ON_PATH,
         {"selectors": SELECTORS._replace(altimeter_hpa=1003.0)}),
        ("localizer on a wrong course", ON_PATH,
         {"selectors": SELECTORS._replace(course_deg=150.0)}),
        ("localizer not identified", ON_PATH, {"identified": ""}),
        ("armed above the path", ARMED, {"glide_dots": 2.5}),
        ("computed path not read",
         {**ARMED, "modes": modes(lateral="LOC", vertical_armed=("PATH",))}, {}),
    ],
)  # fmt: skip
def test_in_a_go_around_limits_are_watched_and_path_and_signals_no_longer(
    name: str, approach: dict[str, Any], broken: dict[str, Any]
) -> None:
    watch = next(one for one in exercise("straight-in").flow.watches if one.name == name)
    assert fold(200, {0: {**approach, **broken}}, watches=(watch,)).watches, "on the approach"
    around = fold(200, {0: {**approach}, 1: {**broken, **AROUND}}, watches=(watch,)).watches
    assert bool(around) == (name in FOUND_IN_BOTH)


@pytest.mark.parametrize(
    ("name", "state"),
    [
        ("through the missed approach altitude", {"altitude_ft": 4250.0}),
        ("turn before the missed-approach point", {"localizer_dots": 2.4}),
        ("gear left down", {"phase": "decision", "gear_lever": "down"}),
    ],
)
def test_in_a_go_around_level_track_and_gear_are_watched(name: str, state: dict[str, Any]) -> None:
    watch = next(one for one in exercise("straight-in").flow.watches if one.name == name)
    found = fold(1000, {0: AROUND, 50: {**AROUND, **state}}, watches=(watch,)).watches
    assert [one.watch for one in found] == [name]
    assert fold(1000, {0: AROUND}, watches=(watch,)).watches == ()
    before = {**ON_PATH, **state, "phase": "final"}
    assert fold(1000, {0: ON_PATH, 50: before}, watches=(watch,)).watches == ()
