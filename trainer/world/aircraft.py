"""What an aircraft type is: masses, drag, thrust, stages, limits, speeds and guidance options.

Values only, as read from a type file; the equations that use them stand in the neighbouring
modules. Figures keep the unit of the file, named in each field. All types are fictional.
"""

from __future__ import annotations

import math
from dataclasses import replace

from trainer.values import dataclass


@dataclass(frozen=True, slots=True)
class FlapStage:
    """One position of the flap lever.

    `drag_increment` is added to the zero-lift drag coefficient; `manoeuvre_a` and `reference_a`
    give speed in kt as a·√(mass in tonnes); `transit_s` is the travel from the stage before.
    """

    name: str
    roles: tuple[str, ...]
    drag_increment: float
    limit_kt: float | None
    select_kt: float | None
    manoeuvre_a: float
    reference_a: float | None
    lift_max: float
    transit_s: float


@dataclass(frozen=True, slots=True)
class Gear:
    """Landing gear: drag, travel times and its three limit speeds (kt; None when fixed)."""

    is_fixed: bool
    drag_increment: float
    extend_limit_kt: float | None
    retract_limit_kt: float | None
    extended_limit_kt: float | None
    down_s: float
    up_s: float


@dataclass(frozen=True, slots=True)
class Speedbrake:
    """Speedbrake: drag, travel, and the highest flap stage index where it may be used."""

    drag_increment: float
    transit_s: float
    max_flap_stage: int


@dataclass(frozen=True, slots=True)
class Spool:
    """How fast power follows the lever: lag `tau_s`, rates per second near idle and above."""

    tau_s: float
    rate_idle: float
    rate_high: float
    power_knee: float
    rate_down: float


@dataclass(frozen=True, slots=True)
class JetEngine:
    """Thrust law of a jet: static thrust each (kN) and the idle and maximum thrust factors."""

    count: int
    static_kn: float
    idle_c0: float
    idle_c1: float
    max_mach_factor: float
    max_density_exponent: float
    spool: Spool


@dataclass(frozen=True, slots=True)
class PropellerEngine:
    """Thrust law of a turboprop or piston: shaft power each (kW), efficiency, propeller drag."""

    count: int
    power_kw: float
    efficiency: float
    static_kn: float
    idle_t0_kn: float
    idle_t1: float
    is_turbine: bool
    spool: Spool


@dataclass(frozen=True, slots=True)
class Autothrust:
    """Speed-hold law of the autothrust: gain 1/s, acceleration limits kt/s."""

    gain_per_s: float
    acceleration_max_kt_s: float
    deceleration_max_kt_s: float


@dataclass(frozen=True, slots=True)
class PropellerSettings:
    """Settings of the propeller control: name and share of full thrust, lowest first.

    `initial` is the setting in cruise, with which a flight begins. Idle thrust does not depend on
    the setting.
    """

    shares: tuple[tuple[str, float], ...]
    initial: str

    def share(self, name: str) -> float:
        """Share of full thrust at setting `name`; KeyError if there is none."""
        return dict(self.shares)[name]


@dataclass(frozen=True, slots=True)
class HandLaw:
    """How a pilot sets power by hand: looks, and moves the lever in steps.

    Every `look_s` the speed `trend_s` ahead is compared with the target; beyond `deadband_kt` the
    known setting is corrected by `power_per_kt` per kt; settings are multiples of `step` (power
    0..1); the lever moves at `lever_rate_per_s`.
    """

    look_s: float
    trend_s: float
    power_per_kt: float
    step: float
    deadband_kt: float
    lever_rate_per_s: float


@dataclass(frozen=True, slots=True)
class Handling:
    """Bank and vertical response: limits and first-order lags."""

    bank_deg: float
    roll_rate_deg_s: float
    vertical_tau_s: float
    vertical_max_g: float


@dataclass(frozen=True, slots=True)
class FlareLaw:
    """Flare: start height (ft radio), time constant, sink at touchdown, thrust-idle height."""

    start_ft: float
    tau_s: float
    sink_ft_s: float
    idle_ft: float


@dataclass(frozen=True, slots=True)
class LandingRoll:
    """Roll-out: reverse, spoilers, friction and the autobrake levels (m/s² by name)."""

    reverse_delay_s: float
    reverse_fraction: float
    reverse_cutoff_kt: float
    spoiler_drag: float
    lift_ground: float
    rolling_friction: float
    braking_dry: float
    braking_wet: float
    autobrake_ms2: tuple[tuple[str, float], ...]
    autobrake_delay_s: float


