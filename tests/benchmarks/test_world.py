"""What a step of the world costs in multiples of a bare point mass: `pytest -m long -s`."""

from __future__ import annotations

import pytest

from tests.benchmarks.point_mass import fly
from tests.benchmarks.ratios import process_time_s, show
from trainer.crew.perfect import PerfectCrew
from trainer.crew.session import Session, book_of
from trainer.flight.outlook import Outlook
from trainer.flight.replay import fly_again
from trainer.scenario.compose import load
from trainer.scenario.library import default_library

pytestmark = pytest.mark.long

STEPS = 20_000
WORLD_LIMIT = 24.0
"""Bare steps that a world step may cost now; the goal is 12, and it is not reached."""
JUDGED_LIMIT = 60.0
"""Bare steps that a judged step may cost now; the goal is 45."""


def bare_step_s() -> float:
    """Processor time of one step of the bare point mass, s."""
    return process_time_s(lambda: fly(STEPS)) / STEPS


def test_a_step_of_the_world_costs_little_more_than_a_bare_point_mass() -> None:
    exercise = load("straight-in", default_library())
    book = book_of(exercise)
    session = Session(exercise, book)
    session.run(PerfectCrew(session.tracker).acts)
    flight = session.flight
    steps = len(flight.rows)
    moving = flight.rows[3000]
    state = flight._state
    sensed, selectors = flight._sensed, flight.cockpit.selectors

    def physics_laws_signals_and_row() -> None:
        for _ in range(2000):
            flight.guidance.command(sensed, selectors)
            flight.around.airframe.advance(state, 0.01, -3.0, 0.1, 3.0, 1.0, 0.0)
            flight._look(moving.step)

    def judged() -> None:
        one = Session(exercise, book)
        one.run(PerfectCrew(one.tracker).acts)

    outlook = Outlook(exercise, flight.around)

    def margins() -> None:
        for row in flight.rows[1000:2600:20]:
            outlook.margin_nm(row, "final")

    bare = min(bare_step_s() for _ in range(7))
    world = min(process_time_s(physics_laws_signals_and_row) for _ in range(7)) / 2000
    flown = min(process_time_s(lambda: fly_again(exercise, book, flight.acts)) for _ in range(5))
    whole = min(process_time_s(judged) for _ in range(5)) / steps
    margin = min(process_time_s(margins) for _ in range(5)) / 80
    show("bare point-mass step", f"{bare * 1e6:.1f} µs", "yardstick")
    show(
        "physics, laws, signals, row",
        f"{world / bare:.1f} bare steps",
        f"{WORLD_LIMIT:.0f}, goal 12",
    )
    show("a flight, per step", f"{flown / steps / bare:.1f} bare steps", "")
    show(
        "a judged flight, per step",
        f"{whole / bare:.1f} bare steps",
        f"{JUDGED_LIMIT:.0f}, goal 45",
    )
    show("one margin", f"{margin / world:.0f} world steps", "600")
    assert world <= WORLD_LIMIT * bare
    assert whole <= JUDGED_LIMIT * bare
    assert margin <= 600.0 * world
