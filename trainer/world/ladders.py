"""Configuration ladders: where the steps of an approach fall when it is flown as late as possible.

Owns two flights of the full model straight down the approach, each with the idle point moved in
until the gate is only just met: the *last chance*, at planned speeds with spool-up and checklist
counted, and the *energy limit*, the best that drag alone can do. Both are text for a briefing. The
surprising rule: the energy limit is never a due time; who flies it is at idle at the gate.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from trainer.units import FT, KT, NM, STEP_S
from trainer.world.air import tas_from_cas
from trainer.world.margin import Path
from trainer.world.motion import Airframe, State
from trainer.world.speeds import selection_kt
from trainer.world.wind import Wind, head_and_cross

CHECKLIST_S = 12.0
"""Time of the landing checklist after the landing configuration is complete, s."""

_SPOOL_S = 5.0
_EXCESS_KT = 10.0
_LIMIT_MARGIN_KT = 5.0
_CLOSE_ENOUGH_M = 0.01 * NM
_RUN_UP_M = 0.5 * NM
_EARLIEST_M = 10.0 * NM
_CAPTURE_LEAD = 0.9
_PATH_GAIN_PER_S = 0.15
_PATH_MAX_MS = 4.0


class Rung(NamedTuple):
    """One step of a ladder: where it happens (NM before the threshold), indicated ft, CAS kt."""

    step: str
    distance_nm: float
    altitude_ft: float
    cas_kt: float


class _Rules(NamedTuple):
    """How a ladder is flown: speeds (kt) for flap stages and gear, and what the gate asks for."""

    flap_at_kt: tuple[float, ...]
    gear_at_kt: float
    landing_stage: int
    is_gear_after_capture: bool
    spool_at_kt: float | None
    gate_kt: float
    checklist_s: float


class _Run:
    """One flight down the approach, from idle at a given place to the gate."""

    def __init__(self, frame: Airframe, path: Path, rules: _Rules, idle_m: float) -> None:
        self.frame = frame
        self.path = path
        self.rules = rules
        self.idle_m = idle_m
        self.rungs: list[Rung] = []
        self.lever = 0
        self.is_gear_down = frame.kind.gear.is_fixed
        self.is_captured = False
        self.is_idle = False
        self.spooled_s = -1.0
        self.configured_s = -1.0
        self.cas_kt = 0.0

    def note(self, step: str, state: State) -> None:
        """Write one rung."""
        indicated_ft = self.frame.air.indicated_ft(state.height_m, self.path.setting_hpa)
        self.rungs.append(Rung(step, -state.y_m / NM, indicated_ft, self.cas_kt))

    def climb_command_ms(self, state: State, ground_ms: float) -> float:
        """Level until the path is near, then the path."""
        sink_ms = ground_ms * math.tan(self.path.angle_rad)
        below_m = self.path.height_m(-state.y_m) - state.height_m
        if not self.is_captured:
            lead_s = _CAPTURE_LEAD * self.frame.kind.handling.vertical_tau_s
            if below_m > lead_s * sink_ms:
                return 0.0
            self.is_captured = True
            self.note("path captured", state)
        correction_ms = _PATH_GAIN_PER_S * below_m
        return -sink_ms + min(_PATH_MAX_MS, max(-_PATH_MAX_MS, correction_ms))

    def select(self, state: State) -> None:
        """Gear and the next flap stage, once idle, each at its speed and in its order."""
        rules = self.rules
        waits = rules.is_gear_after_capture
        is_gear_due = not waits or (self.is_captured and self.lever > 0)
        if not self.is_gear_down and is_gear_due and self.cas_kt <= rules.gear_at_kt:
            self.is_gear_down = True
            self.note("gear", state)
        following = self.lever + 1
        if following > rules.landing_stage or state.flap < self.lever:
            return
        is_flap_due = not waits or self.is_gear_down or following < rules.landing_stage
        if is_flap_due and self.cas_kt <= rules.flap_at_kt[following]:
            self.lever = following
            self.note(f"flap {self.frame.kind.flaps[following].name}", state)

    def holding_power(self, state: State, climb_ms: float) -> float:
        """Power that holds the present speed."""
        air = self.frame.air.state(state.height_m)
        performance = self.frame.performance
        drag_n = performance.drag_n(air, state.tas_ms, 1.0, state.flap, state.gear, 0.0)
        # Sinking out of a tailwind adds airspeed unless thrust gives way to it.
        _, north_per_m = self.frame.wind.gradient(state.height_m)
        wind_change_ms2 = north_per_m * state.climb_ms
        return performance.holding_power(air, state.tas_ms, climb_ms, drag_n, wind_change_ms2)

    def power(self, state: State, climb_ms: float, slowing_kt_s: float) -> float:
        """Power that holds the speed before idle, idle, then linearly up to what holds it.

        Until the last spool-up thrust never lets the speed fall below the manoeuvring speed of
        the stage in place.
        """
        if not self.is_idle:
            return self.holding_power(state, climb_ms)
        stage, spool_at_kt = int(state.flap), self.rules.spool_at_kt
        is_slow = stage < self.rules.landing_stage and self.cas_kt <= self.frame.kind.manoeuvre_kt(
            self.frame.mass_t, stage
        )
        if self.spooled_s < 0.0 and spool_at_kt is not None:
            ahead_kt = self.cas_kt + 0.5 * _SPOOL_S * min(0.0, slowing_kt_s)
            if ahead_kt <= spool_at_kt:
                self.spooled_s = 0.0
                self.note("thrust lever up", state)
        if self.spooled_s < 0.0:
            return self.holding_power(state, climb_ms) if is_slow else 0.0
        before_s = self.spooled_s
        self.spooled_s += STEP_S
        if before_s < _SPOOL_S <= self.spooled_s:
            self.note("thrust holds", state)
        return min(1.0, self.spooled_s / _SPOOL_S) * self.holding_power(state, climb_ms)

    def check(self, state: State) -> None:
        """Note the landing configuration and the end of the checklist."""
        rules = self.rules
        if self.configured_s < 0.0:
            is_gear_there = self.frame.kind.gear.is_fixed or state.gear == 1.0
            if state.flap == rules.landing_stage and is_gear_there:
                self.configured_s = 0.0
                if rules.checklist_s > 0.0:
                    self.note("configured", state)
            return
        before_s = self.configured_s
        self.configured_s += STEP_S
        if before_s < rules.checklist_s <= self.configured_s:
            self.note("checklist done", state)

    def fly(self, state: State, gate_m: float) -> bool:
        """Fly to the gate at geometric height `gate_m`; whether it is met."""
        frame = self.frame
        self.cas_kt = frame.derived(state).cas_ms / KT
        while state.height_m > gate_m:
            before_kt = self.cas_kt
            cas_ms, _, ground_ms = frame.derived(state)
            self.cas_kt = cas_ms / KT
            if not self.is_idle and -state.y_m <= self.idle_m:
                self.is_idle = True
                self.note("idle", state)
            climb_ms = self.climb_command_ms(state, ground_ms)
            if self.is_idle:
                self.select(state)
            self.check(state)
            power = self.power(state, climb_ms, (self.cas_kt - before_kt) / STEP_S)
            if power > 0.0:
                # Thrust that holds is what the crew sets; only idle waits for the spool-down.
                state = state._replace(power=power)
            state = frame.advance(
                state, 0.0, climb_ms, power, float(self.lever), float(self.is_gear_down), 0.0
            )
        self.cas_kt = frame.derived(state).cas_ms / KT
        if self.rules.spool_at_kt is None:
            self.note("final speed", state)
            is_spooled = True
        else:
            is_spooled = self.spooled_s >= _SPOOL_S
        is_ready = self.configured_s >= self.rules.checklist_s
        return is_ready and is_spooled and self.cas_kt <= self.rules.gate_kt


def _straight(airframe: Airframe, course_rad: float) -> Airframe:
    """The same aircraft flying north in the part of the wind that blows along the course."""
    layers = [
        (height_m, 0.0, -head_and_cross(east_ms, north_ms, course_rad)[0])
        for height_m, east_ms, north_ms in airframe.wind.layers
    ]
    return Airframe(airframe.kind, airframe.mass_t, airframe.air, Wind(layers))


def _latest(
    airframe: Airframe,
    path: Path,
    course_rad: float,
    rules: _Rules,
    platform_ft: float,
    start_kt: float,
) -> tuple[Rung, ...]:
    """Rungs of the latest idle point that meets the gate; empty if none does."""
    frame = _straight(airframe, course_rad)
    air = frame.air
    platform_m = air.height_at_indicated_m(platform_ft, path.setting_hpa)
    gate_ft = path.elevation_m / FT + path.gate_ft
    gate_m = air.height_at_indicated_m(gate_ft, path.setting_hpa)
    intercept_m = path.distance_m(platform_m)
    tas_ms = tas_from_cas(start_kt * KT, air.state(platform_m))

    def flown(idle_m: float) -> tuple[bool, tuple[Rung, ...]]:
        from_m = max(idle_m, intercept_m + _RUN_UP_M)
        state = State(0.0, -from_m, platform_m, tas_ms, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0)
        air_state = air.state(platform_m)
        drag_n = frame.performance.drag_n(air_state, tas_ms, 1.0, 0.0, 0.0, 0.0)
        power = frame.performance.holding_power(air_state, tas_ms, 0.0, drag_n)
        run = _Run(frame, path, rules, idle_m)
        return run.fly(state._replace(power=power), gate_m), tuple(run.rungs)

    early_m, late_m = intercept_m + _EARLIEST_M, path.distance_m(gate_m)
    is_met, rungs = flown(early_m)
    if not is_met:
        return ()
    while early_m - late_m > _CLOSE_ENOUGH_M:
        middle_m = 0.5 * (early_m + late_m)
        is_met, tried = flown(middle_m)
        if is_met:
            early_m, rungs = middle_m, tried
        else:
            late_m = middle_m
    return rungs


def _gear_at_kt(airframe: Airframe) -> float:
    limit_kt = airframe.kind.gear.extend_limit_kt
    return math.inf if limit_kt is None else limit_kt - _LIMIT_MARGIN_KT


def last_chance_ladder(
    airframe: Airframe,
    path: Path,
    course_rad: float,
    landing_stage: int,
    target_kt: float,
    platform_ft: float,
    start_kt: float,
) -> tuple[Rung, ...]:
    """The latest approach that still meets the gate at planned speeds, as rungs in order.

    Flap at its planned speed, gear at path capture or with the first flap, 5 s of spool-up to the
    thrust that holds the speed, then the checklist; at most `target_kt` + 10 at the gate. Level at
    `platform_ft` indicated and `start_kt` until idle. Empty if no idle point meets the gate.
    """
    planned = [
        selection_kt(airframe.kind, airframe.mass_t, index)
        for index in range(len(airframe.kind.flaps))
    ]
    rules = _Rules(
        tuple(math.inf if speed_kt is None else speed_kt for speed_kt in planned),
        _gear_at_kt(airframe),
        landing_stage,
        True,
        target_kt + _EXCESS_KT,
        target_kt + _EXCESS_KT,
        CHECKLIST_S,
    )
    return _latest(airframe, path, course_rad, rules, platform_ft, start_kt)


def energy_limit_ladder(
    airframe: Airframe,
    path: Path,
    course_rad: float,
    landing_stage: int,
    target_kt: float,
    platform_ft: float,
    start_kt: float,
) -> tuple[Rung, ...]:
    """The latest approach that drag alone allows, as rungs in order: never a due time.

    Gear and each flap at their limit less 5 kt, idle to the end, no speedbrake, no checklist;
    landing configuration and `target_kt` at the gate. Empty if no idle point meets the gate.
    """
    limits = [stage.limit_kt for stage in airframe.kind.flaps]
    rules = _Rules(
        tuple(math.inf if limit is None else limit - _LIMIT_MARGIN_KT for limit in limits),
        _gear_at_kt(airframe),
        landing_stage,
        False,
        None,
        target_kt,
        0.0,
    )
    return _latest(airframe, path, course_rad, rules, platform_ft, start_kt)
