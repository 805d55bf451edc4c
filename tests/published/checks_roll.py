"""Flare and landing roll: published factors, and a second implementation's distances."""

from __future__ import annotations

import functools

from tests.published.record import Check
from tests.world.figures import MTJ, NORTH, roll_to
from tests.world.flyer import airframe, fly, reference_crew
from tests.world.types import business_jet, piston_single, turboprop
from trainer.units import FT
from trainer.world.aircraft import AircraftType
from trainer.world.ground import RollCommand

RTP, BZJ, SEP = turboprop(), business_jet(), piston_single()
SECOND = "second implementation of the roll"
FULL = RollCommand(is_braking=True, is_reverse=True)
BRAKES = RollCommand(is_braking=True)
NONE = RollCommand()
REVERSE = RollCommand(is_reverse=True)
FLYING = "FAA Airplane Flying Handbook"


def distance_m(kind: AircraftType, cas_kt: float, command: RollCommand, is_wet: bool = False,
               tail_kt: float = 0.0) -> float:  # fmt: skip
    """Distance (m) from touchdown to 20 kt."""
    return roll_to(kind, cas_kt, command, NORTH._replace(is_wet=is_wet), tail_kt)[0]


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
    (MTJ, 129.0, NONE, False, 0.0, 5043.0, "no brakes, no reverse, 120 s"),
    (MTJ, 129.0, REVERSE, False, 0.0, 3748.0, "reverse only, 120 s"),
    (MTJ, 129.0, RollCommand("low", is_reverse=True), False, 0.0, 1548.0, "autobrake low"),
    (MTJ, 129.0, RollCommand("medium", is_reverse=True), False, 0.0, 1147.0, "autobrake medium"),
    (MTJ, 129.0, RollCommand("high", is_reverse=True), False, 0.0, 853.0, "autobrake high"),
    (MTJ, 129.0, RollCommand("max", is_reverse=True), False, 0.0, 650.0, "autobrake max"),
    (MTJ, 129.0, RollCommand("medium", is_reverse=True), False, 10.0, 1330.0,
     "autobrake medium, 10 kt tail"),
    (MTJ, 129.0, RollCommand("max", is_reverse=True), True, 0.0, 833.0, "autobrake max, wet"),
    (MTJ, 129.0, FULL, False, 0.0, 550.0, "full brakes"),
    (MTJ, 129.0, FULL, True, 0.0, 833.0, "full brakes, wet"),
    (RTP, 103.0, NONE, False, 0.0, 3101.0, "no brakes, no reverse"),
    (RTP, 103.0, REVERSE, False, 0.0, 1871.0, "reverse only"),
    (RTP, 103.0, FULL, False, 0.0, 400.0, "full brakes"),
    (RTP, 103.0, FULL, True, 0.0, 590.0, "full brakes, wet"),
    (BZJ, 104.0, NONE, False, 0.0, 3352.0, "no brakes, 120 s"),
    (BZJ, 104.0, FULL, False, 0.0, 416.0, "full brakes"),
    (BZJ, 104.0, FULL, True, 0.0, 679.0, "full brakes, wet"),
    (SEP, 57.0, NONE, False, 0.0, 716.0, "no brakes"),
    (SEP, 57.0, FULL, False, 0.0, 150.0, "full brakes"),
    (SEP, 57.0, FULL, True, 0.0, 216.0, "full brakes, wet"),
)  # fmt: skip

CHECKS = (
    Check("stopping distance per excess knot, dry", f"{FLYING}, 20 to 30 ft", "published", 25.0,
          5.0, "ft/kt", lambda: feet_per_knot(is_wet=False)),
    Check("stopping distance per excess knot, wet", f"{FLYING}, 40 to 50 ft", "published", 45.0,
          5.0, "ft/kt", lambda: feet_per_knot(is_wet=True)),
    Check("10 kt of tailwind: landing, ratio", "FAA AC 91-79, +20 %", "published", 1.2, 0.12,
          "–", lambda: ratio(tail_kt=10.0)),
    Check("wet: landing, ratio", "FAA AC 91-79, +40 %", "published", 1.4, 0.15, "–",
          lambda: ratio(is_wet=True)),
    *(
        Check(f"deceleration of autobrake {level}", "moderate autobrake range of operators, 2 to "
              "8 ft/s²", "published", 1.52, 0.92, "m/s²", functools.partial(mean_ms2, level))
        for level in ("low", "medium")
    ),
    *(
        Check(f"{kind.name} from {cas_kt:g} kt to 20 kt: {what}", SECOND, "computed", expected,
              0.015 * expected, "m",
              functools.partial(distance_m, kind, cas_kt, command, wet, tail))
        for kind, cas_kt, command, wet, tail, expected, what in _ROLLS
    ),
)  # fmt: skip
