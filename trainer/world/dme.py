"""Distance-measuring equipment as read at a point of the threshold plane.

Owns slant range and the zero of each station. Surprising rule: the distance is along the line of
sight, so overhead at 6 000 ft it still reads a mile; and a runway's DME often reads zero at the
threshold instead of at its antenna.
"""

from __future__ import annotations

from math import hypot
from typing import NamedTuple

from trainer.units import NM
from trainer.values import dataclass
from trainer.world.coverage import radio_horizon_m

REACH_M = 199.0 * NM
"""Slant range beyond which no reply comes back, m (FAA AIM 1-1-7)."""


class DmeReading(NamedTuple):
    """What the distance display shows: whether it has a reply, and the distance in NM."""

    is_received: bool
    distance_nm: float


@dataclass(frozen=True, slots=True)
class DmeStation:
    """One DME. It shows slant range, less its own zero.

    Attributes:
        x_m: magnetic east of the threshold, m.
        y_m: magnetic north of the threshold, m.
        height_m: antenna above the tangent plane, m.
        zero_m: slant range at which it reads zero, m (a runway's DME often reads zero at the
            threshold, not at its antenna).

    Source: FAA AIM 1-1-7: slant range, line of sight, up to 199 NM.
    """

    x_m: float
    y_m: float
    height_m: float = 0.0
    zero_m: float = 0.0

    def slant_m(self, x_m: float, y_m: float, height_m: float) -> float:
        """Slant range to a point at `height_m` above the tangent plane, m."""
        return hypot(x_m - self.x_m, y_m - self.y_m, height_m - self.height_m)

    def distance_nm(self, x_m: float, y_m: float, height_m: float) -> float:
        """The distance shown at a point, NM (never below zero)."""
        return max(self.slant_m(x_m, y_m, height_m) - self.zero_m, 0.0) / NM

    def reply_nm(self, x_m: float, y_m: float, height_m: float) -> float | None:
        """The distance shown at a point, NM; None where no reply comes back."""
        slant = hypot(x_m - self.x_m, y_m - self.y_m, height_m - self.height_m)
        if slant > 30_000.0 and (slant > REACH_M or slant > radio_horizon_m(height_m)):
            return None
        shown = slant - self.zero_m
        return shown / NM if shown > 0.0 else 0.0

    def receive(
        self, x_m: float, y_m: float, height_m: float, is_radiating: bool = True
    ) -> DmeReading:
        """The reading at a point; distance 0 while there is no reply."""
        reply_nm = self.reply_nm(x_m, y_m, height_m) if is_radiating else None
        return DmeReading(False, 0.0) if reply_nm is None else DmeReading(True, reply_nm)
