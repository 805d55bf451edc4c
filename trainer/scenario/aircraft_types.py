"""Aircraft files as values.

Owns the mapping from the keys of the file to `AircraftType`. Knows no ranges: those of one key
stand in the vocabulary, those of several in `aircraft_checks`. Surprising rule: an optional
autothrust is *not* fitted; the type is then flown by hand until somebody asks for the option.
"""

from __future__ import annotations

from trainer.errors import sentence_of
from trainer.scenario import aircraft_checks as checks
from trainer.scenario.fields import Fields
from trainer.scenario.reading import Reading
from trainer.text import quoted
from trainer.world import aircraft as values

_NO_SPEEDBRAKE = values.Speedbrake(0.0, 1.0, -1)


def build(name: str, fields: Fields, reading: Reading) -> values.AircraftType | None:
    """The type in `fields`, called `name` (stem of its file); None if a problem was noted."""
    before = len(reading.problems)
    stages = tuple(_stage(stage) for stage in fields.records("flaps"))
    checks.check_stages(fields, stages, reading)
    checks.check_masses(fields.part("mass"), reading)
    speedbrake = _speedbrake(fields, stages, reading)
    if len(reading.problems) > before:
        return None
    mass = fields.part("mass")
    polar = fields.part("drag")
    autothrust, is_optional = _autothrust(fields)
    kind = values.AircraftType(
        name=name,
        title=fields.text("title"),
        family=fields.text("family"),
        mass_min_t=mass.number("minimum"),
        mass_typical_t=mass.number("typical landing"),
        mass_max_landing_t=mass.number("maximum landing"),
        mass_max_t=mass.number("maximum"),
        wing_area_m2=fields.number("wing area"),
        drag_zero_lift=polar.number("zero lift"),
        drag_induced=polar.number("induced"),
        flaps=stages,
        landing_flaps=fields.texts("landing flaps"),
        gear=_gear(fields.part("gear")),
        speedbrake=speedbrake,
        max_speed_kt=fields.number("maximum speed"),
        engine=_engine(fields),
        autothrust=None if is_optional else autothrust,
        handling=_handling(fields.part("handling")),
        flare=_flare(fields.part("flare")),
        roll=_roll(fields.part("landing roll")),
        guidance=_guidance(fields.part("guidance")),
        controls=fields.texts("controls"),
        hand=_hand(fields),
        propeller=_propeller_settings(fields),
        autothrust_option=autothrust if is_optional else None,
        icing_speed_factor=fields.number("icing speed factor"),
    )
    checks.check_plausible(kind, fields, reading)
    return None if len(reading.problems) > before else kind


def _stage(fields: Fields) -> values.FlapStage:
    return values.FlapStage(
        name=fields.text("stage"),
        roles=fields.texts("roles"),
        drag_increment=fields.number("drag"),
        limit_kt=fields.maybe("limit"),
        select_kt=fields.maybe("select"),
        manoeuvre_a=fields.number("manoeuvre factor"),
        reference_a=fields.maybe("reference factor"),
        lift_max=fields.number("lift"),
        transit_s=fields.number("transit"),
    )


def _speedbrake(
    fields: Fields, stages: tuple[values.FlapStage, ...], reading: Reading
) -> values.Speedbrake:
    part = fields.record("speedbrake")
    if part is None:
        if "speedbrake" in fields.texts("controls"):
            reading.refuse(
                fields.at("controls"), "a speedbrake control without a speedbrake; expected both"
            )
        return _NO_SPEEDBRAKE
    names = [stage.name for stage in stages]
    name = part.text("highest flap stage")
    if name not in names:
        reading.refuse(
            part.at("highest flap stage"),
            f"unknown stage {quoted(name)}; known are {sentence_of(names)}",
        )
        return _NO_SPEEDBRAKE
    return values.Speedbrake(part.number("drag"), part.number("transit"), names.index(name))


def _gear(fields: Fields) -> values.Gear:
    return values.Gear(
        is_fixed=fields.flag("fixed"),
        drag_increment=fields.number("drag"),
        extend_limit_kt=fields.maybe("extend limit"),
        retract_limit_kt=fields.maybe("retract limit"),
        extended_limit_kt=fields.maybe("extended limit"),
        down_s=fields.number("down"),
        up_s=fields.number("up"),
    )


def _spool(fields: Fields) -> values.Spool:
    return values.Spool(
        tau_s=fields.number("lag"),
        rate_idle=fields.number("rate at idle"),
        rate_high=fields.number("rate above"),
        power_knee=fields.number("knee"),
        rate_down=fields.number("rate down"),
    )


