"""A localizer: deviation, field strength and coverage at a point of the threshold plane.

Owns the course geometry, the back course and bends.
Heights here are above the tangent plane (see `earth`).

Surprising rule: dots are always right of the *front* course. An aircraft that flies the course
backwards sees them reversed unless its display turns them round.

The field model is an assumption, not a standard: a facility that just meets the guaranteed
field at the edge of coverage, falling off as 1/distance. Noise outside coverage and reflections
are left out on purpose, a bend happens only where a scenario asks: a flight must replay exactly.
"""

from __future__ import annotations

from dataclasses import field, replace
from math import atan, atan2, cos, hypot, pi, sin, tan

from trainer.units import DEG, FT, NM
from trainer.values import dataclass
from trainer.world.coverage import Coverage, radio_horizon_m
from trainer.world.reception import NEAR_M, SILENCE, STOP_DOTS, Reception, stopped

COVERAGE_UV_M = 40.0
"""Field guaranteed at the edge of localizer coverage, µV/m (Annex 10 Vol I, from memory)."""
LIMIT_UV_M = 25.0
"""Field below which the receiver flags, µV/m (assumption)."""
FULL_SCALE_DDM = 0.155
"""Difference in depth of modulation at full scale (two dots); 14 CFR 171.253, where an interim
microwave system has the signal of an ILS."""

_SECTOR_RAD = 35.0 * DEG
_COURSE_RAD = 10.0 * DEG


def half_width_rad(antenna_to_threshold_m: float) -> float:
    """Angle of full-scale localizer deflection, rad: 350 ft either side at the threshold.

    Args:
        antenna_to_threshold_m: how far beyond the threshold the antenna stands, m (> 0).

    Returns:
        atan(350 ft / distance), held between 1.5° and 3.0°.

    Source: FAA AIM 1-1-9 b.2 (700 ft at the threshold); course sector at most 6°, ICAO Annex 10
    Vol I, 3.1.3.7; at least 3°, FAA Instrument Flying Handbook.
    """
    return min(max(atan(350.0 * FT / antenna_to_threshold_m), 1.5 * DEG), 3.0 * DEG)


