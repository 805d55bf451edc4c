"""What shows that a button did what it was pressed for, button by button.

The mode it asks for is shown, or armed where it waits; a mode that takes something else away with
it counts only without that.
"""

from __future__ import annotations

from typing import Any

import pytest

from tests.builders import SELECTORS, book, exercise, modes, row
from trainer.flight.moments import Evaluator
from trainer.judge.hands import Hands
from trainer.scenario.exercise import Act

ARMED_BOTH = {"lateral_armed": ("LOC",), "vertical_armed": ("GLIDE",)}


def has_effect(control: str, **changes: Any) -> bool:
    """Whether `control` counts as pressed where `changes` are shown, and holds there without."""
    found = exercise()
    judged = Hands(found, Evaluator(found, book()))
    fields = {name: changes.pop(name) for name in tuple(changes) if name in row()._fields}
    shown = row(0, modes=modes(**changes), **fields)
    expected = Act("do", control)
    assert judged.holds(expected, shown) == judged.has_effect(expected, shown)
    return judged.has_effect(expected, shown)


@pytest.mark.parametrize(
    ("control", "shown"),
    [
        ("heading mode", {"lateral": "HDG"}),
        ("nav mode", {"lateral": "NAV"}),
        ("nav mode", {"lateral": "HDG", "lateral_armed": ("NAV",)}),
        ("localizer mode", {"lateral_armed": ("LOC",)}),
        ("localizer mode", {"lateral": "LOC"}),
        ("localizer mode", {"lateral": "ALIGN"}),
        ("localizer mode", {"lateral": "ROLLOUT"}),
        ("localizer mode", {"lateral": "VOR"}),
        ("localizer mode", {"lateral": "HDG", "lateral_armed": ("VOR",)}),
        ("approach mode", ARMED_BOTH),
        ("approach mode", {"lateral": "LOC", "vertical_armed": ("GLIDE",)}),
        ("approach mode", {"lateral": "LOC", "vertical": "GLIDE"}),
        ("approach mode", {"lateral": "ALIGN", "vertical": "FLARE"}),
        ("approach mode", {"track": "received", "vertical_armed": ("PATH",)}),
        ("approach mode", {"track": "flagged", "vertical": "PATH"}),
        ("path mode", {"vertical_armed": ("PATH",)}),
        ("path mode", {"vertical": "PATH"}),
        ("altitude hold", {"vertical": "ALT"}),
        ("vertical speed mode", {"vertical": "VS"}),
        ("climb mode", {"vertical": "CLIMB"}),
        ("descend mode", {"vertical": "DESCEND"}),
        ("speed mode", {"thrust": "SPEED"}),
        ("autothrust off", {"thrust": "OFF"}),
        ("autopilot", {"engagement": "AP"}),
        ("autopilot", {"engagement": "AP BOTH"}),
        ("second autopilot", {"engagement": "AP BOTH"}),
        ("autopilot off", {"engagement": "FD"}),
        ("go-around", {"vertical": "GA"}),
        ("go-around", {"thrust": "GA"}),
        ("identify", {"identified": "IMRW"}),
    ],
)
def test_a_button_counts_while_what_it_asks_for_is_shown(
    control: str, shown: dict[str, Any]
) -> None:
    assert has_effect(control, **shown)


@pytest.mark.parametrize(
    ("control", "shown"),
    [
        ("heading mode", {"lateral": "NAV"}),
        ("nav mode", {"lateral": "HDG"}),
        # Localizer mode takes an armed approach away: with one it was not localizer mode.
        ("localizer mode", ARMED_BOTH),
        ("localizer mode", {"lateral": "LOC", "vertical": "GLIDE"}),
        ("localizer mode", {"lateral": "LOC", "vertical": "PATH"}),
        ("localizer mode", {"lateral": "ALIGN", "vertical": "FLARE"}),
        ("localizer mode", {"lateral": "NAV"}),
        ("approach mode", {"lateral_armed": ("LOC",)}),
        ("approach mode", {"vertical_armed": ("GLIDE",)}),
        ("approach mode", {"track": "none", "vertical_armed": ("PATH",)}),
        ("approach mode", {"track": "received"}),
        ("path mode", {"vertical_armed": ("GLIDE",)}),
        ("altitude hold", {"vertical": "VS"}),
        ("vertical speed mode", {"vertical": "ALT"}),
        ("climb mode", {"vertical": "ALT"}),
        ("climb mode", {"vertical": "DESCEND"}),
        ("descend mode", {"vertical": "ALT"}),
        ("descend mode", {"vertical": "CLIMB"}),
        ("speed mode", {"thrust": "OFF"}),
        ("autothrust off", {"thrust": "SPEED"}),
        ("autopilot", {"engagement": "FD"}),
        ("second autopilot", {"engagement": "AP"}),
        ("autopilot off", {"engagement": "AP"}),
        ("autopilot off", {"engagement": "AP BOTH"}),
        ("go-around", {}),
        ("identify", {"identified": ""}),
    ],
)
def test_a_button_does_not_count_where_something_else_is_shown(
    control: str, shown: dict[str, Any]
) -> None:
    assert not has_effect(control, **shown)


@pytest.mark.parametrize("control", ["climb mode", "descend mode"])
@pytest.mark.parametrize(("to_go_ft", "counts"), [(999.0, True), (-999.0, True), (1000.0, False)])
def test_levelling_off_counts_for_the_altitude_that_is_selected(
    control: str, to_go_ft: float, counts: bool
) -> None:
    # A capture of an older altitude lies further away than one can begin.
    selected = SELECTORS._replace(altitude_ft=3000.0 + to_go_ft)
    assert has_effect(control, vertical="ALT CAP", selectors=selected) is counts


def test_of_a_toggle_only_the_press_counts() -> None:
    found = exercise()
    judged = Hands(found, Evaluator(found, book()))
    director = Act("do", "flight director")
    assert judged.has_effect(director, row())
    assert not judged.holds(director, row())


@pytest.mark.parametrize(
    ("act", "shown", "holds"),
    [
        (Act("do", "gear", "down"), {"gear_lever": "down"}, True),
        (Act("do", "gear", "down"), {"gear_lever": "up", "gear": 1.0}, False),
        (Act("do", "flaps", "12"), {"flap_lever": 2, "flap": 0.0}, True),
        (Act("do", "flaps", "12"), {"flap_lever": 3, "flap": 2.0}, False),
    ],
)
def test_a_lever_holds_by_where_it_stands(act: Act, shown: dict[str, Any], holds: bool) -> None:
    found = exercise()
    judged = Hands(found, Evaluator(found, book()))
    assert judged.holds(act, row(**shown)) is holds
