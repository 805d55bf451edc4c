"""The threshold plane against geodesics that others have published."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.units import FT, NM
from trainer.world.earth import EARTH_RADIUS_M, Plane, drop_m


@pytest.mark.parametrize(
    ("distance_nm", "feet"),
    [(1, 0.883), (2, 3.53), (4, 14.1), (5, 22.1), (6, 31.8), (8, 56.5), (10, 88.3)],
)
def test_the_sea_falls_away_by_0883_feet_per_square_mile(distance_nm: float, feet: float) -> None:
    # 0.883 d² ft, d in NM: common practice figure for the curvature under a radio path.
    assert drop_m(distance_nm * NM) / FT == pytest.approx(feet, abs=0.05)
    assert drop_m(distance_nm * NM) / FT == pytest.approx(0.883 * distance_nm**2, rel=2e-4)


def test_the_mean_radius_is_that_of_the_ellipsoid() -> None:
    # (2a + b)/3 with the WGS-84 axes (NGA.STND.0036).
    assert pytest.approx((2 * 6378137.0 + 6356752.3142) / 3, abs=0.1) == EARTH_RADIUS_M


def test_the_choice_of_radius_moves_the_drop_at_25_miles_by_less_than_a_metre() -> None:
    # Extreme radii of curvature on WGS-84: a(1 - e²) at the equator, a²/b at the pole.
    distance_m = 25 * NM
    for radius_m in (6335439.3, 6399593.6):
        assert abs(drop_m(distance_m) - distance_m**2 / (2 * radius_m)) < 1.0


def test_the_drop_agrees_with_the_exact_circle() -> None:
    # Exact: the point at distance d in the tangent plane is √(R² + d²) from the centre.
    distance_m = 25 * NM
    exact_m = math.sqrt(EARTH_RADIUS_M**2 + distance_m**2) - EARTH_RADIUS_M
    assert drop_m(distance_m) == pytest.approx(exact_m, abs=0.01)


def test_a_published_direct_geodesic_is_reproduced() -> None:
    # C. F. F. Karney, Algorithms for geodesics, J. Geodesy 87 (2013), table 2.
    plane = Plane(40.0, 0.0, 0.0)
    azimuth_rad = math.radians(30.0)
    latitude_deg, longitude_deg = plane.place(
        1e7 * math.sin(azimuth_rad), 1e7 * math.cos(azimuth_rad)
    )
    assert latitude_deg == pytest.approx(41.79331020506, abs=1e-9)
    assert longitude_deg == pytest.approx(137.84490004377, abs=1e-9)


def test_a_published_inverse_geodesic_is_reproduced() -> None:
    # The distance example of the geographiclib manual (getting started).
    x_m, y_m = Plane(-41.32, 174.81, 0.0).locate(40.96, -5.50)
    assert math.hypot(x_m, y_m) == pytest.approx(19959679.267, abs=0.001)


@pytest.mark.parametrize(
    ("latitude_deg", "degree_m"), [(0.0, 110_574.0), (45.0, 111_132.0), (90.0, 111_694.0)]
)
def test_a_degree_of_latitude_has_its_published_length(
    latitude_deg: float, degree_m: float
) -> None:
    # Length of one degree of latitude on WGS-84 (textbook table of the ellipsoid).
    plane = Plane(latitude_deg - 0.5 if latitude_deg < 90 else 89.0, 15.0, 0.0)
    x_m, y_m = plane.locate(plane.latitude_deg + 1.0, 15.0)
    assert x_m == pytest.approx(0.0, abs=1e-6)
    assert y_m == pytest.approx(degree_m, abs=1.5)


def test_a_minute_of_latitude_is_about_a_nautical_mile() -> None:
    x_m, y_m = Plane(45.0, 0.0, 0.0).locate(45.0 + 1 / 60, 0.0)
    assert y_m / NM == pytest.approx(1.0, abs=0.001)
    assert abs(x_m) < 1e-6


def test_east_variation_makes_the_magnetic_course_smaller() -> None:
    # "Variation east, magnetic least": 090° true with 10° east is 080° magnetic.
    plane = Plane(48.0, 11.0, 10.0)
    assert plane.magnetic_course_deg(90.0) == pytest.approx(80.0)
    assert plane.true_course_deg(355.0) == pytest.approx(5.0)
    x_m, y_m = plane.locate(48.5, 11.0)
    assert math.degrees(math.atan2(x_m, y_m)) == pytest.approx(-10.0)


def test_locate_and_place_are_inverse() -> None:
    plane = Plane(61.3, -3.2, -6.5)
    for x_m, y_m in ((0.0, 0.0), (12_000.0, -31_000.0), (-46_300.0, 10.0)):
        found = plane.locate(*plane.place(x_m, y_m))
        assert found == pytest.approx((x_m, y_m), abs=1e-6)


def test_distances_between_two_points_of_the_plane_hold_within_a_metre() -> None:
    # Equidistant seen from the threshold; across, a fix at 25 NM must still be good for legs.
    from geographiclib.geodesic import Geodesic

    plane = Plane(60.0, 10.0, 3.0)
    one, two = (30_000.0, -30_000.0), (34_000.0, -22_000.0)
    line = Geodesic.WGS84.Inverse(*plane.place(*one), *plane.place(*two))
    assert math.dist(one, two) == pytest.approx(line["s12"], abs=1.0)


@given(
    st.floats(-89.0, 89.0), st.floats(-1.0, 1.0), st.floats(-1.0, 1.0), st.integers(-360, 360)
)  # fmt: skip
def test_a_place_in_the_plane_does_not_depend_on_longitude(
    latitude_deg: float, north_deg: float, east_deg: float, turn_deg: int
) -> None:
    # A turn about the polar axis, also across the antimeridian: 1 µm is the rounding of degrees.
    there_deg = min(max(latitude_deg + north_deg, -90.0), 90.0)
    home = Plane(latitude_deg, 170.0, 5.0).locate(there_deg, 170.0 + east_deg)
    away = Plane(latitude_deg, 170.0 + turn_deg, 5.0).locate(there_deg, 170.0 + turn_deg + east_deg)
    assert away == pytest.approx(home, abs=1e-6)


@given(st.floats(-89.0, 89.0), st.floats(-1.0, 1.0), st.floats(-1.0, 1.0))
def test_the_southern_hemisphere_is_the_northern_one_mirrored(
    latitude_deg: float, north_deg: float, east_deg: float
) -> None:
    there_deg = min(max(latitude_deg + north_deg, -90.0), 90.0)
    x_m, y_m = Plane(latitude_deg, 0.0, 0.0).locate(there_deg, east_deg)
    assert Plane(-latitude_deg, 0.0, 0.0).locate(-there_deg, east_deg) == pytest.approx(
        (x_m, -y_m), abs=1e-6
    )
