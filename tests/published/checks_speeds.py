"""Approach speeds, categories, circling, height loss and published limits."""

from __future__ import annotations

import functools
import math

from tests.published.record import Check
from trainer.world.speeds import (
    CATEGORIES,
    approach_category,
    category_speed_kt,
    circling_radius_nm,
    final_speed_kt,
    height_loss_ft,
    holding_limit_kt,
    is_speed_assignable,
    least_assigned_kt,
    light_final_speed_kt,
    reference_from_stall_kt,
    speed_limit_kt,
)

CIRCLING = "ICAO Doc 8168, circling area, as quoted"
LIMIT = "14 CFR 91.117"


def category_from_kt(category: str) -> float:
    """The lowest whole speed of a category, found by trying."""
    return float(next(kt for kt in range(300) if approach_category(kt) == category))


SPEEDS = (
    Check("reference speed of a 100 kt stall", "14 CFR 23.73 until 2017, 1.3 VS0", "published",
          130.0, 1e-9, "kt", lambda: reference_from_stall_kt(100.0, is_one_g=False)),
    Check("reference speed of a 100 kt one-g stall", "14 CFR 25.125(b)(2)", "published", 123.0,
          1e-9, "kt", lambda: reference_from_stall_kt(100.0, is_one_g=True)),
    Check("speed that decides the category", "ICAO Doc 8168 Vol I, 1.3.3", "computed", 135.3,
          1e-9, "kt", lambda: category_speed_kt(100.0, 110.0)),
    *(
        Check(f"final speed of 135 with {head} kt of headwind and {gust} of gust",
              "half the headwind and the gust, 5 to 20 kt: common practice", "rule of thumb",
              speed, 1e-9, "kt", functools.partial(final_speed_kt, 135.0, head, gust))
        for head, gust, speed in ((0, 0, 140.0), (10, 0, 140.0), (16, 8, 151.0), (20, 12, 155.0),
                                  (-10, 0, 140.0))
    ),
    Check("light aircraft, 70 kt and 10 gusting 25", "FAA Airplane Flying Handbook practice",
          "published", 77.5, 0.5, "kt", lambda: light_final_speed_kt(70.0, 15.0)),
    *(
        Check(f"category {category} begins", "14 CFR 97.3", "published", speed, 0.0, "kt",
              functools.partial(category_from_kt, category))
        for category, speed in (("B", 91.0), ("C", 121.0), ("D", 141.0), ("E", 166.0))
    ),
    Check("category of circling at 145 kt is D, number", "FAA AIM 5-4-7", "published", 3.0, 0.0,
          "–", lambda: float("ABCDE".index(approach_category(145.0)))),
    Check("category of a straight-in at 130 kt is C, number", "FAA AIM 5-4-7", "published", 2.0,
          0.0, "–", lambda: float("ABCDE".index(approach_category(130.0)))),
)  # fmt: skip
CIRCLES = (
    *(
        Check(f"circling radius of category {category}", CIRCLING, "published", radius, 0.03, "NM",
              functools.partial(circling_radius_nm, category))
        for category, radius in (("A", 1.68), ("B", 2.66), ("C", 4.20), ("D", 5.28), ("E", 6.94))
    ),
    *(
        Check(f"circling radius of category {category} worked out", "PANS-OPS Vol II 7.2.2",
              "computed", radius, 0.01, "NM", functools.partial(circling_radius_nm, category))
        for category, radius in (("A", 1.69), ("B", 2.65), ("C", 4.21), ("D", 5.27), ("E", 6.92))
    ),
    *(
        Check(f"circling speed of category {category}", "ICAO Doc 8168 Table I-4-1-2", "published",
              speed, 0.0, "kt", functools.partial(lambda name: CATEGORIES[name].circling_kt,
                                                  category))
        for category, speed in (("A", 100.0), ("B", 135.0), ("C", 180.0), ("D", 205.0),
                                ("E", 240.0))
    ),
    *(
        Check(f"height loss with a {name} altimeter at {speed} kt",
              "ICAO Doc 8168 Vol II Table III-3-6-3", "published", loss, 0.6, "ft",
              functools.partial(height_loss_ft, speed, is_radio))
        for name, is_radio, row in (("radio", True, (42, 59, 71, 85)),
                                    ("pressure", False, (130, 142, 150, 161)))
        for speed, loss in zip((90, 120, 140, 165), row, strict=True)
    ),
)  # fmt: skip
LIMITS = (
    Check("below 10,000 ft", LIMIT + "(a)", "published", 250.0, 0.0, "kt",
          lambda: speed_limit_kt(9999.0, 9000.0, 30.0, "")),
    Check("2,500 ft up, 4 NM from a class D airport", LIMIT + "(b)", "published", 200.0, 0.0, "kt",
          lambda: speed_limit_kt(3000.0, 2500.0, 4.0, "D")),
    Check("2,501 ft up, 4 NM from a class D airport", LIMIT + "(b)", "published", 250.0, 0.0, "kt",
          lambda: speed_limit_kt(3000.0, 2501.0, 4.0, "D")),
    Check("2,500 ft up, 4.1 NM from a class D airport", LIMIT + "(b)", "published", 250.0, 0.0,
          "kt", lambda: speed_limit_kt(3000.0, 2500.0, 4.1, "D")),
    Check("no limit at 10,000 ft", LIMIT + "(a)", "published", 1.0, 0.0, "0/1",
          lambda: float(math.isinf(speed_limit_kt(10000.0, 9000.0, 30.0, "")))),
    Check("under class B", LIMIT + "(c)", "published", 200.0, 0.0, "kt",
          lambda: speed_limit_kt(3000.0, 2800.0, 9.0, "under B")),
    *(
        Check(f"holding at {feet:,} ft, FAA", "FAA AIM 5-3-8", "published", speed, 0.0, "kt",
              functools.partial(holding_limit_kt, feet, "faa"))
        for feet, speed in ((6000, 200.0), (6001, 230.0), (14000, 230.0), (14001, 265.0))
    ),
    *(
        Check(f"holding at {feet:,} ft, ICAO", "ICAO Doc 8168, in AFMAN 11-217 Table 18.4",
              "published", speed, 0.0, "kt", functools.partial(holding_limit_kt, feet))
        for feet, speed in ((14000, 230.0), (20000, 240.0), (34000, 265.0))
    ),
    Check("holding at 36,000 ft, ICAO: M 0.83 as calibrated airspeed", "isentropic flow, ISA",
          "computed", 276.878, 0.01, "kt", lambda: holding_limit_kt(36000.0)),
    Check("holding at 34,000 ft in turbulence: M 0.80 as calibrated airspeed",
          "isentropic flow, ISA; less than 280 kt", "computed", 278.175, 0.01, "kt",
          lambda: holding_limit_kt(34000.0, "turbulence")),
    Check("holding low in categories A and B", "ICAO Doc 8168, in AFMAN 11-217 Table 18.4",
          "published", 170.0, 0.0, "kt", lambda: holding_limit_kt(9000.0, "icao", True)),
    Check("holding in turbulence", "ICAO Doc 8168, in AFMAN 11-217 Table 18.4", "published", 280.0,
          0.0, "kt", lambda: holding_limit_kt(9000.0, "turbulence")),
    Check("least assigned to a jet far out", "FAA AIM 4-4-12", "published", 210.0, 0.0, "kt",
          lambda: least_assigned_kt(30.0, is_jet=True)),
    Check("least assigned to a jet within 20 NM", "FAA AIM 4-4-12", "published", 170.0, 0.0, "kt",
          lambda: least_assigned_kt(20.0, is_jet=True)),
    Check("least assigned to a propeller far out", "FAA JO 7110.65, 5-7-3", "published", 200.0,
          0.0, "kt", lambda: least_assigned_kt(30.0, is_jet=False)),
    Check("least assigned to a propeller within 20 NM", "FAA AIM 4-4-12", "published", 150.0, 0.0,
          "kt", lambda: least_assigned_kt(20.0, is_jet=False)),
    Check("last place for a speed, final fix at 6.2 NM", "FAA AIM 4-4-12", "published", 5.0, 0.1,
          "NM", lambda: _last_assignable_nm(6.2)),
    Check("last place for a speed, final fix at 4.2 NM", "FAA AIM 4-4-12", "published", 4.2, 0.1,
          "NM", lambda: _last_assignable_nm(4.2)),
)  # fmt: skip


def _last_assignable_nm(final_fix_nm: float) -> float:
    places = [tenth / 10.0 for tenth in range(200)]
    return next(place for place in places if is_speed_assignable(place, final_fix_nm))


CHECKS = (*SPEEDS, *CIRCLES, *LIMITS)
