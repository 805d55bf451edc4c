"""Configuration ladders: where the steps of an approach fall when it is flown as late as possible.

Owns two flights of the full model straight down the approach, each with the idle point moved in
until the gate is only just met: the *last chance*, at planned speeds with spool-up and checklist
counted, and the *energy limit*, the best that drag alone can do. Both are text for a briefing. The
surprising rule: the energy limit is never a due time; who flies it is at idle at the gate.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Callable

from trainer.units import FT, KT, NM
from trainer.world.air import tas_from_cas
from trainer.world.late_flight import Prelude, Rules, Run
from trainer.world.late_flight import Rung as Rung
from trainer.world.margin import EXCESS_KT, LIMIT_MARGIN_KT, Path
from trainer.world.motion import Airframe, State
from trainer.world.speeds import selection_kt
from trainer.world.wind import Wind, head_and_cross

CHECKLIST_S = 12.0
"""Time of the landing checklist after the landing configuration is complete, s."""

_CLOSE_ENOUGH_M = 0.01 * NM
_RUN_UP_M = 0.5 * NM
_EARLIEST_M = 10.0 * NM
_COARSE_STEP_S = 0.5
_COARSE_CLOSE_M = 0.02 * NM
_COARSE_ERROR_M = 0.07 * NM


def _straight(airframe: Airframe, course_rad: float) -> Airframe:
    """The same aircraft flying north in the part of the wind that blows along the course."""
    layers = [
        (height_m, 0.0, -head_and_cross(east_ms, north_ms, course_rad)[0])
        for height_m, east_ms, north_ms in airframe.wind.layers
    ]
    return Airframe(airframe.kind, airframe.mass_t, airframe.air, Wind(layers))


class _Search:
    """The latest idle point that meets the gate, among flights of one set of rules.

    A flight that starts to slow down later is never better, so one answer settles every place on
    its side: only places between the latest known to meet the gate and the earliest known not to
    are flown.
    """

    def __init__(
        self, frame: Airframe, path: Path, rules: Rules, platform_ft: float, start_kt: float
    ) -> None:
        air = frame.air
        self.frame, self.path, self.rules = frame, path, rules
        self.platform_m = air.height_at_indicated_m(platform_ft, path.setting_hpa)
        gate_ft = path.elevation_m / FT + path.gate_ft
        self.gate_m = air.height_at_indicated_m(gate_ft, path.setting_hpa)
        self.intercept_m = path.distance_m(self.platform_m)
        air_state = air.state(self.platform_m)
        tas_ms = tas_from_cas(start_kt * KT, air_state)
        drag_n = frame.performance.drag_n(air_state, tas_ms, 1.0, 0.0, 0.0, 0.0)
        power = frame.performance.holding_power(air_state, tas_ms, 0.0, drag_n)
        self.start = State(
            0.0, 0.0, self.platform_m, tas_ms, 0.0, 0.0, 0.0, power, 0.0, 0.0, 0.0, 0.0
        )
        self.start_kt = start_kt
        self.prelude: list[Prelude] = []
        self.prelude_rungs: tuple[Rung, ...] = ()
        self.met_m, self.unmet_m = math.inf, -math.inf
        self.met_rungs: tuple[Rung, ...] = ()

    def is_met(self, idle_m: float) -> bool:
        """Whether idle from `idle_m` meets the gate; flown unless known."""
        if idle_m >= self.met_m:
            return True
        if idle_m <= self.unmet_m:
            return False
        run = Run(self.frame, self.path, self.rules, idle_m)
        run.cas_kt = run.hold_kt = self.start_kt
        if run.fly(self.begun(run), self.gate_m):
            self.met_m, self.met_rungs = idle_m, tuple(run.rungs)
            return True
        self.unmet_m = idle_m
        return False

    def begun(self, run: Run) -> State:
        """Where `run` begins: at its idle point, with what has happened until there."""
        run_up_m = self.intercept_m + _RUN_UP_M
        if run.idle_m >= run_up_m:
            return self.start._replace(y_m=-run.idle_m)
        if not self.prelude:
            steady = Run(self.frame, self.path, self.rules, -math.inf)
            steady.cas_kt = steady.hold_kt = self.start_kt
            steady.fly(self.start._replace(y_m=-run_up_m), self.gate_m, self.prelude)
            self.prelude_rungs = tuple(steady.rungs)
        place = bisect_left(self.prelude, -run.idle_m, key=lambda one: one.along_m)
        one = self.prelude[min(place, len(self.prelude) - 1)]
        run.cas_kt, run.is_captured = one.before_kt, one.is_captured
        if one.is_captured:
            run.rungs.extend(self.prelude_rungs[:1])
        return one.state

    def narrowed(self, close_m: float, is_met: Callable[[float], bool]) -> tuple[float, float]:
        """The bracket (m, early and late) that bisection by `is_met` leaves, at most `close_m`."""
        early_m, late_m = self.intercept_m + _EARLIEST_M, self.path.distance_m(self.gate_m)
        while early_m - late_m > close_m:
            middle_m = 0.5 * (early_m + late_m)
            if is_met(middle_m):
                early_m = middle_m
            else:
                late_m = middle_m
        return early_m, late_m


def latest(
    airframe: Airframe,
    path: Path,
    course_rad: float,
    rules: Rules,
    platform_ft: float,
    start_kt: float,
) -> tuple[Rung, ...]:
    """Rungs, in order, of the latest approach by `rules` that meets the gate; empty if none does.

    Level at `platform_ft` indicated and `start_kt` until the idle point that is looked for. Coarse
    steps find the neighbourhood, the flight engine's own steps the place.
    """
    frame = _straight(airframe, course_rad)
    coarse = _Search(frame.with_step(_COARSE_STEP_S), path, rules, platform_ft, start_kt)
    guess_m, _ = coarse.narrowed(_COARSE_CLOSE_M, coarse.is_met)
    fine = _Search(frame, path, rules, platform_ft, start_kt)
    for place_m in fine.narrowed(_COARSE_ERROR_M, lambda middle_m: middle_m >= guess_m):
        fine.is_met(place_m)
    fine.narrowed(_CLOSE_ENOUGH_M, fine.is_met)
    return fine.met_rungs


def _gear_at_kt(airframe: Airframe) -> float:
    limit_kt = airframe.kind.gear.extend_limit_kt
    return math.inf if limit_kt is None else limit_kt - LIMIT_MARGIN_KT


def last_chance_rules(airframe: Airframe, landing_stage: int, target_kt: float) -> Rules:
    """The latest approach that still meets the gate at planned speeds.

    Flap at its planned speed, gear at path capture or with the first flap, 5 s of spool-up to the
    thrust that holds the speed, then the checklist; at most `target_kt` + 10 at the gate.
    """
    planned = [
        selection_kt(airframe.kind, airframe.mass_t, index)
        for index in range(len(airframe.kind.flaps))
    ]
    return Rules(
        tuple(math.inf if speed_kt is None else speed_kt for speed_kt in planned),
        _gear_at_kt(airframe),
        landing_stage,
        True,
        target_kt + EXCESS_KT,
        target_kt + EXCESS_KT,
        CHECKLIST_S,
    )


def energy_limit_rules(airframe: Airframe, landing_stage: int, target_kt: float) -> Rules:
    """The latest approach that drag alone allows: never a due time.

    Gear and each flap at their limit less 5 kt, idle to the end, no speedbrake, no checklist;
    landing configuration and `target_kt` at the gate.
    """
    limits = [stage.limit_kt for stage in airframe.kind.flaps]
    return Rules(
        tuple(math.inf if limit is None else limit - LIMIT_MARGIN_KT for limit in limits),
        _gear_at_kt(airframe),
        landing_stage,
        False,
        None,
        target_kt,
        0.0,
    )
