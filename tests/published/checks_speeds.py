"""Approach speeds and categories."""

from __future__ import annotations

import functools

from tests.published.record import Check
from trainer.world.speeds import CATEGORIES, approach_category, final_speed_kt


def category_from_kt(category: str) -> float:
    """The lowest whole speed of a category, found by trying."""
    return float(next(kt for kt in range(300) if approach_category(kt) == category))


SPEEDS = (
    *(
        Check(f"final speed of 135 with {head} kt of headwind and {gust} of gust",
              "half the headwind and the gust, 5 to 20 kt: common practice", "rule of thumb",
              speed, 1e-9, "kt", functools.partial(final_speed_kt, 135.0, head, gust))
        for head, gust, speed in ((0, 0, 140.0), (10, 0, 140.0), (16, 8, 151.0), (20, 12, 155.0),
                                  (-10, 0, 140.0))
    ),
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
        Check(f"circling speed of category {category}", "ICAO Doc 8168 Table I-4-1-2", "published",
              speed, 0.0, "kt", functools.partial(lambda name: CATEGORIES[name].circling_kt,
                                                  category))
        for category, speed in (("A", 100.0), ("B", 135.0), ("C", 180.0), ("D", 205.0),
                                ("E", 240.0))
    ),
)  # fmt: skip

CHECKS = (*SPEEDS, *CIRCLES)
