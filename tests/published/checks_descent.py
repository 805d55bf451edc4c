"""Descent geometry: gradients, rates, heights, distances, times and the rules of the trade."""

from __future__ import annotations

import functools

from tests.published.record import Check
from trainer.units import FT, NM
from trainer.world.tables import (
    descent_distance_nm,
    descent_rate_fpm,
    feet_per_mile,
    ground_speed_for_kt,
    path_altitude,
    path_distance_nm,
    rule_descent_rate_fpm,
    rule_visual_descent_point_nm,
    rule_visual_descent_time_s,
    seconds_to_fly,
    visual_descent_point_nm,
)

SHEET = "rate of descent table for non-precision approaches (training sheet, to 0.3 %)"
GEOMETRY = "tangent of the angle"

# Angle: ft/NM and ft/min at 120, 140, 160, 180 kt.
RATES = {
    2.7: (287, 574, 670, 765, 861), 2.8: (297, 594, 693, 792, 891), 2.9: (308, 616, 719, 821, 924),
    3.0: (318, 636, 743, 848, 954), 3.1: (329, 658, 768, 877, 987), 3.2: (340, 680, 793, 907, 1020),
    3.3: (350, 700, 817, 933, 1050), 3.4: (361, 722, 842, 963, 1083),
    3.5: (371, 742, 866, 989, 1113), 3.6: (382, 762, 891, 1019, 1146),
    3.7: (393, 786, 917, 1048, 1179),
}  # fmt: skip
EXACT = {
    2.5: (265, 398, 531, 663, 796), 3.0: (318, 478, 637, 796, 955),
    3.5: (372, 557, 743, 929, 1115), 4.0: (425, 637, 850, 1062, 1275),
}  # fmt: skip


def height_ft(distance_nm: float) -> float:
    return path_altitude(distance_nm, 3.0, 50.0, 0.0).flat_ft


def rise_ft(distance_nm: float) -> float:
    flat_ft, curved_ft = path_altitude(distance_nm, 3.0, 50.0, 0.0)
    return curved_ft - flat_ft


