"""Checks of an aircraft file that need more than one key: no type outside what could fly.

Owns the cross checks and the ranges of derived figures (wing loading, thrust to weight, glide
ratio, reference over stall speed). It knows no exercise. Surprising rule: every refusal names the
parameter and what its value leads to, because a single figure is seldom wrong by itself.

The ranges are wide on purpose: common practice and textbook values for light singles to large
jets, from memory, unless a source stands beside them.
"""

from __future__ import annotations

import math
from itertools import pairwise

from trainer.scenario.fields import Fields
from trainer.scenario.quantities import plain_number
from trainer.scenario.reading import Reading
from trainer.text import quoted
from trainer.units import KT, G
from trainer.world import aircraft as values
from trainer.world.energy import Performance, spool_up_s

WING_LOADING = (30.0, 900.0)
"""Maximum mass over wing area, kg/m²."""
JET_THRUST_TO_WEIGHT = (0.15, 0.6)
"""Static thrust over maximum weight of a jet."""
POWER_TO_MASS = (60.0, 400.0)
"""Shaft power over maximum mass, kW/t."""
PROPELLER_THRUST_TO_WEIGHT = (0.1, 0.6)
"""Static thrust over maximum weight with propellers."""
BEST_GLIDE = (7.0, 25.0)
"""Largest lift over drag, clean."""
REFERENCE_OVER_STALL = (1.2, 1.45)
"""Reference speed over 1 g stall speed (14 CFR 25.125: at least 1.23 times the reference stall
speed; light singles about 1.3)."""
MANOEUVRE_OVER_STALL = (1.2, 1.7)
"""Lowest manoeuvring speed over 1 g stall speed."""
LONGEST_SPOOL_S = 8.0
"""Idle to 95 % of power, s (14 CFR 33.73 asks for 5 s, 14 CFR 25.119 counts 8 s)."""


def check_stages(fields: Fields, stages: tuple[values.FlapStage, ...], reading: Reading) -> None:
    """Note problems of names, roles and order of the flap stages."""
    if not stages:
        reading.refuse(fields.at("flaps"), "no flap stages; expected at least the clean one")
        return
    nodes = fields.records("flaps")
    names = [stage.name for stage in stages]
    for index, stage in enumerate(stages):
        if stage.name in names[:index]:
            reading.refuse(
                nodes[index].at("stage"), f"the stage {quoted(stage.name)} stands here twice"
            )
    for (before, _), (stage, node) in pairwise(zip(stages, nodes, strict=True)):
        _check_order(before, stage, node, reading)
    roles = {role for stage in stages for role in stage.roles}
    for role in ("clean", "landing", "go around"):
        if role not in roles:
            reading.refuse(
                fields.at("flaps"), f"no stage plays the role {role}; expected one that lists it"
            )
    _check_landing_flaps(fields, stages, reading)


def _check_order(
    before: values.FlapStage, stage: values.FlapStage, node: Fields, reading: Reading
) -> None:
    """What falls or rises from stage to stage."""
    if before.limit_kt is not None and (stage.limit_kt is None or stage.limit_kt > before.limit_kt):
        reading.refuse(
            node.at("limit"),
            f"flap {stage.name} has a higher limit than flap {before.name}; "
            "expected limits that fall from stage to stage",
        )
    for key, less, more in (
        ("drag", before.drag_increment, stage.drag_increment),
        ("lift", before.lift_max, stage.lift_max),
    ):
        if more <= less:
            reading.refuse(
                node.at(key),
                f"flap {stage.name} has no more {key} than flap {before.name}; "
                f"expected {key} that rises from stage to stage",
            )
    if stage.manoeuvre_a >= before.manoeuvre_a:
        reading.refuse(
            node.at("manoeuvre factor"),
            f"flap {stage.name} has no lower manoeuvre factor than flap {before.name}; "
            "expected factors that fall from stage to stage",
        )
    if stage.transit_s <= 0.0:
        reading.refuse(
            node.at("transit"), f"flap {stage.name} takes no time; expected a transit above 0 s"
        )


def _check_landing_flaps(
    fields: Fields, stages: tuple[values.FlapStage, ...], reading: Reading
) -> None:
    names = [stage.name for stage in stages]
    for place, name in enumerate(fields.texts("landing flaps")):
        at = fields.entry("landing flaps", place)
        found = next((stage for stage in stages if stage.name == name), None)
        if found is None:
            reading.unknown(at, "unknown stage", name, names)
        elif found.reference_a is None:
            reading.refuse(at, f"flap {name} has no reference factor; expected one")
    for stage, node in zip(stages, fields.records("flaps"), strict=True):
        if "landing" in stage.roles and stage.name not in fields.texts("landing flaps"):
            reading.refuse(
                node.at("roles"),
                f"flap {stage.name} is the landing stage; expected it among the landing flaps",
            )


def check_masses(mass: Fields, reading: Reading) -> None:
    """Note masses that do not rise from minimum to maximum."""
    order = ("minimum", "typical landing", "maximum landing", "maximum")
    for lower, upper in pairwise(order):
        if mass.number(lower) > mass.number(upper):
            reading.refuse(mass.at(upper), f"{upper} mass is below the {lower} mass")


