"""Drag, thrust, deceleration and speeds of the types against the trade's figures.

Golden forces are worked out from the point-mass equations, the type files and the standard
atmosphere, apart from the program. The types are fictional; the published ranges are those of
transport jets and hold for the twin jet.
"""

from __future__ import annotations

import functools
import math

from tests.published.record import Bounds, Check
from tests.world.figures import MTJ, STANDARD, idle_figures
from tests.world.flyer import Step, airframe, below_nm, fly, last_chance_ladder, reference_flight
from tests.world.types import business_jet, piston_single, turboprop
from trainer.units import FPM, FT, KT, NM
from trainer.world.air import Air, tas_from_cas
from trainer.world.aircraft import AircraftType
from trainer.world.energy import Performance, spool_up_s
from trainer.world.margin import Path
from trainer.world.motion import State

RTP, BZJ, SEP = turboprop(), business_jet(), piston_single()
BALANCE = "point-mass force balance, worked out from the type file"
HANDBOOK = "FAA Airplane Flying Handbook (2021), ch. 16"
BRIEFING = "FSF ALAR Briefing Note 4.2"

# Type, CAS kt, ft, flap index, gear, path °, tailwind kt; drag N, idle thrust N, kt per NM.
_GOLDEN = (
    (MTJ, 210, 3000, 0, 0, 0, 0, 30597.2, 9674.0, -11.062),
    (MTJ, 190, 3000, 1, 0, 0, 0, 34378.9, 10280.8, -14.068),
    (MTJ, 170, 3000, 2, 0, 0, 0, 38557.7, 10888.0, -18.037),
    (MTJ, 210, 3000, 0, 0, 3, 0, 30557.1, 9674.0, 5.672),
    (MTJ, 180, 2000, 1, 0, 3, 0, 34662.9, 11082.2, 4.757),
    (MTJ, 170, 2000, 2, 1, 3, 0, 48154.9, 11391.9, -3.911),
    (MTJ, 137, 1000, 4, 1, 3, 0, 63051.8, 12954.5, -16.789),
    (MTJ, 137, 1000, 4, 1, 3, -20, 63076.8, 12954.5, -24.020),
    (RTP, 210, 3000, 0, 0, 0, 0, 13936.9, -2280.6, -27.324),
    (RTP, 165, 3000, 1, 0, 0, 0, 14453.2, -1299.1, -33.709),
    (RTP, 150, 2000, 2, 1, 3, 0, 21684.6, -971.9, -31.586),
    (RTP, 112, 1000, 3, 1, 3, 0, 22315.7, -143.0, -43.292),
    (BZJ, 210, 3000, 0, 0, 0, 0, 6997.6, 1286.8, -21.099),
    (BZJ, 160, 2000, 1, 1, 3, 0, 9842.0, 1551.3, -19.353),
    (BZJ, 112, 1000, 2, 1, 3, 0, 10697.9, 1817.8, -33.317),
    (SEP, 100, 3000, 0, 0, 0, 0, 1011.0, -317.0, -87.788),
    (SEP, 65, 1000, 3, 0, 3, 0, 1332.1, -167.5, -107.834),
)


def idle(place: int, kind: AircraftType, cas_kt: float, feet: float, flap: int, gear: float,
         path_deg: float, tail_kt: float) -> float:  # fmt: skip
    """One of the figures of idle flight: 1 drag N, 2 idle thrust N, 5 kt per NM."""
    return idle_figures(kind, cas_kt, feet, flap, gear, path_deg, tail_kt)[place]


def _golden() -> tuple[Check, ...]:
    checks = []
    for kind, cas_kt, feet, flap, gear, path_deg, tail_kt, drag, thrust, per_nm in _GOLDEN:
        wind = f", {-tail_kt} kt head" if tail_kt else ""
        where = f"{kind.name} {cas_kt} kt flap {kind.flaps[flap].name}"
        where += (
            f"{' gear' if gear else ''}, {feet} ft, {f'{path_deg}° path' if path_deg else 'level'}"
        )
        where += wind
        given = (kind, cas_kt, feet, flap, float(gear), float(path_deg), float(tail_kt))
        for what, place, expected, tolerance, unit in (
            ("drag", 1, drag, 0.1, "N"),
            ("idle thrust", 2, thrust, 0.1, "N"),
            ("change of speed", 5, per_nm, 0.006, "kt/NM"),
        ):
            checks.append(
                Check(f"{what}: {where}", BALANCE, "computed", float(expected), tolerance, unit,
                      functools.partial(idle, place, *given))
            )  # fmt: skip
    return tuple(checks)


