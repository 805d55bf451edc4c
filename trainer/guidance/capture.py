"""When an armed mode takes the aircraft: the lead laws, as questions about one moment.

Owns the geometry of capturing a localizer, a leg, a glide path and an altitude. Refuses to know
what is armed or engaged. The surprising rule: a capture begins early by the distance that the
turn or the level-off itself needs, so the place of capture depends on the closure, not on dots.
"""

from __future__ import annotations

from math import copysign, cos, pi, sin, sqrt, tan

from trainer.guidance.modes import RECEIVED, Sensed
from trainer.units import DEG, FT, NM
from trainer.world.aircraft import Handling
from trainer.world.legs import BANK_SHARE, turn_radius_m

ALTITUDE_GAIN_PER_S = 0.25
"""Rate asked for per metre of altitude still to go, 1/s."""
LEVEL_OFF_MS2 = 0.5
"""Vertical acceleration planned for a level-off, m/s² (0.05 g, common practice)."""

NEEDLE_MOVES_DOTS = 2.45
"""Deviation below which the needle has left its stop at 2.5 dots."""
NEAR_DOTS = 0.5
"""Deviation within which an aircraft that flies along a beam is on it (call threshold, flows)."""
NEAR_LEG_M = 0.15 * NM
"""Distance within which an aircraft that flies along a coded leg is on it: half of RNP 0.3."""

_TURN_RAD = 2.0 * pi
_LEAD_ROLL = 0.6
_LEAD_PATH = 0.9
_ABOVE_PATH_M = 30.0
_ALIGNED_RAD = 10.0 * DEG
_FURTHEST_CUT_RAD = 120.0 * DEG
_FINAL_CUT_RAD = 45.0 * DEG
_LEVEL_FT = 20.0
_LEVEL_MS = 0.5
_CLOSING_MS = 0.2


def wrap(angle_rad: float) -> float:
    """`angle_rad` brought into [-π, π)."""
    return (angle_rad + pi) % _TURN_RAD - pi


def is_line_captured(
    offset_m: float,
    cut_rad: float,
    ground_speed_ms: float,
    handling: Handling,
    is_near: bool = False,
) -> bool:
    """Whether the turn onto a straight line must begin now.

    Args:
        offset_m: cross-track distance from the line, right of it positive.
        cut_rad: track minus course of the line, any sign.
        ground_speed_ms: ground speed (15..200 m/s); the turn radius is that of the ground track,
            so a following wind is covered.
        handling: bank limit and roll rate of the type.
        is_near: whether the deviation is one at which the line counts as flown.

    The lead is the offset of a turn at 0.8 of the bank limit plus a part of the roll-in: hand
    calculation from R = V²/(g tan φ). An aircraft that flies along the line (within 10°) and near
    it is taken as well: it would otherwise stay beside it for ever.
    """
    cut = wrap(cut_rad)
    away = abs(cut)
    if away > _FURTHEST_CUT_RAD:
        return False
    if away <= _ALIGNED_RAD and is_near:
        return True
    if offset_m * cut >= 0.0:
        return False
    bank = handling.bank_deg
    radius_m = turn_radius_m(ground_speed_ms, BANK_SHARE * bank * DEG)
    roll_in_m = _LEAD_ROLL * ground_speed_ms * bank / handling.roll_rate_deg_s
    lead_m = radius_m * (1.0 - cos(cut)) + roll_in_m * abs(sin(cut))
    return abs(offset_m) <= lead_m


def is_localizer_captured(sensed: Sensed, course_rad: float, handling: Handling) -> bool:
    """Whether an armed localizer captures now: received, lead reached.

    The closure is judged against the course that is *set* (`course_rad`): the receiver knows the
    needle, not where the beam leads. On a back course, where the needle is reversed, the aircraft
    therefore seems to fly away from the line and is taken only when it happens to be on it.

    Never with the needle on its stop: a receiver that shows only "far right" gives no closure to
    lead by, and a capture that came before the needle moved could not be read by anybody.
    """
    if sensed.localizer_state not in RECEIVED:
        return False
    if abs(sensed.localizer_dots) >= NEEDLE_MOVES_DOTS:
        return False
    return is_line_captured(
        sensed.localizer_offset_m,
        sensed.track_rad - course_rad,
        sensed.ground_speed_ms,
        handling,
        is_near=abs(sensed.localizer_dots) <= NEAR_DOTS,
    )


