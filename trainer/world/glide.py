"""A glide path: deviation, field strength and coverage at a point of the threshold plane.

Owns the antenna geometry with its false upper paths, and where the signal comes in. Heights here
are above the tangent plane (see `earth`).

Surprising rule: the glide path repeats itself above, at three times its angle with the needle
reversed; at twice its angle there is no field, so the needle is flagged there.

The field model is an assumption, not a standard: see `localizer`.
"""

from __future__ import annotations

from dataclasses import field
from math import asin, atan2, cos, hypot, pi, sin, tan
from typing import NamedTuple

from trainer.units import DEG, NM
from trainer.values import dataclass
from trainer.world.coverage import Coverage, radio_horizon_m
from trainer.world.earth import height_above_plane_m
from trainer.world.path import path_height_m
from trainer.world.reception import NEAR_M, SILENCE, STOP_DOTS, Reception

COVERAGE_UV_M = 400.0
"""Field guaranteed at the edge of glide path coverage, µV/m (Annex 10 Vol I, from memory)."""
LIMIT_UV_M = 240.0
"""Field below which the receiver flags, µV/m (assumption)."""
FULL_SCALE_DDM = 0.175
"""Difference in depth of modulation at full scale (two dots); 14 CFR 171.253, where an interim
microwave system has the signal of an ILS."""
HALF_SCALE_PARTS = 0.12
"""One dot in parts of the path angle (ICAO Annex 10 Vol I, 3.1.5.6, as quoted)."""

_DDM = 0.5 * FULL_SCALE_DDM / sin(0.5 * pi * HALF_SCALE_PARTS)
_DOTS = 2.0 * _DDM / FULL_SCALE_DDM
_HALF_PI = 0.5 * pi
_FLAT_RAD = 8.0 * DEG


