"""A straight approach flown by a simple crew, for checks of the world without the flight engine.

The crew acts at places (distance, glide deviation, capture, indicated altitude), holds its speed by
autothrust or by hand, follows the path with the ordinary path law and flares. Flying north.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from tests.world.types import business_jet, piston_single, turboprop, twin_jet
from trainer.units import DEG, FT, KT, NM
from trainer.world.air import Air, tas_from_cas
from trainer.world.aircraft import AircraftType
from trainer.world.hand import Hand, Seen
from trainer.world.ladders import Rung, energy_limit_rules, last_chance_rules, latest
from trainer.world.margin import Path
from trainer.world.motion import Airframe, State, flare_climb_ms
from trainer.world.wind import Wind

FLAT = Path(3.0 * DEG, 50.0 * FT, 0.0, 1000.0, 1013.25, is_curved=False)


class Now(NamedTuple):
    """What a trigger may look at."""

    time_s: float
    distance_nm: float
    altitude_ft: float
    glide_dots: float
    is_captured: bool


@dataclass(frozen=True)
class Step:
    """One act of the crew: select flap stage, gear or a speed (kt) when `when` becomes true."""

    name: str
    when: Callable[[Now], bool]
    flap: int | None = None
    gear: bool = False
    speed_kt: float | None = None


class Row(NamedTuple):
    """One step of the flight."""

    now: Now
    state: State
    cas_kt: float
    lever: float
    holding: float


@dataclass
class Flown:
    """A flight: its rows, where acts were made (name → row), touchdown m beyond the threshold."""

    frame: Airframe
    rows: list[Row]
    acts: dict[str, Row]
    touchdown_m: float = math.nan
    touchdown_s: float = math.nan
    movements: int = 0

    def at_altitude(self, feet: float) -> Row:
        """The first row at or below `feet` indicated."""
        return next(row for row in self.rows if row.now.altitude_ft <= feet)


def glide_dots(state: State, path: Path) -> float:
    """Glide deviation in dots, + above: the null-reference pattern, 0.0875 DDM at 0.12 θ."""
    behind_m = path.crossing_m / math.tan(path.angle_rad)
    elevation = math.atan2(state.height_m, behind_m - state.y_m)
    beam = 0.0875 / math.sin(0.06 * math.pi)
    phase = 0.5 * math.pi * math.sin(elevation) / math.sin(path.angle_rad)
    return -2.0 * beam * math.cos(phase) / 0.175


def below_nm(distance_nm: float) -> Callable[[Now], bool]:
    """Nearer than `distance_nm`."""
    return lambda now: now.distance_nm <= distance_nm


def below_ft(altitude_ft: float) -> Callable[[Now], bool]:
    """Below `altitude_ft` indicated."""
    return lambda now: now.altitude_ft <= altitude_ft


def one_dot(now: Now) -> bool:
    """Not more than one dot below the glide path."""
    return now.glide_dots >= -1.0


def captured(now: Now) -> bool:
    """On the path."""
    return now.is_captured


def airframe(kind: AircraftType, tail_kt: float, delta_isa_k: float) -> Airframe:
    """`kind` at typical mass flying north with `tail_kt` at every height."""
    wind = Wind([(0.0, 0.0, tail_kt * KT)])
    return Airframe(kind, kind.mass_typical_t, Air(delta_isa_k, 1013.25), wind)


def reference_crew(kind: AircraftType, tail_kt: float) -> tuple[float, tuple[Step, ...]]:
    """Start speed (kt) and acts of a good crew of each type."""
    target_kt = kind.reference_kt(kind.mass_typical_t) + 5.0
    if kind.name == "turboprop":
        return 200.0, (
            Step("power back", below_nm(14.2), speed_kt=165.0),
            Step("flap 10", below_nm(11.8), flap=1, speed_kt=150.0),
            Step("gear", one_dot, gear=True),
            Step("flap 20", captured, flap=2, speed_kt=133.0),
            Step("flap 32", below_ft(2000.0), flap=3, speed_kt=target_kt),
        )
    if kind.name == "business-jet":
        return 210.0, (
            Step("power back", below_nm(13.5), speed_kt=180.0),
            Step("flap 12", below_nm(12.2), flap=1, speed_kt=170.0),
            Step("gear", one_dot, gear=True, speed_kt=155.0),
            Step("flap 33", below_ft(2000.0), flap=2, speed_kt=target_kt),
        )
    if kind.name == "piston-single":
        return 100.0, (Step("flap 12", one_dot, flap=1, speed_kt=90.0),)
    is_tail = tail_kt > 10.0
    return 210.0, (
        Step("flap 4", below_nm(15.0), flap=1, speed_kt=190.0),
        Step("flap 12", below_nm(12.2), flap=2, speed_kt=175.0),
        Step("gear", one_dot, gear=True),
        Step("flap 22", captured if is_tail else below_ft(2600.0), flap=3, speed_kt=155.0),
        Step("flap 36", below_ft(2200.0 if is_tail else 1950.0), flap=4, speed_kt=target_kt),
    )


def fly(
    frame: Airframe,
    start_kt: float,
    steps: Sequence[Step],
    start_nm: float = 16.0,
    level_ft: float = 3000.0,
    end_ft: float = 200.0,
    path: Path = FLAT,
) -> Flown:
    """Fly the approach to `end_ft` above the threshold, or to touchdown if that is not above 0."""
    kind, performance, step_s = frame.kind, frame.performance, frame.step_s
    level_m = frame.air.height_at_indicated_m(level_ft, path.setting_hpa)
    air = frame.air.state(level_m)
    tas_ms = tas_from_cas(start_kt * KT, air)
    gear = 1.0 if kind.gear.is_fixed else 0.0
    drag_n = performance.drag_n(air, tas_ms, 1.0, 0.0, gear, 0.0)
    power = performance.holding_power(air, tas_ms, 0.0, drag_n)
    state = State(0.0, -start_nm * NM, level_m, tas_ms, 0.0, 0.0, 0.0, power, 0.0, gear, 0.0, 0.0)
    hand = None if kind.hand is None or kind.autothrust is not None else Hand(kind.hand, power)
    flown = Flown(frame, [], {})
    waiting = list(steps)
    lever, gear_lever, selected_kt = 0, gear, start_kt
    slope, is_captured, count = math.tan(path.angle_rad), False, 0
    before = state
    while state.height_m > max(end_ft * FT, 0.0):
        cas_ms, _, ground_ms = frame.derived(state)
        air = frame.air.state(state.height_m)
        below_m = path.height_m(-state.y_m) - state.height_m
        tau_s = kind.handling.vertical_tau_s
        is_captured = is_captured or below_m <= 0.9 * tau_s * ground_ms * slope
        now = Now(
            count * step_s, -state.y_m / NM,
            frame.air.indicated_ft(state.height_m, path.setting_hpa),
            glide_dots(state, path), is_captured,
        )  # fmt: skip
        climb_ms = 0.0
        if is_captured:
            climb_ms = -ground_ms * slope + min(4.0, max(-4.0, 0.15 * below_m))
        if end_ft <= 0.0 and state.height_m <= kind.flare.start_ft * FT:
            climb_ms = max(
                climb_ms, flare_climb_ms(state.height_m, state.climb_ms, kind.flare, tau_s)
            )
        acted = [step for step in waiting if step.when(now)]
        for step in acted:
            waiting.remove(step)
            lever = lever if step.flap is None else step.flap
            gear_lever = 1.0 if step.gear else gear_lever
            selected_kt = selected_kt if step.speed_kt is None else step.speed_kt
        # The wind change the sink brings, as an inertial sensor would give it.
        change_ms2 = frame.wind.gradient(state.height_m)[1] * state.climb_ms
        drag_n = performance.drag_n(air, state.tas_ms, 1.0, state.flap, state.gear, 0.0)
        if end_ft <= 0.0 and state.height_m <= kind.flare.idle_ft * FT:
            power = 0.0
        elif hand is not None:
            seen = Seen(
                cas_ms, selected_kt * KT, climb_ms, float(lever), gear_lever, 0.0, change_ms2
            )
            power = hand.power(count, performance, air, seen)
        else:
            power = performance.autothrust_power(
                air, state.tas_ms, cas_ms, selected_kt * KT, climb_ms, drag_n, change_ms2
            )
        holding = performance.holding_power(air, state.tas_ms, climb_ms, drag_n, change_ms2)
        row = Row(now, state, cas_ms / KT, power, holding)
        flown.rows.append(row)
        for step in acted:
            flown.acts[step.name] = row
        if is_captured and "path captured" not in flown.acts:
            flown.acts["path captured"] = row
        before = state
        state = frame.advance(state, 0.0, climb_ms, power, float(lever), gear_lever, 0.0)
        count += 1
    if end_ft <= 0.0:
        share = before.height_m / (before.height_m - state.height_m)
        flown.touchdown_m = before.y_m + share * (state.y_m - before.y_m)
        flown.touchdown_s = (count - 1 + share) * step_s
    flown.movements = 0 if hand is None else hand.movements
    return flown


def reference_flight(kind: AircraftType, tail_kt: float = 0.0, delta_isa_k: float = 0.0) -> Flown:
    """The approach of a good crew of `kind` down to 200 ft."""
    start_kt, steps = reference_crew(kind, tail_kt)
    return fly(airframe(kind, tail_kt, delta_isa_k), start_kt, steps)


ALL_TYPES = (twin_jet(), turboprop(), business_jet(), piston_single())
"""The four fictional types."""


def last_chance_ladder(
    airframe: Airframe, path: Path, course_rad: float, landing_stage: int, target_kt: float,
    platform_ft: float, start_kt: float,
) -> tuple[Rung, ...]:  # fmt: skip
    """The ladder of the last chance."""
    rules = last_chance_rules(airframe, landing_stage, target_kt)
    return latest(airframe, path, course_rad, rules, platform_ft, start_kt)


def energy_limit_ladder(
    airframe: Airframe, path: Path, course_rad: float, landing_stage: int, target_kt: float,
    platform_ft: float, start_kt: float,
) -> tuple[Rung, ...]:  # fmt: skip
    """The ladder of the energy limit."""
    rules = energy_limit_rules(airframe, landing_stage, target_kt)
    return latest(airframe, path, course_rad, rules, platform_ft, start_kt)