# A library of performance models; `tests/world/test_reference_jet.py` asks it for these again.
REFERENCE = "OpenAP 2.6, mean of the seven jets of 120 to 130 m² and 68 to 86 t"
REFERENCE_DRAG_N = ((250.0, 34877.0), (210.0, 32082.0))
"""Calibrated airspeed (kt) and the mean clean drag (N) at 58 t and 3,000 ft."""
REFERENCE_IDLE_N = (
    (250.0, 3000.0, 10577.0, 0.22), (210.0, 3000.0, 11113.0, 0.15), (190.0, 3000.0, 11413.0, 0.12),
    (170.0, 3000.0, 11734.0, 0.09), (137.0, 1000.0, 12817.0, 0.09),
)  # fmt: skip
"""Calibrated airspeed (kt), height (ft), mean idle thrust (N) and the share it is met within.

Idle is 7 % of full thrust in the library at every speed; the model's falls with speed.
"""


def _reference() -> tuple[Check, ...]:
    drags = [
        Check(f"clean drag of the twin jet, {cas_kt:.0f} kt, 3,000 ft", REFERENCE, "library",
              drag_n, 0.07 * drag_n, "N",
              functools.partial(idle, 1, MTJ, cas_kt, 3000.0, 0, 0.0, 0.0, 0.0))
        for cas_kt, drag_n in REFERENCE_DRAG_N
    ]  # fmt: skip
    idles = [
        Check(f"idle thrust of the twin jet, {cas_kt:.0f} kt, {feet:,.0f} ft", REFERENCE, "library",
              thrust_n, share * thrust_n, "N",
              functools.partial(idle, 2, MTJ, cas_kt, feet, 0, 0.0, 0.0, 0.0))
        for cas_kt, feet, thrust_n, share in REFERENCE_IDLE_N
    ]  # fmt: skip
    return (*drags, *idles)


def slowing_per_nm(from_kt: float, to_kt: float, flap: int) -> float:
    """Mean loss of speed per NM, level at idle, twin jet."""
    rates = [
        -1.0 / idle_figures(MTJ, from_kt + (to_kt - from_kt) * share / 20.0, 3000, flap, 0.0)[5]
        for share in range(21)
    ]
    return 21.0 / math.fsum(rates)


def extending_per_nm(path: bool, tail_kt: float = 0.0) -> float:
    """Mean loss of speed per NM from flap 12 (gear down on the path) while gear and landing flap
    travel, twin jet at idle."""
    frame = airframe(MTJ, tail_kt, 0.0)
    height_m = (2000.0 if path else 3000.0) * FT
    air = frame.air.state(height_m)
    from_kt, to_kt = (165.0, 143.0) if path else (170.0, 143.0)
    state = _state(height_m, tas_from_cas(from_kt * KT, air), 2.0, 1.0 if path else 0.0)
    slope = math.tan(math.radians(3.0)) if path else 0.0
    flap = 2.0
    state = state._replace(climb_ms=-(state.tas_ms + tail_kt * KT) * slope)
    while (now := frame.derived(state)).cas_ms > to_kt * KT:
        if state.flap >= flap and flap < 4.0:
            flap += 1.0
        state = frame.advance(state, 0.0, -now.ground_north_ms * slope, 0.0, flap, 1.0, 0.0)
    return (from_kt - to_kt) / (state.y_m / NM)


def _state(height_m: float, tas_ms: float, flap: float, gear: float) -> State:
    return State(0.0, 0.0, height_m, tas_ms, 0.0, 0.0, 0.0, 0.0, flap, gear, 0.0, 0.0)


def slow_down_nm(from_kt: float, to_kt: float) -> float:
    """Distance (NM) in which the clean twin jet slows down, level at idle, flown."""
    frame = airframe(MTJ, 0.0, 0.0)
    height_m = 3000.0 * FT
    state = _state(height_m, tas_from_cas(from_kt * KT, frame.air.state(height_m)), 0.0, 0.0)
    while frame.derived(state).cas_ms > to_kt * KT:
        state = frame.advance(state, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0)
    return state.y_m / NM


def idle_descent_fpm(cas_kt: float) -> float:
    """Rate of descent (ft/min) of the clean twin jet at idle and steady speed, 3,000 ft."""
    performance = Performance(MTJ, 58.0, 0.0)
    air = STANDARD.state(3000.0 * FT)
    tas_ms, cas_ms = tas_from_cas(cas_kt * KT, air), cas_kt * KT
    drag_n = performance.drag_n(air, tas_ms, 1.0, 0.0, 0.0, 0.0)
    thrust_n = performance.idle_thrust_n(air, tas_ms)
    return -performance.level_change_climb_ms(tas_ms, cas_ms, cas_ms, thrust_n, drag_n) / FPM


