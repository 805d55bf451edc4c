"""The volume in which a place guarantees its signals, and how far radio reaches at all.

Owns coverage profiles and the radio horizon. Refuses to know what is received: signals are
used well beyond their coverage (see `localizer`). The surprising rule: coverage is a choice of the
state, so the same localizer may be guaranteed to 25 NM in one country and to 18 in the next.
"""

from __future__ import annotations

import math

from trainer.units import DEG, FT, NM
from trainer.values import dataclass

_HORIZON_ANTENNA = math.sqrt(15.0)


def radio_horizon_m(height_m: float) -> float:
    """Radio line of sight (m) to an aircraft at `height_m`, antenna 15 ft above ground.

    1.23·(√h1 + √h2) NM with heights in ft (standard refraction; common practice).
    """
    above_m = height_m if height_m > 0.0 else 0.0
    return 1.23 * (_HORIZON_ANTENNA + math.sqrt(above_m / FT)) * NM


@dataclass(frozen=True, slots=True)
class Coverage:
    """The volume in which a place guarantees its signals: a profile chosen by its state.

    Attributes:
        localizer_near_m: range of the localizer within ±35° of the course, m.
        localizer_far_m: range within ±10°, m.
        localizer_floor_m: lowest height at the far range, m above threshold; below it the
            floor is a straight line to the antenna (this project's reading; 0 = no floor).
        localizer_ceiling_m: highest height above the antenna, m (infinite = none).
        localizer_top_rad: highest elevation angle seen from the antenna, rad.
        glide_range_m: range of the glide path, m.
        glide_sector_rad: half sector of the glide path about the course, rad.
        glide_low: lowest elevation in parts of the path angle (0.45, or 0.30 where provided).
        glide_high: highest elevation in parts of the path angle.
    """

    localizer_near_m: float
    localizer_far_m: float
    localizer_floor_m: float
    localizer_ceiling_m: float
    localizer_top_rad: float
    glide_range_m: float
    glide_sector_rad: float
    glide_low: float
    glide_high: float


def coverage_for(profile: str, terrain_m: float = 0.0, glide_low: float = 0.45) -> Coverage:
    """The coverage that a state's profile guarantees.

    Args:
        profile: "icao" (25/17 NM), "reduced" (18/10 NM) or "us" (18/10 NM, 4 500 ft).
        terrain_m: highest terrain of the intermediate and final areas, m above threshold.
        glide_low: lower edge of the glide path in parts of its angle, 0.30..0.45.

    Raises:
        ValueError: for a profile that does not exist.

    Source: ICAO Annex 10 Vol I, 3.1.3.3 and 3.1.5.3 and attachment C, figures C-7 to C-10;
    FAA AIM 1-1-9 b.5. The 7° upper limit is from memory.
    """
    floor_m = max(2000.0 * FT, terrain_m + 1000.0 * FT)
    near_nm, far_nm, ceiling_m = 10.0, 18.0, math.inf
    if profile == "icao":
        near_nm, far_nm = 17.0, 25.0
    elif profile == "us":
        floor_m, ceiling_m = terrain_m + 1000.0 * FT, 4500.0 * FT
    elif profile != "reduced":
        raise ValueError(f"no coverage profile {profile}")
    return Coverage(
        localizer_near_m=near_nm * NM,
        localizer_far_m=far_nm * NM,
        localizer_floor_m=floor_m,
        localizer_ceiling_m=ceiling_m,
        localizer_top_rad=7.0 * DEG,
        glide_range_m=10.0 * NM,
        glide_sector_rad=8.0 * DEG,
        glide_low=glide_low,
        glide_high=1.75,
    )