GRADIENTS = (
    *(
        Check(f"gradient of {angle}°", GEOMETRY, "computed", gradient, 0.1, "ft/NM",
              functools.partial(feet_per_mile, angle))
        for angle, gradient in ((2.5, 265.3), (2.75, 291.9), (3.0, 318.4), (3.25, 345.0),
                                (3.5, 371.6), (4.0, 424.9))
    ),
)  # fmt: skip
SHEETS = (
    *(
        Check(f"{angle}° in feet a mile", SHEET, "published", row[0], 0.7, "ft/NM",
              functools.partial(feet_per_mile, angle))
        for angle, row in RATES.items()
    ),
    *(
        Check(f"{angle}° at {speed} kt", SHEET, "published", rate, 0.003 * rate + 0.5, "ft/min",
              functools.partial(descent_rate_fpm, speed, angle))
        for angle, row in RATES.items()
        for speed, rate in zip((120, 140, 160, 180), row[1:], strict=True)
    ),
    *(
        Check(f"3.0° at {speed} kt", SHEET, "published", rate, 0.003 * rate + 0.5, "ft/min",
              functools.partial(descent_rate_fpm, speed, 3.0))
        for speed, rate in ((130, 689), (150, 795), (170, 901))
    ),
    *(
        Check(f"{angle}° at {speed} kt exactly", GEOMETRY, "computed", rate, 1.0, "ft/min",
              functools.partial(descent_rate_fpm, speed, angle))
        for angle, row in EXACT.items()
        for speed, rate in zip((60, 90, 120, 150, 180), row, strict=True)
    ),
    *(
        Check(f"profile from 1,970 ft, {miles} NM further", SHEET, "published", altitude, 3.0, "ft",
              functools.partial(lambda miles: 1970.0 - miles * feet_per_mile(3.0), miles))
        for miles, altitude in ((1, 1652), (2, 1334), (3, 1016), (4, 698))
    ),
)  # fmt: skip
HEIGHTS = (
    *(
        Check(f"height of 3° at {miles} NM, crossing 50 ft, flat", "geometry", "computed", height,
              1.0, "ft", functools.partial(height_ft, miles))
        for miles, height in ((1, 368), (2, 687), (3, 1005), (4, 1324), (5, 1642), (6, 1961),
                              (8, 2597), (10, 3234))
    ),
    *(
        Check(f"rise above the round earth at {miles} NM", "d²/2R", "computed", rise, 0.001, "ft",
              functools.partial(rise_ft, miles))
        for miles, rise in ((1, 0.883), (2, 3.533), (5, 22.078), (10, 88.314))
    ),
    *(
        Check(f"path of 3° meets {height:,} ft", "geometry, crossing 50 ft", "computed", miles,
              0.01, "NM", functools.partial(path_distance_nm, height, 3.0, 50.0))
        for height, miles in ((1400, 4.24), (2000, 6.12), (3000, 9.26))
    ),
    Check("path of 3° meets 200 ft", "geometry, crossing 50 ft", "computed", 2862.0, 2.0, "ft",
          lambda: path_distance_nm(200.0, 3.0, 50.0) * NM / FT),
    Check("path of 3° meets 100 ft", "geometry, crossing 50 ft", "computed", 954.0, 2.0, "ft",
          lambda: path_distance_nm(100.0, 3.0, 50.0) * NM / FT),
    Check("glide path 1,400 ft up, about the outer marker", "FAA AIM 1-1-9", "published", 4.2,
          0.1, "NM", lambda: path_distance_nm(1400.0, 3.0, 50.0)),
)  # fmt: skip
RULES = (
    Check("rate by half the ground speed times ten", "FAA Airplane Flying Handbook", "published",
          650.0, 0.0, "ft/min", lambda: rule_descent_rate_fpm(130.0)),
    Check("what 3° really needs at 130 kt", "FAA Airplane Flying Handbook rule, 6 % low",
          "rule of thumb", 650.0, 41.0, "ft/min", lambda: descent_rate_fpm(130.0, 3.0)),
    Check("a degree is a hundred feet a mile (3°)", "rule of sixty", "rule of thumb", 300.0, 19.0,
          "ft/NM", lambda: feet_per_mile(3.0)),
    Check("miles in which 3.000° loses a thousand feet", "geometry", "computed", 3.1404, 0.001,
          "NM", lambda: path_distance_nm(1000.0, 3.0, 0.0)),
    Check("three miles a thousand feet from 10,000", "common practice", "rule of thumb", 30.0,
          1.5, "NM", lambda: path_distance_nm(10000.0, 3.0, 0.0)),
    Check("ground speed for 1,000 ft/min at 3.0°", "geometry", "computed", 188.4, 0.05, "kt",
          lambda: ground_speed_for_kt(1000.0, 3.0)),
    Check("ground speed for 1,000 ft/min at 3.5°", "geometry", "computed", 161.5, 0.05, "kt",
          lambda: ground_speed_for_kt(1000.0, 3.5)),
    Check("visual descent point of 600 ft by the rule", "height over 300", "rule of thumb",
          2.0, 0.0, "NM", lambda: rule_visual_descent_point_nm(600.0)),
    Check("visual descent point of 362 ft by the rule", "airline training extract", "published",
          1.2, 0.01, "NM", lambda: rule_visual_descent_point_nm(362.0)),
    Check("visual descent point of 600 ft exactly", "geometry, crossing 50 ft", "computed", 1.73,
          0.005, "NM", lambda: visual_descent_point_nm(600.0, 3.0, 50.0)),
    Check("visual descent time of 360 ft in 2:36", "airline training extract", "published", 120.0,
          0.0, "s", lambda: rule_visual_descent_time_s(156.0, 360.0)),
    *(
        Check(f"5 NM at {speed} kt", "timing table of a chart", "computed", seconds, 1e-9, "s",
              functools.partial(seconds_to_fly, 5.0, speed))
        for speed, seconds in ((90, 200.0), (120, 150.0), (150, 120.0))
    ),
    *(
        Check(f"time from {height:,} ft to the ground on 3° at 140 kt", "geometry", "computed",
              seconds, 0.01, "s",
              functools.partial(lambda height: seconds_to_fly(
                  path_distance_nm(height, 3.0, 0.0), 140.0), height))
        for height, seconds in ((1000, 80.75), (500, 40.38), (200, 16.15))
    ),
    Check("6,000 ft at 1,500 ft/min and 300 kt", "arithmetic: four minutes", "computed", 20.0, 1e-9,
          "NM", lambda: descent_distance_nm(6000.0, 1500.0, 300.0)),
)  # fmt: skip

CHECKS = (*GRADIENTS, *SHEETS, *HEIGHTS, *RULES)