def sink_on_path_fpm(ground_kt: float) -> float:
    """Sink (ft/min) of an aircraft flown down a 3° path at a constant ground speed."""
    kind, speed_kt = (MTJ, ground_kt) if ground_kt >= 140.0 else (RTP, ground_kt)
    if ground_kt < 100.0:
        kind = SEP
    flown = fly(airframe(kind, 0.0, 0.0), speed_kt, (Step("", below_nm(20.0)),), 9.0, 1500.0)
    row = flown.at_altitude(500.0)
    _, _, ground_ms = flown.frame.derived(row.state)
    # The speed selected is calibrated: brought to the ground speed asked for.
    return -row.state.climb_ms / FPM * ground_kt * KT / ground_ms


def full_thrust_n(kind: AircraftType, cas_kt: float, feet: float, delta_isa_k: float) -> float:
    """Full thrust (N) of all engines at a pressure altitude on a day off standard."""
    air = Air(delta_isa_k, 1013.25).state_at(feet * FT)
    tas_ms = tas_from_cas(cas_kt * KT, air)
    return Performance(kind, kind.mass_typical_t, delta_isa_k).max_thrust_n(air, tas_ms)


def reference_over_stall(kind: AircraftType, stage: int) -> float:
    """Reference speed over 1 g stall speed."""
    mass_t = kind.mass_typical_t
    stall_kt = Performance(kind, mass_t, 0.0).stall_cas_ms(float(stage)) / KT
    return kind.reference_kt(mass_t, stage) / stall_kt


def power_after_s(kind: AircraftType, seconds: float) -> float:
    """Power reached `seconds` after the lever was moved from idle to full."""
    frame = airframe(kind, 0.0, 0.0)
    state = _state(0.0, 70.0, 0.0, 0.0)
    for _ in range(round(seconds * 10)):
        state = frame.advance(state, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0)
    return state.power


def landing_climb_per_cent(kind: AircraftType) -> float:
    """Steady gradient of climb (%), landing configuration, reference speed, 8 s after the lever."""
    performance = Performance(kind, kind.mass_max_landing_t, 0.0)
    cas_ms = kind.reference_kt(kind.mass_max_landing_t) * KT
    air = STANDARD.state(0.0)
    tas_ms = tas_from_cas(cas_ms, air)
    landing = float(kind.stage_for("landing"))
    drag_n = performance.drag_n(air, tas_ms, 1.0, landing, 1.0, 0.0)
    thrust_n = performance.thrust_n(air, tas_ms, power_after_s(kind, 8.0))
    climb_ms = performance.level_change_climb_ms(tas_ms, cas_ms, cas_ms, thrust_n, drag_n)
    return 100.0 * climb_ms / tas_ms


def last_idle_nm(kind: AircraftType, start_kt: float) -> float:
    """Where the last chance of a type begins, calm."""
    path = Path(math.radians(3.0), 50.0 * FT, 0.0, 1000.0, 1013.25, is_curved=False)
    rungs = last_chance_ladder(
        airframe(kind, 0.0, 0.0), path, 0.0, kind.stage_for("landing"),
        kind.reference_kt(kind.mass_typical_t) + 5.0, 3000.0, start_kt,
    )  # fmt: skip
    return next(rung.distance_nm for rung in rungs if rung.step == "idle")


