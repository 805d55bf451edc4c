"""Visual range, visibility, lights and runway surface."""

from __future__ import annotations

import functools

from tests.published.record import Check
from trainer.units import FT
from trainer.world.sight import APPROACH_LIGHTS_M, slant_m
from trainer.world.tables import path_distance_nm
from trainer.world.weather import converted_visibility_m, miles_for_range

CMV = "AMC10 CAT.OP.MPA.110, table of conversion"
LIGHTS = "ICAO Annex 14 Vol I, 5.3.4, as quoted"


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
    Check("full approach lights", LIGHTS, "published", 900.0, 0.0, "m",
          lambda: APPROACH_LIGHTS_M["full"]),
    Check("simple approach lights", LIGHTS, "published", 420.0, 0.0, "m",
          lambda: APPROACH_LIGHTS_M["basic"]),
    Check("slant from 200 ft on 3° to the threshold", "√(872.39² + 60.96²)", "computed", 874.52,
          0.01, "m",
          lambda: slant_m(path_distance_nm(200.0, 3.0, 50.0) * 1852.0, 200 * FT)),
)  # fmt: skip