def check_plausible(kind: values.AircraftType, fields: Fields, reading: Reading) -> None:
    """Note what no aircraft could be: everything derived from a type that is otherwise sound."""
    if _is_loading_plausible(kind, fields, reading):
        _check_speeds(kind, fields, reading)
    _check_gear(kind, fields, reading)
    _check_engine(kind, fields, reading)
    _check_roll(kind, fields, reading)
    _check_controls(kind, fields, reading)


def _range(
    reading: Reading, fields: Fields, key: str, what: str, value: float,
    bounds: tuple[float, float], unit: str = "",
) -> None:  # fmt: skip
    low, high = bounds
    if not low <= value <= high:
        reading.refuse(
            fields.at(key),
            f"{key}: {what} is {value:.4g}{unit}; expected {plain_number(low)} to "
            f"{plain_number(high)}{unit}",
        )


def _is_loading_plausible(kind: values.AircraftType, fields: Fields, reading: Reading) -> bool:
    """Whether the wing fits the mass: if not, no speed can be right either."""
    loading = kind.mass_max_t * 1000.0 / kind.wing_area_m2
    what = "wing loading at maximum mass"
    _range(reading, fields, "wing area", what, loading, WING_LOADING, " kg/m2")
    ratio = 0.5 / math.sqrt(kind.drag_zero_lift * kind.drag_induced)
    _range(reading, fields, "drag", "the best glide ratio", ratio, BEST_GLIDE)
    return WING_LOADING[0] <= loading <= WING_LOADING[1]


def _check_speeds(kind: values.AircraftType, fields: Fields, reading: Reading) -> None:
    performance = Performance(kind, kind.mass_typical_t, 0.0)
    heaviest_t, typical_t = kind.mass_max_landing_t, kind.mass_typical_t
    for index, (stage, node) in enumerate(zip(kind.flaps, fields.records("flaps"), strict=True)):
        stall_kt = performance.stall_cas_ms(float(index)) / KT
        ratio = kind.manoeuvre_kt(typical_t, index) / stall_kt
        what = f"manoeuvring over stall speed, flap {stage.name},"
        _range(reading, node, "manoeuvre factor", what, ratio, MANOEUVRE_OVER_STALL)
        if stage.reference_a is not None:
            ratio = kind.reference_kt(typical_t, index) / stall_kt
            what = f"reference over stall speed, flap {stage.name},"
            _range(reading, node, "reference factor", what, ratio, REFERENCE_OVER_STALL)
        slowest_kt = kind.manoeuvre_kt(heaviest_t, index)
        if stage.limit_kt is not None and stage.limit_kt <= slowest_kt:
            reading.refuse(
                node.at("limit"),
                f"limit: flap {stage.name} is limited to {plain_number(stage.limit_kt)} kt, below "
                f"its manoeuvring speed of {slowest_kt:.0f} kt at maximum landing mass; "
                "expected a higher limit",
            )
        if stage.limit_kt is not None and stage.limit_kt > kind.max_speed_kt:
            reading.refuse(
                node.at("limit"),
                f"limit: flap {stage.name} is allowed above the maximum speed; expected less",
            )
        if stage.select_kt is not None:
            _check_selection(kind, index, node, reading)


def _check_selection(kind: values.AircraftType, index: int, node: Fields, reading: Reading) -> None:
    stage = kind.flaps[index]
    assert stage.select_kt is not None
    slowest_kt = kind.manoeuvre_kt(kind.mass_typical_t, max(0, index - 1))
    if stage.select_kt < slowest_kt:
        reading.refuse(
            node.at("select"),
            f"select: flap {stage.name} is planned below the manoeuvring speed of "
            f"{slowest_kt:.0f} kt of the stage before; expected at least that",
        )
    if stage.limit_kt is not None and stage.select_kt > stage.limit_kt:
        reading.refuse(
            node.at("select"),
            f"select: flap {stage.name} is planned above its limit; expected less",
        )


def _check_gear(kind: values.AircraftType, fields: Fields, reading: Reading) -> None:
    gear, part = kind.gear, fields.part("gear")
    limits = {
        "extend limit": gear.extend_limit_kt,
        "retract limit": gear.retract_limit_kt,
        "extended limit": gear.extended_limit_kt,
    }
    for key, limit_kt in limits.items():
        if (limit_kt is None) != gear.is_fixed:
            told = "fixed gear has none" if gear.is_fixed else "retractable gear needs one"
            reading.refuse(part.at(key), f"{key}: {told}")
    for key, travel_s in (("down", gear.down_s), ("up", gear.up_s)):
        if (travel_s > 0.0) == gear.is_fixed:
            told = "does not travel" if gear.is_fixed else "needs a time above 0 s"
            reading.refuse(part.at(key), f"{key}: the gear {told}")
    extended_kt = gear.extended_limit_kt
    for key in ("extend limit", "retract limit"):
        limit_kt = limits[key]
        if limit_kt is not None and extended_kt is not None and limit_kt > extended_kt:
            reading.refuse(
                part.at(key), f"{key}: above the limit with the gear extended; expected less"
            )
    if not gear.is_fixed and "gear" not in kind.controls:
        reading.refuse(
            fields.at("controls"), "controls: retractable gear without its control; expected both"
        )


