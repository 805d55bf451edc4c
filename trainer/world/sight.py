"""What a pilot can see of the runway on final approach.

Owns the slant geometry between an eye and the approach lights or the threshold. Refuses to
know weather reports, decisions and minimums: it answers what is in sight, nothing more.

Surprising rule: being below the cloud is not enough and being near is not enough. The distance
that counts is the slant one, so from 200 ft the lights may be in sight and the threshold not.

Where a runway visual range is measured it counts in place of the visibility, because the lights
are what is seen; with the lights off it says nothing, and the visibility counts.

Simplified on purpose: one visibility in all directions, a sharp cloud base, no part hidden by
the nose.
"""

from __future__ import annotations

import math

APPROACH_LIGHTS_M = {"full": 900.0, "basic": 420.0, "none": 0.0}
"""Length of the approach lights before the threshold, m: precision category I system and simple
system (ICAO Annex 14 Vol I, 5.3.4, as quoted)."""


def slant_m(distance_m: float, height_m: float) -> float:
    """Distance from the eye to a point on the ground, m.

    Args:
        distance_m: horizontal distance to the point, m; zero or less when it is not ahead.
        height_m: eye above the point, m (below 0 counts as 0).
    """
    return math.hypot(distance_m if distance_m > 0.0 else 0.0, height_m if height_m > 0.0 else 0.0)


def what_is_seen(
    distance_m: float,
    height_m: float,
    visibility_m: float,
    ceiling_m: float | None,
    lights: str,
    lights_on: bool,
    rvr_m: float | None = None,
) -> str:
    """What is in sight: "runway", else "lights" (approach lights), else "".

    Args:
        distance_m: aircraft to threshold along the final course, m (negative past it: then the
            runway below counts as its threshold).
        height_m: eye above the threshold, m.
        visibility_m: visibility, m (0..).
        ceiling_m: cloud base above the threshold, m; None without a base.
        lights: installed approach lights: "full" (900 m), "basic" (420 m) or "none".
        lights_on: whether they, and the lights of the runway, are lit.
        rvr_m: runway visual range of the part looked at, m; None where none is measured.

    Raises:
        KeyError: for another word than those three.

    Both need the eye at or below the cloud base, and the slant distance to the nearest element
    within the visibility or visual range; the nearest approach light is the outermost until
    overflown.
    """
    length_m = APPROACH_LIGHTS_M[lights]
    if ceiling_m is not None and height_m > ceiling_m:
        return ""
    range_m = visibility_m if rvr_m is None or not lights_on else rvr_m
    if slant_m(distance_m, height_m) <= range_m:
        return "runway"
    if lights_on and length_m > 0.0 and slant_m(distance_m - length_m, height_m) <= range_m:
        return "lights"
    return ""
