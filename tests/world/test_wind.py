"""Wind layers, components and the wind triangle against worked examples."""

from __future__ import annotations

import math

import pytest

from trainer.units import DEG, KT
from trainer.world.wind import Shear, Wind, components, head_and_cross, reported, wind_triangle


# Worked examples of flight-school texts: runway, wind from, kt, cross kt (right +), head kt.
@pytest.mark.parametrize(
    ("course_deg", "from_deg", "speed_kt", "cross_kt", "head_kt"),
    [
        (360, 60, 20, 17.32, 10.00),
        (140, 180, 20, 12.86, 15.32),
        (90, 70, 15, -5.13, 14.10),
        (180, 180, 20, 0.0, 20.0),
    ],
)
def test_head_and_crosswind_agree_with_worked_examples(
    course_deg: float, from_deg: float, speed_kt: float, cross_kt: float, head_kt: float
) -> None:
    head_ms, cross_ms = head_and_cross(*components(from_deg, speed_kt), course_deg * DEG)
    assert head_ms / KT == pytest.approx(head_kt, abs=0.01)
    assert cross_ms / KT == pytest.approx(cross_kt, abs=0.01)


# University and flight-school exercises: TAS, track, wind from, kt → heading, ground speed; the
# last row is the FAA PHAK chapter 16 example.
@pytest.mark.parametrize(
    ("tas_kt", "track_deg", "from_deg", "speed_kt", "heading_deg", "ground_kt"),
    [
        (100, 0, 135, 25, 10.18, 116.1),
        (110, 45, 90, 25, 54.25, 90.9),
        (120, 270, 180, 30, 255.52, 116.2),
        (100, 180, 180, 20, 180.0, 80.0),
        (120, 90, 45, 40, 76.4, 88.3),
    ],
)
def test_the_wind_triangle_agrees_with_worked_examples(
    tas_kt: float,
    track_deg: float,
    from_deg: float,
    speed_kt: float,
    heading_deg: float,
    ground_kt: float,
) -> None:
    wind = components(from_deg, speed_kt)
    heading_rad, ground_ms = wind_triangle(tas_kt * KT, track_deg * DEG, *wind)
    assert heading_rad / DEG == pytest.approx(heading_deg, abs=0.06)
    assert ground_ms / KT == pytest.approx(ground_kt, abs=0.06)


def test_a_crosswind_beyond_the_airspeed_has_no_heading() -> None:
    with pytest.raises(ValueError, match="crosswind"):
        wind_triangle(20.0, 0.0, 25.0, 0.0)


def test_components_run_straight_between_layers_and_stay_outside() -> None:
    wind = Wind([(100.0, 2.0, -4.0), (300.0, 6.0, 0.0), (1300.0, 6.0, 10.0)])
    assert wind.at(0.0) == (2.0, -4.0)
    assert wind.at(200.0) == pytest.approx((4.0, -2.0))
    assert wind.at(300.0) == pytest.approx((6.0, 0.0))
    assert wind.at(800.0) == pytest.approx((6.0, 5.0))
    assert wind.at(5000.0) == (6.0, 10.0)
    assert wind.gradient(200.0) == pytest.approx((0.02, 0.02))
    assert wind.gradient(50.0) == (0.0, 0.0)
    assert wind.gradient(2000.0) == (0.0, 0.0)


def test_the_gradient_is_the_slope_of_the_wind() -> None:
    wind = Wind([(0.0, 1.0, 1.0), (450.0, 9.0, -3.0), (900.0, 2.0, 5.0)])
    for height_m in (10.0, 300.0, 600.0, 899.0):
        low, high = wind.at(height_m - 0.5), wind.at(height_m + 0.5)
        assert wind.gradient(height_m) == pytest.approx((high[0] - low[0], high[1] - low[1]))


def test_layers_out_of_order_are_refused() -> None:
    with pytest.raises(ValueError, match="rise"):
        Wind([(300.0, 0.0, 0.0), (300.0, 1.0, 0.0)])


def test_a_reported_wind_blows_from_its_direction() -> None:
    east_ms, north_ms = components(270.0, 10.0)
    assert east_ms == pytest.approx(10.0 * KT)
    assert math.isclose(north_ms, 0.0, abs_tol=1e-12)


def test_between_350_and_010_the_wind_passes_north() -> None:
    layers = [(0.0, *components(350.0, 20.0)), (1000.0, *components(10.0, 20.0))]
    from_deg, speed_kt = reported(*Wind(layers).at(500.0))
    assert min(from_deg, 360.0 - from_deg) == pytest.approx(0.0, abs=1e-9)
    # Two vectors 10° either side of north: their middle is 20 cos 10°.
    assert speed_kt == pytest.approx(19.696, abs=1e-3)
    directions = [reported(*Wind(layers).at(height_m))[0] for height_m in (100.0, 400.0, 900.0)]
    assert directions[0] > 350.0
    assert directions[1] > 350.0
    assert directions[2] < 10.0


@pytest.mark.parametrize("from_deg", [0.0, 10.0, 90.0, 179.9, 270.0, 359.0])
def test_a_wind_is_reported_as_it_was_given(from_deg: float) -> None:
    assert reported(*components(from_deg, 23.0)) == pytest.approx((from_deg, 23.0))


def test_calm_has_no_direction() -> None:
    assert reported(0.0, 0.0) == (0.0, 0.0)


@pytest.mark.parametrize(
    ("time_s", "share"),
    [(9.0, 0.0), (10.0, 0.0), (12.5, 0.5), (15.0, 1.0), (40.0, 1.0), (50.0, 0.5), (61.0, 0.0)],
)
def test_a_shear_grows_stays_and_goes(time_s: float, share: float) -> None:
    shear = Shear(10.0, 5.0, 30.0, 10.0, 8.0, -4.0)
    assert shear.added(time_s, 200.0) == pytest.approx((8.0 * share, -4.0 * share))


def test_a_shear_has_soft_edges_and_may_come_at_once_and_for_good() -> None:
    shear = Shear(10.0, 0.0, math.inf, 0.0, 8.0, 0.0, bottom_m=100.0, top_m=300.0, edge_m=40.0)
    for height_m, share in ((50.0, 0.0), (80.0, 0.5), (100.0, 1.0), (300.0, 1.0), (330.0, 0.25)):
        assert shear.added(10.0, height_m)[0] == pytest.approx(8.0 * share)
    assert shear.added(1e6, 200.0)[0] == 8.0
    assert Shear(0.0, 0.0, 5.0, 0.0, 8.0, 0.0).added(5.1, 0.0) == (0.0, 0.0)
