"""What the receivers of an aircraft make of the aids on the ground.

Owns localizer, glide path and DME as received at a point of the threshold plane (see `earth`).
Refuses to know displays, modes and aircraft types: whether a needle is *alive* depends on the
type and is decided elsewhere. Heights here are above the tangent plane.

Surprising rules: signals are used far beyond the volume in which they are guaranteed
("received" against "covered"), because field strength decides; and the glide path repeats
itself above, at three times its angle with the needle reversed.

The field model is an assumption, not a standard: a facility that just meets the guaranteed
field at the edge of coverage, falling off as 1/distance. Noise outside coverage, bends, and
reflections are left out on purpose: a flight must replay exactly.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import NamedTuple

from trainer.units import DEG, FT, NM, STEPS_PER_S
from trainer.world.coverage import Coverage, radio_horizon_m
from trainer.world.earth import drop_m, height_above_plane_m

STOP_DOTS = 2.5
"""Deviations are shown up to this many dots either way; full scale is two dots."""
LOCALIZER_COVERAGE_UV_M = 40.0
"""Field guaranteed at the edge of localizer coverage, µV/m (Annex 10 Vol I, from memory)."""
LOCALIZER_LIMIT_UV_M = 25.0
"""Field below which the receiver flags, µV/m (assumption)."""
GLIDE_COVERAGE_UV_M = 400.0
"""Field guaranteed at the edge of glide path coverage, µV/m (Annex 10 Vol I, from memory)."""
GLIDE_LIMIT_UV_M = 240.0
"""Field below which the receiver flags, µV/m (assumption)."""
HYSTERESIS = 10.0 ** (-2.0 / 20.0)
"""A held signal is dropped 2 dB below the level at which it comes in (a band of ±1 dB)."""
HOLD_STEPS = STEPS_PER_S
"""A change must last 1 s before a receiver believes it."""

_NEAR_M = 1.0
_GLIDE_DDM = 0.0875 / math.sin(0.06 * math.pi)
_GLIDE_DOTS = 2.0 * _GLIDE_DDM / 0.175
_HALF_PI = 0.5 * math.pi
_SECTOR_RAD = 35.0 * DEG
_COURSE_RAD = 10.0 * DEG


class Reception(NamedTuple):
    """One signal as received.

    state: "none" (nothing transmitted, or beyond the radio horizon), "flagged" (too weak or
    outside the sector: no needle), "received" (usable beyond the guaranteed volume) or
    "covered". dots: two = full scale, positive right of course or above the path, held at ±2.5.
    angle_rad: the same as an angle. offset_m: cross-track right of the course line, or height
    above the path as the needle has it. distance_m: before the threshold along the course for a
    localizer, from the transmitter for a glide path. field_uv_m: field strength, µV/m.
    The needle of a flagged signal must not be shown or used.
    """

    state: str
    dots: float
    angle_rad: float
    offset_m: float
    distance_m: float
    field_uv_m: float

    @property
    def is_usable(self) -> bool:
        """True if the signal may be shown and followed."""
        return self.state == "received" or self.state == "covered"


SILENCE = Reception("none", 0.0, 0.0, 0.0, 0.0, 0.0)
"""Nothing received at all."""


def half_width_rad(antenna_to_threshold_m: float) -> float:
    """Angle of full-scale localizer deflection, rad: 350 ft either side at the threshold.

    Args:
        antenna_to_threshold_m: how far beyond the threshold the antenna stands, m (> 0).

    Returns:
        atan(350 ft / distance), held between 1.5° and 3.0°.

    Source: FAA AIM 1-1-9 b.2 (700 ft at the threshold); course sector at most 6°, ICAO Annex 10
    Vol I, 3.1.3.7; at least 3°, FAA flight inspection practice.
    """
    return min(max(math.atan(350.0 * FT / antenna_to_threshold_m), 1.5 * DEG), 3.0 * DEG)


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
        strength = LOCALIZER_COVERAGE_UV_M * 25.0 * NM * 10.0 ** (self.margin_db / 20.0)
        object.__setattr__(self, "half_width_rad", width)
        object.__setattr__(self, "_sin", math.sin(self.course_rad))
        object.__setattr__(self, "_cos", math.cos(self.course_rad))
        object.__setattr__(self, "_dots_per_rad", 2.0 / width)
        object.__setattr__(self, "_strength", strength)
        object.__setattr__(self, "_tan_top", math.tan(self.coverage.localizer_top_rad))

    @property
    def limit_uv_m(self) -> float:
        """Field at which a receiver stops flagging, µV/m."""
        return LOCALIZER_LIMIT_UV_M

    def localizer_offset_m(self, x_m: float, y_m: float) -> float:
        """Distance right of the course line, m (left negative)."""
        return x_m * self._cos - y_m * self._sin

    def final_distance_m(self, x_m: float, y_m: float) -> float:
        """Distance before the threshold along the course, m (negative beyond it)."""
        return -(x_m * self._sin + y_m * self._cos)

    def receive(
        self,
        x_m: float,
        y_m: float,
        height_m: float,
        is_radiating: bool = True,
        relief: float = 1.0,
    ) -> Reception:
        """What is received at a point.

        Args:
            x_m: magnetic east of the threshold, m.
            y_m: magnetic north of the threshold, m.
            height_m: above the tangent plane, m.
            is_radiating: False when the transmitter is off.
            relief: factor on the receiver's field limit (0.5..1; below 1 for a signal held).

        Source: linear deviation with azimuth, pegged out to ±35° (ICAO Annex 10 Vol I,
        3.1.3.7); the field law is this project's assumption.
        """
        if not is_radiating:
            return SILENCE
        offset = x_m * self._cos - y_m * self._sin
        before = -(x_m * self._sin + y_m * self._cos)
        along = before + self.antenna_to_threshold_m
        if along < 0.0 and self.has_back_course:
            angle = math.atan2(offset, -along)
        else:
            angle = math.atan2(offset, along)
        distance = max(math.hypot(offset, along), _NEAR_M)
        dots = angle * self._dots_per_rad
        if dots > STOP_DOTS:
            dots = STOP_DOTS
        elif dots < -STOP_DOTS:
            dots = -STOP_DOTS
        aside = abs(angle)
        strength = self._strength / distance
        if aside > _COURSE_RAD:
            strength *= _localizer_pattern(aside)
        state = "received"
        if strength < LOCALIZER_LIMIT_UV_M * relief or aside > _SECTOR_RAD:
            state = "flagged"
        elif along > 0.0 and self._is_covered(aside, distance, height_m):
            state = "covered"
        if distance > 30_000.0 and distance > radio_horizon_m(height_m):
            return SILENCE
        return Reception(state, dots, angle, offset, before, strength)

    def _is_covered(self, aside: float, distance: float, height_m: float) -> bool:
        volume = self.coverage
        far = volume.localizer_far_m
        reach = far if aside <= _COURSE_RAD else volume.localizer_near_m
        return (
            distance <= reach
            and volume.localizer_floor_m * distance <= height_m * far
            and height_m <= volume.localizer_ceiling_m
            and height_m <= distance * self._tan_top
        )


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
        tangent = math.tan(self.angle_rad)
        level = GLIDE_COVERAGE_UV_M * 10.0 ** (self.margin_db / 20.0)
        strength = level * 10.0 * NM / math.sin(0.45 * _HALF_PI)
        object.__setattr__(self, "origin_m", self.crossing_height_m / tangent)
        object.__setattr__(self, "_sin", math.sin(self.course_rad))
        object.__setattr__(self, "_cos", math.cos(self.course_rad))
        object.__setattr__(self, "_tan_angle", tangent)
        object.__setattr__(self, "_u_per_sine", _HALF_PI / math.sin(self.angle_rad))
        object.__setattr__(self, "_strength", strength)
        object.__setattr__(self, "_low_rad", self.coverage.glide_low * self.angle_rad)
        object.__setattr__(self, "_high_rad", self.coverage.glide_high * self.angle_rad)

    @property
    def limit_uv_m(self) -> float:
        """Field at which a receiver stops flagging, µV/m."""
        return GLIDE_LIMIT_UV_M

    def receive(
        self,
        x_m: float,
        y_m: float,
        height_m: float,
        is_radiating: bool = True,
        relief: float = 1.0,
    ) -> Reception:
        """What is received at a point; arguments as for a localizer.

        `offset_m` is the height above the path as the *needle* has it: true on the real path,
        with the wrong sign on the reversed one at three times the angle.

        Source: null-reference antenna over flat ground, carrier ∝ sin u, sideband ∝ sin 2u with
        u = (π/2)·sin φ / sin θ; one dot at 0.12 θ (ICAO Annex 10 Vol I, 3.1.5.6, from memory).
        """
        if not is_radiating:
            return SILENCE
        offset = x_m * self._cos - y_m * self._sin
        along = self.origin_m - (x_m * self._sin + y_m * self._cos)
        ground = max(math.hypot(offset, along), _NEAR_M)
        slant = math.hypot(ground, height_m)
        elevation = math.atan2(height_m, ground)
        u = self._u_per_sine * height_m / slant
        dots = -_GLIDE_DOTS * math.cos(u)
        if dots > STOP_DOTS:
            dots = STOP_DOTS
        elif dots < -STOP_DOTS:
            dots = -STOP_DOTS
        if u <= math.pi:
            shown, above = elevation, height_m - ground * self._tan_angle
        else:
            shown = self._shown_rad(u)
            above = ground * (math.tan(shown) - self._tan_angle)
        azimuth = abs(math.atan2(offset, along))
        strength = self._strength / ground * abs(math.sin(u)) * _glide_pattern(azimuth)
        state = "received"
        if strength < GLIDE_LIMIT_UV_M * relief:
            state = "flagged"
        elif (
            ground <= self.coverage.glide_range_m
            and self._low_rad <= elevation <= self._high_rad
            and azimuth <= self.coverage.glide_sector_rad
        ):
            state = "covered"
        if ground > 30_000.0 and ground > radio_horizon_m(height_m):
            return SILENCE
        return Reception(state, dots, shown - self.angle_rad, above, ground, strength)

    def glide_error_m(self, x_m: float, y_m: float, height_m: float) -> float:
        """Height above the path as the needle has it, m (wrong in sense on a false path)."""
        return self.receive(x_m, y_m, height_m).offset_m

    def _shown_rad(self, u: float) -> float:
        # Above 2θ the same needle repeats mirrored: cos u cannot tell u from 2π − u.
        folded = u % (2.0 * math.pi)
        if folded > math.pi:
            folded = 2.0 * math.pi - folded
        return math.asin(min(folded / self._u_per_sine, 1.0))


def _localizer_pattern(aside_rad: float) -> float:
    """Horizontal antenna pattern: 1 to 10°, 0.68 from 12° to 35°, then falling to 0 at 70°."""
    aside_deg = aside_rad / DEG
    if aside_deg <= 35.0:
        return max(1.0 - 0.16 * (aside_deg - 10.0), 0.68)
    return max(0.68 * (70.0 - aside_deg) / 35.0, 0.0)


def _glide_pattern(azimuth_rad: float) -> float:
    """Horizontal antenna pattern: 1 to 8°, falling to 0.3 at 20° and to 0 at 45°."""
    aside_deg = azimuth_rad / DEG
    if aside_deg <= 8.0:
        return 1.0
    if aside_deg <= 20.0:
        return 1.0 - 0.7 * (aside_deg - 8.0) / 12.0
    return max(0.3 * (45.0 - aside_deg) / 25.0, 0.0)


def path_height_m(
    distance_m: float, angle_rad: float, crossing_height_m: float, with_curvature: bool = True
) -> float:
    """Height of a straight path above threshold elevation, m, as a perfect altimeter has it.

    Args:
        distance_m: before the threshold, m (negative beyond it).
        angle_rad: path angle, rad.
        crossing_height_m: height of the path over the threshold, m.
        with_curvature: False reproduces tables drawn on a flat earth.
    """
    height = crossing_height_m + distance_m * math.tan(angle_rad)
    return height + drop_m(distance_m) if with_curvature else height


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


class Receiver:
    """One tuned receiver: believes a change of signal only after 1 s, and holds what it has.

    A signal comes in at the nominal limit and is dropped 2 dB below it. While a lost signal is
    still held, the last needle is shown. The first signal after tuning is believed at once.
    """

    __slots__ = ("_is_usable", "_last", "_steps")

    def __init__(self) -> None:
        self.reset()

    def reset(self) -> None:
        """Forget everything: the receiver has just been tuned."""
        self._is_usable: bool | None = None
        self._last = SILENCE
        self._steps = 0

    def receive(
        self,
        beam: LocalizerBeam | GlideBeam,
        x_m: float,
        y_m: float,
        height_m: float,
        is_radiating: bool = True,
    ) -> Reception:
        """The signal as the receiver passes it on; call once for each step of 0.1 s."""
        relief = HYSTERESIS if self._is_usable else 1.0
        now = beam.receive(x_m, y_m, height_m, is_radiating, relief)
        is_usable = now.is_usable
        if self._is_usable is None:
            self._is_usable = is_usable
        if is_usable == self._is_usable:
            self._steps = 0
            self._last = now
            return now
        self._steps += 1
        if self._steps >= HOLD_STEPS:
            self._is_usable = is_usable
            self._steps = 0
            self._last = now
            return now
        if is_usable:
            return now._replace(state="flagged")
        return self._last


class DmeReading(NamedTuple):
    """What the distance display shows: whether it has a reply, and the distance in NM."""

    is_received: bool
    distance_nm: float


@dataclass(frozen=True, slots=True)
class DmeStation:
    """One DME. It shows slant range, less its own zero.

    Attributes:
        x_m: magnetic east of the threshold, m.
        y_m: magnetic north of the threshold, m.
        height_m: antenna above the tangent plane, m.
        zero_m: slant range at which it reads zero, m (a runway's DME often reads zero at the
            threshold, not at its antenna).

    Source: FAA AIM 1-1-7: slant range, line of sight, up to 199 NM.
    """

    x_m: float
    y_m: float
    height_m: float = 0.0
    zero_m: float = 0.0

    def slant_m(self, x_m: float, y_m: float, height_m: float) -> float:
        """Slant range to a point at `height_m` above the tangent plane, m."""
        return math.hypot(x_m - self.x_m, y_m - self.y_m, height_m - self.height_m)

    def distance_nm(self, x_m: float, y_m: float, height_m: float) -> float:
        """The distance shown at a point, NM (never below zero)."""
        return max(self.slant_m(x_m, y_m, height_m) - self.zero_m, 0.0) / NM

    def receive(
        self, x_m: float, y_m: float, height_m: float, is_radiating: bool = True
    ) -> DmeReading:
        """The reading at a point; distance 0 while there is no reply."""
        slant = self.slant_m(x_m, y_m, height_m)
        if not is_radiating:
            return DmeReading(False, 0.0)
        if slant > 30_000.0 and slant > min(199.0 * NM, radio_horizon_m(height_m)):
            return DmeReading(False, 0.0)
        return DmeReading(True, max(slant - self.zero_m, 0.0) / NM)
