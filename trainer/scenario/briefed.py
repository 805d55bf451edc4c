"""What an approach briefing states: the numbers under each heading, and what is right.

Owns the closed list of numbers, computed from the exercise as it was drawn, and how near a number
must be. It knows no flight and no pilot. The headings are those under which crews brief an
approach (common practice). Surprising rule: what has no number (threats, who flies, what is done
without a glide path) is briefed as well, but nobody can judge it here, so it is not in the list.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from trainer.scenario.exercise import Approach, Exercise
from trainer.units import DEG

HEADINGS = ("weather", "performance", "approach", "missed approach", "fuel")
"""The headings in the order in which they are briefed."""
_PRACTICE = "common practice"
_ALAR = "FSF ALAR briefing note 1.6 (from memory); common practice"


class Slot(NamedTuple):
    """One number of the briefing: its heading, name, unit, what is right and how near it must be.

    `digits`: decimals that are shown.
    """

    heading: str
    name: str
    unit: str
    expected: float
    within: float
    why: str
    source: str = _PRACTICE
    digits: int = 0

    def is_right(self, said: str) -> bool:
        """Whether the number is near enough to the one on the sheet; False for what is none."""
        try:
            value = float(said)
        except ValueError:
            return False
        off = value - round(self.expected, self.digits)
        if self.unit == "°":
            off = (off + 180.0) % 360.0 - 180.0
        return abs(off) <= self.within + 1e-9

    @property
    def shown(self) -> str:
        """The right number as it is written on the sheet."""
        if self.unit == "°" and self.digits == 0:
            return f"{round(self.expected) % 360 or 360:03d}"
        return f"{self.expected:.{self.digits}f}"


def slots(exercise: Exercise) -> tuple[Slot, ...]:
    """The numbers that a briefing of `exercise` states, in the order of the headings."""
    return (
        *_weather(exercise),
        *_performance(exercise),
        *_approach(exercise),
        *_missed(exercise.approach),
        *_fuel(exercise),
    )


def _weather(exercise: Exercise) -> list[Slot]:
    weather = exercise.weather
    found = [
        Slot("weather", "visibility", "m", weather.visibility_m, 0.5,
             "Against the minimum it says whether the approach may be flown at all.",
             "CAT.OP.MPA.305 (commencement and continuation of approach)"),
        Slot("weather", "altimeter setting", "hPa", weather.qnh_hpa, 0.5,
             "Ten hectopascals are 270 feet; known beforehand, a wrong one is heard at once.",
             "EASA SIB 2023-03"),
    ]  # fmt: skip
    if weather.ceiling_ft is not None:
        found.append(
            Slot("weather", "ceiling", "ft", weather.ceiling_ft, 0.5,
                 "It says at which height the lights will be looked for."),
        )  # fmt: skip
    return found


def _performance(exercise: Exercise) -> list[Slot]:
    found = [
        Slot("performance", "reference speed", "kt", exercise.reference_kt, 1.0,
             "Every speed of the last two miles is counted from it.", "FSF ALAR briefing note 8.2"),
        Slot("performance", "final approach speed", "kt", exercise.final_kt, 2.0,
             "The reference speed and what the wind adds; the gate asks for it.",
             "FSF ALAR briefing note 8.2"),
    ]  # fmt: skip
    landing = exercise.aircraft.flaps[-1].name
    if landing.isdigit():
        found.append(
            Slot("performance", "landing flap", "", float(landing), 0.0,
                 "Speeds and landing distance hold for this stage only."),
        )  # fmt: skip
    return found


def _approach(exercise: Exercise) -> list[Slot]:
    approach = exercise.approach
    beam, path, fix = approach.localizer, approach.glideslope, approach.final_fix
    legs = [leg for leg in approach.legs if leg.fix.name == fix.name and leg.constraint]
    fix_ft = legs[-1].altitude_ft if legs else approach.glide_check_altitude_ft
    tuned = []
    if approach.rnp is None:
        tuned.append(
            Slot("approach", "frequency", "MHz", float(beam.frequency), 0.001,
                 "Two aids of one field differ by a digit.", "CAT.OP.MPA.115 AMC1", 2),
        )  # fmt: skip
    return [
        *tuned,
        Slot("approach", "final course", "°", beam.course_deg, 0.5,
             "Display and guidance use the course that is set.", "CAT.OP.MPA.115 AMC1"),
        Slot("approach", "final fix, distance", "NM", fix.distance_nm, 0.1,
             "The point at which the altitude is checked.", "PANS-OPS Vol II 6.4.3", 1),
        Slot("approach", "final fix, altitude", "ft", fix_ft, 10.0,
             "The check there finds a wrong setting and a false path.", "PANS-OPS Vol II 6.4.3"),
        Slot("approach", "path angle", "°", path.angle_deg, 0.05,
             "Angle and ground speed give the rate of descent to expect.", digits=2),
        Slot("approach", "minimum", "ft", approach.minimums_ft, 0.5,
             "Below it nobody goes without sight of lights or runway.",
             "FSF ALAR briefing note 7.1"),
        *_lower(approach),
    ]  # fmt: skip


def _lower(approach: Approach) -> list[Slot]:
    """The minimum of LNAV: briefed with that of the path, or it is not there when it is needed."""
    if approach.rnp is None or approach.rnp.minimums_ft is None:
        return []
    return [
        Slot("approach", "minimum with LNAV", "ft", approach.rnp.minimums_ft, 0.5,
             "A path lost before the fix leaves this one, if it was briefed.", "AIM 5-4-5"),
    ]  # fmt: skip


def _missed(approach: Approach) -> list[Slot]:
    found = []
    if approach.missed_legs and approach.missed_legs[0].arc is None:
        fix = approach.missed_legs[0].fix
        course_deg = math.atan2(fix.x_m, fix.y_m) / DEG % 360.0
        found.append(
            Slot("missed approach", "first track", "°", course_deg, 1.0,
                 "It is flown at once, with no time to look it up.", _ALAR),
        )  # fmt: skip
    found.append(
        Slot("missed approach", "altitude", "ft", approach.missed_altitude_ft, 0.5,
             "The climb must end there; it is set on the path, once GLIDE is captured.", _ALAR),
    )  # fmt: skip
    return found


def _fuel(exercise: Exercise) -> list[Slot]:
    leaving_t = exercise.start.leaving_fuel_t
    if not leaving_t:
        return []
    return [
        Slot("fuel", "leaving fuel", "t", leaving_t, 0.05,
             "With this much the field is left; decided now, it needs no courage then.",
             "ICAO Annex 6 4.3.7 (in-flight fuel management)", 1),
    ]  # fmt: skip
