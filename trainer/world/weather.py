"""What is reported of the weather at a runway: visual range by part, and what stands for it.

Owns the published conversions. It knows no minimum and sees nothing (that is `sight`).
The surprising rule: a runway visual range is how far the *lights* are seen, so it is longer than
the visibility, and at night by more than by day.
"""

from __future__ import annotations

from typing import NamedTuple

RVR_MILES = (
    (1600.0, 0.25), (2400.0, 0.5), (3200.0, 0.625), (4000.0, 0.75), (4500.0, 0.875),
    (5000.0, 1.0), (6000.0, 1.25),
)  # fmt: skip
"""Runway visual range (ft) and the visibility in statute miles that stands for it (FAA AIM 5-4)."""

_FACTORS = {("high", False): 1.5, ("high", True): 2.0, ("other", False): 1.0,
            ("other", True): 1.5, ("none", False): 1.0}  # fmt: skip


class VisualRange(NamedTuple):
    """Runway visual range by part, m; None where nothing is measured."""

    touchdown_m: float | None = None
    midpoint_m: float | None = None
    stop_end_m: float | None = None

    def at(self, along_m: float, length_m: float) -> float | None:
        """The value (m) of the third of a runway of `length_m` in which `along_m` lies.

        `along_m` past the threshold (negative before it counts as touchdown). Where the third has
        none the nearest one towards the threshold counts.
        """
        third = min(2, max(0, int(3.0 * along_m / length_m)))
        for value_m in self[third::-1]:
            if value_m is not None:
                return value_m
        return None


def converted_visibility_m(visibility_m: float, lights: str, is_night: bool) -> float | None:
    """The runway visual range (m) that a reported visibility stands for, when none is reported.

    `lights` "high" (high intensity approach and runway lights), "other" or "none"; None without
    lights at night. Not for take-off, nor for minima below 800 m. Source: AMC10 CAT.OP.MPA.110.
    KeyError for another word.
    """
    if lights == "none" and is_night:
        return None
    return visibility_m * _FACTORS[lights, is_night]


def miles_for_range(rvr_ft: float) -> float:
    """Visibility in statute miles that stands for a runway visual range (ft) minimum.

    Between two values of the table the higher counts; above 6,000 ft ValueError (FAA AIM 5-4).
    """
    for listed_ft, miles in RVR_MILES:
        if rvr_ft <= listed_ft:
            return miles
    raise ValueError("no visibility stands for a visual range above 6,000 ft")
