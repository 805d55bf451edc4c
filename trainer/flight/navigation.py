"""The computed path, and on an RNP final how far off its course, and how sure.

Owns the level of service in use and what takes it away. Refuses to know satellites: protection
levels are given, good ones or those of a fault. Surprising rule: a level of service may fall and
never rises again on the same approach, and a barometric path is measured on the altimeter as it
is set, so neither a wrong setting nor cold air shows on its needle.
"""

from __future__ import annotations

import math

from trainer.scenario.exercise import Exercise, Fault
from trainer.units import DEG, FT, NM
from trainer.world.rnp import LNAV_VNAV, LPV, downgraded, linear_lateral, service_level

_GOOD = (15.0, 25.0)
"""Protection levels of a good position, m (our figures, well within every limit)."""


class Navigation:
    """What navigation knows of one flight.

    `track`: "none" without an RNP final, "received", or "flagged" where the position has lost its
    integrity. `dots`: off the final course, right positive, None without a position; full scale is
    twice RNP. `service`: level of service in use, "" for none. `path_error_m`: height above the
    computed path, which without an RNP final is that of the altimeter at the published angle.
    `is_barometric`: whether it is the altimeter's. `rnp_m`: performance that the final requires, m.
    """

    __slots__ = (
        "_best",
        "_foot_m",
        "_has_baro",
        "_slope",
        "dots",
        "is_barometric",
        "path_error_m",
        "rnp_m",
        "service",
        "track",
    )

    def __init__(self, exercise: Exercise) -> None:
        approach, final = exercise.approach, exercise.approach.rnp
        self.track, self.service = "none", ""
        self.dots: float | None = None
        self.path_error_m = self.rnp_m = 0.0
        self.is_barometric = True
        self._foot_m = (approach.runway.elevation_ft + approach.glideslope.crossing_ft) * FT
        self._slope = math.tan(approach.glideslope.angle_deg * DEG)
        if final is None:
            return
        self._best = downgraded(final.service, exercise.aircraft.guidance.service)
        self.rnp_m = final.required_nm * NM
        temperature_c = exercise.weather.temperature_c
        is_within = final.lowest_c <= temperature_c <= final.highest_c
        self._has_baro = self._best == LNAV_VNAV.name and is_within
        self.track = "received"
        self.service = self._available(*_GOOD)
        self.is_barometric = self.service != LPV.name

    def _available(self, horizontal_m: float, vertical_m: float) -> str:
        """The level that a position supports here: with a barometric path its own, or LNAV."""
        if self._best == LNAV_VNAV.name and not self._has_baro:
            vertical_m = math.inf
        level = service_level(horizontal_m, vertical_m, self._has_baro)
        return downgraded(self._best, level)

    def fail(self, fault: Fault) -> None:
        """The position loses its integrity ("flagged"), or the path alone goes ("no path")."""
        if fault.becomes == "flagged":
            self.track, self.service, self.dots = "flagged", "", None
        else:
            self._has_baro = False
            self.service = downgraded(self.service, self._available(_GOOD[0], math.inf))

    def look(self, along_m: float, cross_m: float, above_m: float, altitude_ft: float) -> None:
        """Where the aircraft stands, before the threshold and right of the course.

        Args:
            along_m, cross_m: in the plane of the threshold, m.
            above_m: above the published path, a straight line in space, m.
            altitude_ft: as the altimeter shows it.
        """
        if self.track == "received":
            self.dots = linear_lateral(cross_m, self.rnp_m).dots
        if self.is_barometric:
            above_m = altitude_ft * FT - (self._foot_m + along_m * self._slope)
        self.path_error_m = above_m