@dataclass(frozen=True, slots=True)
class GlideBeam:
    """One glide path, of the image-antenna kind, with its false upper paths.

    Attributes:
        course_rad: inbound course, rad clockwise from magnetic north.
        angle_rad: path angle, rad.
        crossing_height_m: height of the path over the threshold, m.
        coverage: guaranteed volume.
        margin_db: how much stronger than a facility that just meets coverage (-6..+6).
        origin_m: where the straight path meets the plane, m beyond the threshold (computed).
    """

    course_rad: float
    angle_rad: float
    crossing_height_m: float
    coverage: Coverage
    margin_db: float = 0.0
    origin_m: float = field(init=False)
    _sin: float = field(init=False, repr=False, compare=False)
    _cos: float = field(init=False, repr=False, compare=False)
    _tan_angle: float = field(init=False, repr=False, compare=False)
    _u_per_sine: float = field(init=False, repr=False, compare=False)
    _strength: float = field(init=False, repr=False, compare=False)
    _low_rad: float = field(init=False, repr=False, compare=False)
    _high_rad: float = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        tangent = tan(self.angle_rad)
        level = COVERAGE_UV_M * 10.0 ** (self.margin_db / 20.0)
        strength = level * 10.0 * NM / sin(0.45 * _HALF_PI)
        object.__setattr__(self, "origin_m", self.crossing_height_m / tangent)
        object.__setattr__(self, "_sin", sin(self.course_rad))
        object.__setattr__(self, "_cos", cos(self.course_rad))
        object.__setattr__(self, "_tan_angle", tangent)
        object.__setattr__(self, "_u_per_sine", _HALF_PI / sin(self.angle_rad))
        object.__setattr__(self, "_strength", strength)
        object.__setattr__(self, "_low_rad", self.coverage.glide_low * self.angle_rad)
        object.__setattr__(self, "_high_rad", self.coverage.glide_high * self.angle_rad)

    def receive(self, x_m: float, y_m: float, height_m: float, relief: float = 1.0) -> Reception:
        """What is received at a point; arguments as for a localizer.

        `offset_m` is the height above the path as the *needle* has it: true on the real path,
        with the wrong sign on the reversed one at three times the angle.

        Source: null-reference antenna over flat ground, carrier ∝ sin u, sideband ∝ sin 2u with
        u = (π/2)·sin φ / sin θ; one dot at 0.12 θ (ICAO Annex 10 Vol I, 3.1.5.6, as quoted).
        """
        offset = x_m * self._cos - y_m * self._sin
        along = self.origin_m - (x_m * self._sin + y_m * self._cos)
        ground = hypot(offset, along)
        if ground < NEAR_M:
            ground = NEAR_M
        slant = hypot(ground, height_m)
        elevation = atan2(height_m, ground)
        u = self._u_per_sine * height_m / slant
        dots = -_DOTS * cos(u)
        if dots > STOP_DOTS:
            dots = STOP_DOTS
        elif dots < -STOP_DOTS:
            dots = -STOP_DOTS
        if u <= pi:
            shown, above = elevation, height_m - ground * self._tan_angle
        else:
            shown = self._shown_rad(u)
            above = ground * (tan(shown) - self._tan_angle)
        azimuth = abs(atan2(offset, along))
        strength = self._strength / ground * abs(sin(u))
        if azimuth > _FLAT_RAD:
            strength *= _pattern(azimuth)
        state = "received"
        if strength < LIMIT_UV_M * relief:
            state = "flagged"
        elif self._low_rad <= elevation <= self._high_rad:
            volume = self.coverage
            if ground <= volume.glide_range_m and azimuth <= volume.glide_sector_rad:
                state = "covered"
        if ground > 30_000.0 and ground > radio_horizon_m(height_m):
            return SILENCE
        return Reception(state, dots, shown - self.angle_rad, above, ground, strength)

    def glide_error_m(self, x_m: float, y_m: float, height_m: float) -> float:
        """Height above the path as the needle has it, m (wrong in sense on a false path)."""
        return self.receive(x_m, y_m, height_m).offset_m

    def _shown_rad(self, u: float) -> float:
        # Above 2θ the same needle repeats mirrored: cos u cannot tell u from 2π − u.
        folded = u % (2.0 * pi)
        if folded > pi:
            folded = 2.0 * pi - folded
        return asin(min(folded / self._u_per_sine, 1.0))


def _pattern(azimuth_rad: float) -> float:
    """Horizontal antenna pattern: 1 to 8°, falling to 0.3 at 20° and to 0 at 45°."""
    aside_deg = azimuth_rad / DEG
    if aside_deg <= 8.0:
        return 1.0
    if aside_deg <= 20.0:
        return 1.0 - 0.7 * (aside_deg - 8.0) / 12.0
    return max(0.3 * (45.0 - aside_deg) / 25.0, 0.0)


class UsableFrom(NamedTuple):
    """How far before the threshold (NM) the glide path is first received, and first covered.

    None where that never happens on the way in.
    """

    received_nm: float | None
    covered_nm: float | None


def usable_from(beam: GlideBeam, height_m: float, with_curvature: bool = True) -> UsableFrom:
    """Where the glide path comes in on a level run-in on the course, followed down the path.

    Args:
        beam: the glide path.
        height_m: level of the run-in above threshold elevation, m (0..3 000).
        with_curvature: False reproduces flat-earth figures.

    Returns:
        The outermost distances, to 0.01 NM, at or inside 60 NM.
    """
    received: float | None = None
    for hundredths in range(6000, 0, -1):
        distance = hundredths * NM / 100.0
        path = path_height_m(distance, beam.angle_rad, beam.crossing_height_m, with_curvature)
        level = min(height_m, path)
        z = height_above_plane_m(level, distance) if with_curvature else level
        state = beam.receive(-distance * beam._sin, -distance * beam._cos, z).state
        if received is None and (state == "received" or state == "covered"):
            received = hundredths / 100.0
        if state == "covered":
            return UsableFrom(received, hundredths / 100.0)
    return UsableFrom(received, None)
