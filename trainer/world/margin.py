"""Energy margin: how much room is left before the gate can no longer be met.

Owns the one-dimensional best effort from a state to the stable gate: gear and each flap at their
limit less 5 kt, idle, no speedbrake, never below the manoeuvring speed of the present stage, with
flap and gear travel and the spool-up counted. It knows no crew, no guidance and no checklist
time. The surprising rule: just before the intercept the margin falls two to four miles per mile
flown, because a level mile slows the aircraft far more than a mile on the path.

A prediction, not a copy of the engine: half-second steps along the path in a wind that stays.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from trainer.units import FT, KT, NM, G
from trainer.world.air import AirState, cas_gradient, tas_from_cas
from trainer.world.earth import EARTH_RADIUS_M
from trainer.world.energy import Performance
from trainer.world.motion import Airframe
from trainer.world.path import path_distance_m, path_height_m

HOPELESS_NM = -99.0
"""Margin given when best effort meets no gate within 400 s or 30 NM."""

LIMIT_MARGIN_KT = 5.0
"""How far below its limit speed something is selected at the latest, kt (our figure)."""
EXCESS_KT = 10.0
"""How far above the target the speed may be at the gate, kt (our figure)."""
SPOOL_S = 5.0
"""Time of the spool-up from idle that is counted, s (14 CFR 33.73)."""

_STEP_S = 0.5
_LONGEST_S = 400.0
_LONGEST_M = 30.0 * NM
_BELOW_PATH_M = 0.5


class Path(NamedTuple):
    """The descent path and the gate on it.

    `angle_rad`; `crossing_m` height above the threshold; `elevation_m` of the threshold above sea
    level; `gate_ft` indicated height of the gate above the threshold; `setting_hpa` of the
    altimeter; `is_curved` adds the rise of a straight beam above the curved Earth.
    """

    angle_rad: float
    crossing_m: float
    elevation_m: float
    gate_ft: float
    setting_hpa: float
    is_curved: bool = True

    def height_m(self, distance_m: float) -> float:
        """Height above sea level (m) of the path at `distance_m` before the threshold."""
        return self.elevation_m + path_height_m(
            distance_m, self.angle_rad, self.crossing_m, self.is_curved
        )

    def distance_m(self, height_m: float) -> float:
        """Distance before the threshold (m) where the path is at `height_m` above sea level."""
        return path_distance_m(
            height_m - self.elevation_m, self.angle_rad, self.crossing_m, self.is_curved
        )


class Energy(NamedTuple):
    """The energy and configuration of an aircraft before the threshold.

    `distance_m` before the threshold along the path; `height_m` geometric above sea level;
    `cas_kt`; `flap` continuous stage index and `flap_lever` the selected stage; `gear` 0..1 and
    whether down is selected; `tail_ms` tailwind along the course (headwind negative).
    """

    distance_m: float
    height_m: float
    cas_kt: float
    flap: float
    flap_lever: int
    gear: float
    is_gear_selected: bool
    tail_ms: float


class Margin(NamedTuple):
    """The answer, in NM: room left, distance best effort needs, distance to the gate; kt at end."""

    margin_nm: float
    need_nm: float
    to_gate_nm: float
    end_cas_kt: float


class _Plan(NamedTuple):
    """What of a type, a mass and a target does not change while one margin is worked out."""

    landing_stage: int
    gear_at_kt: float
    flap_at_kt: tuple[float, ...]
    floor_kt: tuple[float, ...]
    transit_s: tuple[float, ...]
    gear_s: float


def _plan(airframe: Airframe, landing_stage: int, target_kt: float) -> _Plan:
    kind = airframe.kind
    limits = [math.inf if stage.limit_kt is None else stage.limit_kt for stage in kind.flaps]
    floors = [kind.manoeuvre_kt(airframe.mass_t, index) for index in range(landing_stage)]
    gear_limit_kt = kind.gear.extend_limit_kt
    return _Plan(
        landing_stage,
        math.inf if gear_limit_kt is None else gear_limit_kt - LIMIT_MARGIN_KT,
        tuple(limit - LIMIT_MARGIN_KT for limit in limits),
        (*floors, target_kt),
        tuple(stage.transit_s for stage in kind.flaps),
        kind.gear.down_s,
    )


def _time_left_s(
    plan: _Plan, flap: float, lever: int, gear: float, is_gear_selected: bool
) -> float:
    """Seconds until landing configuration is complete; infinite while something is unselected."""
    if not is_gear_selected or lever < plan.landing_stage:
        return math.inf
    flap_s = 0.0
    if flap < plan.landing_stage:
        stage = int(flap) + 1
        flap_s = (stage - flap) * plan.transit_s[stage]
        for index in range(stage + 1, plan.landing_stage + 1):
            flap_s += plan.transit_s[index]
    return max(flap_s, (1.0 - gear) * plan.gear_s)


def _spooled_s(
    left_s: float, left_before_s: float, ahead_kt: float, ahead_before_kt: float, limit_kt: float
) -> float | None:
    """How long thrust has been coming up (s), None before it may.

    It comes up once configuration will be complete within the spool-up and the speed in half of it
    is within the limit: linear within the step, so that the margin is a smooth function.
    """
    if left_s > SPOOL_S or ahead_kt > limit_kt:
        return None
    since_s = _STEP_S
    if left_before_s > SPOOL_S:
        since_s = _STEP_S * (SPOOL_S - left_s) / (left_before_s - left_s)
    if ahead_before_kt > limit_kt:
        slowed = (limit_kt - ahead_kt) / (ahead_before_kt - ahead_kt)
        since_s = min(since_s, _STEP_S * slowed)
    return since_s


def _idle_change_kt_s(
    performance: Performance,
    air: AirState,
    cas_kt: float,
    tas_ms: float,
    climb_ms: float,
    flap: float,
    gear: float,
) -> float:
    """Rate of change of calibrated airspeed (kt/s) at idle on a steady climb or descent."""
    load = math.sqrt(1.0 - (climb_ms / tas_ms) ** 2)
    force_n = performance.idle_thrust_n(air, tas_ms)
    force_n -= performance.drag_n(air, tas_ms, load, flap, gear, 0.0)
    change = force_n / performance.mass_kg - (G / tas_ms + cas_gradient(tas_ms, air)) * climb_ms
    return change * cas_kt / tas_ms


def _flap_after(plan: _Plan, flap: float, lever: int) -> float:
    """Flap one step later; rounding must not leave it a hair short, or the next stage waits."""
    if flap >= lever:
        return flap
    flap += _STEP_S / plan.transit_s[int(flap) + 1]
    return flap if flap < lever - 1e-9 else float(lever)


def energy_margin(
    airframe: Airframe, energy: Energy, path: Path, landing_stage: int, target_kt: float
) -> Margin:
    """Distance still to fly to the gate less the distance best effort needs to meet it.

    The gate is met when the landing configuration (`landing_stage`) is complete, the speed at most
    `target_kt` + 10, and thrust up from idle (5 s of spool-up). Below zero it cannot be met. The
    path goes on below the gate, so that the margin is defined there. No checklist time is in it.
    """
    air_model = airframe.air
    gate_ft = path.elevation_m / FT + path.gate_ft
    gate_m = path.distance_m(air_model.height_at_indicated_m(gate_ft, path.setting_hpa))
    to_gate_m = energy.distance_m - gate_m
    needed_m, end_cas_kt = _best_effort(airframe, energy, path, landing_stage, target_kt)
    if needed_m is None:
        return Margin(HOPELESS_NM, math.inf, to_gate_m / NM, end_cas_kt)
    return Margin((to_gate_m - needed_m) / NM, needed_m / NM, to_gate_m / NM, end_cas_kt)


def _best_effort(
    airframe: Airframe, energy: Energy, path: Path, landing_stage: int, target_kt: float
) -> tuple[float | None, float]:
    """Distance (m) that best effort needs, None when hopeless, and the speed (kt) at its end."""
    plan = _plan(airframe, landing_stage, target_kt)
    performance = airframe.performance
    distance_m, height_m, cas_kt, flap, lever, gear, is_gear_down, tail_ms = energy
    if airframe.kind.gear.is_fixed:
        gear, is_gear_down = 1.0, True
    slope = math.tan(path.angle_rad)
    per_radius = 1.0 / EARTH_RADIUS_M if path.is_curved else 0.0
    flown_m = elapsed_s = 0.0
    spooled_s: float | None = None
    left_before_s, ahead_before_kt = 0.0, 0.0
    air = airframe.air.state(height_m)
    while elapsed_s < _LONGEST_S and flown_m < _LONGEST_M:
        is_gear_down = is_gear_down or cas_kt <= plan.gear_at_kt
        if lever < landing_stage and flap >= lever and cas_kt <= plan.flap_at_kt[lever + 1]:
            lever += 1
        tas_ms = tas_from_cas(cas_kt * KT, air)
        climb_ms, level_ms = 0.0, tas_ms
        is_on_path = height_m >= path.height_m(distance_m) - _BELOW_PATH_M
        if is_on_path:
            climb_ms = -(tas_ms + tail_ms) * (slope + distance_m * per_radius)
            level_ms = math.sqrt(tas_ms * tas_ms - climb_ms * climb_ms)
        change = _idle_change_kt_s(performance, air, cas_kt, tas_ms, climb_ms, flap, gear)
        floor_kt = plan.floor_kt[min(int(flap), landing_stage)]
        if cas_kt <= floor_kt:
            change = max(change, 0.0)
        left_s = _time_left_s(plan, flap, lever, gear, is_gear_down)
        ahead_kt = cas_kt + 0.5 * SPOOL_S * min(change, 0.0)
        if spooled_s is None:
            spooled_s = _spooled_s(
                left_s, left_before_s, ahead_kt, ahead_before_kt, plan.floor_kt[-1] + EXCESS_KT
            )
        left_before_s, ahead_before_kt = left_s, ahead_kt
        if spooled_s is not None:
            if spooled_s >= SPOOL_S and left_s == 0.0:
                over_s = min(spooled_s - SPOOL_S, _STEP_S)
                return flown_m - (level_ms + tail_ms) * over_s, cas_kt
            change *= max(0.0, 1.0 - spooled_s / SPOOL_S)
            spooled_s += _STEP_S
        cas_kt = max(cas_kt + change * _STEP_S, min(cas_kt, floor_kt))
        flown_m += (level_ms + tail_ms) * _STEP_S
        distance_m -= (level_ms + tail_ms) * _STEP_S
        elapsed_s += _STEP_S
        if is_on_path:
            height_m = path.height_m(distance_m)
            air = airframe.air.state(height_m)
        flap = _flap_after(plan, flap, lever)
        if is_gear_down and gear < 1.0:
            gear = min(1.0, gear + _STEP_S / plan.gear_s)
    return None, cas_kt
