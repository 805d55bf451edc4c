"""The laws that turn a mode into a bank, a climb rate or a power.

Owns the steering and vertical laws as functions of one moment. Refuses to know which mode is
engaged. The surprising rule: a line is followed by asking for a *closing speed*, limited by what a
planned turn can take away again, so a capture ends on the line whatever the cut and the wind.

Laws of thrust and of pitch for speed belong to the airframe: they come in as a `Performance`.
"""

from __future__ import annotations

from math import asin, atan, copysign, sin, sqrt, tan
from typing import Protocol

from trainer.guidance.capture import ALTITUDE_GAIN_PER_S, wrap
from trainer.guidance.modes import Sensed
from trainer.units import DEG, FT, G
from trainer.world.legs import BANK_SHARE, LegView

_HEADING_GAIN = 1.2
_TRACK_GAIN = 1.08
_TRACK_GAIN_SPEED_MS = 70.0
_CLOSING_GAIN_PER_S = 0.045
_CLOSING_SHARE = 1.6
_LARGEST_CUT = sin(45.0 * DEG)
_ALIGN_TURN_PER_S = 0.5
_ALIGN_CLOSING_PER_S = 0.125
_ALIGN_CUT = sin(5.0 * DEG)
_ALIGN_BANK_RAD = 8.0 * DEG
_PATH_GAIN_PER_S = 0.15
_PATH_LIMIT_MS = 4.0
_HOLD_LIMIT_MS = 5.0


class Performance(Protocol):
    """What guidance asks of the airframe's own laws."""

    def speed_power(self, sensed: Sensed, target_cas_kt: float, climb_command_ms: float) -> float:
        """Power 0..1 of the autothrust that takes the speed to `target_cas_kt` while climbing."""
        ...

    def level_change_climb(self, sensed: Sensed, target_cas_kt: float, power: float) -> float:
        """Climb rate (m/s) that holds `target_cas_kt` with pitch at `power` 0..1."""
        ...


def within(limit: float, value: float) -> float:
    """`value` held within ±`limit`."""
    return limit if value > limit else -limit if value < -limit else value


def heading_bank(target_rad: float, heading_rad: float, limit_rad: float) -> float:
    """Bank (rad, right positive) that turns the short way to heading `target_rad`."""
    return within(limit_rad, _HEADING_GAIN * wrap(target_rad - heading_rad))


def track_bank(
    target_rad: float, track_rad: float, ground_speed_ms: float, limit_rad: float
) -> float:
    """Bank (rad) that turns the track over the ground to `target_rad`."""
    gain = _TRACK_GAIN
    if ground_speed_ms > _TRACK_GAIN_SPEED_MS:
        gain *= ground_speed_ms / _TRACK_GAIN_SPEED_MS
    return within(limit_rad, gain * wrap(target_rad - track_rad))


def line_bank(
    offset_m: float, course_rad: float, track_rad: float, ground_speed_ms: float, limit_rad: float
) -> float:
    """Bank (rad) that brings the aircraft onto a line of `course_rad` and keeps it there.

    `offset_m` is the cross-track distance, right positive. The cut is 45° at most.
    """
    sideways_ms2 = G * tan(BANK_SHARE * limit_rad)
    away_m = abs(offset_m)
    closing_ms = _CLOSING_GAIN_PER_S * away_m
    stopped_ms = sqrt(_CLOSING_SHARE * sideways_ms2 * away_m)
    if stopped_ms < closing_ms:
        closing_ms = stopped_ms
    if ground_speed_ms * _LARGEST_CUT < closing_ms:
        closing_ms = ground_speed_ms * _LARGEST_CUT
    cut_rad = asin(closing_ms / ground_speed_ms)
    target_rad = course_rad - cut_rad if offset_m > 0.0 else course_rad + cut_rad
    return track_bank(target_rad, track_rad, ground_speed_ms, limit_rad)


def align_bank(
    offset_m: float, course_rad: float, track_rad: float, ground_speed_ms: float
) -> float:
    """Bank (rad, within ±8°) that holds the centre line in the last seconds before touchdown.

    Tighter than `line_bank`, which is made for captures: each loop is four times as quick as the
    one around it, down from the half second in which the wings follow, which is critical damping.
    """
    closing_ms = min(_ALIGN_CLOSING_PER_S * abs(offset_m), ground_speed_ms * _ALIGN_CUT)
    cut_rad = copysign(asin(closing_ms / ground_speed_ms), offset_m)
    turn_rad = wrap(course_rad - cut_rad - track_rad)
    return within(_ALIGN_BANK_RAD, _ALIGN_TURN_PER_S * turn_rad * ground_speed_ms / G)


def leg_bank(leg: LegView, track_rad: float, ground_speed_ms: float, limit_rad: float) -> float:
    """Bank (rad) along a coded leg; on an arc the bank of its turn is set beforehand.

    That bank is atan(V²/(g R)) on ground speed: without it the law would fly beside the arc.
    """
    bank = line_bank(leg.cross_track_m, leg.course_rad, track_rad, ground_speed_ms, limit_rad)
    if leg.turn_radius_m:
        bank += atan(ground_speed_ms * ground_speed_ms / (G * leg.turn_radius_m))
    return within(limit_rad, bank)


def hold_climb_ms(target_ft: float, altitude_ft: float) -> float:
    """Climb rate (m/s, within ±5) that holds `target_ft` on the altimeter."""
    return within(_HOLD_LIMIT_MS, ALTITUDE_GAIN_PER_S * (target_ft - altitude_ft) * FT)


def path_climb_ms(error_m: float, sink_ms: float) -> float:
    """Climb rate (m/s) on a path that falls at `sink_ms`; `error_m` (above positive) is corrected
    by up to 4 m/s."""
    return within(_PATH_LIMIT_MS, -_PATH_GAIN_PER_S * error_m) - sink_ms
