"""Press, fly until, see: a whole flight told as a story, on the approach to runway 14.

A story starts somewhere on the plane of the shipped airport, in any of the four types, in heading
mode and level, on the station of the approach and its course; what is different is told.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import replace

from tests.builders import book
from tests.crew.crews import exercise
from tests.world.types import business_jet, piston_single, turboprop, twin_jet
from trainer.flight.acts import Act, Fact
from trainer.flight.flight import Flight
from trainer.flight.row import Row
from trainer.scenario.exercise import Exercise, Fault, Localizer, Weather, WindLayer
from trainer.units import DEG, NM

COURSE_DEG = 140.0
ANTENNA_M = 3000.0
TYPES = {
    "twin jet": twin_jet(),
    "turboprop": turboprop(),
    "business jet": business_jet(),
    "piston single": piston_single(),
}
CLEAN_KT = {"twin jet": 210.0, "turboprop": 180.0, "business jet": 190.0, "piston single": 100.0}
"""A speed that each type flies level without flaps."""

Wind = Sequence[tuple[float, float, float]]
"""Layers: height above the field (ft), from (° magnetic), speed (kt)."""


def place(before_nm: float, right_nm: float = 0.0) -> tuple[float, float]:
    """A point before the threshold of runway 14 and right of its course."""
    course, back_m, right_m = COURSE_DEG * DEG, before_nm * NM, right_nm * NM
    return (
        -back_m * math.sin(course) + right_m * math.cos(course),
        -back_m * math.cos(course) - right_m * math.sin(course),
    )


def setting(
    kind: str,
    before_nm: float,
    right_nm: float,
    heading_deg: float,
    altitude_ft: float,
    speed_kt: float,
    flaps: int,
    wind: Wind,
    localizer: Localizer | None,
) -> Exercise:
    """The shipped airport with another type, start, wind and perhaps localizer; nothing happens."""
    base = exercise("straight-in")
    x_m, y_m = place(before_nm, right_nm)
    aircraft = TYPES[kind]
    start = replace(
        base.start, x_m=x_m, y_m=y_m, heading_deg=heading_deg, altitude_ft=altitude_ft,
        speed_kt=speed_kt, flaps=aircraft.flaps[flaps].name, mass_t=aircraft.mass_typical_t,
        gear="down" if aircraft.gear.is_fixed else "up", selected_altitude_ft=altitude_ft,
        altimeter_hpa=1013.25, next_fix="",
    )  # fmt: skip
    layers = tuple(WindLayer(*layer) for layer in wind)
    approach = base.approach if localizer is None else replace(base.approach, localizer=localizer)
    return replace(
        base, aircraft=aircraft, approach=approach, start=start, events=(),
        weather=Weather(1013.25, 15.0, None, 9999.0, layers, "dry", True),
        reference_kt=aircraft.reference_kt(start.mass_t),
    )  # fmt: skip


class Story:
    """One flight and what was shown in it."""

    def __init__(
        self,
        kind: str = "turboprop",
        *,
        before_nm: float = 14.0,
        right_nm: float = 0.0,
        heading_deg: float = COURSE_DEG,
        altitude_ft: float = 3000.0,
        speed_kt: float | None = None,
        flaps: int = 0,
        wind: Wind = (),
        frequency: str = "110.35",
        course_deg: float = COURSE_DEG,
        localizer: Localizer | None = None,
    ) -> None:
        speed = CLEAN_KT[kind] if speed_kt is None else speed_kt
        self.exercise = setting(
            kind, before_nm, right_nm, heading_deg, altitude_ft, speed, flaps, wind, localizer
        )
        self.flight = Flight(self.exercise, book())
        self.set("frequency", frequency)
        self.set("course", course_deg)
        self.set("heading", heading_deg)
        self.press("heading mode")
        self._read = len(self.flight.facts)

    # What the crew does -------------------------------------------------------------------------

    def press(self, *controls: str) -> None:
        """Press buttons, each in a step of its own."""
        for control in controls:
            self._do("press", control)

    def set(self, control: str, value: float | str) -> None:
        """Turn a selector."""
        self._do("set", control, f"{value}")

    def fails(self, signal: str, becomes: str = "flagged", seconds: float = 0.0) -> None:
        """A signal of the approach fails now."""
        fault = Fault(signal, becomes, seconds)
        self.flight.radios.fail(fault, self.flight.row.step)

    def fly(self, seconds: float) -> None:
        """Fly on."""
        self.until(lambda row: False, seconds)

    def until(self, seen: Callable[[Row], bool], seconds: float = 400.0) -> bool:
        """Fly until `seen`, at most `seconds`; whether it came to that."""
        for _ in range(round(seconds * 10.0)):
            if seen(self.row) or self.flight.is_over:
                break
            self.flight.step()
        return seen(self.row)

    def _do(self, act: str, control: str, value: str = "") -> None:
        step = self.flight.row.step
        self.flight.step([Act(step, 0, "pilot", act, control, value)])

    # What is seen -------------------------------------------------------------------------------

    @property
    def row(self) -> Row:
        """The newest row."""
        return self.flight.row

    @property
    def elevation_deg(self) -> float:
        """Elevation at which the approach's glide antenna sees the aircraft, °."""
        slope = self.exercise.approach.glideslope
        run_nm = self.row.along_nm + slope.crossing_ft / 6076.12 / math.tan(slope.angle_deg * DEG)
        return math.atan2(self.row.radio_ft / 6076.12, run_nm) / DEG

    def history(self) -> list[str]:
        """The annunciator since the last look: "COLUMN WORD", in order; refusals as "no: WHY"."""
        facts = self.flight.facts[self._read :]
        self._read = len(self.flight.facts)
        return [_told(fact) for fact in facts if fact.kind in ("mode", "refused")]

    @property
    def own_localizer(self) -> Localizer:
        """The localizer of the approach."""
        return self.exercise.approach.localizer

    def reasons(self) -> list[str]:
        """Why, of each change so far."""
        return [fact.reason for fact in self.flight.facts if fact.kind == "mode"]


def _told(fact: Fact) -> str:
    if fact.kind == "refused":
        return f"no: {fact.reason}"
    return f"{fact.name} {fact.detail or '-'}"
