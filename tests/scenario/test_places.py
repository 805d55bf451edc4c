"""The shipped airport, type and exercises are what their files claim."""

from __future__ import annotations

import math

import pytest

from tests.scenario import corpus
from trainer.flight.surroundings import surroundings_of
from trainer.scenario import compose, library
from trainer.scenario.exercise import Exercise
from trainer.units import FT, NM
from trainer.world.earth import height_above_plane_m

BUILT_IN = library.Library(corpus.roots()[1:])


@pytest.fixture(scope="module")
def temptation() -> Exercise:
    return compose.load("early-temptation", BUILT_IN)


def received(exercise: Exercise, x_m: float, y_m: float, altitude_ft: float) -> tuple[str, str]:
    around = surroundings_of(exercise)
    height_m = (altitude_ft - exercise.approach.runway.elevation_ft) * FT
    plane_m = height_above_plane_m(height_m, math.hypot(x_m, y_m))
    return (
        around.localizer.receive(x_m, y_m, plane_m).state,
        around.glide.receive(x_m, y_m, plane_m).state,
    )


def test_at_the_base_turn_the_localizer_is_received_and_the_glide_path_is_not(
    temptation: Exercise,
) -> None:
    fixes = {fix.name: fix for fix in temptation.airport.fixes}
    tulep = fixes["TULEP"]
    assert tulep.distance_nm > 18.0
    assert received(temptation, tulep.x_m, tulep.y_m, 3000.0) == ("received", "flagged")


def test_on_the_base_leg_the_glide_path_comes_in_before_the_intercept(temptation: Exercise) -> None:
    fixes = {fix.name: fix for fix in temptation.airport.fixes}
    tulep, ombry, kevux = fixes["TULEP"], fixes["OMBRY"], fixes["KEVUX"]
    halfway = ((tulep.x_m + ombry.x_m) / 2.0, (tulep.y_m + ombry.y_m) / 2.0)
    assert received(temptation, *halfway, 3000.0)[1] == "received"
    assert received(temptation, ombry.x_m, ombry.y_m, 3000.0) == ("covered", "received")
    assert received(temptation, kevux.x_m, kevux.y_m, 3000.0) == ("covered", "covered")


def test_the_ranging_reads_zero_at_the_threshold(temptation: Exercise) -> None:
    station = surroundings_of(temptation).dme
    assert station is not None
    assert station.distance_nm(0.0, 0.0, 50.0 * FT) == pytest.approx(0.0, abs=0.005)


def test_the_frequency_is_one_of_a_localizer(temptation: Exercise) -> None:
    # 108.10 to 111.95 MHz, odd tenths and those plus 0.05 (FAA AIM 1-1-9 b.1).
    megahertz, tenths = temptation.approach.localizer.frequency.split(".")
    assert 108 <= int(megahertz) <= 111
    assert int(tenths[0]) % 2 == 1
    assert tenths[1] in "05"


def test_the_place_is_far_out_at_sea(temptation: Exercise) -> None:
    # The nearest land to 33.4 S 117.3 W is about 600 NM away (from memory, small-scale maps).
    runway = temptation.approach.runway
    assert -40.0 < runway.latitude_deg < -30.0
    assert -125.0 < runway.longitude_deg < -112.0
    assert temptation.airport.code.startswith("QX")


def test_the_missed_approach_climbs_straight_ahead_first(temptation: Exercise) -> None:
    first = temptation.approach.missed_legs[0].fix
    course_deg = math.degrees(math.atan2(first.x_m, first.y_m)) % 360.0
    assert course_deg == pytest.approx(140.0, abs=0.01)
    assert math.hypot(first.x_m, first.y_m) / NM == pytest.approx(5.5, abs=0.01)


@pytest.mark.parametrize(
    ("stage", "manoeuvre_kt", "reference_kt"),
    # Hand calculation: factor times the square root of 58 t (7.616).
    [("0", 204, None), ("4", 181, None), ("12", 164, None), ("22", 148, 139), ("36", 136, 132)],
)
def test_the_speeds_of_the_twin_jet_at_typical_mass(
    temptation: Exercise, stage: str, manoeuvre_kt: float, reference_kt: float | None
) -> None:
    aircraft = temptation.aircraft
    index = aircraft.stage_index(stage)
    assert aircraft.manoeuvre_kt(58.0, index) == pytest.approx(manoeuvre_kt, abs=0.5)
    if reference_kt is not None:
        assert aircraft.reference_kt(58.0, index) == pytest.approx(reference_kt, abs=0.5)


def test_every_stage_of_the_twin_jet_can_be_held_below_its_limit(temptation: Exercise) -> None:
    aircraft = temptation.aircraft
    for index, stage in enumerate(aircraft.flaps):
        if stage.limit_kt is not None and stage.select_kt is not None:
            assert aircraft.manoeuvre_kt(58.0, index) < stage.select_kt < stage.limit_kt


def test_every_flap_role_has_a_stage(temptation: Exercise) -> None:
    aircraft = temptation.aircraft
    roles = ("clean", "first", "intermediate", "approach", "landing", "go around")
    stages = [aircraft.flaps[aircraft.stage_for(role)].name for role in roles]
    assert stages == ["0", "4", "12", "22", "36", "22"]


def test_the_trap_of_the_early_temptation_is_the_early_press(temptation: Exercise) -> None:
    (trap,) = temptation.traps
    assert (trap.item, trap.verdict) == ("approach mode", "early")
    assert trap.edits[0].kind == "advance"
