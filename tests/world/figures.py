"""What several tests compute of the types: idle deceleration, energy margin, landing roll."""

from __future__ import annotations

import math

from tests.world.flyer import FLAT
from tests.world.types import twin_jet
from trainer.units import DEG, FT, KT, NM, G
from trainer.world.air import Air, cas_from_tas, tas_from_cas
from trainer.world.aircraft import AircraftType
from trainer.world.energy import Performance
from trainer.world.ground import Roll, RollCommand, Runway, advance_on_ground, derived_on_ground
from trainer.world.margin import Energy, Margin, Path, energy_margin
from trainer.world.motion import Airframe, State
from trainer.world.wind import Wind

MTJ = twin_jet()
STANDARD = Air(0.0, 1013.25)
NORTH = Runway(0.0, 0.0, 0.0, 0.0)


def glide_climb_ms(tas_ms: float, wind_kt: float, angle_deg: float = 3.0) -> tuple[float, float]:
    """Climb rate and load factor on a ground-fixed path with `wind_kt` of tailwind."""
    climb_ms = 0.0
    for _ in range(20):
        level_ms = math.sqrt(tas_ms * tas_ms - climb_ms * climb_ms)
        climb_ms = -(level_ms + wind_kt * KT) * math.tan(angle_deg * DEG)
    return climb_ms, math.sqrt(1.0 - (climb_ms / tas_ms) ** 2)


def idle_figures(
    kind: AircraftType,
    cas_kt: float,
    feet: float,
    flap: int,
    gear: float,
    path_deg: float = 0.0,
    tail_kt: float = 0.0,
    speedbrake: float = 0.0,
    mass_t: float | None = None,
) -> tuple[float, float, float, float, float, float]:
    """TAS kt, drag N, idle thrust N, dV/dt m/s², dCAS kt/s, dCAS kt/NM at idle."""
    performance = Performance(kind, mass_t or kind.mass_typical_t, 0.0)
    air = STANDARD.state(feet * FT)
    tas_ms = tas_from_cas(cas_kt * KT, air)
    climb_ms, load = glide_climb_ms(tas_ms, tail_kt, path_deg)
    drag_n = performance.drag_n(air, tas_ms, load, flap, gear, speedbrake)
    idle_n = performance.idle_thrust_n(air, tas_ms)
    change = (idle_n - drag_n) / performance.mass_kg - G * climb_ms / tas_ms
    # Exact rate of calibrated airspeed: what the pitot shows a tenth of a second later.
    later = STANDARD.state(feet * FT + 0.1 * climb_ms)
    cas_change = (cas_from_tas(tas_ms + 0.1 * change, later) / KT - cas_kt) / 0.1
    ground_kt = tas_ms * load / KT + tail_kt
    return tas_ms / KT, drag_n, idle_n, change, cas_change, cas_change * 3600.0 / ground_kt


def margin(
    distance_nm: float,
    indicated_ft: float,
    cas_kt: float,
    stage: int,
    gear: bool,
    tail_kt: float = 0.0,
    delta_isa_k: float = 0.0,
    kind: AircraftType = MTJ,
    path: Path = FLAT,
) -> Margin:
    """The margin of `kind` with flap and gear in place, final speed five knots above reference."""
    air = Air(delta_isa_k, 1013.25)
    mass_t = kind.mass_typical_t
    energy = Energy(
        distance_nm * NM,
        air.height_at_indicated_m(indicated_ft, 1013.25),
        cas_kt,
        float(stage),
        stage,
        float(gear),
        gear,
        tail_kt * KT,
    )
    return energy_margin(
        Airframe(kind, mass_t, air, Wind()),
        energy,
        path,
        kind.stage_for("landing"),
        kind.reference_kt(mass_t) + 5.0,
    )


def landed(kind: AircraftType, cas_kt: float, **changes: float) -> State:
    """A state rolling north at `cas_kt` in landing configuration, at sea level."""
    flap = float(len(kind.flaps) - 1)
    state = State(0.0, 0.0, 0.0, cas_kt * KT, 0.0, 0.0, 0.0, 0.0, flap, 1.0, 0.0, 0.0)
    return state._replace(**changes)


def roll_to(
    kind: AircraftType,
    cas_kt: float,
    command: RollCommand,
    runway: Runway = NORTH,
    tail_kt: float = 0.0,
    end_kt: float = 20.0,
) -> tuple[float, float, State]:
    """Distance m and time s until `end_kt` over the ground (at most 120 s), and the state."""
    wind = Wind([(0.0, 0.0, tail_kt * KT)])
    frame = Airframe(kind, kind.mass_typical_t, Air(0.0, 1013.25), wind)
    state, roll = landed(kind, cas_kt), Roll()
    while derived_on_ground(frame, state).ground_north_ms > end_kt * KT and roll.steps < 1200:
        state, roll = advance_on_ground(frame, state, roll, runway, command)
    return state.flown_m, roll.since_touchdown_s, state
