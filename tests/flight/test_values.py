"""Values of the innermost loop are made field by field without anybody counting: here they are."""

from __future__ import annotations

import dataclasses
import types
import typing

from trainer.crew.perfect import PerfectCrew
from trainer.crew.session import Session
from trainer.flight.row import Row
from trainer.guidance.modes import Command, Sensed
from trainer.scenario.book import book_of
from trainer.scenario.compose import load
from trainer.scenario.library import default_library
from trainer.world.motion import State


def fits(value: object, kind: object) -> bool:
    """Whether `value` is of the annotated `kind`; an int may stand for a float."""
    origin = typing.get_origin(kind)
    if origin in (types.UnionType, typing.Union):
        return any(fits(value, one) for one in typing.get_args(kind))
    if origin is not None:
        return isinstance(value, origin)
    if kind is float:
        return type(value) in (float, int)
    if kind is None or kind is type(None):
        return value is None
    assert isinstance(kind, type)
    return isinstance(value, kind)


def assert_whole(value: tuple[object, ...]) -> None:
    """Every field is there and of its type."""
    hints = typing.get_type_hints(type(value))
    assert len(value) == len(hints), type(value).__name__
    for (name, kind), one in zip(hints.items(), value, strict=True):
        assert fits(one, kind), f"{type(value).__name__}.{name}: {one!r}"


def test_every_value_of_a_flight_has_all_its_fields() -> None:
    exercise = load("straight-in", default_library())
    session = Session(exercise, book_of(exercise))
    crew = PerfectCrew(session.tracker)
    flight = session.flight
    kinds = set()
    while not flight.is_over:
        session.step(crew.acts(session.row))
        if flight.row.step % 500:
            continue
        command = flight.guidance.command(flight._sensed, flight.cockpit.selectors)
        for value in (flight.row, flight._state, command):
            assert_whole(value)
            kinds.add(type(value))
    assert kinds == {Row, State, Command}


def test_every_look_brings_all_that_is_sensed_up_to_date() -> None:
    """One object lives through the flight, so a field that nobody writes would be old news."""
    exercise = load("straight-in", default_library())
    flight = Session(exercise, book_of(exercise)).flight
    sensed, hints = flight._sensed, typing.get_type_hints(Sensed)
    lasting = ("path_angle_rad", "final_course_rad")
    names = [field.name for field in dataclasses.fields(Sensed) if field.name not in lasting]
    for name in names:
        setattr(sensed, name, None)
    flight._look(1)
    for name in (*names, *lasting):
        assert fits(getattr(sensed, name), hints[name]), name
