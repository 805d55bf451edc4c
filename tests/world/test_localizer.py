"""The localizer against published geometry."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import pytest

from tests.world.aids import at, localizer
from trainer.units import DEG, FT, NM
from trainer.world.localizer import bend_dots, half_width_rad
from trainer.world.reception import SILENCE


@pytest.mark.parametrize(
    ("antenna_ft", "width_deg"),
    [(8_000, 5.01), (10_000, 4.01), (11_000, 3.65), (12_000, 3.34), (13_366, 3.0), (6_678, 6.0)],
)
def test_the_course_is_700_feet_wide_at_the_threshold(antenna_ft: float, width_deg: float) -> None:
    # FAA AIM 1-1-9 b.2: tailored to 700 ft full scale to full scale at the threshold.
    assert 2 * half_width_rad(antenna_ft * FT) / DEG == pytest.approx(width_deg, abs=0.01)


@pytest.mark.parametrize(
    ("antenna_m", "half_deg"),
    [
        (1500, 3.0),
        (1900, 3.0),
        (2200, 2.776),
        (2500, 2.443),
        (2800, 2.182),
        (3000, 2.037),
        (3300, 1.852),
        (3600, 1.697),
        (4000, 1.528),
        (4300, 1.5),
    ],
)
def test_the_half_course_angle_stays_between_its_limits(antenna_m: float, half_deg: float) -> None:
    # Hand calculation of atan(350 ft / D); course sector at most 6° (ICAO Annex 10 Vol I, 3.1.3.7)
    # and at least 3° (FAA flight inspection practice).
    assert half_width_rad(antenna_m) / DEG == pytest.approx(half_deg, abs=0.0005)


def test_the_displacement_sensitivity_agrees_with_annex_10() -> None:
    # 0.155 DDM full scale, 0.00145 DDM per metre at the threshold (ICAO Annex 10 Vol I, 3.1.3.7):
    # full scale is 106.9 m aside. Two dots are full scale; the 700 ft rule is 0.2 % narrower.
    assert at(localizer(), 0.0, 0.155 / 0.00145, 50).dots == pytest.approx(2.0, rel=0.003)


def test_full_scale_at_ten_miles_is_2283_feet() -> None:
    # Hand calculation: 350 ft × (60 761 + 11 000)/11 000 for an antenna 11 000 ft beyond.
    beam = localizer(antenna_m=11_000 * FT)
    assert at(beam, 10.0, 2_283 * FT, 3000).dots == pytest.approx(2.0, abs=0.002)


@pytest.mark.parametrize(
    ("distance_nm", "dot_m"),
    [(0, 53.3), (1, 89), (2, 124), (4, 194), (6, 265), (8, 335), (10, 406), (15, 582)],
)
def test_one_dot_widens_with_distance(distance_nm: float, dot_m: float) -> None:
    # Hand calculation: (D + 2 800 m)·tan(1.091°).
    assert at(localizer(), distance_nm, dot_m, 2000).dots == pytest.approx(1.0, abs=0.6 / dot_m)


def test_right_of_course_is_positive_whatever_the_course() -> None:
    for course_deg in (0.0, 57.0, 143.0, 260.0, 359.0):
        beam = localizer(course_deg)
        seen = at(beam, 8.0, 150.0, 2500)
        assert seen.dots > 0.4
        assert seen.offset_m == pytest.approx(150.0, abs=1e-6)
        assert seen.distance_m == pytest.approx(8.0 * NM, abs=1e-6)
        assert at(beam, 8.0, -150.0, 2500).dots == pytest.approx(-seen.dots)


def test_on_an_eastbound_final_south_is_right() -> None:
    beam = localizer(90.0)
    assert beam.localizer_offset_m(-10_000.0, -80.0) == pytest.approx(80.0)
    assert beam.final_distance_m(-10_000.0, -80.0) == pytest.approx(10_000.0)


def test_the_needle_stays_pegged_on_its_side_out_to_35_degrees() -> None:
    # ICAO Annex 10 Vol I, 3.1.3.7: at least 0.155 DDM (full scale) from the sector to 35°.
    beam = localizer()
    for azimuth_deg in range(4, 36):
        distance_m = 12.0 * NM
        right_m = distance_m * math.sin(azimuth_deg * DEG)
        before_m = distance_m * math.cos(azimuth_deg * DEG) - 2800.0
        assert beam.receive(right_m, -before_m, 900.0).dots >= 2.0
        assert beam.receive(-right_m, -before_m, 900.0).dots <= -2.0


def test_the_back_course_exists_only_where_it_is_sent_and_keeps_the_front_sense() -> None:
    behind_m = 2800.0 + 6.0 * NM
    assert localizer().receive(200.0, behind_m, 600.0).state == "flagged"
    seen = localizer(has_back_course=True).receive(200.0, behind_m, 600.0)
    assert seen.state == "received"
    assert seen.dots == pytest.approx(2 * math.atan(200 / (6 * NM)) / half_width_rad(2800.0))


def test_a_bend_grows_and_dies_out_and_is_nothing_outside_its_time() -> None:
    moved = [bend_dots(0.1 * step, 40.0, 0.6) for step in range(-20, 420)]
    assert moved[:21] == [0.0] * 21
    assert moved[-20:] == [0.0] * 20
    assert 0.5 < max(moved) <= 0.6
    assert -0.6 <= min(moved) < -0.5
    assert max(abs(b - a) for a, b in pairwise(moved)) < 0.05


def test_a_bend_moves_all_that_the_receiver_can_know() -> None:
    beam = localizer()
    straight = at(beam, 6.0, 0.0, 1900)
    bent = beam.bent(straight, 0.5)
    assert bent.dots == pytest.approx(0.5)
    assert bent.state == straight.state
    # The place where half a dot is seen without a bend.
    aside_m = (6.0 * NM + 2800.0) * math.tan(0.25 * half_width_rad(2800.0))
    assert bent.offset_m == pytest.approx(aside_m)
    seen = at(beam, 6.0, aside_m, 1900)
    assert (bent.dots, bent.angle_rad) == pytest.approx((seen.dots, seen.angle_rad))
    assert bent.distance_m == seen.distance_m


def test_a_bend_moves_no_needle_that_is_not_shown() -> None:
    beam = localizer()
    for hidden in (replace(at(beam, 6.0, 0.0, 1900), state="flagged"), SILENCE):
        assert beam.bent(hidden, 0.5) is hidden
    pegged = at(beam, 6.0, 2000.0, 1900)
    assert beam.bent(pegged, 0.5).dots == 2.5
