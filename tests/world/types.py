"""The four fictional types as values, for tests that want no file.

The files of `scenarios/aircraft` hold the same figures; a test compares.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from trainer.world.aircraft import (
    AircraftType,
    Autothrust,
    FlapStage,
    FlareLaw,
    Gear,
    GuidanceOptions,
    HandLaw,
    Handling,
    JetEngine,
    LandingRoll,
    PropellerEngine,
    PropellerSettings,
    Speedbrake,
    Spool,
)

NO_SPEEDBRAKE = Speedbrake(0.0, 1.0, -1)
CONTROLS = (
    "flap", "gear", "speedbrake", "spoilers", "autobrake", "speed", "heading", "altitude",
    "approach mode",
)  # fmt: skip


def twin_jet(**changes: Any) -> AircraftType:
    """The medium twin jet; keyword arguments replace fields."""
    kind = AircraftType(
        name="twin-jet",
        title="Twin jet",
        family="jet",
        mass_min_t=44.0,
        mass_typical_t=58.0,
        mass_max_landing_t=64.0,
        mass_max_t=73.0,
        wing_area_m2=118.0,
        drag_zero_lift=0.0190,
        drag_induced=0.0380,
        flaps=(
            FlapStage("0", ("clean",), 0.0, None, None, 26.8, None, 1.40, 0.0),
            FlapStage("4", ("first",), 0.005, 238.0, 208.0, 23.8, None, 1.78, 7.0),
            FlapStage("12", ("intermediate",), 0.0105, 214.0, 184.0, 21.5, None, 2.08, 8.0),
            FlapStage("22", ("approach", "go around"), 0.0255, 193.0, 167.0, 19.4, 18.3, 2.38, 8.0),
            FlapStage("36", ("landing",), 0.044, 172.0, 151.0, 17.9, 17.3, 2.66, 9.0),
        ),
        landing_flaps=("22", "36"),
        gear=Gear(False, 0.0175, 236.0, 222.0, 252.0, 12.0, 10.0),
        speedbrake=Speedbrake(0.022, 1.5, 2),
        max_speed_kt=332.0,
        engine=JetEngine(2, 112.0, 0.080, 0.095, 0.90, 0.8, Spool(0.6, 0.050, 0.26, 0.25, 0.30)),
        autothrust=Autothrust(0.10, 1.2, 1.5),
        handling=Handling(25.0, 4.0, 1.5, 0.10),
        flare=FlareLaw(50.0, 3.2, 2.0, 30.0),
        roll=LandingRoll(
            2.0, 0.22, 65.0, 0.060, 0.10, 0.015, 0.42, 0.22,
            (("low", 1.4), ("medium", 2.0), ("high", 2.8), ("max", 3.9)), 1.5,
        ),
        guidance=GuidanceOptions(
            early_arming="computed path",
            leaving="until both captured",
            second_press="disarms before localizer",
            is_glide_before_localizer=False,
            altitude_capture_turn="keeps target",
            is_nav_inert_after_localizer=True,
            autopilots=2,
            capability_ft=1200.0,
            alert_height_ft=150.0,
            decision_height_ft=100.0,
            align_ft=150.0,
            rollout_fitted=True,
            autopilot_minimum_ft=80.0,
            go_around_second_press=True,
            go_around_lateral_ft=400.0,
            signal_hold_s=8.0,
            alive_dots=2.5,
            ident="audio or decoded",
            service="LNAV/VNAV",
        ),
        controls=CONTROLS,
        hand=HandLaw(2.0, 4.0, 0.008, 0.02, 2.0, 0.20),
    )  # fmt: skip
    return replace(kind, **changes)


def turboprop() -> AircraftType:
    """The regional turboprop, propellers at high speed."""
    return twin_jet(
        name="turboprop",
        title="Turboprop",
        family="turboprop",
        mass_min_t=12.4,
        mass_typical_t=18.2,
        mass_max_landing_t=19.8,
        mass_max_t=20.6,
        wing_area_m2=58.0,
        drag_zero_lift=0.0270,
        drag_induced=0.0360,
        flaps=(
            FlapStage("0", ("clean",), 0.0, None, None, 34.5, None, 1.60, 0.0),
            FlapStage("10", ("first",), 0.012, 195.0, 172.0, 30.8, None, 1.92, 5.0),
            FlapStage("20", ("approach", "go around"), 0.028, 170.0, 150.0, 28.2, 26.7, 2.22, 5.0),
            FlapStage("32", ("landing",), 0.058, 140.0, 128.0, 25.7, 24.9, 2.58, 6.0),
        ),
        landing_flaps=("20", "32"),
        gear=Gear(False, 0.022, 175.0, 165.0, 190.0, 9.0, 8.0),
        speedbrake=NO_SPEEDBRAKE,
        max_speed_kt=242.0,
        engine=PropellerEngine(
            2, 1660.0, 0.82, 23.0, 1.15, 0.0212, True, Spool(0.5, 0.15, 0.40, 0.20, 0.50)
        ),
        autothrust=None,
        handling=Handling(25.0, 5.0, 1.5, 0.10),
        flare=FlareLaw(50.0, 3.2, 2.0, 20.0),
        roll=LandingRoll(1.5, 0.30, 50.0, 0.0, 0.35, 0.02, 0.38, 0.20, (), 1.5),
        guidance=replace(
            twin_jet().guidance,
            early_arming="waits",
            leaving="any basic mode",
            second_press="disarms always",
            is_glide_before_localizer=False,
            altitude_capture_turn="falls back to vertical speed",
            is_nav_inert_after_localizer=False,
            autopilots=1,
            capability_ft=0.0,
            alert_height_ft=0.0,
            decision_height_ft=0.0,
            align_ft=0.0,
            rollout_fitted=False,
            autopilot_minimum_ft=190.0,
            go_around_second_press=False,
            go_around_lateral_ft=500.0,
            signal_hold_s=5.0,
            alive_dots=2.0,
            ident="audio",
            service="LPV",
        ),
        hand=HandLaw(2.0, 4.0, 0.012, 0.02, 2.0, 0.15),
        propeller=PropellerSettings((("cruise", 0.85), ("high", 1.0)), "cruise"),
        icing_speed_factor=1.09,
    )


def business_jet() -> AircraftType:
    """The light business jet, without autothrust."""
    return twin_jet(
        name="business-jet",
        title="Business jet",
        mass_min_t=5.9,
        mass_typical_t=8.3,
        mass_max_landing_t=9.1,
        mass_max_t=10.2,
        wing_area_m2=33.0,
        drag_zero_lift=0.0240,
        drag_induced=0.0480,
        flaps=(
            FlapStage("0", ("clean",), 0.0, None, None, 51.2, None, 1.45, 0.0),
            FlapStage(
                "12", ("first", "approach", "go around"), 0.012, 218.0, 206.0, 44.0, 40.5, 1.83, 5.0
            ),
            FlapStage("33", ("landing",), 0.046, 172.0, 150.0, 38.6, 37.1, 2.18, 7.0),
        ),
        landing_flaps=("12", "33"),
        gear=Gear(False, 0.019, 205.0, 188.0, 226.0, 8.0, 7.0),
        speedbrake=Speedbrake(0.030, 1.0, 1),
        max_speed_kt=282.0,
        engine=JetEngine(2, 14.4, 0.082, 0.096, 0.90, 0.8, Spool(0.5, 0.06, 0.30, 0.25, 0.40)),
        autothrust=None,
        handling=Handling(25.0, 5.0, 1.2, 0.10),
        roll=LandingRoll(0.0, 0.0, 0.0, 0.055, 0.20, 0.015, 0.38, 0.20, (), 1.0),
        guidance=replace(
            twin_jet().guidance,
            early_arming="waits",
            leaving="until glide",
            second_press="nothing",
            is_glide_before_localizer=True,
            altitude_capture_turn="keeps target",
            is_nav_inert_after_localizer=False,
            autopilots=1,
            capability_ft=0.0,
            alert_height_ft=0.0,
            decision_height_ft=0.0,
            align_ft=0.0,
            rollout_fitted=False,
            autopilot_minimum_ft=110.0,
            go_around_second_press=False,
            go_around_lateral_ft=400.0,
            signal_hold_s=10.0,
            alive_dots=2.0,
            ident="decoded",
            service="LPV",
            is_approach_speed_flown=True,
            is_retune_inhibited=True,
        ),
        hand=HandLaw(1.5, 4.0, 0.010, 0.02, 2.0, 0.20),
        autothrust_option=Autothrust(0.10, 1.5, 1.8),
    )


def piston_single() -> AircraftType:
    """The single-engine piston trainer with fixed gear."""
    return twin_jet(
        name="piston-single",
        title="Piston single",
        family="piston",
        mass_min_t=0.70,
        mass_typical_t=0.97,
        mass_max_landing_t=1.04,
        mass_max_t=1.04,
        wing_area_m2=15.2,
        drag_zero_lift=0.0330,
        drag_induced=0.0540,
        flaps=(
            FlapStage("0", ("clean",), 0.0, None, None, 74.4, None, 1.45, 0.0),
            FlapStage("12", ("first", "approach"), 0.009, 105.0, 92.0, 68.9, None, 1.62, 3.0),
            FlapStage(
                "24", ("intermediate", "go around"), 0.027, 95.0, 85.0, 63.8, 63.4, 1.78, 3.0
            ),
            FlapStage("34", ("landing",), 0.050, 82.0, 76.0, 61.9, 61.0, 1.92, 3.0),
        ),
        landing_flaps=("24", "34"),
        gear=Gear(True, 0.0, None, None, None, 0.0, 0.0),
        speedbrake=NO_SPEEDBRAKE,
        max_speed_kt=154.0,
        engine=PropellerEngine(
            1, 110.0, 0.75, 2.1, 0.11, 0.0083, False, Spool(0.3, 0.8, 1.2, 0.2, 1.2)
        ),
        autothrust=None,
        handling=Handling(20.0, 8.0, 1.0, 0.15),
        flare=FlareLaw(50.0, 3.0, 2.0, 30.0),
        roll=LandingRoll(0.0, 0.0, 0.0, 0.0, 0.40, 0.02, 0.30, 0.18, (), 0.5),
        guidance=replace(
            twin_jet().guidance,
            early_arming="refuses",
            leaving="any basic mode",
            second_press="disarms always",
            is_glide_before_localizer=False,
            altitude_capture_turn="falls back to vertical speed",
            is_nav_inert_after_localizer=False,
            autopilots=0,
            capability_ft=0.0,
            alert_height_ft=0.0,
            decision_height_ft=0.0,
            align_ft=0.0,
            rollout_fitted=False,
            autopilot_minimum_ft=210.0,
            go_around_second_press=False,
            go_around_lateral_ft=0.0,
            signal_hold_s=0.0,
            alive_dots=2.0,
            ident="audio",
            service="LPV",
            autopilot_option=("HDG", "ALT"),
        ),
        hand=HandLaw(2.5, 4.0, 0.015, 0.02, 2.0, 0.30),
    )