def is_on_rnp_final(sensed: Sensed) -> bool:
    """Whether the coded final course is flown: within ½ RNP of it, within 45°, before its end.

    Half of RNP is where established begins (practice; the same half of which the call is made).
    """
    is_near = abs(sensed.final_offset_m) <= 0.5 * sensed.rnp_m
    is_along = abs(wrap(sensed.track_rad - sensed.final_course_rad)) <= _FINAL_CUT_RAD
    return is_near and is_along and sensed.final_distance_m > 0.0


def path_sink_ms(sensed: Sensed) -> float:
    """Sink (m/s, positive down) that keeps the computed path at this ground speed.

    The published angle; a barometric path has the slope that the air makes of it.
    """
    along_ms = sensed.ground_speed_ms * cos(sensed.track_rad - sensed.final_course_rad)
    slope = tan(sensed.path_angle_rad)
    return along_ms * (slope * sensed.warmth if sensed.is_path_barometric else slope)


def glide_sink_ms(sensed: Sensed) -> float:
    """Sink (m/s, positive down) that keeps the angle of the glide path that is tuned."""
    along_ms = sensed.ground_speed_ms * cos(sensed.track_rad - sensed.localizer_course_rad)
    return along_ms * tan(sensed.glide_angle_rad)


def is_path_captured(error_m: float, sink_ms: float, handling: Handling) -> bool:
    """Whether the push-over onto a descending path `error_m` below (negative) or above begins now.

    The lead is the height that the path falls away (at `sink_ms`, down positive) while the
    vertical response lags (0.9 · lag · path sink); an aircraft more than 30 m above the path is
    not taken. The needle decides: near a false path the error is what the needle says, too.
    """
    lead_m = _LEAD_PATH * handling.vertical_tau_s * sink_ms
    return -lead_m <= error_m < _ABOVE_PATH_M


def is_final_path_caught(sensed: Sensed, armed: str, handling: Handling) -> bool:
    """Whether the armed final path ("GLIDE": received, "PATH": computed) is taken now."""
    if armed == "PATH":
        return is_path_captured(sensed.path_error_m, path_sink_ms(sensed), handling)
    if sensed.glide_state not in RECEIVED:
        return False
    return is_path_captured(sensed.glide_error_m, glide_sink_ms(sensed), handling)


def altitude_rate_ms(to_go_m: float, lag_s: float) -> float:
    """Climb rate (m/s, signed) asked for `to_go_m` (positive: target above) during a capture.

    A level-off at constant acceleration that ends exponentially, with the lag of the vertical
    response (`lag_s`, 0.3..3 s) taken off in advance.
    """
    distance_m = abs(to_go_m)
    planned_ms = min(ALTITUDE_GAIN_PER_S * distance_m, sqrt(2.0 * LEVEL_OFF_MS2 * distance_m))
    slowing_ms2 = min(LEVEL_OFF_MS2, ALTITUDE_GAIN_PER_S * planned_ms)
    return copysign(max(0.0, planned_ms - lag_s * slowing_ms2), to_go_m)


def is_altitude_captured(target_ft: float, sensed: Sensed, handling: Handling) -> bool:
    """Whether the level-off at `target_ft` begins now; only while closing with it."""
    to_go_m = (target_ft - sensed.altitude_ft) * FT
    climb_ms = sensed.climb_ms
    if to_go_m * climb_ms <= 0.0 or abs(climb_ms) < _CLOSING_MS:
        return False
    return abs(climb_ms) >= abs(altitude_rate_ms(to_go_m, handling.vertical_tau_s))


def is_level_at(target_ft: float, sensed: Sensed) -> bool:
    """Whether a capture is complete: within 20 ft of `target_ft` and below 100 ft/min."""
    return abs(target_ft - sensed.altitude_ft) < _LEVEL_FT and abs(sensed.climb_ms) < _LEVEL_MS
