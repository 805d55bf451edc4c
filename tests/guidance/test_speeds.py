"""Speeds outside the range of the configuration: flown at its bound, and said to be."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from tests.guidance.rig import Rig, modes
from tests.world.types import business_jet, piston_single, twin_jet
from trainer.guidance.modes import Protection
from trainer.guidance.speeds import speed_range
from trainer.world.aircraft import AircraftType

CLEAN_KT = 26.8 * math.sqrt(58.0)
"""Manoeuvring speed of the clean twin jet at 58 t, from its factor: 204.1 kt."""


def clean(cas_kt: float = 215.0) -> Rig:
    return Rig(distance_nm=30.0, altitude_ft=5000.0, cas_kt=cas_kt, flap=0)


def test_a_speed_below_the_manoeuvring_speed_is_flown_at_it_and_said_so() -> None:
    rig = clean()
    rig.select("speed", 160.0)
    rig.fly(60.0)
    assert rig.protections == [
        Protection(pytest.approx(CLEAN_KT), 160.0, "manoeuvring speed of flap 0")  # type: ignore[arg-type]
    ]
    assert rig.guidance.protected_kt == pytest.approx(CLEAN_KT)
    assert rig.sensed().cas_kt == pytest.approx(CLEAN_KT, abs=1.0)


def test_a_speed_above_the_limit_of_the_flap_is_flown_at_the_limit() -> None:
    rig = Rig(distance_nm=30.0, altitude_ft=5000.0, cas_kt=180.0, flap=3)
    rig.select("speed", 230.0)
    rig.fly(60.0)
    assert [p.reason for p in rig.protections] == ["limit of flap 22"]
    assert rig.sensed().cas_kt == pytest.approx(193.0, abs=1.0)


def test_flap_brings_the_selected_speed_within_reach_stage_by_stage() -> None:
    rig = clean()
    rig.select("speed", 170.0)
    rig.fly(30.0)
    assert rig.sensed().cas_kt == pytest.approx(CLEAN_KT, abs=1.0)
    rig.flap = 1
    rig.fly(60.0)
    assert rig.sensed().cas_kt == pytest.approx(23.8 * math.sqrt(58.0), abs=1.0)
    rig.flap = 2
    rig.fly(40.0)
    assert rig.sensed().cas_kt == pytest.approx(170.0, abs=1.0)
    assert [p.reason for p in rig.protections] == [
        "manoeuvring speed of flap 0",
        "the selected speed is flown again",
    ]
    assert rig.guidance.protected_kt == 0.0


def test_flap_that_moves_out_protects_for_the_stage_left_and_for_the_one_ahead() -> None:
    moving = speed_range(twin_jet(), 58.0, 1.4, 2, 0.0)
    assert (moving.low_why, moving.high_why) == ("manoeuvring speed of flap 4", "limit of flap 12")
    inwards = speed_range(twin_jet(), 58.0, 1.4, 1, 0.0)
    assert (inwards.low_why, inwards.high_why) == (
        "manoeuvring speed of flap 4",
        "limit of flap 12",
    )


def test_flap_selected_in_speeds_up_before_it_has_moved() -> None:
    selected = speed_range(twin_jet(), 58.0, 2.0, 1, 0.0)
    assert selected.low_kt == pytest.approx(23.8 * math.sqrt(58.0))


def test_a_final_approach_may_be_flown_down_to_the_reference_speed() -> None:
    # Figures of the type file: 17.3 and 18.3 times the root of 58 t.
    assert speed_range(twin_jet(), 58.0, 4.0, 4, 1.0).low_kt == pytest.approx(131.8, abs=0.1)
    assert speed_range(twin_jet(), 58.0, 3.0, 3, 1.0).low_kt == pytest.approx(139.4, abs=0.1)


@pytest.mark.parametrize(("gear", "limit_kt"), [(0.0, 238.0), (0.5, 222.0), (1.0, 238.0)])
def test_gear_in_transit_limits_more_than_gear_that_is_down(gear: float, limit_kt: float) -> None:
    assert speed_range(twin_jet(), 58.0, 1.0, 1, gear).high_kt == limit_kt


def test_a_type_with_fixed_gear_has_no_limit_from_it() -> None:
    assert speed_range(piston_single(), 0.97, 0.0, 0, 1.0).high_kt == 154.0


@pytest.mark.parametrize("vertical", ["CLIMB", "DESCEND"])
def test_pitch_that_holds_the_speed_is_protected_as_thrust_is(vertical: str) -> None:
    rig = clean()
    rig.select("altitude", 20000.0 if vertical == "CLIMB" else 1000.0)
    rig.select("speed", 150.0)
    rig.press("climb mode" if vertical == "CLIMB" else "descend mode")
    rig.fly(60.0)
    assert rig.modes.vertical == vertical
    assert rig.sensed().cas_kt > CLEAN_KT - 3.0
    assert rig.guidance.protected_kt == pytest.approx(CLEAN_KT)


def test_from_too_slow_to_too_fast_is_told_as_well() -> None:
    rig = Rig(twin_jet(), cas_kt=210.0, flap=0)
    rig.select("speed", 120.0)
    rig.fly(0.1)
    rig.select("speed", 345.0)
    rig.fly(0.1)
    assert [told.reason for told in rig.protections] == [
        "manoeuvring speed of flap 0",
        "maximum speed",
    ]
    assert rig.protections[-1].flown_kt == rig.kind.max_speed_kt


def test_a_hand_that_sets_power_is_not_protected() -> None:
    kind: AircraftType = replace(business_jet(), autothrust=None)
    rig = Rig(kind, modes(), distance_nm=30.0, altitude_ft=5000.0, cas_kt=180.0, flap=0)
    rig.select("speed", 100.0)
    rig.fly(5.0)
    assert rig.protections == []
    assert rig.guidance.protected_kt == 0.0
