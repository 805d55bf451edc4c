"""Following a radial: what a VOR frequency is, when a course is taken, and the cone overhead.

Owns the questions that mode VOR asks. Refuses to know stations: it has a needle, a distance along
the course and a flag. The surprising rule: overhead the needle means nothing, so there the course
is held as a track, and a flag there is no lost signal.
"""

from __future__ import annotations

import math

from trainer.guidance.capture import NEAR_DOTS, NEEDLE_MOVES_DOTS, is_line_captured
from trainer.guidance.modes import RECEIVED, Sensed
from trainer.units import DEG
from trainer.world.aircraft import Handling
from trainer.world.vor import CONE_RAD

_CONE_TANGENT = math.tan(CONE_RAD)
_CONE_MARGIN_M = 600.0
"""Beyond the cone by what is flown until a receiver believes the signal again, m."""
_LOCALIZER_BAND_MHZ = (108.0, 112.0)


def is_vor_frequency(frequency: str) -> bool:
    """Whether `frequency` (MHz as shown, "" while untuned) belongs to a VOR.

    Between 108 and 112 MHz odd tenths are localizers and even tenths VORs; above, all are VORs
    (ICAO Annex 10 Vol I, 3.1.6.1 and Vol V, from memory).
    """
    if not frequency:
        return False
    low, high = _LOCALIZER_BAND_MHZ
    megahertz = float(frequency)
    if not low <= megahertz < high:
        return megahertz >= high
    return int(megahertz * 10.0 + 1e-6) % 2 == 0


def is_overhead(sensed: Sensed) -> bool:
    """Whether a flag is no wonder: the aircraft is in the cone above the station, or just out."""
    ground_m = math.hypot(sensed.vor_offset_m, sensed.vor_distance_m)
    return ground_m <= sensed.height_m * _CONE_TANGENT + _CONE_MARGIN_M


def is_vor_received(sensed: Sensed) -> bool:
    """Whether the needle of a VOR may be followed now."""
    return sensed.vor_state in RECEIVED


def is_vor_captured(sensed: Sensed, course_deg: float, handling: Handling) -> bool:
    """Whether an armed VOR takes the selected course now; the lead is that of a localizer."""
    if not is_vor_received(sensed) or abs(sensed.vor_dots) >= NEEDLE_MOVES_DOTS:
        return False
    return is_line_captured(
        sensed.vor_offset_m,
        sensed.track_rad - course_deg * DEG,
        sensed.ground_speed_ms,
        handling,
        is_near=abs(sensed.vor_dots) <= NEAR_DOTS,
    )
