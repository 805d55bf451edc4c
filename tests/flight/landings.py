"""Automatic landings of a capable type in any wind, for tests and the printed distribution.

The whole flight engine flies; only the crew is left out: both autopilots are engaged on the path,
5 NM out, configured, at the final approach speed of that wind.
"""

from __future__ import annotations

import math
import random
from dataclasses import replace
from typing import Any, NamedTuple

from trainer.flight.acts import Act
from trainer.flight.flight import Flight
from trainer.scenario import compose, library, nodes
from trainer.scenario.book import book_of
from trainer.scenario.exercise import Exercise
from trainer.units import DEG, NM

COURSE_DEG = 140.0
START_NM = 5.0
START_LEFT_M = 150.0
HEAD_KT, CROSS_KT, TAIL_KT = 24.0, 14.0, 9.0
"""Wind limits of an automatic landing of the invented types, kt."""


class Wind(NamedTuple):
    """A steady surface wind along and across the runway (from the right positive).

    `gusts_kt`: the wind at 20 ft that sets the turbulence, 0 for none.
    """

    head_kt: float
    cross_kt: float
    gusts_kt: float


class Landing(NamedTuple):
    """One landing: where and how it touched, and how far from the centre line it rolled."""

    wind: Wind
    touchdown_m: float
    offset_m: float
    sink_fps: float
    worst_roll_m: float
    reason: str
    flight: Flight


def drawn(seed: int) -> Wind:
    """A wind within the limits, the first ones at the corners."""
    corners = [
        (0.0, 0.0), (HEAD_KT, 0.0), (-TAIL_KT, 0.0), (HEAD_KT, CROSS_KT), (HEAD_KT, -CROSS_KT),
        (-TAIL_KT, CROSS_KT), (-TAIL_KT, -CROSS_KT), (0.0, CROSS_KT),
    ]  # fmt: skip
    die = random.Random(seed)
    head, cross = die.uniform(-TAIL_KT, HEAD_KT), die.uniform(-CROSS_KT, CROSS_KT)
    if seed < len(corners):
        head, cross = corners[seed]
    # The turbulence is that of the wind itself (MIL-F-8785C sets it by the wind at 20 ft); every
    # fifth landing is made in steady air.
    return Wind(head, cross, math.hypot(head, cross) if seed % 5 else 0.0)


def exercise(aircraft: str, wind: Wind, seed: int, **keys: Any) -> Exercise:
    """The exercise of one landing; the wind doubles by 2,000 ft, as it does over the sea."""
    speed = math.hypot(wind.head_kt, wind.cross_kt)
    from_deg = (COURSE_DEG + math.degrees(math.atan2(wind.cross_kt, wind.head_kt))) % 360.0
    layers = [(0, speed), (200, speed * 1.25), (2000, speed * 1.7)]
    plain = {
        "format": 1, "title": "Landing", "lesson": "None.", "airport": "qxma",
        "approach": "ILS 14", "aircraft": aircraft, "flow": "jet-ils",
        "start": {"before": "KEVUX", "altitude": "1450 ft", "speed": "150 kt",
                  "flaps": "landing", "gear": "down"},
        "weather": {"wind": [{"height": f"{height} ft", "from": f"{from_deg:.0f} deg",
                              "speed": f"{kt:.1f} kt"} for height, kt in layers]},
        **keys,
    }  # fmt: skip
    node = nodes.from_plain(plain, nodes.Source("landing"))
    made = compose.compose(node, "landing", library.default_library())
    before_m, course = START_NM * NM, COURSE_DEG * DEG
    # A little left of the course, on a heading that meets the wind and closes by 5 degrees.
    x_m = -before_m * math.sin(course) - START_LEFT_M * math.cos(course)
    y_m = -before_m * math.cos(course) + START_LEFT_M * math.sin(course)
    drift_deg = math.degrees(math.asin(1.6 * wind.cross_kt / made.final_kt))
    heading_deg = round(COURSE_DEG + drift_deg + 5.0)
    start = replace(made.start, x_m=x_m, y_m=y_m, speed_kt=made.final_kt, heading_deg=heading_deg)
    weather = replace(made.weather, turbulence_kt=wind.gusts_kt)
    return replace(made, seed=seed, start=start, weather=weather)


def act(flight: Flight, kind: str, control: str, value: str = "") -> Act:
    return Act(flight.row.step, len(flight.acts) + 1, "crew", kind, control, value)


def on_path(made: Exercise) -> Flight:
    """The flight with both autopilots on the path, ready to land."""
    flight = Flight(made, book_of(made))
    flight.step([
        act(flight, "set", "frequency", made.approach.localizer.frequency),
        act(flight, "set", "course", f"{made.approach.localizer.course_deg:.0f}"),
        act(flight, "press", "heading mode"),
        act(flight, "set", "heading", f"{made.start.heading_deg:.0f}"),
        act(flight, "set", "speed", f"{made.final_kt:.0f}"),
        act(flight, "move", "spoilers", "armed"),
        act(flight, "move", "autobrake", "medium"),
    ])  # fmt: skip
    flight.step([act(flight, "press", "approach mode")])
    flight.step([act(flight, "press", "second autopilot")])
    return flight


def land(aircraft: str, seed: int) -> Landing:
    """Fly the landing of `seed` to the stop."""
    wind = drawn(seed)
    flight = on_path(exercise(aircraft, wind, seed))
    worst = 0.0
    touched = None
    while not flight.is_over and flight.row.step < 4000:
        row, facts = flight.step()
        touched = next((fact for fact in facts if fact.kind == "touchdown"), touched)
        if row.is_on_ground:
            worst = max(worst, abs(row.cross_m))
    if touched is None:
        return Landing(wind, math.nan, math.nan, math.nan, math.nan, flight.reason, flight)
    row = flight.rows[touched.step + 1]
    return Landing(
        wind, float(touched.name), row.cross_m, float(touched.detail), worst, flight.reason, flight
    )
