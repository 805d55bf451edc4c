"""Flare and landing roll: published factors, and distances integrated apart from the program.

Those may differ by half a step (0.05 s) at the speed of touchdown: in the program brakes and
reverse have their strength from the beginning of a step.
"""

from __future__ import annotations

import functools

from tests.published.record import Bounds, Check
from tests.world.figures import MTJ, NORTH, roll_to
from tests.world.flyer import airframe, fly, reference_crew
from tests.world.types import business_jet, piston_single, turboprop
from trainer.units import FT, KT
from trainer.world.aircraft import AircraftType
from trainer.world.ground import RollCommand

RTP, BZJ, SEP = turboprop(), business_jet(), piston_single()
SECOND = "the laws of the roll integrated from the type file in steps of 0.5 ms"
FULL = RollCommand(is_braking=True, is_reverse=True)
BRAKES = RollCommand(is_braking=True)
NONE = RollCommand()
REVERSE = RollCommand(is_reverse=True)
FLYING = "FAA Airplane Flying Handbook (2021), ch. 16"


def distance_m(kind: AircraftType, cas_kt: float, command: RollCommand, is_wet: bool = False,
               tail_kt: float = 0.0) -> float:  # fmt: skip
    """Distance (m) from touchdown to 20 kt."""
    return roll_to(kind, cas_kt, command, NORTH._replace(is_wet=is_wet), tail_kt)[0]


def sloping_m(slope: float) -> float:
    """Distance (m) of the twin jet from touchdown to 20 kt, brakes and reverse, on a slope."""
    return roll_to(MTJ, 129.0, FULL, NORTH._replace(slope=slope))[0]


def feet_per_knot(is_wet: bool) -> float:
    """Stopping distance (ft) that each of ten excess knots costs, twin jet, brakes alone."""
    fast_m = distance_m(MTJ, 139.0, BRAKES, is_wet)
    return (fast_m - distance_m(MTJ, 129.0, BRAKES, is_wet)) / 10.0 / FT


def ratio(is_wet: bool = False, tail_kt: float = 0.0) -> float:
    """Distance from the threshold to 20 kt, brakes and reverse, over the same dry and calm."""
    return landing_m(is_wet, tail_kt) / landing_m(False, 0.0)


def landing_m(is_wet: bool, tail_kt: float) -> float:
    """Threshold to touchdown, flown, and the roll from there (m), twin jet."""
    start_kt, steps = reference_crew(MTJ, tail_kt)
    flown = fly(airframe(MTJ, tail_kt, 0.0), start_kt, steps, end_ft=0.0)
    return flown.touchdown_m + distance_m(MTJ, flown.rows[-1].cas_kt, FULL, is_wet, tail_kt)


def mean_ms2(level: str) -> float:
    """Deceleration (m/s²) of an autobrake level between 100 and 60 kt."""
    command = RollCommand(autobrake=level)
    _, late_s, _ = roll_to(MTJ, 129.0, command, end_kt=60.0)
    _, early_s, _ = roll_to(MTJ, 129.0, command, end_kt=100.0)
    return 40.0 * 1852.0 / 3600.0 / (late_s - early_s)


_ROLLS = (
    (MTJ, 129.0, NONE, False, 0.0, 5049.0, "no brakes, no reverse, 120 s"),
    (MTJ, 129.0, REVERSE, False, 0.0, 3737.1, "reverse only, 120 s"),
    (MTJ, 129.0, RollCommand("low", is_reverse=True), False, 0.0, 1553.9, "autobrake low"),
    (MTJ, 129.0, RollCommand("medium", is_reverse=True), False, 0.0, 1152.9, "autobrake medium"),
    (MTJ, 129.0, RollCommand("high", is_reverse=True), False, 0.0, 858.4, "autobrake high"),
    (MTJ, 129.0, RollCommand("max", is_reverse=True), False, 0.0, 654.4, "autobrake max"),
    (MTJ, 129.0, RollCommand("medium", is_reverse=True), False, 10.0, 1336.3,
     "autobrake medium, 10 kt tail"),
    (MTJ, 129.0, RollCommand("max", is_reverse=True), True, 0.0, 834.7, "autobrake max, wet"),
    (MTJ, 129.0, FULL, False, 0.0, 553.2, "full brakes"),
    (MTJ, 129.0, FULL, True, 0.0, 834.7, "full brakes, wet"),
    (RTP, 103.0, NONE, False, 0.0, 3093.9, "no brakes, no reverse"),
    (RTP, 103.0, REVERSE, False, 0.0, 1854.6, "reverse only"),
    (RTP, 103.0, FULL, False, 0.0, 401.8, "full brakes"),
    (RTP, 103.0, FULL, True, 0.0, 588.5, "full brakes, wet"),
    (BZJ, 104.0, NONE, False, 0.0, 3354.6, "no brakes, 120 s"),
    (BZJ, 104.0, FULL, False, 0.0, 420.5, "full brakes"),
    (BZJ, 104.0, FULL, True, 0.0, 683.9, "full brakes, wet"),
    (SEP, 57.0, NONE, False, 0.0, 715.3, "no brakes"),
    (SEP, 57.0, FULL, False, 0.0, 151.9, "full brakes"),
    (SEP, 57.0, FULL, True, 0.0, 217.5, "full brakes, wet"),
)  # fmt: skip

CHECKS = (
    Check("stopping distance per excess knot, dry", FLYING, "published", Bounds(20.0, 30.0), 0.0,
          "ft/kt", lambda: feet_per_knot(is_wet=False)),
    Check("stopping distance per excess knot, wet", FLYING, "published", Bounds(40.0, 50.0), 0.0,
          "ft/kt", lambda: feet_per_knot(is_wet=True)),
    Check("10 kt of tailwind: landing, ratio", "139/129 in the air, its square on the ground",
          "computed", Bounds(139.0 / 129.0, (139.0 / 129.0) ** 2), 0.0, "–",
          lambda: ratio(tail_kt=10.0)),
    Check("wet: landing, ratio", "14 CFR 121.195(d) +15 %; FAA AC 91-79 +40 %; as quoted",
          "published", Bounds(1.15, 1.4), 0.0, "–", lambda: ratio(is_wet=True)),
    *(
        Check(f"deceleration of autobrake {level}", "what the type file asks for", "computed",
              wanted_ms2, 0.02, "m/s²", functools.partial(mean_ms2, level))
        for level, wanted_ms2 in MTJ.roll.autobrake_ms2[:3]
    ),
    *(
        Check(f"{kind.name} from {cas_kt:g} kt to 20 kt: {what}", SECOND, "computed", expected,
              0.05 * cas_kt * KT, "m",
              functools.partial(distance_m, kind, cas_kt, command, wet, tail))
        for kind, cas_kt, command, wet, tail, expected, what in _ROLLS
    ),
    *(
        Check(f"twin-jet from 129 kt to 20 kt: full brakes, 2 % {way}", SECOND, "computed",
              expected, 0.05 * 129.0 * KT, "m", functools.partial(sloping_m, slope))
        for way, slope, expected in (("uphill", 0.02, 532.1), ("downhill", -0.02, 576.1))
    ),
)  # fmt: skip