PUBLISHED = (
    Check("level, clean: loss of speed, 250 to 210 kt", f"{HANDBOOK}, about 10 kt per mile",
          "published", 10.0, 1.0, "kt/NM", lambda: slowing_per_nm(250, 210, 0)),
    Check("level, clean: distance from 250 to 180 kt", f"{HANDBOOK}, 10 kt per mile", "published",
          7.0, 1.0, "NM", lambda: slow_down_nm(250, 180)),
    Check("level, approach flap: loss of speed, 205 to 185 kt", BRIEFING, "from memory",
          Bounds(10.0, 15.0), 0.0, "kt/NM", lambda: slowing_per_nm(205, 185, 1)),
    Check("level, gear and landing flap extending: loss of speed", BRIEFING,
          "from memory", Bounds(20.0, 30.0), 0.0, "kt/NM", lambda: extending_per_nm(path=False)),
    Check("3° path, gear and landing flap extending: loss of speed", BRIEFING,
          "from memory", Bounds(10.0, 20.0), 0.0, "kt/NM", lambda: extending_per_nm(path=True)),
    Check("the same with 20 kt of headwind", BRIEFING, "from memory", Bounds(10.0, 20.0), 0.0,
          "kt/NM", lambda: extending_per_nm(path=True, tail_kt=-20.0)),
    Check("3° path, clean at 200 kt: speed is gained", f"{BRIEFING}, no deceleration possible",
          "from memory", Bounds(0.0, math.inf), 0.0, "kt/NM",
          lambda: idle(5, MTJ, 200, 2000, 0, 0, 3, 0)),
    Check("idle descent steepens with speed: 250 to 210 kt, rates, more than the speeds", HANDBOOK,
          "published", Bounds(250 / 210, math.inf), 0.0, "–",
          lambda: idle_descent_fpm(250) / idle_descent_fpm(210)),
    Check("idle descent at 210 kt", f"{HANDBOOK}, 1,000 in the sample of one type", "published",
          1000.0, 200.0, "ft/min", lambda: idle_descent_fpm(210)),
    Check("a good crew's gear before the intercept", "gear down no later than the glide path "
          "intercept: common practice", "rule of thumb", Bounds(0.0, math.inf), 0.0, "NM",
          lambda: _before_capture_nm("gear")),
    Check("a good crew's landing flap selected", f"{HANDBOOK}, by 1,000 ft", "published",
          Bounds(1000.0, math.inf), 0.0, "ft",
          lambda: reference_flight(MTJ).acts["flap 36"].now.altitude_ft),
    *(
        Check(f"idle to 95 % of power, {kind.name}", "14 CFR 33.73, turbines, as quoted",
              "published", Bounds(0.0, 5.0), 0.0, "s",
              functools.partial(spool_up_s, kind.engine.spool))
        for kind in (MTJ, RTP, BZJ)
    ),
    *(
        Check(f"landing climb 8 s after the lever, {kind.name}", "14 CFR 25.119", "published",
              Bounds(3.2, math.inf), 0.0, "%", functools.partial(landing_climb_per_cent, kind))
        for kind in (MTJ, RTP, BZJ)
    ),
    *(
        Check(f"reference over 1 g stall speed, {kind.name} flap {kind.flaps[stage].name}",
              "14 CFR 25.125(b)(2)", "published", Bounds(1.23, math.inf), 0.0, "–",
              functools.partial(reference_over_stall, kind, stage))
        for kind, stage in ((MTJ, 3), (MTJ, 4), (RTP, 2), (RTP, 3), (BZJ, 1), (BZJ, 2))
    ),
    *(
        Check(f"full thrust, {kind.name} {cas_kt} kt, {feet:,} ft, ISA{delta_isa_k:+d}",
              "law of the engine, worked out from the type file", "computed", thrust_n, 0.1, "N",
              functools.partial(full_thrust_n, kind, cas_kt, feet, delta_isa_k))
        for kind, cas_kt, feet, delta_isa_k, thrust_n in (
            (MTJ, 140, 5000, 0, 158220.0), (MTJ, 140, 5000, 25, 147144.6),
            (BZJ, 120, 8000, 0, 18909.6), (RTP, 170, 3000, 0, 29806.4),
            (RTP, 150, 9000, 0, 27322.5), (RTP, 150, 9000, 20, 24901.3),
            (SEP, 80, 6000, 0, 1492.8), (SEP, 80, 6000, 20, 1328.5))
    ),
    Check("stall speed at 60° of bank over that in level flight", "√(1/cos 60°)", "computed",
          1.41421, 1e-5, "–", lambda: Performance(MTJ, 58.0, 0.0).stall_cas_ms(4.0, 2.0)
          / Performance(MTJ, 58.0, 0.0).stall_cas_ms(4.0)),
    Check("reference over stall speed, piston-single", "1.3 VS0, textbook", "from memory", 1.3,
          0.05, "–", lambda: reference_over_stall(SEP, 3)),
    *(
        Check(f"sink on 3° at {ground} kt over the ground, flown",
              "FAA rate-of-descent table, as quoted", "published", sink, 4.0, "ft/min",
              functools.partial(sink_on_path_fpm, float(ground)))
        for ground, sink in ((90, 480), (120, 635), (135, 715), (150, 795), (165, 875))
    ),
    *(
        Check(f"last idle point of a stable approach, {kind.name}, calm",
              "the same rules flown from the type file in steps of 0.02 s", "computed", place, 0.02,
              "NM", functools.partial(last_idle_nm, kind, start))
        for kind, start, place in ((MTJ, 210.0, 11.929), (RTP, 200.0, 8.788), (BZJ, 210.0, 7.758))
    ),
)  # fmt: skip


def _before_capture_nm(act: str) -> float:
    flown = reference_flight(MTJ)
    return flown.acts[act].now.distance_nm - flown.acts["path captured"].now.distance_nm


CHECKS = (*PUBLISHED, *_golden(), *_reference())
