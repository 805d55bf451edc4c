"""What a step of the world costs in multiples of a bare point mass: `pytest -m long -s`."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial
from statistics import fmean, median

import pytest

from tests.benchmarks.point_mass import fly
from tests.benchmarks.ratios import least_in_pieces_s, least_s, show
from trainer.crew.perfect import PerfectCrew
from trainer.crew.session import Session
from trainer.flight.acts import by_step
from trainer.flight.flight import Flight
from trainer.flight.outlook import Outlook
from trainer.scenario.book import book_of
from trainer.scenario.compose import load
from trainer.scenario.exercise import Exercise
from trainer.scenario.library import default_library
from trainer.scenario.phrases import PhraseBook

pytestmark = pytest.mark.long

ROUNDS = 300
BARE_ROUNDS = 4000
"""So many bare steps last as long as `ROUNDS` of the world: both are measured in full stride."""
PIECE = 100
"""Steps of a flight that are measured together: as long as its bare steps, as near as can be."""
PLACES = (101, 1001, 2001, 3001, 4001)
"""Steps of the exercise at which a step is measured: from before the intercept to short final. None
is one of those at which the margin is looked at, which is measured by itself."""
WORLD_LIMIT = 12
"""Bare steps that a world step may cost; the goal is 12."""
JUDGED_LIMIT = 45.0
"""Bare steps that a judged step may cost: the goal."""
MARGIN_LIMIT = 600.0
"""Bare steps that half of the energy margins may cost: the goal."""


def flown_to(step: int, exercise: Exercise, book: PhraseBook) -> Flight:
    """A flight of the perfect crew up to `step`."""
    session = Session(exercise, book)
    crew = PerfectCrew(session.tracker)
    while session.row.step < step:
        session.step(crew.acts(session.row))
    return session.flight


def step_of(flight: Flight) -> Callable[[], None]:
    """The work of one step of the world where `flight` stands.

    What a step flies: the laws, one advance of the airframe with what they ask and with the levers
    as they stand, and one look (receivers, air data, row).
    """
    state, sensed, cockpit = flight._state, flight._sensed, flight.cockpit
    flap = float(cockpit.flap_lever)
    gear = 1.0 if cockpit.gear_lever == "down" else 0.0
    speedbrake = 1.0 if cockpit.speedbrake_lever == "out" else 0.0
    step = flight.row.step

    def work() -> None:
        bank_rad, climb_ms, power = flight.guidance.command(sensed, cockpit.selectors)
        flight.around.airframe.advance(state, bank_rad, climb_ms, power, flap, gear, speedbrake)
        flight._look(step)

    return work


def repeated(work: Callable[[], None]) -> Callable[[], None]:
    """`work` done over and over."""

    def rounds() -> None:
        for _ in range(ROUNDS):
            work()

    return rounds


def test_a_step_of_the_world_costs_little_more_than_a_bare_point_mass() -> None:
    exercise = load("straight-in", default_library())
    book = book_of(exercise)
    session = Session(exercise, book)
    session.run(PerfectCrew(session.tracker).acts)
    flight = session.flight
    steps = len(flight.rows)
    places = [flown_to(step, exercise, book) for step in PLACES]

    def judged() -> Iterator[None]:
        one = Session(exercise, book)
        crew = PerfectCrew(one.tracker)
        while not one.is_over:
            one.step(crew.acts(one.row))
            if one.is_over or one.row.step % PIECE == 0:
                yield

    due = by_step(flight.acts)

    def again() -> Iterator[None]:
        one = Flight(exercise, book)
        while not one.is_over:
            one.step(due.get(one.row.step, ()))
            if one.is_over or one.row.step % PIECE == 0:
                yield

    outlook = Outlook(exercise, flight.around)

    margins = [partial(outlook.worked_out_nm, row) for row in flight.rows[1000:2600:20]]

    works = [repeated(step_of(one)) for one in places]
    bare, *world_steps = least_s([lambda: fly(BARE_ROUNDS), *works], 60)
    bare, world = bare / BARE_ROUNDS, fmean(world_steps) / ROUNDS
    beside, wholes = least_in_pieces_s([again, judged], lambda: fly(BARE_ROUNDS), 7)
    beside /= BARE_ROUNDS
    flown, whole = (one / steps for one in wholes)
    margin = median(least_s(margins, 7))
    show("bare point-mass step", f"{bare * 1e6:.1f} µs", "yardstick")
    show("physics, laws, signals, row", f"{world / bare:.1f} bare steps", f"{WORLD_LIMIT:g}")
    show("a flight, per step", f"{flown / beside:.1f} bare steps", "")
    show("a judged flight, per step", f"{whole / beside:.1f} bare steps", f"{JUDGED_LIMIT:.0f}")
    show("one margin, the median", f"{margin / bare:.0f} bare steps", f"{MARGIN_LIMIT:.0f}")
    assert world <= WORLD_LIMIT * bare
    assert whole <= JUDGED_LIMIT * beside
    assert margin <= MARGIN_LIMIT * bare
