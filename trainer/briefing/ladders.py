"""The three ladders of a sheet: how a good crew does it, the last chance, the energy limit.

Owns how they are made for an exercise. Surprising rule: the three are never mixed. The reference
says where a good crew acts, the last chance is when one forgotten step is still in time, and the
energy limit is text for the briefing, never a due time.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import pairwise
from typing import NamedTuple

from trainer.flight.row import Row
from trainer.flight.surroundings import path_to, platform_ft, surroundings_of
from trainer.scenario.exercise import Exercise
from trainer.world.ladders import Rung, energy_limit_rules, last_chance_rules, latest
from trainer.world.late_flight import Rules
from trainer.world.motion import Airframe
from trainer.world.speeds import selection_kt


class Step(NamedTuple):
    """One step of a ladder; None where the place or the speed is not known without a flight."""

    step: str
    distance_nm: float | None
    altitude_ft: float | None
    cas_kt: float | None


class Ladders(NamedTuple):
    """The three ladders, each in order; empty where there is no gate or none can be met."""

    reference: tuple[Step, ...]
    last_chance: tuple[Step, ...]
    energy_limit: tuple[Step, ...]


def ladders(exercise: Exercise, reference: Sequence[Step] = ()) -> Ladders:
    """The ladders of an exercise as drawn: for its wind, mass and temperature.

    `reference` is the ladder of a flown reference (see `flown_ladder`); without it only the
    planned speeds of the type are known, and no places.
    """
    return Ladders(
        tuple(reference) or planned_ladder(exercise),
        tuple(Step(*rung) for rung in last_chance(exercise)),
        tuple(Step(*rung) for rung in _latest(exercise, energy_limit_rules)),
    )


def last_chance(exercise: Exercise) -> tuple[Rung, ...]:
    """The last-chance ladder of an exercise."""
    return _latest(exercise, last_chance_rules)


def _latest(exercise: Exercise, rules: Callable[[Airframe, int, float], Rules]) -> tuple[Rung, ...]:
    gates = [gate for gate in exercise.flow.gates if gate.is_main]
    if not gates:
        return ()
    around = surroundings_of(exercise)
    return latest(
        around.airframe,
        path_to(exercise, gates[0].height_ft),
        around.final_course_rad,
        rules(
            around.airframe,
            exercise.aircraft.stage_for(gates[0].flap_role),
            gates[0].speed_kt or exercise.final_kt,
        ),
        platform_ft(exercise),
        exercise.start.speed_kt,
    )


def planned_ladder(exercise: Exercise) -> tuple[Step, ...]:
    """The planned speeds of the type at this mass, flap by flap, without places."""
    steps = [Step("final speed", None, None, exercise.final_kt)]
    for index in range(len(exercise.aircraft.flaps) - 1, 0, -1):
        planned_kt = selection_kt(exercise.aircraft, exercise.start.mass_t, index)
        if planned_kt is not None:
            name = f"flap {exercise.aircraft.flaps[index].name}"
            steps.append(Step(name, None, None, planned_kt))
    return tuple(reversed(steps))


def flown_ladder(exercise: Exercise, rows: Sequence[Row]) -> tuple[Step, ...]:
    """Where a flight changed its configuration and met its path, in order of time.

    Flap and gear at the moment of selection, the capture of the glide path, the landing
    configuration complete; up to the first touch of the ground or go-around.
    """
    names = [stage.name for stage in exercise.aircraft.flaps]
    landing = exercise.aircraft.stage_for("landing")
    steps: list[Step] = []
    is_complete = False
    for before, row in pairwise(rows):
        if row.is_on_ground or row.modes.vertical == "GA":
            break
        place = (row.distance_nm, row.altitude_ft, row.cas_kt)
        if row.flap_lever > before.flap_lever:
            steps.append(Step(f"flap {names[row.flap_lever]}", *place))
        if row.gear_lever == "down" != before.gear_lever:
            steps.append(Step("gear", *place))
        captured = ("GLIDE", "PATH")
        if row.modes.vertical in captured and before.modes.vertical not in captured:
            steps.append(Step("path captured", *place))
        if not is_complete and row.flap >= landing and row.gear >= 1.0:
            is_complete = True
            steps.append(Step("configured", *place))
    return tuple(steps)