@dataclass(frozen=True, slots=True)
class LocalizerBeam:
    """One localizer; its course passes through the threshold, which is the origin.

    Attributes:
        course_rad: inbound course, rad clockwise from magnetic north.
        antenna_to_threshold_m: distance of the antenna beyond the threshold, m (> 0).
        coverage: guaranteed volume.
        margin_db: how much stronger than a facility that just meets coverage (-6..+6).
        has_back_course: True if the signal is also sent backwards. The sense there is that of
            the front course: right of the *front* course stays positive.
        half_width_rad: full-scale deflection, rad (computed).
    """

    course_rad: float
    antenna_to_threshold_m: float
    coverage: Coverage
    margin_db: float = 0.0
    has_back_course: bool = False
    half_width_rad: float = field(init=False)
    _sin: float = field(init=False, repr=False, compare=False)
    _cos: float = field(init=False, repr=False, compare=False)
    _dots_per_rad: float = field(init=False, repr=False, compare=False)
    _strength: float = field(init=False, repr=False, compare=False)
    _tan_top: float = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        width = half_width_rad(self.antenna_to_threshold_m)
        # The field is that of the standard facility (25 NM), whatever the state guarantees.
        strength = COVERAGE_UV_M * 25.0 * NM * 10.0 ** (self.margin_db / 20.0)
        object.__setattr__(self, "half_width_rad", width)
        object.__setattr__(self, "_sin", sin(self.course_rad))
        object.__setattr__(self, "_cos", cos(self.course_rad))
        object.__setattr__(self, "_dots_per_rad", 2.0 / width)
        object.__setattr__(self, "_strength", strength)
        object.__setattr__(self, "_tan_top", tan(self.coverage.localizer_top_rad))

    def localizer_offset_m(self, x_m: float, y_m: float) -> float:
        """Distance right of the course line, m (left negative)."""
        return x_m * self._cos - y_m * self._sin

    def final_distance_m(self, x_m: float, y_m: float) -> float:
        """Distance before the threshold along the course, m (negative beyond it)."""
        return -(x_m * self._sin + y_m * self._cos)

    def receive(self, x_m: float, y_m: float, height_m: float, relief: float = 1.0) -> Reception:
        """What is received at a point.

        Args:
            x_m: magnetic east of the threshold, m.
            y_m: magnetic north of the threshold, m.
            height_m: above the tangent plane, m.
            relief: factor on the receiver's field limit (0.5..1; below 1 for a signal held).

        Source: linear deviation with azimuth, pegged out to ±35° (ICAO Annex 10 Vol I,
        3.1.3.7); the field law is this project's assumption.
        """
        offset = x_m * self._cos - y_m * self._sin
        before = -(x_m * self._sin + y_m * self._cos)
        along = before + self.antenna_to_threshold_m
        if along < 0.0 and self.has_back_course:
            angle = atan2(offset, -along)
        else:
            angle = atan2(offset, along)
        distance = hypot(offset, along)
        if distance < NEAR_M:
            distance = NEAR_M
        dots = angle * self._dots_per_rad
        if dots > STOP_DOTS:
            dots = STOP_DOTS
        elif dots < -STOP_DOTS:
            dots = -STOP_DOTS
        volume = self.coverage
        aside = abs(angle)
        strength = self._strength / distance
        far = reach = volume.localizer_far_m
        if aside > _COURSE_RAD:
            strength *= _pattern(aside)
            reach = volume.localizer_near_m
        state = "received"
        if strength < LIMIT_UV_M * relief or aside > _SECTOR_RAD:
            state = "flagged"
        elif (
            along > 0.0
            and distance <= reach
            and volume.localizer_floor_m * distance <= height_m * far
            and height_m <= volume.localizer_ceiling_m
            and height_m <= distance * self._tan_top
        ):
            state = "covered"
        if distance > 30_000.0 and distance > radio_horizon_m(height_m):
            return SILENCE
        return Reception(state, dots, angle, offset, before, strength)

    def bent(self, reception: Reception, bend_dots: float) -> Reception:
        """A reception with its needle moved by a bend, dots (see `bend_dots`).

        Everything a receiver can know moves with the needle, `offset_m` too: an autopilot
        follows a bend. Signals that show no needle stay as they are.
        """
        if bend_dots == 0.0 or not reception.is_usable:
            return reception
        angle = reception.angle_rad + bend_dots / self._dots_per_rad
        along = abs(reception.distance_m + self.antenna_to_threshold_m)
        return replace(
            reception,
            dots=stopped(angle * self._dots_per_rad),
            angle_rad=angle,
            offset_m=along * tan(angle),
        )


def bend_dots(
    time_s: float, duration_s: float, amplitude_dots: float = 0.5, period_s: float = 12.0
) -> float:
    """How far a bend moves the needle, dots: something moves through the critical area.

    Args:
        time_s: since the disturbance began, s.
        duration_s: how long it lasts, s (> 0).
        amplitude_dots: the most it can move the needle, dots (0..2).
        period_s: of the swing, s (> 0).

    Returns:
        A swing that grows from nothing to the amplitude in the middle and dies out again;
        0 before and after.

    Source: that a signal may wander while the critical area is not protected, FAA AIM 1-1-9 k.
    The shape is this project's.
    """
    if not 0.0 < time_s < duration_s:
        return 0.0
    swell = sin(pi * time_s / duration_s)
    return amplitude_dots * swell * swell * sin(2.0 * pi * time_s / period_s)


def _pattern(aside_rad: float) -> float:
    """Horizontal antenna pattern: 1 to 10°, 0.68 from 12° to 35°, then falling to 0 at 70°."""
    aside_deg = aside_rad / DEG
    if aside_deg <= 35.0:
        return max(1.0 - 0.16 * (aside_deg - 10.0), 0.68)
    return max(0.68 * (70.0 - aside_deg) / 35.0, 0.0)
