"""Every way back from a computed path, flown: none has a finding, and what each costs in miles.

The ways are those of the type's option "until both captured": localizer mode; heading mode, with
the intercept by a heading or by nav mode; both directors off. The miles without the localizer and
the largest deviation are the figures of the table in docs/for-pilots.md.
"""

from __future__ import annotations

import re
from itertools import pairwise

import pytest

from tests.crew.crews import edited, flown, item
from tests.project.sources import ROOT

ARMED = "way-back-from-path"
CAPTURED = "path-captured"

WAYS: dict[str, str] = {
    "localizer mode, approach mode": "",
    "heading mode, approach mode 3 s later": (
        "{at: 5 s, do: heading mode}, {at: 8 s, do: approach mode}"
    ),
    "heading mode, nav mode 4 s later, approach mode after 16 s more": (
        "{at: 5 s, do: heading mode}, {at: 9 s, do: nav mode}, {at: 25 s, do: approach mode}"
    ),
    "heading mode on the course, approach mode after 20 s": (
        "{at: 5 s, do: heading mode}, {at: 25 s, do: approach mode}"
    ),
    "heading mode with the selector 30° off, back with a cut of 20° after 15 s": (
        "{at: 4 s, set: {heading: 110 deg}}, {at: 5 s, do: heading mode}, "
        "{at: 20 s, set: {heading: 165 deg}}, {at: 25 s, do: approach mode}"
    ),
    "both directors off, on again, approach mode": (
        "{at: 5 s, do: flight director}, {at: 6 s, do: autopilot off}, "
        "{at: 9 s, do: flight director}, {at: 11 s, do: autopilot}, "
        "{at: 13 s, do: altitude hold}, {at: 15 s, do: approach mode}"
    ),
}


def _crew(way: str) -> str:
    if not WAYS[way]:
        return "{crew: 1, base: perfect}"
    edits = "{omit: take PATH away}, {omit: approach mode}"
    return f"{{crew: 1, base: perfect, edits: [{edits}], acts: [{WAYS[way]}]}}"


def _written() -> dict[str, tuple[float, float]]:
    text = (ROOT / "docs" / "for-pilots.md").read_text()
    lines = re.findall(r"^\| ([^|]+?) \| ([0-9.]+) NM \| ([0-9.]+) dots \|$", text, re.MULTILINE)
    return {way: (float(miles), float(dots)) for way, miles, dots in lines}


@pytest.mark.parametrize("way", WAYS, ids=str)
def test_every_way_back_lands_without_a_finding(way: str) -> None:
    _, judgement = flown(ARMED, _crew(way))
    assert judgement.primary() == set()
    assert (judgement.outcome, judgement.points) == ("passed", 100.0)
    assert judgement.modes[-1].capability == ""
    assert any(shown.vertical == "GLIDE" for shown in judgement.modes)


@pytest.mark.parametrize("way", WAYS, ids=str)
def test_the_miles_without_the_localizer_are_those_of_the_page(way: str) -> None:
    session, _ = flown(ARMED, _crew(way))
    miles = dots = 0.0
    for before, row in pairwise(session.flight.rows):
        if row.modes.lateral != "LOC" and row.distance_nm > 3.0:
            miles += row.flown_nm - before.flown_nm
            assert row.localizer_dots is not None
            dots = max(dots, abs(row.localizer_dots))
    assert (round(miles, 1), round(dots, 1)) == _written()[way]


def test_nav_mode_pressed_on_the_captured_localizer_is_inert() -> None:
    session, _ = flown(ARMED, "{crew: 1, base: perfect, acts: [{at: 1 s, do: nav mode}]}")
    refused = [fact for fact in session.flight.facts if fact.kind == "refused"]
    assert [fact.name for fact in refused] == ["nav mode"]
    assert "localizer captured in approach mode" in refused[0].reason


def test_who_takes_path_for_the_glide_path_is_told_so() -> None:
    judgement = edited(ARMED, "{omit: take PATH away}")
    assert judgement.primary() == {("take PATH away", "missed")}


def test_from_a_captured_path_every_button_of_another_mode_is_refused() -> None:
    buttons = ("localizer mode", "heading mode", "vertical speed mode", "approach mode")
    acts = ", ".join(f"{{at: 1 s, do: {button}}}" for button in buttons)
    session, judgement = flown(CAPTURED, f"{{crew: 1, base: perfect, acts: [{acts}]}}")
    refused = [fact.name for fact in session.flight.facts if fact.kind == "refused"]
    assert refused == list(buttons)
    assert judgement.points == 100.0


def test_a_go_around_leaves_a_captured_path_too() -> None:
    judgement = edited(CAPTURED, acts="{at: 6 s, do: go-around}")
    assert judgement.outcome == "passed"
    assert item(judgement, "take over").verdict == "not reached"
