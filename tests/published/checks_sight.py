"""Visual range, visibility, lights and runway surface."""

from __future__ import annotations

import functools

from tests.published.record import Check
from trainer.units import DEG, FT
from trainer.world.sight import APPROACH_LIGHTS_M, sight_height_m, slant_m
from trainer.world.tables import path_distance_nm
from trainer.world.weather import (
    BRAKING,
    DAY_LUX,
    NIGHT_LUX,
    condition_code,
    converted_visibility_m,
    light_range_m,
    miles_for_range,
)

CMV = "AMC10 CAT.OP.MPA.110, table of conversion"
LIGHTS = "ICAO Annex 14 Vol I, 5.3.4, as quoted"
MATRIX = "runway condition assessment matrix, FAA AC 150/5200-30D"


def factor(lights: str, is_night: bool) -> float:
    found_m = converted_visibility_m(1000.0, lights, is_night)
    assert found_m is not None
    return found_m / 1000.0


CHECKS = (
    *(
        Check(f"visibility for a visual range of {feet:,} ft", "FAA AIM TBL 5-4-1", "published",
              miles, 0.0, "mi", functools.partial(miles_for_range, feet))
        for feet, miles in ((1600, 0.25), (2400, 0.5), (3200, 0.625), (4000, 0.75), (4500, 0.875),
                            (5000, 1.0), (6000, 1.25))
    ),
    *(
        Check(f"factor with {lights} lights by {'night' if is_night else 'day'}", CMV, "published",
              value, 0.0, "–", functools.partial(factor, lights, is_night))
        for lights, is_night, value in (("high", False, 1.5), ("high", True, 2.0),
                                        ("other", False, 1.0), ("other", True, 1.5),
                                        ("none", False, 1.0))
    ),
    Check("visibility not convertible without lights at night", CMV, "published", 1.0, 0.0, "–",
          lambda: float(converted_visibility_m(1000.0, "none", True) is None)),
    *(
        Check(f"10 000 cd seen through {visibility} m by {name}",
              "Allard's law, E = I·0.05^(R/V)/R², solved by bisection", "computed", range_m, 0.01,
              "m", functools.partial(light_range_m, visibility, 10_000.0, lux))
        for visibility, name, lux, range_m in (
            (200, "day", DAY_LUX, 422.491), (200, "night", NIGHT_LUX, 681.078),
            (800, "day", DAY_LUX, 1153.518), (800, "night", NIGHT_LUX, 2118.285))
    ),
    Check("lights at 800 m by day against the factor", CMV, "rule of thumb", 1.5, 0.1, "–",
          lambda: light_range_m(800.0, 10_000.0, DAY_LUX) / 800.0),
    Check("full approach lights", LIGHTS, "published", 900.0, 0.0, "m",
          lambda: APPROACH_LIGHTS_M["full"]),
    Check("simple approach lights", LIGHTS, "published", 420.0, 0.0, "m",
          lambda: APPROACH_LIGHTS_M["basic"]),
    Check("slant from 200 ft on 3° to the threshold", "√(872.39² + 60.96²)", "computed", 874.52,
          0.01, "m",
          lambda: slant_m(path_distance_nm(200.0, 3.0, 50.0) * 1852.0, 200 * FT)),
    Check("height at which 800 m shows the threshold, no lights", "slant triangle", "computed",
          57.06, 0.02, "m",
          lambda: sight_height_m(800.0, 3.0 * DEG, 50.0 * FT, None, "none")),
    *(
        Check(f"condition code of {surface} {depth * 1000:.0f} mm at {celsius} °C", MATRIX,
              "from memory", code, 0.0, "–",
              functools.partial(lambda *given: float(condition_code(*given)), surface, depth,
                                celsius))
        for surface, depth, celsius, code in (
            ("dry", 0.0, 10, 6.0), ("frost", 0.0, -2, 5.0), ("wet", 0.002, 10, 5.0),
            ("compacted snow", 0.0, -15, 4.0), ("compacted snow", 0.0, -14, 3.0),
            ("dry snow", 0.02, -5, 3.0), ("wet snow", 0.003, 0, 5.0), ("slush", 0.01, 1, 2.0),
            ("standing water", 0.01, 5, 2.0), ("ice", 0.0, -5, 1.0), ("wet ice", 0.0, 0, 0.0))
    ),
    Check("code of good braking", MATRIX, "from memory", 5.0, 0.0, "–",
          lambda: float(next(code for code, word in BRAKING.items() if word == "good"))),
    Check("code between good and medium", "FAA AIM 4-3-9", "published", 4.0, 0.0, "–",
          lambda: float(next(code for code, word in BRAKING.items() if word == "good to medium"))),
    Check("code of no braking", "FAA AIM 4-3-9", "published", 0.0, 0.0, "–",
          lambda: float(next(code for code, word in BRAKING.items() if word == "nil"))),
)  # fmt: skip
