"""Options of the types that no other test of guidance names: speed after capture, arcs, files."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from tests.builders import exercise
from tests.guidance.page import types
from tests.guidance.rig import Rig, modes, refusals
from tests.guidance.test_landing import on_final
from tests.guidance.test_presses import both_captured
from tests.world.types import business_jet, piston_single, turboprop, twin_jet
from trainer.units import DEG, FT, NM
from trainer.world.aircraft import AircraftType
from trainer.world.arcs import Arc
from trainer.world.legs import Route, Waypoint


def test_the_files_hold_the_options_that_the_tests_fly() -> None:
    made = (twin_jet(), turboprop(), business_jet(), piston_single())
    for mine, theirs in zip(types(), made, strict=True):
        assert mine.guidance == theirs.guidance, mine.name


def test_the_decision_height_of_the_type_is_a_named_value() -> None:
    heights = {kind.name: kind.guidance.decision_height_ft for kind in types()}
    assert heights == {
        "twin-jet": 100.0, "turboprop": 0.0, "business-jet": 0.0, "piston-single": 0.0,
    }  # fmt: skip
    drill = replace(exercise(), aircraft=twin_jet())
    assert drill.figures()["decision height"] == 100.0


@pytest.mark.parametrize(
    ("kind", "height_ft"),
    [(twin_jet(), 80.0), (turboprop(), 190.0), (business_jet(), 110.0)],
    ids=["twin jet", "turboprop", "business jet"],
)
def test_each_autopilot_leaves_below_its_own_height(kind: AircraftType, height_ft: float) -> None:
    rig = Rig(kind, distance_nm=2.0, altitude_ft=700.0, climb_fpm=-700.0, cas_kt=135.0)
    rig.press("vertical speed mode")
    assert rig.modes.engagement == "AP"
    rig.fly(120.0, lambda r: r.modes.engagement != "AP")
    assert rig.modes.engagement == "FD"
    assert rig.state.height_m / FT == pytest.approx(height_ft, abs=4.0)


@pytest.mark.parametrize(
    ("kind", "height_ft"),
    [(twin_jet(), 400.0), (turboprop(), 500.0), (business_jet(), 400.0), (piston_single(), 0.0)],
    ids=["twin jet", "turboprop", "business jet", "piston single"],
)
def test_in_a_go_around_other_modes_wait_for_the_height_of_the_type(
    kind: AircraftType, height_ft: float
) -> None:
    low, high = height_ft - 20.0, height_ft + 20.0
    for at_ft in (low, high) if height_ft else (high,):
        rig = Rig(kind, distance_nm=0.5, altitude_ft=at_ft, cas_kt=120.0, flap=1)
        rig.press("go-around")
        found = refusals(rig.press("heading mode"))
        told = ["heading ignored: go-around below the height for other modes"]
        assert found == (told if at_ft < height_ft else [])


def test_the_final_speed_bug_is_flown_after_capture_where_the_type_does_that() -> None:
    """The business jet, with the autothrust that an exercise may fit."""
    rig = both_captured(business_jet().with_autothrust())
    rig.select("speed", 150.0)
    rig.selectors = rig.selectors._replace(final_speed_kt=130.0)
    rig.fly(60.0)
    assert rig.sensed().cas_kt == pytest.approx(130.0, abs=3.0)
    assert rig.guidance.protected_why == "final speed bug after capture"


def test_the_final_speed_bug_is_no_target_where_speed_is_dialled() -> None:
    rig = both_captured()
    rig.select("speed", 190.0)
    rig.selectors = rig.selectors._replace(final_speed_kt=200.0)
    rig.fly(40.0)
    assert rig.sensed().cas_kt == pytest.approx(190.0, abs=3.0)
    assert rig.protections == []


def test_the_first_press_of_a_two_step_go_around_gives_a_rate_and_the_second_all_thrust() -> None:
    rig = on_final(height_ft=1000.0)
    rig.select("altitude", 6000.0)
    rig.press("go-around")
    rig.fly(12.0)
    assert rig.command.power < 1.0
    rig.press("go-around")
    rig.fly(0.1)
    assert rig.command.power == 1.0


@pytest.mark.parametrize("wind_kt", [0.0, 30.0])
def test_an_arc_is_flown_on_its_line(wind_kt: float) -> None:
    # 10 NM round a centre, from due west to due north of it, clockwise.
    radius_m = 10.0 * NM
    route = Route(
        (
            Waypoint("WEST", -radius_m, 0.0),
            Waypoint("NORTH", 0.0, radius_m, arc=Arc(0.0, 0.0, is_right=True)),
        )
    )
    rig = Rig(
        initial=modes("NAV"),
        heading_deg=0.0,
        altitude_ft=4000.0,
        cas_kt=210.0,
        flap=0,
        wind=[(0.0, wind_kt * 0.5144, 0.0)] if wind_kt else (),
        route=route,
    )
    rig.state = rig.state._replace(x_m=-radius_m, y_m=0.0)
    worst_m = 0.0
    for _ in range(320):
        rig.fly(1.0)
        if rig.state.x_m > -2000.0:
            break
        worst_m = max(worst_m, abs(math.hypot(rig.state.x_m, rig.state.y_m) - radius_m))
    assert rig.state.x_m > -2000.0
    assert worst_m < (60.0 if not wind_kt else 120.0)
    assert rig.state.bank_rad > 1.0 * DEG
