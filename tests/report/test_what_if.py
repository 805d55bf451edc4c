"""What would have happened: until the edit the same flight, after it only what follows from it."""

from __future__ import annotations

from functools import cache

import pytest

from trainer.crew.fly import fly_crew
from trainer.crew.session import Session
from trainer.errors import UserError
from trainer.judge.judgement import Judgement
from trainer.report.what_if import differences, what_if
from trainer.scenario.compose import load
from trainer.scenario.crew_files import CrewFile
from trainer.scenario.draw import draw
from trainer.scenario.exercise import Edit, Exercise
from trainer.scenario.library import default_library


@cache
def exercise(name: str = "straight-in") -> Exercise:
    return draw(load(name, default_library()), 0)


def flown(*edits: Edit, name: str = "straight-in") -> tuple[Session, Judgement]:
    return fly_crew(exercise(name), CrewFile("perfect", edits, ()))


def put_right(session: Session, item: str) -> Judgement:
    flight = session.flight
    return what_if(session.exercise, flight.acts, flight.facts, flight.rows, item).judgement


SINGLE = {
    "missed": Edit("omit", "gear down"),
    "late": Edit("delay", "first flap", 90.0),
    "early": Edit("advance", "approach mode", 30.0),
    "a call missed": Edit("omit", "glide alive"),
}
TRAPS = {
    "early-temptation": "approach mode",
    "localizer-only": "start down",
    "stolen-level-off": "go on down",
    "way-back-from-path": "take PATH away",
    "downgrade": "answer to failure at 600",
}
"""Exercises whose trap is one slip, with the item it spoils. In `path-captured` the crew that falls
for it leaves out more than one step."""


@pytest.mark.parametrize("kind", SINGLE)
def test_a_crew_with_one_slip_would_have_been_perfect_without_it(kind: str) -> None:
    session, judgement = flown(SINGLE[kind])
    item = SINGLE[kind].item
    assert item in {name for name, _ in judgement.primary()}
    assert judgement.points is not None
    assert judgement.points < 100.0
    after = put_right(session, item)
    assert (after.outcome, after.points, after.primary()) == ("passed", 100.0, set())


@pytest.mark.parametrize("name", [*list(TRAPS)[:1], *(
    pytest.param(one, marks=pytest.mark.long) for one in list(TRAPS)[1:]
)])  # fmt: skip
def test_whoever_fell_for_a_trap_reads_that_without_it_all_was_well(name: str) -> None:
    (trap,) = exercise(name).traps
    session, judgement = flown(*trap.edits, name=name)
    after = put_right(session, TRAPS[name])
    assert judgement.points is not None
    assert judgement.points < 100.0
    assert (after.points, after.primary()) == (100.0, set())


def test_until_the_edit_it_is_the_same_flight_to_the_last_bit() -> None:
    session, judgement = flown(Edit("omit", "gear down"))
    flight = session.flight
    again = what_if(session.exercise, flight.acts, flight.facts, flight.rows, "gear down")
    opened = next(item.opened for item in judgement.items if item.item == "gear down")
    assert opened is not None
    assert again.rows[: opened + 1] == flight.rows[: opened + 1]
    assert again.rows[opened : opened + 3000] != flight.rows[opened : opened + 3000]


def test_another_slip_of_the_same_flight_stays_one() -> None:
    session, _ = flown(Edit("omit", "glide alive"), Edit("delay", "gear down", 60.0))
    after = put_right(session, "gear down")
    assert after.primary() == {("glide alive", "missed")}
    assert after.reason == "stopped on the runway"  # the gate is met, so nobody goes around


def test_the_differences_name_gate_findings_and_outcome() -> None:
    session, judgement = flown(Edit("omit", "gear down"))
    after = put_right(session, "gear down")
    gate, gone, outcome = differences(judgement, after)
    assert gate == "the stable gate met instead of not met"
    assert gone == "gone: gear down missed"
    assert outcome.startswith("passed with 100.0 points (stopped on the runway) instead of passed")


def test_what_was_no_slip_cannot_be_put_right() -> None:
    session, _ = flown(Edit("omit", "glide alive"))
    with pytest.raises(UserError, match='"tune" was not missed, late, early or wrong'):
        put_right(session, "tune")
    with pytest.raises(UserError, match='no item "glide alife"; did you mean "glide alive"'):
        put_right(session, "glide alife")


def test_a_segment_is_flown_again_only_as_far_as_it_came() -> None:
    session, _ = flown(Edit("omit", "glide alive"))
    flight = session.flight
    rows = flight.rows[:2000]
    facts = [fact for fact in flight.facts if fact.step < 1999]
    acts = [act for act in flight.acts if act.step < 1999]
    again = what_if(session.exercise, acts, facts, rows, "glide alive")
    assert len(again.rows) == len(rows)
    assert again.judgement.primary() == set()
