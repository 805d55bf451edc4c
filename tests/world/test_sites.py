"""A displaced station and a false course, received like the station inside."""

from __future__ import annotations

import math

import pytest

from trainer.units import DEG, NM
from trainer.world.coverage import coverage_for
from trainer.world.localizer import LocalizerBeam
from trainer.world.reception import Reception
from trainer.world.sites import Displaced, FalseCourse

ANTENNA_M = 2800.0
BEAM = LocalizerBeam(0.0, ANTENNA_M, coverage_for("icao"))
FALSE = FalseCourse(BEAM, 40.0 * DEG)


def seen(azimuth_deg: float, station: FalseCourse = FALSE, distance_nm: float = 10.0) -> Reception:
    """What is received right (positive) of a course to the north, from the antenna."""
    away_m = distance_nm * NM
    x_m = away_m * math.sin(azimuth_deg * DEG)
    return station.receive(x_m, ANTENNA_M - away_m * math.cos(azimuth_deg * DEG), 900.0)


def test_a_displaced_station_is_received_from_its_own_origin() -> None:
    moved = Displaced(BEAM, 5000.0, -700.0, 30.0)
    assert moved.receive(5300.0, -18700.0, 930.0) == BEAM.receive(300.0, -18000.0, 900.0)


def test_inside_the_sector_a_false_course_changes_nothing() -> None:
    for azimuth_deg in (0.0, 1.0, 10.0, 34.9):
        assert seen(azimuth_deg) == seen(azimuth_deg, FalseCourse(BEAM, 55.0 * DEG))
    assert seen(34.9).dots == 2.5


@pytest.mark.parametrize("side", [1.0, -1.0])
def test_outside_it_the_needle_centres_and_goes_to_the_wrong_side(side: float) -> None:
    assert seen(side * 40.0).dots == pytest.approx(0.0, abs=1e-9)
    inside, outside = seen(side * 39.0), seen(side * 41.0)
    assert (inside.state, outside.state) == ("received", "received")
    assert side * inside.dots > 0.5
    assert side * outside.dots < -0.5
    assert inside.offset_m * inside.dots > 0.0


def test_away_from_the_false_line_there_is_a_flag_as_before() -> None:
    assert seen(45.0).state == "flagged"


def test_a_false_course_needs_a_field_as_strong_as_any_signal() -> None:
    assert seen(40.0, distance_nm=40.0).state == "flagged"