@dataclass(frozen=True, slots=True)
class GuidanceOptions:
    """The type's own choices where flight guidance systems differ (a different set per type).

    early_arming: "waits", "computed path" or "refuses".
    leaving: "any basic mode", "until glide", "until both captured".
    second_press: "disarms before localizer", "disarms always" or "nothing".
    altitude_capture_turn: "keeps target" or "falls back to vertical speed".
    go_around_second_press: a first press gives climb rate, a second full thrust.
    is_approach_speed_flown: after capture of a path the final speed bug is flown instead of the
    selected speed. is_retune_inhibited: receivers keep their frequency on a captured localizer.
    Heights in ft radio; 0 where the function is not fitted. alert_height_ft belongs to
    OPERATIONAL, decision_height_ft to PASSIVE. autopilot_modes: the only modes that the autopilot
    flies, () for all; autopilot_option: the modes of an autopilot that could be fitted.
    service: best level of service on an RNP final.
    """

    early_arming: str
    leaving: str
    second_press: str
    is_glide_before_localizer: bool
    altitude_capture_turn: str
    is_nav_inert_after_localizer: bool
    autopilots: int
    capability_ft: float
    alert_height_ft: float
    decision_height_ft: float
    align_ft: float
    rollout_fitted: bool
    autopilot_minimum_ft: float
    go_around_second_press: bool
    go_around_lateral_ft: float
    signal_hold_s: float
    alive_dots: float
    ident: str
    is_approach_speed_flown: bool = False
    is_retune_inhibited: bool = False
    autopilot_modes: tuple[str, ...] = ()
    autopilot_option: tuple[str, ...] = ()
    service: str = "LNAV"


@dataclass(frozen=True, slots=True)
class AircraftType:
    """One fictional type, as its file says.

    `controls` names the controls that exist (see `scenario.controls`); masses in tonnes,
    wing area m², speeds kt calibrated. `autothrust` is None where thrust is set by hand;
    `autothrust_option` the one that could be fitted. `icing_speed_factor` multiplies reference
    and manoeuvring speeds where the icing table applies; ice itself is not modelled.
    """

    name: str
    title: str
    family: str
    mass_min_t: float
    mass_typical_t: float
    mass_max_landing_t: float
    mass_max_t: float
    wing_area_m2: float
    drag_zero_lift: float
    drag_induced: float
    flaps: tuple[FlapStage, ...]
    landing_flaps: tuple[str, ...]
    gear: Gear
    speedbrake: Speedbrake
    max_speed_kt: float
    engine: JetEngine | PropellerEngine
    autothrust: Autothrust | None
    handling: Handling
    flare: FlareLaw
    roll: LandingRoll
    guidance: GuidanceOptions
    controls: tuple[str, ...]
    hand: HandLaw | None = None
    propeller: PropellerSettings | None = None
    autothrust_option: Autothrust | None = None
    icing_speed_factor: float = 1.0

    def with_autothrust(self) -> AircraftType:
        """The same type with its optional autothrust fitted; ValueError if it has no option."""
        if self.autothrust_option is None:
            raise ValueError(f"{self.name} has no optional autothrust")
        return replace(self, autothrust=self.autothrust_option)

    def with_autopilot(self) -> AircraftType:
        """The same type with its optional autopilot and its buttons; ValueError without option."""
        flown = self.guidance.autopilot_option
        if not flown:
            raise ValueError(f"{self.name} has no optional autopilot")
        return replace(
            self,
            guidance=replace(self.guidance, autopilots=1, autopilot_modes=flown),
            controls=(*self.controls, "autopilot", "autopilot off"),
        )

    def stage_index(self, name: str) -> int:
        """Index of the stage called `name`; ValueError if there is none."""
        for index, stage in enumerate(self.flaps):
            if stage.name == name:
                return index
        raise ValueError(f"no flap stage {name}")

    def stage_for(self, role: str) -> int:
        """Index of the stage that plays `role` (the last one that lists it)."""
        for index in range(len(self.flaps) - 1, -1, -1):
            if role in self.flaps[index].roles:
                return index
        raise ValueError(f"no flap stage for {role}")

    def in_icing(self) -> AircraftType:
        """The same type with the speeds of its icing table; itself where it has none.

        Reference and manoeuvring speeds are multiplied; a stage is planned as much faster as the
        stage before must fly at the typical mass, within its limit.
        """
        factor = self.icing_speed_factor
        if factor == 1.0:
            return self
        stages: list[FlapStage] = []
        for stage in self.flaps:
            reference_a, select_kt = stage.reference_a, stage.select_kt
            if select_kt is not None and stages:
                slowest_kt = stages[-1].manoeuvre_a * math.sqrt(self.mass_typical_t)
                select_kt = float(round(select_kt + slowest_kt * (1.0 - 1.0 / factor)))
                if stage.limit_kt is not None:
                    select_kt = min(select_kt, stage.limit_kt)
            stages.append(
                replace(
                    stage,
                    manoeuvre_a=stage.manoeuvre_a * factor,
                    reference_a=None if reference_a is None else reference_a * factor,
                    select_kt=select_kt,
                )
            )
        return replace(self, flaps=tuple(stages), icing_speed_factor=1.0)

    def reference_kt(self, mass_t: float, stage: int | None = None) -> float:
        """Reference speed (kt) at `mass_t` for a landing stage (default: the landing role).

        ValueError if `stage` is no landing stage.
        """
        index = self.stage_for("landing") if stage is None else stage
        factor = self.flaps[index].reference_a
        if factor is None:
            raise ValueError(f"flap {self.flaps[index].name} is not a landing stage")
        return factor * math.sqrt(mass_t)

    def manoeuvre_kt(self, mass_t: float, stage: int) -> float:
        """Lowest manoeuvring speed (kt) at `mass_t` with flap `stage`."""
        return self.flaps[stage].manoeuvre_a * math.sqrt(mass_t)
