"""Conversions between SI and the units of a flight deck: the only place where factors stand.

SI is used inside `world`; knots, feet, nautical miles, degrees and hectopascals at its edge.
Factors are exact by definition (international foot, nautical mile of 1852 m, standard gravity).
"""

from __future__ import annotations

import math

KT = 1852.0 / 3600.0
"""Metres per second in one knot."""
FT = 0.3048
"""Metres in one foot."""
NM = 1852.0
"""Metres in one nautical mile."""
FPM = FT / 60.0
"""Metres per second in one foot per minute."""
HPA_PER_INHG = 33.86389
"""Hectopascals in one inch of mercury at 0 °C (rounded conventional value)."""
G = 9.80665
"""Standard gravity, m/s²."""
DEG = math.pi / 180.0
"""Radians in one degree."""

STEP_S = 0.1
"""Length of one engine step, s; time is always `step / 10`."""
STEPS_PER_S = 10


def steps_for(duration_s: float) -> int:
    """Number of engine steps that last at least `duration_s` (0..2700 s); durations round up."""
    return math.ceil(duration_s * STEPS_PER_S - 1e-9)


def wrap_deg(angle_deg: float) -> float:
    """`angle_deg` brought into (-180, 180]."""
    return -((180.0 - angle_deg) % 360.0 - 180.0)


def bearing_deg(angle_deg: float) -> float:
    """`angle_deg` brought into [0, 360)."""
    return angle_deg % 360.0
