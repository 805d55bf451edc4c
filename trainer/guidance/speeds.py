"""Which speed is flown: the one asked for, or the bound that takes its place.

Owns the protection: nothing slower than the manoeuvring speed of the present flap stage, nothing
faster than the limit of anything that is out or moving. Refuses to know who flies it, thrust or
pitch. The surprising rule: a stage allowed for landing may be flown down to its reference speed,
since the final approach is flown there.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from trainer.values import dataclass
from trainer.world.aircraft import AircraftType
from trainer.world.coded_descent import Limit


class SpeedRange(NamedTuple):
    """Slowest and fastest speed (kt) that guidance flies, and what sets each of them."""

    low_kt: float
    low_why: str
    high_kt: float
    high_why: str


@dataclass(frozen=True, slots=True)
class FlownSpeed:
    """The speed flown (kt), and why it is not the one asked for ("" where it is)."""

    speed_kt: float
    why: str


def speed_range(
    kind: AircraftType, mass_t: float, flap: float, flap_lever: int, gear: float
) -> SpeedRange:
    """The range that guidance keeps to in a configuration.

    Args:
        kind: the type.
        mass_t: mass, t (sets the manoeuvring speed).
        flap: position in stages (0..n, between two while moving).
        flap_lever: stage selected.
        gear: position, 0 up to 1 down.

    Moving flaps protect for the stage further in below and for the stage further out above; gear
    in transit for the lower of its two limits.
    """
    index = min(int(flap + 1e-6), flap_lever)
    inner = kind.flaps[index]
    low_kt = kind.manoeuvre_kt(mass_t, index)
    low_why = f"manoeuvring speed of flap {inner.name}"
    if inner.reference_a is not None and kind.reference_kt(mass_t, index) < low_kt:
        low_kt = kind.reference_kt(mass_t, index)
        low_why = f"reference speed of flap {inner.name}"
    high_kt, high_why = kind.max_speed_kt, "maximum speed"
    outer = kind.flaps[max(math.ceil(flap - 1e-6), flap_lever)]
    if outer.limit_kt is not None and outer.limit_kt < high_kt:
        high_kt, high_why = outer.limit_kt, f"limit of flap {outer.name}"
    landing_gear = kind.gear
    if not landing_gear.is_fixed and gear > 0.0:
        limits = [landing_gear.extended_limit_kt]
        if gear < 1.0:
            limits += [landing_gear.extend_limit_kt, landing_gear.retract_limit_kt]
        for limit_kt in limits:
            if limit_kt is not None and limit_kt < high_kt:
                high_kt, high_why = limit_kt, "limit of the landing gear"
    return SpeedRange(low_kt, low_why, high_kt, high_why)


def flown(wanted_kt: float, allowed: SpeedRange, limit: Limit | None = None) -> FlownSpeed:
    """The speed flown where `wanted_kt` is asked for, under a coded speed limit if there is one.

    A coded limit gives way to the manoeuvring speed.
    """
    if limit is not None and limit.speed_kt < min(wanted_kt, allowed.high_kt):
        if limit.speed_kt < allowed.low_kt:
            return FlownSpeed(allowed.low_kt, allowed.low_why)
        return FlownSpeed(limit.speed_kt, f"coded speed limit of {limit.name}")
    if wanted_kt < allowed.low_kt:
        return FlownSpeed(allowed.low_kt, allowed.low_why)
    if wanted_kt > allowed.high_kt:
        return FlownSpeed(allowed.high_kt, allowed.high_why)
    return FlownSpeed(wanted_kt, "")