def _engine(fields: Fields) -> values.JetEngine | values.PropellerEngine:
    jet = fields.record("jet")
    if jet is not None:
        return values.JetEngine(
            count=int(jet.number("engines")),
            static_kn=jet.number("static thrust"),
            idle_c0=jet.number("idle factor"),
            idle_c1=jet.number("idle mach factor"),
            max_mach_factor=jet.number("maximum mach factor"),
            max_density_exponent=jet.number("density exponent"),
            spool=_spool(jet.part("spool")),
        )
    propeller = fields.part("propeller")
    return values.PropellerEngine(
        count=int(propeller.number("engines")),
        power_kw=propeller.number("power"),
        efficiency=propeller.number("efficiency"),
        static_kn=propeller.number("static thrust"),
        idle_t0_kn=propeller.number("idle thrust"),
        idle_t1=propeller.number("idle drag"),
        is_turbine=propeller.flag("turbine"),
        spool=_spool(propeller.part("spool")),
    )


def _propeller_settings(fields: Fields) -> values.PropellerSettings | None:
    propeller = fields.record("propeller")
    part = propeller.record("settings") if propeller is not None else None
    if part is None:
        return None
    shares = tuple((name, part.number(name)) for name in ("cruise", "high"))
    return values.PropellerSettings(shares, part.text("initial"))


def _autothrust(fields: Fields) -> tuple[values.Autothrust | None, bool]:
    """The law, and whether it is only an option."""
    part = fields.record("autothrust")
    if part is None:
        return None, False
    law = values.Autothrust(
        gain_per_s=part.number("gain"),
        acceleration_max_kt_s=part.number("acceleration"),
        deceleration_max_kt_s=part.number("deceleration"),
    )
    return law, part.flag("optional")


def _hand(fields: Fields) -> values.HandLaw | None:
    part = fields.record("hand")
    if part is None:
        return None
    return values.HandLaw(
        look_s=part.number("look"),
        trend_s=part.number("trend"),
        power_per_kt=part.number("gain"),
        step=part.number("step"),
        deadband_kt=part.number("deadband"),
        lever_rate_per_s=part.number("lever rate"),
    )


def _handling(fields: Fields) -> values.Handling:
    return values.Handling(
        bank_deg=fields.number("bank"),
        roll_rate_deg_s=fields.number("roll rate"),
        vertical_tau_s=fields.number("vertical lag"),
        vertical_max_g=fields.number("vertical acceleration"),
    )


def _flare(fields: Fields) -> values.FlareLaw:
    return values.FlareLaw(
        start_ft=fields.number("start"),
        tau_s=fields.number("time constant"),
        sink_ft_s=fields.number("sink"),
        idle_ft=fields.number("idle"),
    )


def _roll(fields: Fields) -> values.LandingRoll:
    levels = fields.record("autobrake")
    autobrake = tuple(
        (level, deceleration)
        for level in ("low", "medium", "high", "max")
        if levels is not None and (deceleration := levels.maybe(level)) is not None
    )
    return values.LandingRoll(
        reverse_delay_s=fields.number("reverse delay"),
        reverse_fraction=fields.number("reverse fraction"),
        reverse_cutoff_kt=fields.number("reverse cut-off"),
        spoiler_drag=fields.number("spoiler drag"),
        lift_ground=fields.number("ground lift"),
        rolling_friction=fields.number("rolling friction"),
        braking_dry=fields.number("braking dry"),
        braking_wet=fields.number("braking wet"),
        autobrake_ms2=autobrake,
        autobrake_delay_s=fields.number("autobrake delay"),
    )


def _guidance(fields: Fields) -> values.GuidanceOptions:
    return values.GuidanceOptions(
        early_arming=fields.text("early arming"),
        leaving=fields.text("leaving"),
        second_press=fields.text("second press"),
        is_glide_before_localizer=fields.flag("glide before localizer"),
        altitude_capture_turn=fields.text("turn in capture"),
        is_nav_inert_after_localizer=fields.flag("nav inert after localizer"),
        autopilots=int(fields.number("autopilots")),
        capability_ft=fields.number("capability height"),
        alert_height_ft=fields.number("alert height"),
        decision_height_ft=fields.number("decision height"),
        align_ft=fields.number("align height"),
        rollout_fitted=fields.flag("rollout"),
        autopilot_minimum_ft=fields.number("autopilot minimum"),
        go_around_second_press=fields.flag("two-step go-around"),
        go_around_lateral_ft=fields.number("go-around lateral height"),
        signal_hold_s=fields.number("signal hold"),
        alive_dots=fields.number("alive"),
        ident=fields.text("ident"),
        is_approach_speed_flown=fields.text("speed after capture") == "approach speed",
        is_retune_inhibited=fields.flag("retune inhibit"),
        autopilot_option=fields.texts("optional autopilot"),
        service=fields.text("level of service"),
    )
