"""Descent geometry against published tables."""

from __future__ import annotations

import pytest

from trainer.world.tables import (
    descent_distance_nm,
    descent_rate_fpm,
    feet_per_mile,
    ground_speed_for_kt,
    path_altitude,
    path_distance_nm,
    rule_descent_rate_fpm,
    rule_top_of_descent_nm,
    rule_visual_descent_point_nm,
    rule_visual_descent_time_s,
    seconds_to_fly,
    visual_descent_point_nm,
)

# Rate of descent table of the FAA terminal procedures publication, 3.0°; the table is printed in
# steps of 5 ft/min, and not always to the nearest: 75 kt is 398.04 by the tangent.
FAA_RATES = {60: 320, 75: 395, 90: 480, 105: 555, 120: 635, 135: 715, 150: 795, 165: 875, 180: 955}
# A second published table in the same form (angle: ft/NM; ft/min at 120, 140, 160, 180 kt).
SECOND_TABLE = {
    2.7: (287, 574, 670, 765, 861),
    2.8: (297, 594, 693, 792, 891),
    2.9: (308, 616, 719, 821, 924),
    3.0: (318, 636, 743, 848, 954),
    3.1: (329, 658, 768, 877, 987),
    3.2: (340, 680, 793, 907, 1020),
    3.3: (350, 700, 817, 933, 1050),
    3.4: (361, 722, 842, 963, 1083),
    3.5: (371, 742, 866, 989, 1113),
    3.6: (382, 762, 891, 1019, 1146),
    3.7: (393, 786, 916, 1048, 1179),
}


@pytest.mark.parametrize(("ground_speed_kt", "rate_fpm"), FAA_RATES.items())
def test_the_rate_of_descent_is_that_of_the_faa_table(ground_speed_kt: int, rate_fpm: int) -> None:
    assert descent_rate_fpm(ground_speed_kt, 3.0) == pytest.approx(rate_fpm, abs=3.1)


@pytest.mark.parametrize(("angle_deg", "published"), SECOND_TABLE.items())
def test_rates_at_other_angles_are_those_of_a_second_table(
    angle_deg: float, published: tuple[int, ...]
) -> None:
    assert feet_per_mile(angle_deg) == pytest.approx(published[0], abs=1.0)
    for ground_speed_kt, rate_fpm in zip((120, 140, 160, 180), published[1:], strict=True):
        assert descent_rate_fpm(ground_speed_kt, angle_deg) == pytest.approx(rate_fpm, rel=0.01)


@pytest.mark.parametrize(
    ("angle_deg", "gradient"),
    [(2.5, 265.3), (2.75, 291.9), (3.0, 318.4), (3.25, 345.0), (3.5, 371.6), (4.0, 424.9)],
)
def test_the_gradient_is_the_tangent(angle_deg: float, gradient: float) -> None:
    # Hand calculation: tan(angle) times 6 076.12 ft.
    assert feet_per_mile(angle_deg) == pytest.approx(gradient, abs=0.1)


def test_a_published_example_of_mile_by_mile_altitudes_comes_out() -> None:
    # Published non-precision profile, 3.0°: 1 970 ft at 6.2 DME, then 1 652, 1 334, 1 016, 698
    # each mile further in.
    altitude_ft = 1970.0
    for published_ft in (1652, 1334, 1016, 698):
        altitude_ft -= feet_per_mile(3.0)
        assert altitude_ft == pytest.approx(published_ft, abs=2.0)


@pytest.mark.parametrize(
    ("distance_nm", "height_ft"),
    [(7, 2279), (6, 1961), (5, 1642), (4, 1324), (3, 1005), (2, 687), (1, 368)],
)
def test_heights_on_the_flat_path_are_those_of_the_published_form(
    distance_nm: int, height_ft: int
) -> None:
    # 3.0°, 50 ft over the threshold: 50 + distance × 318.44 (hand calculation).
    flat_ft, _ = path_altitude(distance_nm, 3.0, 50.0, 0.0)
    assert flat_ft == pytest.approx(height_ft, abs=1.0)


@pytest.mark.parametrize(
    ("distance_nm", "rise_ft"), [(1, 1), (2, 4), (3, 8), (4, 14), (5, 22), (6, 32), (8, 57),
                                 (10, 88)]
)  # fmt: skip
def test_the_round_earth_adds_0_883_times_the_square_of_the_miles(
    distance_nm: int, rise_ft: int
) -> None:
    flat_ft, curved_ft = path_altitude(distance_nm, 3.0, 50.0, 0.0)
    assert curved_ft - flat_ft == pytest.approx(rise_ft, abs=0.55)
    assert curved_ft - flat_ft == pytest.approx(0.883 * distance_nm**2, abs=0.05)


def test_elevation_is_added_and_nothing_else_changes() -> None:
    low, high = path_altitude(5.0, 3.0, 50.0, 0.0), path_altitude(5.0, 3.0, 50.0, 1234.0)
    assert high.flat_ft - low.flat_ft == pytest.approx(1234.0)
    assert high.curved_ft - low.curved_ft == pytest.approx(1234.0)


@pytest.mark.parametrize(("ground_speed_kt", "seconds"), [(90, 200.0), (120, 150.0), (150, 120.0)])
def test_five_miles_take_the_published_times(ground_speed_kt: int, seconds: float) -> None:
    assert seconds_to_fly(5.0, ground_speed_kt) == pytest.approx(seconds)


@pytest.mark.parametrize(("height_ft", "distance_nm"), [(1400, 4.24), (2000, 6.12), (3000, 9.26)])
def test_a_level_meets_the_path_where_the_path_has_that_height(
    height_ft: int, distance_nm: float
) -> None:
    # Hand calculation: (height − 50)/318.44.
    found_nm = path_distance_nm(height_ft, 3.0, 50.0)
    assert found_nm == pytest.approx(distance_nm, abs=0.01)
    assert path_altitude(found_nm, 3.0, 50.0, 0.0).flat_ft == pytest.approx(height_ft)


def test_the_rules_of_the_trade_are_near_and_on_a_known_side() -> None:
    assert rule_descent_rate_fpm(130.0) == 650.0
    assert descent_rate_fpm(130.0, 3.0) == pytest.approx(689.9, abs=0.1)
    assert rule_visual_descent_point_nm(600.0) == 2.0
    assert visual_descent_point_nm(600.0, 3.0, 50.0) == pytest.approx(1.73, abs=0.005)


def test_a_visual_descent_point_by_time_is_the_height_over_ten_before_the_end() -> None:
    # Airline training extract: 360 ft and 2:36 to the missed approach point: 2:00.
    assert rule_visual_descent_time_s(156.0, 360.0) == 120.0


def test_a_descent_begins_earlier_for_slowing_down_and_for_a_tailwind() -> None:
    assert rule_top_of_descent_nm(6000.0) == 18.0
    assert rule_top_of_descent_nm(6000.0, slow_kt=40.0, tail_kt=20.0) == 24.0
    assert rule_top_of_descent_nm(6000.0, tail_kt=-20.0) == 16.0
    # 6 000 ft at 1 500 ft/min last 4 minutes: 20 NM at 300 kt.
    assert descent_distance_nm(6000.0, 1500.0, 300.0) == pytest.approx(20.0)


def test_a_thousand_feet_a_minute_has_its_ground_speed() -> None:
    fast_kt = ground_speed_for_kt(1000.0, 3.0)
    assert fast_kt == pytest.approx(188.4, abs=0.1)
    assert descent_rate_fpm(fast_kt, 3.0) == pytest.approx(1000.0)
