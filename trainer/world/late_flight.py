"""One late approach flown straight down the path: idle from a place, then everything at its speed.

Owns the simple crew of the configuration ladders: it holds a speed until idle, selects gear and
flap at given speeds, brings thrust up and runs the checklist. It knows nothing of what is latest.
The surprising rule: before idle all flights of one kind are the same, so that what was flown until
there can be shared.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from trainer.units import KT, NM
from trainer.world.margin import SPOOL_S, Path
from trainer.world.motion import Airframe, State

_CAPTURE_LEAD = 0.9
_PATH_GAIN_PER_S = 0.15
_PATH_MAX_MS = 4.0
_HOLD_GAIN_PER_S = 0.1
_HELD_WITHIN_KT = 0.25


class Rung(NamedTuple):
    """One step of a ladder: where it happens (NM before the threshold), indicated ft, CAS kt."""

    step: str
    distance_nm: float
    altitude_ft: float
    cas_kt: float


class Rules(NamedTuple):
    """How a ladder is flown: speeds (kt) for flap stages and gear, and what the gate asks for."""

    flap_at_kt: tuple[float, ...]
    gear_at_kt: float
    landing_stage: int
    is_gear_after_capture: bool
    spool_at_kt: float | None
    gate_kt: float
    checklist_s: float


class Prelude(NamedTuple):
    """One step before idle: what a flight that idles later has in common with every other."""

    along_m: float
    state: State
    before_kt: float
    is_captured: bool


class Run:
    """One flight down the approach, from idle at a given place to the gate."""

    def __init__(self, frame: Airframe, path: Path, rules: Rules, idle_m: float) -> None:
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
        self.hold_kt = 0.0

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

    def holding_power(self, state: State, climb_ms: float, hold_kt: float) -> float:
        """Power that holds `hold_kt`, or goes back to it gently."""
        air = self.frame.air.state(state.height_m)
        performance = self.frame.performance
        drag_n = performance.drag_n(air, state.tas_ms, 1.0, state.flap, state.gear, 0.0)
        # Sinking out of a tailwind adds airspeed unless thrust gives way to it.
        _, north_per_m = self.frame.wind.gradient(state.height_m)
        wind_change_ms2 = north_per_m * state.climb_ms
        back_ms2 = _HOLD_GAIN_PER_S * (hold_kt - self.cas_kt) * KT
        thrust_n = performance.balance_n(
            air, state.tas_ms, drag_n, climb_ms, back_ms2, wind_change_ms2
        )
        return performance.power_for(air, state.tas_ms, thrust_n)

    def power(self, state: State, climb_ms: float, slowing_kt_s: float) -> float:
        """Power that holds the speed before idle, idle, then linearly up to what holds it.

        Until the last spool-up thrust never lets the speed fall below the manoeuvring speed of
        the stage in place.
        """
        if not self.is_idle:
            return self.holding_power(state, climb_ms, self.hold_kt)
        stage, spool_at_kt = int(state.flap), self.rules.spool_at_kt
        is_slow = stage < self.rules.landing_stage and self.cas_kt <= self.frame.kind.manoeuvre_kt(
            self.frame.mass_t, stage
        )
        is_selected = self.is_gear_down and self.lever >= self.rules.landing_stage
        if self.spooled_s < 0.0 and spool_at_kt is not None and is_selected:
            ahead_kt = self.cas_kt + 0.5 * SPOOL_S * min(0.0, slowing_kt_s)
            if ahead_kt <= spool_at_kt:
                self.spooled_s = 0.0
                self.note("thrust lever up", state)
        if self.spooled_s < 0.0:
            return self.holding_power(state, climb_ms, self.cas_kt) if is_slow else 0.0
        before_s = self.spooled_s
        self.spooled_s += self.frame.step_s
        if before_s < SPOOL_S <= self.spooled_s:
            self.note("thrust holds", state)
            self.hold_kt = min(self.cas_kt, self.rules.gate_kt)
        if self.spooled_s >= SPOOL_S:
            return self.holding_power(state, climb_ms, self.hold_kt)
        return self.spooled_s / SPOOL_S * self.holding_power(state, climb_ms, self.cas_kt)

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
        self.configured_s += self.frame.step_s
        if before_s < rules.checklist_s <= self.configured_s:
            self.note("checklist done", state)

    def fly(self, state: State, gate_m: float, prelude: list[Prelude] | None = None) -> bool:
        """Fly to the gate at geometric height `gate_m`; whether it is met.

        The steps before idle are added to `prelude` if one is given.
        """
        frame = self.frame
        while state.height_m > gate_m:
            before_kt = self.cas_kt
            if prelude is not None:
                prelude.append(Prelude(state.y_m, state, before_kt, self.is_captured))
            cas_ms, _, ground_ms = frame.derived(state)
            self.cas_kt = cas_ms / KT
            if not self.is_idle and -state.y_m <= self.idle_m:
                self.is_idle = True
                self.note("idle", state)
            climb_ms = self.climb_command_ms(state, ground_ms)
            if self.is_idle:
                self.select(state)
            self.check(state)
            power = self.power(state, climb_ms, (self.cas_kt - before_kt) / frame.step_s)
            if power > 0.0:
                # Thrust that holds is what the crew sets; only idle waits for the spool-down.
                state = state._replace(power=power)
            state = frame.advance(
                state, 0.0, climb_ms, power, float(self.lever), float(self.is_gear_down), 0.0
            )
        self.cas_kt = frame.derived(state).cas_ms / KT
        is_ready = self.configured_s >= self.rules.checklist_s
        if self.rules.spool_at_kt is None:
            self.note("final speed", state)
            return is_ready and self.cas_kt <= self.rules.gate_kt
        is_slow = self.cas_kt <= self.rules.gate_kt + _HELD_WITHIN_KT
        return is_ready and self.spooled_s >= SPOOL_S and is_slow
