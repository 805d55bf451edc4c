"""The glide path against published geometry, with its false upper paths."""

from __future__ import annotations

import math

import pytest

from tests.world.aids import at, from_path_origin, glide, outermost_nm
from trainer.units import DEG, FT, NM
from trainer.world.glide import usable_from
from trainer.world.path import path_height_m


@pytest.mark.parametrize(
    ("parts", "dots"),
    [
        (0.30, -2.5),
        (0.45, -2.5),
        (0.76, -1.96),
        (0.88, -1.00),
        (1.00, 0.0),
        (1.12, 1.00),
        (1.24, 1.96),
        (1.5, 2.5),
        (1.75, 2.5),
        (2.0, 2.5),
        (2.76, 2.03),
        (2.88, 1.08),
        (3.0, 0.09),
        (3.12, -0.90),
        (3.24, -1.85),
    ],
)
def test_the_needle_repeats_itself_reversed_at_three_times_the_angle(
    parts: float, dots: float
) -> None:
    # Null-reference antenna, hand calculation: dots = −(1/sin 0.06π)·cos u, u = (π/2) sin φ/sin θ.
    assert from_path_origin(glide(), 6.0, parts).dots == pytest.approx(dots, abs=0.006)


@pytest.mark.parametrize(
    ("distance_nm", "dot_ft", "full_ft"),
    [(1, 38, 74), (3, 115, 223), (5, 191, 372), (10, 383, 745)],
)
def test_one_dot_high_is_a_known_number_of_feet(
    distance_nm: float, dot_ft: float, full_ft: float
) -> None:
    # Hand calculation, distances from the foot of the path: 0.12 θ is one dot (ICAO Annex 10
    # Vol I, 3.1.5.6); the full-scale column is 0.7° of FAA AIM 1-1-9 d.2, 3 % less than 0.24 θ.
    beam = glide()
    path_m = distance_nm * NM * math.tan(3 * DEG)
    y_m = beam.origin_m - distance_nm * NM
    assert beam.receive(0.0, y_m, path_m + dot_ft * FT).dots == pytest.approx(1.0, abs=0.02)
    assert beam.receive(0.0, y_m, path_m + full_ft * FT).dots == pytest.approx(1.92, abs=0.03)


@pytest.mark.parametrize(("distance_nm", "feet"), [(1, 44), (3, 121), (6, 236), (10, 389)])
def test_one_dot_counted_from_the_threshold_is_a_known_number_of_feet(
    distance_nm: float, feet: float
) -> None:
    # Hand calculation: (D + 291 m)·(tan 3.36° − tan 3°).
    beam = glide()
    path_ft = path_height_m(distance_nm * NM, 3 * DEG, 50 * FT, with_curvature=False) / FT
    assert at(beam, distance_nm, 0.0, path_ft + feet).dots == pytest.approx(1.0, abs=0.015)


def test_the_path_meets_the_runway_954_feet_in() -> None:
    # Hand calculation: 50 ft / tan 3° = 954 ft; FAA AIM 1-1-9 d.2 sites it 750 to 1 250 ft in.
    assert glide().origin_m / FT == pytest.approx(954, abs=0.5)
    assert glide(crossing_ft=55).origin_m / FT == pytest.approx(1049, abs=0.5)


@pytest.mark.parametrize(
    ("event_dots", "at_2000", "at_3000", "at_4000"),
    [
        (-2.5, 8.96, 13.51, 18.07),
        (-2.0, 8.16, 12.32, 16.48),
        (-1.5, 7.52, 11.36, 15.19),
        (-1.0, 6.98, 10.55, 14.12),
        (-0.5, 6.52, 9.86, 13.20),
        (0.0, 6.12, 9.26, 12.40),
    ],
)
def test_on_a_platform_the_needle_comes_down_at_known_distances(
    event_dots: float, at_2000: float, at_3000: float, at_4000: float
) -> None:
    # Second implementation of the antenna geometry, flat earth; the last row is (h − 50)/318.44
    # (PANS-OPS geometry, ICAO Doc 8168: 6.12 NM for 2 000 ft, 9.26 NM for 3 000 ft).
    expected = {2000: at_2000, 3000: at_3000, 4000: at_4000}
    for height_ft, distance_nm in expected.items():
        found = outermost_nm(glide(), height_ft, event_dots + 1e-9)
        assert found == pytest.approx(distance_nm, abs=0.006)


def test_on_the_true_path_the_needle_error_is_the_height_error() -> None:
    beam = glide()
    for distance_m, error_m in ((4_000.0, 20.0), (12_000.0, -60.0), (18_000.0, 150.0)):
        z_m = path_height_m(distance_m, 3 * DEG, 50 * FT, with_curvature=False) + error_m
        assert beam.glide_error_m(0.0, -distance_m, z_m) == pytest.approx(error_m, abs=1e-6)


def test_on_the_false_path_climbing_makes_the_needle_say_lower() -> None:
    beam = glide()
    lower = from_path_origin(beam, 5.0, 2.95)
    higher = from_path_origin(beam, 5.0, 3.05)
    assert lower.dots > 0 > higher.dots
    assert lower.offset_m > 0 > higher.offset_m


def test_a_centred_and_valid_needle_may_be_the_false_path() -> None:
    seen = at(glide(), 5.0, 0.0, 5000)
    assert seen.state == "received"
    assert abs(seen.dots) < 0.1
    assert path_height_m(5 * NM, 3 * DEG, 50 * FT) < 0.4 * 5000 * FT


@pytest.mark.parametrize(
    ("height_ft", "received_nm"), [(2000, (15.0, 15.3)), (3000, (18.0, 18.4)), (4000, (20.0, 21.0))]
)
def test_the_glide_path_comes_in_where_pilots_wait_for_it(
    height_ft: float, received_nm: tuple[float, float]
) -> None:
    # Common practice: arm the approach from 15 to 18 NM.
    usable = usable_from(glide(), height_ft * FT, with_curvature=False)
    assert usable.received_nm is not None
    assert received_nm[0] <= usable.received_nm <= received_nm[1]


def test_on_the_round_earth_the_glide_path_comes_in_later() -> None:
    flat = usable_from(glide(), 3000 * FT, with_curvature=False)
    real = usable_from(glide(), 3000 * FT)
    assert flat.received_nm is not None
    assert real.received_nm is not None
    # The drop at 18 NM is 286 ft of 3 000: a tenth less elevation, and field goes as elevation/d.
    assert 0.5 < flat.received_nm - real.received_nm < 1.0
    assert real.covered_nm == pytest.approx(10.0 - glide().origin_m / NM, abs=0.011)


def test_a_poor_site_is_received_later_and_a_strong_one_earlier() -> None:
    found = [usable_from(glide(margin_db=k), 3000 * FT).received_nm for k in (-3.0, 0.0, 3.0)]
    poor, normal, strong = found
    assert poor is not None
    assert normal is not None
    assert strong is not None
    assert poor < normal < strong


def test_usable_from_works_for_any_course() -> None:
    assert usable_from(glide(course_deg=217.0), 900.0) == usable_from(glide(), 900.0)


def test_the_first_received_mile_is_the_one_a_receiver_on_that_run_in_shows() -> None:
    beam = glide()
    usable = usable_from(beam, 900.0, with_curvature=False)
    assert usable.received_nm is not None
    assert at(beam, usable.received_nm, 0.0, 900.0 / FT).state == "received"
    assert at(beam, usable.received_nm + 0.01, 0.0, 900.0 / FT).state == "flagged"
