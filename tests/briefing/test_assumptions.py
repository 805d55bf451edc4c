"""What a flow takes for granted, on one page: its figures, room for others, and the notice."""

from __future__ import annotations

from functools import cache

import pytest

from tests.crew.crews import exercise
from trainer.briefing.assumptions import assumptions_text, exercise_for
from trainer.briefing.told import moment_text
from trainer.errors import UserError
from trainer.scenario.crew_files import parse_moment_text
from trainer.scenario.exercise import Exercise
from trainer.scenario.library import default_library
from trainer.text import NOTICE

FLOWS = default_library().names("flow")
BY_HAND = ("setup", "energy", "guidance", "landing")
"""Areas of which a house may have figures of its own: what hands do, decisions left out."""
LINES_ON_A_PAGE = 92
"""Lines of 100 columns on A4 in eight-point type (297 mm, 2.9 mm a line, margins of 15 mm)."""


@cache
def flown(flow: str) -> Exercise:
    return exercise_for(flow, default_library())


@pytest.mark.parametrize("flow", FLOWS)
def test_each_flow_fits_on_a_page_with_the_notice_and_room_for_ones_own(flow: str) -> None:
    text = assumptions_text(flown(flow), 100)
    lines = text.splitlines()
    assert len(lines) <= LINES_ON_A_PAGE
    assert max(len(line) for line in lines) <= 100
    assert NOTICE in text.replace("\n", " ")
    hands = [one for one in flown(flow).flow.items if one.act.kind in ("do", "set")]
    assert text.count("____________") == len([one for one in hands if one.area in BY_HAND]) >= 12


@pytest.mark.parametrize("flow", FLOWS)
def test_gates_decisions_and_calls_of_the_flow_all_stand_there(flow: str) -> None:
    found = flown(flow).flow
    text = " ".join(assumptions_text(flown(flow), 100).split())
    for gate in found.gates:
        assert f"{gate.name} at {gate.height_ft:.0f} ft:" in text
    for item in found.items:
        if item.area == "decision" or item.act.kind == "say":
            assert item.name in text
    for checklist in found.checklists:
        for line in checklist.lines:
            assert f"{line.challenge}: {line.answer}" in text


def test_what_an_exercise_changes_is_left_out() -> None:
    names = [item.name for item in flown("jet-ils").flow.items]
    assert "tune" in names
    assert "not below the line" not in names
    loc = assumptions_text(flown("jet-loc"))
    assert "final fix passed" in loc
    assert "MESKO" not in loc


def test_an_unknown_flow_is_told_with_the_nearest_name() -> None:
    with pytest.raises(UserError, match='no flow "jet-lok"; did you mean "jet-loc"'):
        exercise_for("jet-lok", default_library())


@pytest.mark.parametrize(
    ("moment", "told"),
    [
        ("{distance: below 6 NM}", "distance below 6 NM"),
        ("{altitude: falling through minimums plus 100 ft}",
         "altitude down through minimums plus 100 ft"),
        ("{deviation: {localizer: from -1 dot to 1 dot}}", "localizer from -1 dots to 1 dots"),
        ("{mode: {vertical armed: [GLIDE, PATH]}}", "GLIDE or PATH armed"),
        ("{signal: {glideslope: received}}", "glide path received"),
        ("{vertical speed: above 300 ft/min, for: 2 s}", "vertical speed above 300 ft/min for 2 s"),
        ("{all: [{any: [{sees: runway}, {sees: lights}]}, {not: {granted: land}}]}",
         "(runway in sight or lights in sight), not cleared: land"),
        ("{then: [{gate: {stable: failed}}, {passed: TULEP, plus: 10 s}]}",
         "gate stable failed, then TULEP passed plus 10 s"),
    ],
)  # fmt: skip
def test_a_moment_is_told_in_plain_words(moment: str, told: str) -> None:
    assert moment_text(parse_moment_text(moment, exercise("straight-in"))) == told
