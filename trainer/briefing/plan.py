"""The plan view as geometry: what lies where, and how it fits into a frame with one scale.

Owns places in the plane of the threshold (x magnetic east, y magnetic north, m) and their frame;
draws nothing. Surprising rule: both directions share one scale, so that angles are true and a mile
is a mile wherever it lies.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from trainer.scenario.exercise import Exercise
from trainer.units import NM
from trainer.values import dataclass

Place = tuple[float, float]
"""A place in the plane, m."""


@dataclass(frozen=True, slots=True)
class Plan:
    """What a plan view shows: named fixes and the two lines through them.

    `route` leads from the start to the threshold, `missed` from there on; `stations` are the
    further aids of the aerodrome, by ident.
    """

    fixes: dict[str, Place]
    route: tuple[Place, ...]
    missed: tuple[Place, ...]
    stations: dict[str, Place]


class Frame(NamedTuple):
    """How places of the plane become units of a drawing, which are as high as they are wide."""

    west_m: float
    north_m: float
    per_m: float

    def at(self, place: Place) -> tuple[float, float]:
        """Units from the left and from the top."""
        return (place[0] - self.west_m) * self.per_m, (self.north_m - place[1]) * self.per_m


def plan_of(exercise: Exercise) -> Plan:
    """The plan of an exercise as drawn."""
    approach, start = exercise.approach, exercise.start
    legs, missed = approach.legs, approach.missed_legs
    fixes = {leg.fix.name: (leg.fix.x_m, leg.fix.y_m) for leg in (*legs, *missed)}
    fixes[f"RW{approach.runway.name}"] = (0.0, 0.0)
    ahead = exercise.legs_ahead
    return Plan(
        fixes=fixes,
        route=((start.x_m, start.y_m), *((leg.fix.x_m, leg.fix.y_m) for leg in ahead), (0.0, 0.0)),
        missed=((0.0, 0.0), *((leg.fix.x_m, leg.fix.y_m) for leg in missed)),
        stations={one.ident: (one.x_m, one.y_m) for one in exercise.airport.stations if one.is_vor},
    )


def frame_of(places: Iterable[Place], width: float, height: float) -> Frame:
    """The largest frame of `width` by `height` units that holds all `places`, centred."""
    held: Sequence[Place] = tuple(places)
    xs, ys = [x for x, _ in held], [y for _, y in held]
    wide_m, high_m = max(max(xs) - min(xs), NM), max(max(ys) - min(ys), NM)
    per_m = min(width / wide_m, height / high_m)
    spare_x_m = width / per_m - (max(xs) - min(xs))
    spare_y_m = height / per_m - (max(ys) - min(ys))
    return Frame(min(xs) - spare_x_m / 2.0, max(ys) + spare_y_m / 2.0, per_m)
