"""In a check no key tells what is due; and no action needs more than two keys besides its digits.

The first is shown by two flights with the same acts, one of them judged by a procedure without a
single item: whatever is pressed, and wherever something is due, their screens are the same.
"""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache

import pytest

from tests.app.help import HandClock, straight_in
from tests.app.test_app import Bench, bench
from trainer.app.driver import Driver
from trainer.app.keymap import DEFAULT
from trainer.app.prompting import Coach, described
from trainer.app.screens.flight import FlightScreen
from trainer.crew.perfect import PerfectCrew
from trainer.crew.session import Session
from trainer.flight.acts import Act
from trainer.scenario.book import book_of
from trainer.scenario.compose import load
from trainer.scenario.exercise import Exercise
from trainer.scenario.library import default_library


@cache
def perfect_acts(name: str) -> tuple[Act, ...]:
    """What the perfect crew does from the first step to the last."""
    session = Session(straight_in() if name == "straight-in" else load(name, default_library()))
    session.run(PerfectCrew(session.tracker).acts)
    return tuple(session.flight.acts)


def asks_nothing(exercise: Exercise) -> Exercise:
    """The same exercise under a procedure that asks for nothing and watches nothing."""
    flow = replace(exercise.flow, items=(), go_around=(), watches=(), gates=())
    return replace(exercise, flow=flow)


def flown_silently(exercise: Exercise, step: int) -> Session:
    """The perfect crew's flight up to `step` without a word said."""
    session = Session(exercise, book_of(straight_in()))
    acts = [act for act in perfect_acts("straight-in") if act.act != "say"]
    while session.row.step < step and not session.is_over:
        session.step([act for act in acts if act.step == session.row.step])
    return session


def screen_at(
    exercise: Exercise, step: int, clock: HandClock, level: str = "check"
) -> FlightScreen:
    """The flight screen at `step` of that flight."""
    return FlightScreen(Driver(flown_silently(exercise, step), level), clock)


async def texts_of_all_keys(at: Bench, exercise: Exercise, step: int) -> list[str]:
    """The screen before any key, and after each one, all on one flight."""
    screen = screen_at(exercise, step, at.clock)
    at.app.push_screen(screen)
    await at.settle()
    await at.laid_out()
    shown = [at.text()]
    for key in [*DEFAULT.bindings, "tab", "up", "f1", "f5", "1", "x"]:
        if key in ("f10", "?"):
            continue  # open a screen of their own, tried below
        await at.press(key)
        shown.append(f"{key}\n{at.text()}")
        screen.router.forget()
        at.clock.advance(0.1)
        screen.tick()
    await at.press("?")
    shown.append(at.text())
    at.app.pop_screen()
    return shown


@cache
def steps_with_something_due() -> list[int]:
    """One early, one midway and one late on the silent flight, as the coach sees it."""
    session = flown_silently(straight_in(), 0)
    coach = Coach(session.tracker)
    acts = [act for act in perfect_acts("straight-in") if act.act != "say"]
    found = []
    while not session.is_over:
        session.step([act for act in acts if act.step == session.row.step])
        if coach.hint(session.row) is not None:
            found.append(session.row.step)
    return [found[len(found) * part // 10] for part in (1, 5, 9)]


@pytest.mark.parametrize(
    "place",
    [
        pytest.param(0, id="early", marks=pytest.mark.long),
        pytest.param(1, id="midway"),
        pytest.param(2, id="late", marks=pytest.mark.long),
    ],
)
async def test_in_a_check_no_key_gives_away_what_is_due(place: int) -> None:
    step = steps_with_something_due()[place]
    exercise = straight_in()
    shown = []
    for flown in (exercise, asks_nothing(exercise)):
        async with bench(listed=[]) as at:
            shown.append(await texts_of_all_keys(at, flown, step))
    assert shown[0] == shown[1]


async def test_the_same_two_flights_differ_where_hints_are_allowed() -> None:
    """Otherwise the test above could not fail."""
    step = steps_with_something_due()[1]
    shown = []
    for exercise in (straight_in(), asks_nothing(straight_in())):
        async with bench(listed=[]) as at:
            at.app.push_screen(screen_at(exercise, step, at.clock, "coached"))
            await at.settle()
            await at.laid_out()
            at.clock.advance(0.3)
            at.flight.tick()
            await at.settle()
            shown.append(at.text())
    assert shown[0] != shown[1]


@pytest.mark.parametrize(
    "name", ["straight-in", "to-the-stop", "localizer-only", "cold-path", "turboprop-ice"]
)
def test_an_action_takes_at_most_two_keys_besides_its_digits(name: str) -> None:
    for act in perfect_acts(name):
        if act.act in ("say", "read back"):
            continue  # words have a key that opens and one that sends them
        _, keys = described(act)
        if keys == "Enter":
            continue
        assert len(re.sub(r"[-.\d]", "", keys)) <= 2, (act, keys)
