"""Planned speeds: final approach speed and flap selection speeds for the day.

Owns the additive rules; the factors come from the type. It knows no limits and no procedure.
The surprising rule: the wind adds to the reference speed only as headwind; a tailwind adds nothing.
"""

from __future__ import annotations

import math

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
