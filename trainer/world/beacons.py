"""Marker beacons and locators: what lights up overhead, and where the needle points.

Owns the fan of each kind of marker, its colour, tone and rhythm, and bearings to a locator.
Heights are above the tangent plane. Refuses to know sound and screens.

Surprising rule: a marker says *when*, not *where*: its fan widens with height, so the light burns
longer the higher it is crossed, and it sends no ident of its own but its rhythm.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from trainer.units import DEG, FT, NM
from trainer.values import dataclass
from trainer.world.morse import Element


class MarkerKind(NamedTuple):
    """A kind of marker beacon.

    name, colour of the light; tone_hz; length_m: of the fan along the course, at the height
    height_m of a 3° path over its usual place; elements: one turn of its rhythm.
    """

    name: str
    colour: str
    tone_hz: int
    length_m: float
    height_m: float
    elements: tuple[Element, ...]


_DASH = (Element(True, 0.375), Element(False, 0.125))
_DOT = (Element(True, 1.0 / 12.0), Element(False, 1.0 / 12.0))

MARKERS = {
    kind.name: kind
    for kind in (
        MarkerKind("outer", "blue", 400, 600.0, 1400.0 * FT, _DASH),
        MarkerKind("middle", "amber", 1300, 300.0, 200.0 * FT, (*_DOT, *_DASH)),
        MarkerKind("inner", "white", 3000, 150.0, 100.0 * FT, _DOT),
    )
}
"""The three kinds. Two dashes a second, dot and dash in turn, six dots a second.

Colours, tones and rhythms: FAA Instrument Flying Handbook and AIM 1-1-9; heights of the path:
AIM 1-1-9 d.3. Lengths: ICAO Annex 10 Vol I, 3.1.7.3 (from memory); they agree with the 12, 6 and
3 s of light at 96 kt of the fourth edition (amendment 28).
"""

FAN_RATIO = 1.75
"""Width across the course in parts of the length along it (4 200 ft by 2 400 ft; from memory)."""
CEILING_M = 4000.0 * FT
"""Height above which no marker of an approach is received, m (assumption)."""
CONE_RAD = 40.0 * DEG
"""Half angle of a locator's cone of silence from the vertical, rad (ICAO Doc 8168 Vol I,
I-2-2, 2.4.4.2)."""
LOCATOR_RANGE_M = 25.0 * NM
"""Usual rated range of a locator, m (ICAO Annex 10 Vol I, from memory: 10 to 25 NM)."""


@dataclass(frozen=True, slots=True)
class Marker:
    """One marker beacon on an approach.

    Attributes:
        kind: name in `MARKERS`.
        x_m: magnetic east of the threshold, m.
        y_m: magnetic north of the threshold, m.
        course_rad: course of the approach, rad; the fan lies across it.
    """

    kind: str
    x_m: float
    y_m: float
    course_rad: float

    def __post_init__(self) -> None:
        if self.kind not in MARKERS:
            raise ValueError(f"no kind of marker {self.kind}")

    def length_m(self, height_m: float) -> float:
        """Length of the fan along the course at a height above the plane, m."""
        kind = MARKERS[self.kind]
        return kind.length_m * max(height_m, 0.0) / kind.height_m

    def is_received(
        self, x_m: float, y_m: float, height_m: float, is_radiating: bool = True
    ) -> bool:
        """Whether the light burns at a point: inside an ellipse that widens with height."""
        if not is_radiating or not 0.0 < height_m <= CEILING_M:
            return False
        east, north = x_m - self.x_m, y_m - self.y_m
        sin, cos = math.sin(self.course_rad), math.cos(self.course_rad)
        half = 0.5 * self.length_m(height_m)
        along = (east * sin + north * cos) / half
        across = (east * cos - north * sin) / (half * FAN_RATIO)
        return along * along + across * across <= 1.0


class Bearing(NamedTuple):
    """What a direction finder shows: whether it has a signal, and the magnetic bearing.

    bearing_rad: *to* the station, 0..2π; 0 while nothing is received.
    """

    is_received: bool
    bearing_rad: float

    def relative_rad(self, heading_rad: float) -> float:
        """The bearing from the nose, clockwise, 0..2π."""
        return (self.bearing_rad - heading_rad) % (2.0 * math.pi)


@dataclass(frozen=True, slots=True)
class Locator:
    """A locator or other non-directional beacon.

    Attributes:
        x_m: magnetic east of the threshold, m.
        y_m: magnetic north of the threshold, m.
        range_m: rated range, m (> 0). Used beyond it by nobody: no "received" past coverage.
    """

    x_m: float
    y_m: float
    range_m: float = LOCATOR_RANGE_M

    def receive(
        self, x_m: float, y_m: float, height_m: float, is_radiating: bool = True
    ) -> Bearing:
        """The bearing at a point. In the cone overhead the needle has no signal to follow."""
        east, north = self.x_m - x_m, self.y_m - y_m
        ground = math.hypot(east, north)
        if not is_radiating or ground > self.range_m:
            return Bearing(False, 0.0)
        if ground < height_m * math.tan(CONE_RAD):
            return Bearing(False, 0.0)
        return Bearing(True, math.atan2(east, north) % (2.0 * math.pi))
