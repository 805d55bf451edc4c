"""What a site does to a station: it may stand elsewhere, and a localizer may have a false course.

Owns two wrappers that are received like the station inside. Refuses to know frequencies. The
surprising rule: outside its sector a localizer promises nothing, and at some sites the needle
centres there, with the wrong sense; a receiver cannot tell that from the course.
"""

from __future__ import annotations

import math
from dataclasses import replace

from trainer.units import DEG
from trainer.values import dataclass
from trainer.world.localizer import LIMIT_UV_M, LocalizerBeam
from trainer.world.receiver import Station
from trainer.world.reception import STOP_DOTS, Reception

SECTOR_RAD = 35.0 * DEG
"""Half sector of a localizer: outside it no signal is promised (ICAO Annex 10 Vol I, 3.1.3.3)."""


@dataclass(frozen=True, slots=True)
class Displaced:
    """A station whose own origin is not the origin of the plane.

    Attributes:
        station: in a frame of its own (a localizer's threshold is its origin).
        x_m: origin of that frame, m magnetic east.
        y_m: origin of that frame, m magnetic north.
        height_m: its height above the plane, m.
    """

    station: Station
    x_m: float
    y_m: float
    height_m: float

    def receive(self, x_m: float, y_m: float, height_m: float, relief: float = 1.0) -> Reception:
        """What is received at a point of the plane; arguments as for a localizer."""
        return self.station.receive(
            x_m - self.x_m, y_m - self.y_m, height_m - self.height_m, relief
        )


@dataclass(frozen=True, slots=True)
class FalseCourse:
    """A localizer whose needle also centres at `azimuth_rad` on either side, outside its sector.

    Going outwards the needle comes off its stop, crosses the middle and goes to the other stop:
    right of the false line it says "left of course". Source: that signals outside the sector are
    not to be used, FAA AIM 1-1-9 b; the shape is this project's, from continuity alone.
    """

    beam: LocalizerBeam
    azimuth_rad: float

    def receive(self, x_m: float, y_m: float, height_m: float, relief: float = 1.0) -> Reception:
        """What is received at a point; arguments as for a localizer."""
        true = self.beam.receive(x_m, y_m, height_m, relief)
        aside_rad = abs(true.angle_rad)
        if aside_rad <= SECTOR_RAD or true.field_uv_m < LIMIT_UV_M * relief:
            return true
        beyond_rad = aside_rad - self.azimuth_rad
        dots = -beyond_rad * 2.0 / self.beam.half_width_rad
        if abs(dots) >= STOP_DOTS:
            return true
        side = math.copysign(1.0, true.angle_rad)
        away_m = math.hypot(true.offset_m, true.distance_m + self.beam.antenna_to_threshold_m)
        return replace(
            true,
            state="received",
            dots=side * dots,
            angle_rad=-side * beyond_rad,
            offset_m=-side * away_m * math.sin(beyond_rad),
        )