def _check_engine(kind: values.AircraftType, fields: Fields, reading: Reading) -> None:
    engine = kind.engine
    weight_kn = kind.mass_max_t * G
    ratio = engine.count * engine.static_kn / weight_kn
    if isinstance(engine, values.JetEngine):
        part, family = fields.part("jet"), "jet"
        bounds = JET_THRUST_TO_WEIGHT
    else:
        part, family = fields.part("propeller"), "turboprop" if engine.is_turbine else "piston"
        bounds = PROPELLER_THRUST_TO_WEIGHT
        per_mass = engine.count * engine.power_kw / kind.mass_max_t
        what = "shaft power over maximum mass"
        _range(reading, part, "power", what, per_mass, POWER_TO_MASS, " kW/t")
        if engine.idle_t0_kn > 0.3 * engine.static_kn:
            reading.refuse(
                part.at("idle thrust"),
                "idle thrust: more than a third of full thrust at rest; expected less",
            )
    _range(reading, part, "static thrust", "static thrust over maximum weight", ratio, bounds)
    if kind.family != family:
        reading.refuse(
            fields.at("family"),
            f"family: the engine is that of a {family}, the family says {kind.family}; "
            "expected the same",
        )
    spool_s = spool_up_s(engine.spool)
    if spool_s > LONGEST_SPOOL_S:
        reading.refuse(
            part.at("spool"),
            f"spool: {spool_s:.1f} s from idle to 95 % of power; expected at most "
            f"{plain_number(LONGEST_SPOOL_S)} s",
        )
    settings = kind.propeller
    if settings is not None and settings.shares[0][1] > settings.shares[1][1]:
        reading.refuse(
            part.at("settings"), "settings: cruise gives more thrust than high; expected less"
        )


def _check_roll(kind: values.AircraftType, fields: Fields, reading: Reading) -> None:
    roll, part = kind.roll, fields.part("landing roll")
    if not roll.rolling_friction < roll.braking_wet <= roll.braking_dry:
        reading.refuse(
            part.at("braking wet"),
            "braking wet: expected more than the rolling friction and no more than braking dry",
        )
    for (_, gentle_ms2), (level, strong_ms2) in pairwise(roll.autobrake_ms2):
        if strong_ms2 <= gentle_ms2:
            reading.refuse(
                part.at("autobrake"),
                f"autobrake: level {level} is no stronger than the one below; expected more",
            )


def _check_controls(kind: values.AircraftType, fields: Fields, reading: Reading) -> None:
    """Controls stand for what is fitted, and what is fitted has its control."""
    fitted = {
        "autobrake": (bool(kind.roll.autobrake_ms2), "autobrake levels"),
        "reverse": (kind.roll.reverse_fraction > 0.0, "a reverse fraction"),
        "autopilot": (kind.guidance.autopilots > 0, "an autopilot"),
        "second autopilot": (kind.guidance.autopilots > 1, "two autopilots"),
        "propellers": (kind.propeller is not None, "propeller settings"),
    }
    for control, (is_fitted, what) in fitted.items():
        if (control in kind.controls) != is_fitted:
            told = f"{what} without its control" if is_fitted else f"{control} without {what}"
            reading.refuse(fields.at("controls"), f"controls: {told}; expected both or neither")
    is_by_hand = kind.autothrust is None
    if is_by_hand and kind.hand is None:
        reading.refuse(
            fields.node, "hand: without autothrust power is set by hand; expected its figures"
        )
    if not is_by_hand and "torque" in kind.controls:
        reading.refuse(
            fields.at("controls"), "controls: torque beside an autothrust; expected one of them"
        )
    for control in ("speed mode", "autothrust off"):
        if is_by_hand and control in kind.controls and kind.autothrust_option is None:
            reading.refuse(
                fields.at("controls"), f"controls: {control} without autothrust; expected both"
            )
    if "autothrust off" in kind.controls and kind.hand is None:
        reading.refuse(
            fields.node, "hand: with autothrust off power is set by hand; expected its figures"
        )
    guidance, part = kind.guidance, fields.part("guidance")
    if guidance.autopilot_option and guidance.autopilots > 0:
        reading.refuse(
            part.at("optional autopilot"),
            "optional autopilot: the type has one already; expected autopilots: 0",
        )
    for key, height_ft in (
        ("capability height", guidance.capability_ft),
        ("alert height", guidance.alert_height_ft),
        ("decision height", guidance.decision_height_ft),
        ("align height", guidance.align_ft),
    ):
        if height_ft > 0.0 and guidance.autopilots < 2:
            reading.refuse(
                part.at(key), f"{key}: automatic landing needs two autopilots; expected 0 ft"
            )
