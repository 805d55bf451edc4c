"""Received signals against published geometry, coverage and worked examples."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest

from trainer.units import DEG, FT, NM
from trainer.world.coverage import Coverage, coverage_for, radio_horizon_m
from trainer.world.dme import DmeStation
from trainer.world.glide import GlideBeam, usable_from
from trainer.world.localizer import LocalizerBeam, half_width_rad
from trainer.world.path import path_height_m
from trainer.world.receiver import HOLD_STEPS, Receiver
from trainer.world.reception import Reception


def localizer(
    course_deg: float = 0.0,
    antenna_m: float = 2800.0,
    profile: str = "icao",
    margin_db: float = 0.0,
    has_back_course: bool = False,
) -> LocalizerBeam:
    return LocalizerBeam(
        course_deg * DEG, antenna_m, coverage_for(profile), margin_db, has_back_course
    )


def glide(
    angle_deg: float = 3.0,
    crossing_ft: float = 50.0,
    course_deg: float = 0.0,
    margin_db: float = 0.0,
    coverage: Coverage | None = None,
) -> GlideBeam:
    volume = coverage_for("icao") if coverage is None else coverage
    return GlideBeam(course_deg * DEG, angle_deg * DEG, crossing_ft * FT, volume, margin_db)


def at(
    beam: LocalizerBeam | GlideBeam, before_nm: float, right_m: float, height_ft: float
) -> Reception:
    """What is received `before_nm` before the threshold and `right_m` right of the course."""
    before_m = before_nm * NM
    sin, cos = math.sin(beam.course_rad), math.cos(beam.course_rad)
    x_m = -before_m * sin + right_m * cos
    y_m = -before_m * cos - right_m * sin
    return beam.receive(x_m, y_m, height_ft * FT)


def from_antenna(beam: LocalizerBeam, range_nm: float, azimuth_deg: float, height_ft: float) -> str:
    """State at a range and azimuth seen from the localizer antenna (course 000)."""
    right_m = range_nm * NM * math.sin(azimuth_deg * DEG)
    before_m = range_nm * NM * math.cos(azimuth_deg * DEG) - beam.antenna_to_threshold_m
    return beam.receive(right_m, -before_m, height_ft * FT).state


def from_path_origin(
    beam: GlideBeam, range_nm: float, parts_of_angle: float, azimuth_deg: float = 0.0
) -> Reception:
    """Reception at a ground range, elevation and azimuth seen from the foot of the path."""
    ground_m = range_nm * NM
    right_m = ground_m * math.sin(azimuth_deg * DEG)
    before_m = ground_m * math.cos(azimuth_deg * DEG) - beam.origin_m
    return beam.receive(right_m, -before_m, ground_m * math.tan(parts_of_angle * beam.angle_rad))


def outermost_nm(beam: GlideBeam, height_ft: float, dots: float) -> float:
    """Distance before the threshold at which a level flight sees `dots` (flat earth), NM."""
    far, near = 20.0, 2.0
    for _ in range(60):
        middle = 0.5 * (far + near)
        if at(beam, middle, 0.0, height_ft).dots < dots:
            far = middle
        else:
            near = middle
    return near


# --- localizer geometry -------------------------------------------------------------------------


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


# --- coverage -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("profile", "range_nm", "azimuth_deg", "is_covered"),
    [
        ("icao", 24.9, 9.0, True),
        ("icao", 25.1, 9.0, False),
        ("icao", 16.9, 30.0, True),
        ("icao", 17.1, 30.0, False),
        ("icao", 9.0, 36.0, False),
        ("reduced", 17.9, 9.0, True),
        ("reduced", 18.1, 9.0, False),
        ("reduced", 9.9, 30.0, True),
        ("reduced", 10.1, 30.0, False),
        ("us", 17.9, 9.0, True),
        ("us", 18.1, 0.0, False),
        ("us", 9.9, 20.0, True),
        ("us", 10.1, 20.0, False),
    ],
)
def test_localizer_coverage_ends_where_the_profile_says(
    profile: str, range_nm: float, azimuth_deg: float, is_covered: bool
) -> None:
    # ICAO Annex 10 Vol I, 3.1.3.3.1 and figure C-7; FAA AIM 1-1-9 b.5.
    state = from_antenna(localizer(profile=profile), range_nm, azimuth_deg, 4000)
    assert (state == "covered") is is_covered


def test_low_down_at_the_far_edge_the_localizer_is_not_guaranteed() -> None:
    # ICAO Annex 10 Vol I, figure C-8: from 2 000 ft above the threshold; AIM 1-1-9: 1 000 ft
    # above terrain to 4 500 ft above the antenna.
    assert from_antenna(localizer(), 24.9, 0.0, 2010) == "covered"
    assert from_antenna(localizer(), 24.9, 0.0, 1900) == "received"
    assert from_antenna(localizer(profile="us"), 17.9, 0.0, 1010) == "covered"
    assert from_antenna(localizer(profile="us"), 17.9, 0.0, 900) == "received"
    assert from_antenna(localizer(profile="us"), 17.9, 0.0, 4490) == "covered"
    assert from_antenna(localizer(profile="us"), 17.9, 0.0, 4510) == "received"


def test_terrain_lifts_the_guaranteed_floor() -> None:
    volume = coverage_for("icao", terrain_m=2500 * FT)
    assert volume.localizer_floor_m == pytest.approx(3500 * FT)
    assert coverage_for("icao", terrain_m=500 * FT).localizer_floor_m == pytest.approx(2000 * FT)


def test_an_unknown_profile_is_refused() -> None:
    with pytest.raises(ValueError, match="moon"):
        coverage_for("moon")


@pytest.mark.parametrize(
    ("range_nm", "parts", "azimuth_deg", "is_covered"),
    [
        (9.9, 1.0, 0.0, True),
        (10.1, 1.0, 0.0, False),
        (8.0, 1.0, 7.9, True),
        (8.0, 1.0, 8.1, False),
        (8.0, 0.46, 0.0, True),
        (8.0, 0.44, 0.0, False),
        (6.0, 1.74, 0.0, True),
        (6.0, 1.76, 0.0, False),
    ],
)
def test_glide_path_coverage_ends_where_annex_10_says(
    range_nm: float, parts: float, azimuth_deg: float, is_covered: bool
) -> None:
    # ICAO Annex 10 Vol I, 3.1.5.3.1: 10 NM, ±8°, 0.45 θ to 1.75 θ. A strong site, so that the
    # field is not what decides.
    state = from_path_origin(glide(margin_db=6.0), range_nm, parts, azimuth_deg).state
    assert (state == "covered") is is_covered


def test_the_lower_edge_may_be_provided_down_to_030() -> None:
    # ICAO Annex 10 Vol I, 3.1.5.3.1: where needed to safeguard the intercept.
    low = glide(margin_db=6.0, coverage=coverage_for("icao", glide_low=0.30))
    assert from_path_origin(low, 8.0, 0.31).state == "covered"
    assert from_path_origin(low, 8.0, 0.29).state != "covered"


@pytest.mark.parametrize(("parts", "feet"), [(0.30, 955), (0.45, 1432), (1.0, 3184), (1.75, 5583)])
def test_the_edges_of_the_glide_path_at_ten_miles_are_at_known_heights(
    parts: float, feet: float
) -> None:
    # Hand calculation: 10 NM × tan(parts × 3°), from the foot of the path.
    seen = glide().receive(0.0, -(10 * NM) + glide().origin_m, feet * FT)
    assert seen.angle_rad / DEG + 3.0 == pytest.approx(3.0 * parts, abs=0.002)


# --- glide path geometry ------------------------------------------------------------------------


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


# --- path heights -------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("distance_nm", "feet"),
    [
        (0.5, 209),
        (1, 368),
        (2, 687),
        (3, 1005),
        (4, 1324),
        (5, 1642),
        (6, 1961),
        (8, 2597),
        (10, 3234),
        (12, 3871),
        (15, 4827),
    ],
)
def test_path_heights_on_a_flat_earth_are_those_of_the_tables(
    distance_nm: float, feet: float
) -> None:
    # 50 ft + 318.44 ft per NM: the gradient of published rate-of-descent tables (FAA).
    flat = path_height_m(distance_nm * NM, 3 * DEG, 50 * FT, with_curvature=False)
    assert flat / FT == pytest.approx(feet, abs=1.0)


def test_the_round_earth_adds_88_feet_at_ten_miles() -> None:
    # 0.883 d² ft.
    flat = path_height_m(10 * NM, 3 * DEG, 50 * FT, with_curvature=False)
    assert (path_height_m(10 * NM, 3 * DEG, 50 * FT) - flat) / FT == pytest.approx(88.3, abs=0.1)


def test_decision_height_of_200_feet_is_2862_feet_out() -> None:
    # Hand calculation: (200 − 50)/tan 3°.
    assert path_height_m(2862 * FT, 3 * DEG, 50 * FT, False) / FT == pytest.approx(200, abs=0.1)


# --- field strength -----------------------------------------------------------------------------

FIELD_TABLE = [
    # before NM, right m, height ft, azimuth °, dots, µV/m, state, elevation °, dots, µV/m, state
    (25.00, 0, 5000, 0.00, 0.00, 38, "received", 1.87, -2.50, 203, "flagged"),
    (20.00, 0, 4000, 0.00, 0.00, 46, "covered", 1.87, -2.50, 254, "received"),
    (19.00, 0, 3000, 0.00, 0.00, 49, "covered", 1.48, -2.50, 225, "flagged"),
    (18.00, 0, 3000, 0.00, 0.00, 51, "covered", 1.56, -2.50, 247, "received"),
    (16.00, 0, 2000, 0.00, 0.00, 57, "covered", 1.17, -2.50, 219, "flagged"),
    (15.00, 0, 2000, 0.00, 0.00, 61, "covered", 1.24, -2.50, 246, "received"),
    (15.00, -926, 3000, -1.73, -1.59, 61, "covered", 1.86, -2.50, 337, "received"),
    (15.00, 6000, 3000, 11.10, 2.50, 49, "covered", 1.82, -2.50, 248, "received"),
    (15.00, 12000, 3000, 21.43, 2.50, 38, "received", 1.72, -2.50, 77, "flagged"),
    (12.00, -500, 3000, -1.14, -1.05, 74, "covered", 2.33, -1.85, 475, "received"),
    (10.00, 300, 3000, 0.81, 0.74, 87, "covered", 2.78, -0.61, 602, "received"),
    (10.00, 20000, 3000, 43.17, 2.50, 33, "flagged", 1.91, -2.50, 0, "flagged"),
    (9.26, 0, 3000, 0.00, 0.00, 93, "covered", 3.00, 0.00, 654, "covered"),
    (9.26, 0, 3200, 0.00, 0.00, 93, "covered", 3.20, 0.56, 650, "covered"),
    (9.26, 0, 2600, 0.00, 0.00, 93, "covered", 2.60, -1.10, 640, "covered"),
    (8.00, -200, 2597, -0.65, -0.60, 105, "covered", 3.00, 0.00, 755, "covered"),
    (6.00, 100, 1961, 0.41, 0.38, 133, "covered", 3.00, 0.00, 1000, "covered"),
    (6.00, 0, 4000, 0.00, 0.00, 133, "covered", 6.10, 2.50, 49, "flagged"),
    (5.00, 0, 5000, 0.00, 0.00, 154, "received", 9.07, -0.09, 1194, "received"),
    (4.00, 0, 1500, 0.00, 0.00, 181, "covered", 3.40, 1.10, 1450, "covered"),
    (3.00, 50, 1005, 0.34, 0.31, 222, "covered", 3.00, 0.00, 1951, "covered"),
    (2.00, -53, 687, -0.47, -0.43, 285, "covered", 3.00, 0.00, 2855, "covered"),
    (1.00, 0, 368, 0.00, 0.00, 398, "covered", 3.00, -0.01, 5323, "covered"),
    (0.50, 20, 209, 0.31, 0.28, 497, "covered", 3.00, -0.01, 9373, "covered"),
]


@pytest.mark.parametrize("row", FIELD_TABLE)
def test_the_field_model_reproduces_its_table(
    row: tuple[float, float, float, float, float, float, str, float, float, float, str],
) -> None:
    # Values of the project's field model from a second implementation (antenna 2 800 m beyond the
    # threshold, 3°, 50 ft, ICAO coverage). The model is an assumption, not a standard.
    (
        before,
        right,
        height,
        azimuth,
        l_dots,
        l_field,
        l_state,
        elevation,
        g_dots,
        g_field,
        g_state,
    ) = row
    loc = at(localizer(), before, right, height)
    assert loc.angle_rad / DEG == pytest.approx(azimuth, abs=0.006)
    assert loc.dots == pytest.approx(l_dots, abs=0.006)
    assert loc.field_uv_m == pytest.approx(l_field, abs=0.6)
    assert loc.state == l_state
    path = at(glide(), before, right, height)
    ground_m = math.hypot(before * NM + glide().origin_m, right)
    assert math.atan2(height * FT, ground_m) / DEG == pytest.approx(elevation, abs=0.006)
    assert path.dots == pytest.approx(g_dots, abs=0.012)
    assert path.field_uv_m == pytest.approx(g_field, abs=0.6)
    assert path.state == g_state


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


def test_the_radio_horizon_at_10000_feet_is_128_miles() -> None:
    # 1.23·(√15 + √10 000) = 127.8 NM, the usual line-of-sight formula.
    assert radio_horizon_m(10_000 * FT) / NM == pytest.approx(127.8, abs=0.1)


def test_nothing_is_received_below_the_radio_horizon() -> None:
    # 1.23·(√15 + √100) = 17.1 NM at 100 ft.
    assert at(localizer(), 14.0, 0.0, 100).state == "received"
    assert at(localizer(), 17.0, 0.0, 100).state == "none"
    assert at(glide(), 17.5, 0.0, 100).state == "none"


def test_a_silent_transmitter_gives_nothing() -> None:
    for beam in (localizer(), glide()):
        seen = beam.receive(0.0, -9_000.0, 500.0, is_radiating=False)
        assert seen.state == "none"
        assert seen.dots == 0.0
        assert not seen.is_usable


# --- the receiver -------------------------------------------------------------------------------


def run(receiver: Receiver, place: Callable[[int], float], steps: int) -> list[str]:
    """States of a glide receiver flown along the course at 3 000 ft, one step each."""
    beam = glide()
    return [
        receiver.receive(beam, 0.0, -place(step) * NM, 3000 * FT).state for step in range(steps)
    ]


def test_a_receiver_believes_its_first_signal_at_once() -> None:
    assert run(Receiver(), lambda step: 17.0, 1) == ["received"]
    assert run(Receiver(), lambda step: 19.0, 1) == ["flagged"]


def test_a_new_signal_must_last_a_second() -> None:
    states = run(Receiver(), lambda step: 19.0 if step < 5 else 17.0, 20)
    first = states.index("received")
    assert first == 5 + HOLD_STEPS - 1
    assert set(states[:first]) == {"flagged"}


def test_a_short_loss_is_bridged_and_a_long_one_is_not() -> None:
    short = run(Receiver(), lambda step: 30.0 if 5 <= step < 12 else 15.0, 20)
    assert set(short) == {"received"}
    long = run(Receiver(), lambda step: 30.0 if step >= 5 else 15.0, 20)
    assert long.index("flagged") == 5 + HOLD_STEPS - 1


def test_a_held_signal_is_kept_two_decibels_below_where_it_came_in() -> None:
    # At 3 000 ft the field falls nearly as 1/d²: 2 dB is about 12 % of distance (18.3 → 20.5).
    inbound = run(Receiver(), lambda step: 19.5, 30)
    assert set(inbound) == {"flagged"}
    outbound = run(Receiver(), lambda step: 17.0 if step < 3 else 19.5, 30)
    assert set(outbound) == {"received"}
    far = run(Receiver(), lambda step: 17.0 if step < 3 else 21.5, 30)
    assert far[-1] == "flagged"


def test_while_a_dead_transmitter_is_held_the_last_needle_stays() -> None:
    receiver, beam = Receiver(), glide()
    alive = receiver.receive(beam, 0.0, -9.0 * NM, 3000 * FT)
    held = receiver.receive(beam, 0.0, -8.9 * NM, 3000 * FT, is_radiating=False)
    assert held == alive
    for _ in range(HOLD_STEPS):
        held = receiver.receive(beam, 0.0, -8.9 * NM, 3000 * FT, is_radiating=False)
    assert held.state == "none"


def test_tuning_anew_forgets_the_old_signal() -> None:
    receiver = Receiver()
    assert run(receiver, lambda step: 15.0, 3)[-1] == "received"
    receiver.reset()
    assert run(receiver, lambda step: 30.0, 1) == ["flagged"]


def test_a_reception_is_a_function_of_its_arguments() -> None:
    assert run(Receiver(), lambda step: 19.0 - 0.01 * step, 200) == run(
        Receiver(), lambda step: 19.0 - 0.01 * step, 200
    )


# --- DME ----------------------------------------------------------------------------------------


def test_dme_shows_slant_range() -> None:
    # Published exam example: 6 000 ft up with 5.0 NM shown is 4.90 NM over the ground.
    station = DmeStation(0.0, 0.0)
    assert station.distance_nm(0.0, -4.90 * NM, 6000 * FT) == pytest.approx(5.0, abs=0.005)
    # Same geometry, overhead: 6 000 ft = 0.99 NM.
    assert station.distance_nm(0.0, 0.0, 6000 * FT) == pytest.approx(0.99, abs=0.005)


def test_dme_reads_from_its_own_zero() -> None:
    # Hand calculation: a station 1 NM beyond the threshold with its zero at the threshold.
    station = DmeStation(0.0, 1.0 * NM, 0.0, 1.0 * NM)
    assert station.distance_nm(0.0, -5.0 * NM, 0.0) == pytest.approx(5.0)
    assert station.distance_nm(0.0, 1.0 * NM, 0.0) == 0.0


def test_dme_ends_at_199_miles_or_the_radio_horizon() -> None:
    # FAA AIM 1-1-7: line of sight, up to 199 NM.
    station = DmeStation(0.0, 0.0)
    assert station.receive(0.0, 198.0 * NM, 40_000 * FT).is_received
    assert not station.receive(0.0, 199.5 * NM, 40_000 * FT).is_received
    assert not station.receive(0.0, 80.0 * NM, 3_000 * FT).is_received
    assert not station.receive(0.0, 5.0 * NM, 3_000 * FT, is_radiating=False).is_received
    assert station.receive(0.0, 5.0 * NM, 3_000 * FT).distance_nm == pytest.approx(5.02, abs=0.005)
