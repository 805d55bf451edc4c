"""Speeds by rule: final approach speed, flap selection, approach categories.

Owns the additive rules and the published tables; the factors come from the type. It knows no
procedure and judges nobody. The surprising rule: the wind adds to the reference speed only as
headwind; a tailwind adds nothing.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from trainer.world.aircraft import AircraftType

LEAST_ADDITIVE_KT = 5.0
MOST_ADDITIVE_KT = 20.0


def final_speed_kt(reference_kt: float, head_kt: float = 0.0, gust_kt: float = 0.0) -> float:
    """Final approach speed (kt): reference + half the headwind + the full gust, within 5..20 kt.

    `head_kt` steady headwind (negative = tailwind, adds nothing), `gust_kt` gust above the steady
    wind. Source: common practice.
    """
    added_kt = 0.5 * max(0.0, head_kt) + max(0.0, gust_kt)
    return reference_kt + min(MOST_ADDITIVE_KT, max(LEAST_ADDITIVE_KT, added_kt))


def selection_kt(kind: AircraftType, mass_t: float, stage: int) -> float | None:
    """Planned speed (kt) for selecting flap `stage`, scaled to `mass_t`; None for no flap."""
    planned_kt = kind.flaps[stage].select_kt
    if planned_kt is None:
        return None
    return planned_kt * math.sqrt(mass_t / kind.mass_typical_t)


class CategorySpeeds(NamedTuple):
    """Speeds (kt) of one approach category for the design of procedures, not flown minima.

    `threshold_kt` is where the next category begins (infinite for E); the pairs are least and most.
    """

    threshold_kt: float
    initial_kt: tuple[float, float]
    final_kt: tuple[float, float]
    circling_kt: float
    missed_kt: float


CATEGORIES: dict[str, CategorySpeeds] = {
    "A": CategorySpeeds(91.0, (90.0, 150.0), (70.0, 100.0), 100.0, 110.0),
    "B": CategorySpeeds(121.0, (120.0, 180.0), (85.0, 130.0), 135.0, 150.0),
    "C": CategorySpeeds(141.0, (160.0, 240.0), (115.0, 160.0), 180.0, 240.0),
    "D": CategorySpeeds(166.0, (185.0, 250.0), (130.0, 185.0), 205.0, 265.0),
    "E": CategorySpeeds(math.inf, (185.0, 250.0), (155.0, 230.0), 240.0, 275.0),
}
"""Approach categories: bounds 14 CFR 97.3, speeds ICAO Doc 8168 Vol I, I-4-1-2 (rows B, D, E, and
the final missed approach speeds, from memory)."""


def approach_category(speed_kt: float) -> str:
    """The approach category, "A" to "E", of a speed at the threshold (14 CFR 97.3)."""
    for category, speeds in CATEGORIES.items():
        if speed_kt < speeds.threshold_kt:
            return category
    raise ValueError("speed is not a number")
