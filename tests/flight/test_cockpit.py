"""Levers, selectors and the checklist in hand: what moves them, and what is refused."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.builders import exercise
from trainer.flight.acts import Act, Fact
from trainer.flight.cockpit import Cockpit
from trainer.scenario.exercise import Checklist, ChecklistLine


def act(what: str, control: str, value: str = "") -> Act:
    return Act(7, 1, "pilot", what, control, value)


def moved(cockpit: Cockpit, control: str, position: str, *, is_on_ground: bool = False) -> str:
    """Why a lever did not move; "" if it did."""
    return told(cockpit.move(act("move", control, position), is_on_ground))


def turned(cockpit: Cockpit, control: str, value: str) -> str:
    return told(cockpit.set(act("set", control, value)))


def told(fact: Fact) -> str:
    assert fact.step == 7
    assert (fact.kind == "refused") == bool(fact.reason)
    return fact.reason


def test_a_lever_stands_where_it_was_moved() -> None:
    cockpit = Cockpit(exercise())
    assert moved(cockpit, "gear", "down") == ""
    assert cockpit.gear_lever == "down"
    names = [stage.name for stage in cockpit.aircraft.flaps]
    assert moved(cockpit, "flaps", names[2]) == ""
    assert cockpit.flap_lever == 2


@pytest.mark.parametrize(
    ("control", "position", "is_on_ground", "why"),
    [
        ("flaps", "99", False, "there is no flap 99; stages are "),
        ("tiller", "left", False, "there is no lever tiller"),
        ("speed", "160", False, "there is no lever speed"),
        ("gear", "sideways", False, "gear has no position sideways"),
        ("gear", "up", True, "gear lever locked on the ground"),
        ("reverse", "selected", False, "reverse locked in the air"),
        ("propellers", "high", False, "this type has no propellers"),
    ],
)
def test_a_lever_that_may_not_move_says_why_and_stays(
    control: str, position: str, is_on_ground: bool, why: str
) -> None:
    cockpit = Cockpit(exercise())
    before = {**vars(cockpit)}
    assert moved(cockpit, control, position, is_on_ground=is_on_ground).startswith(why)
    assert vars(cockpit) == before


def test_interlocks_let_go_in_their_own_place() -> None:
    cockpit = Cockpit(exercise())
    assert moved(cockpit, "gear", "down", is_on_ground=True) == ""
    assert moved(cockpit, "gear", "up") == ""
    assert moved(cockpit, "reverse", "selected", is_on_ground=True) == ""
    assert moved(cockpit, "reverse", "stowed") == ""


@pytest.mark.parametrize(
    ("control", "value", "why"),
    [
        ("gear", "1", "there is no knob gear"),
        ("tiller", "1", "there is no knob tiller"),
        ("speed", "fast", "fast is not a number"),
        ("speed", "59", "speed takes 60 to 350 kt"),
        ("speed", "351", "speed takes 60 to 350 kt"),
        ("torque", "40", "this type has no torque"),
        ("direct to", "1.5", "there is no fix 1.5 on the legs; they are 1 ORVEN"),
        ("direct to", "9", "there is no fix 9 on the legs; they are 1 ORVEN"),
    ],
)
def test_a_selector_that_takes_no_such_value_says_why_and_stays(
    control: str, value: str, why: str
) -> None:
    cockpit = Cockpit(exercise())
    before = cockpit.selectors
    assert turned(cockpit, control, value).startswith(why)
    assert cockpit.selectors == before


@pytest.mark.parametrize(
    ("control", "value", "field", "shown"),
    [
        ("speed", "60", "speed_kt", 60.0),
        ("speed", "350", "speed_kt", 350.0),
        ("heading", "360", "heading_deg", 0.0),
        ("course", "359", "course_deg", 359.0),
        ("altitude", "4000", "altitude_ft", 4000.0),
        ("frequency", "110.3", "frequency", "110.30"),
        ("direct to", "1", "direct_to", 1.0),
    ],
)
def test_a_selector_shows_what_it_was_turned_to(
    control: str, value: str, field: str, shown: float | str
) -> None:
    cockpit = Cockpit(exercise())
    assert turned(cockpit, control, value) == ""
    assert getattr(cockpit.selectors, field) == shown


def test_a_fact_keeps_what_a_selector_showed_before() -> None:
    cockpit = Cockpit(exercise())
    assert cockpit.set(act("set", "speed", "180")).before == "210"
    assert cockpit.set(act("set", "speed", "170")).before == "180"
    assert cockpit.set(act("set", "frequency", "110.3")).before == ""
    assert cockpit.set(act("set", "frequency", "111.5")).before == "110.30"


def test_a_checklist_is_read_from_its_first_line_to_its_last() -> None:
    made = exercise()
    checklist = Checklist(
        "landing", tuple(ChecklistLine(name, "set", (), "pilot") for name in ("gear", "flap"))
    )
    cockpit = Cockpit(replace(made, flow=replace(made.flow, checklists=(checklist,))))
    answer = act("line", "")
    assert told(cockpit.answer(answer)) == "no checklist is being read"
    unknown = act("checklist", "taxi")
    assert told(cockpit.begin_checklist(unknown)) == "there is no taxi checklist"
    begin = act("checklist", "landing")
    assert cockpit.begin_checklist(begin) == Fact(7, "checklist", "landing")
    assert (cockpit.checklist, cockpit.challenge) == ("landing", "gear")
    assert cockpit.answer(answer) == Fact(7, "line", "landing", "gear")
    assert cockpit.begin_checklist(begin).kind == "checklist", "taken up again: from the first"
    assert [cockpit.answer(answer).detail for _ in range(2)] == ["gear", "flap"]
    assert (cockpit.checklist, cockpit.challenge) == ("", "")
    assert told(cockpit.answer(answer)) == "no checklist is being read"
