"""Route geometry: courses, sides, leads and sequencing."""

from __future__ import annotations

import math

import pytest

from trainer.units import DEG, FT, KT, NM
from trainer.world.legs import (
    LegView,
    Route,
    Waypoint,
    anticipation_m,
    distance_to_end_m,
    follow,
    turn_radius_m,
)

BANK = 25 * DEG


def corner(is_fly_over: bool = False) -> Route:
    """North 10 NM to TURNO, then east 8 NM to FINIS."""
    return Route(
        (
            Waypoint("START", 0.0, -10 * NM),
            Waypoint("TURNO", 0.0, 0.0, is_fly_over),
            Waypoint("FINIS", 8 * NM, 0.0),
        )
    )


def fly(route: Route, leg_index: int, x_m: float, y_m: float, speed_kt: float = 180) -> LegView:
    return follow(route, leg_index, x_m, y_m, speed_kt * KT, BANK)


@pytest.mark.parametrize(
    ("speed_kt", "bank_deg", "radius_m"),
    [(180, 25, 1875), (120, 30, 2208.3 * FT), (100, 45, 885 * FT), (160, 25, 1482)],
)
def test_turn_radii_are_the_exact_ones(speed_kt: float, bank_deg: float, radius_m: float) -> None:
    # 120 kt, 30°: worked example of 2 208 ft; 100 kt, 45°: hand calculation; 160 kt, 25°: ICAO
    # Doc 8168 Vol II, III-3-1, r = V²/(127 094 tan φ) = 1.482 km.
    assert turn_radius_m(speed_kt * KT, bank_deg * DEG) == pytest.approx(radius_m, rel=5e-4)


@pytest.mark.parametrize(("bank_deg", "feet"), [(30, 4194), (20, 6654)])
def test_turn_radii_agree_with_the_published_table(bank_deg: float, feet: float) -> None:
    # FAA AIM 5-4-7 at 165 kt; its constant is 0.5 % larger than exact physics.
    assert turn_radius_m(165 * KT, bank_deg * DEG) / FT == pytest.approx(feet, rel=0.006)


@pytest.mark.parametrize(("turn_deg", "lead_nm"), [(90, 0.80), (30, 0.21), (-90, 0.80)])
def test_the_lead_is_that_of_the_design_manual(turn_deg: float, lead_nm: float) -> None:
    # ICAO Doc 8168 Vol II, III-3-8: r·tan(A/2) at 160 kt, 25°.
    assert anticipation_m(turn_deg * DEG, 160 * KT, BANK) / NM == pytest.approx(lead_nm, abs=0.006)


def test_the_lead_of_a_square_turn_is_the_radius() -> None:
    # 180 kt, 25°: 92.6²/(9.80665·tan 25°) = 1 875 m.
    assert anticipation_m(90 * DEG, 180 * KT, BANK) == pytest.approx(1875.0, abs=1.0)


def test_the_lead_at_standard_rate_is_half_a_percent_of_speed() -> None:
    # Common rule: speed/200 in NM at 3°/s (120 kt: 0.6 NM; exactly 0.637).
    bank_rad = math.atan(120 * KT * 3 * DEG / 9.80665)
    assert anticipation_m(90 * DEG, 120 * KT, bank_rad) / NM == pytest.approx(0.637, abs=0.001)


def test_a_reversal_has_a_finite_lead() -> None:
    assert anticipation_m(180 * DEG, 180 * KT, BANK) == anticipation_m(120 * DEG, 180 * KT, BANK)


def test_courses_and_turns_of_a_route() -> None:
    legs = corner().legs
    assert [leg.course_rad for leg in legs] == pytest.approx([0.0, 90 * DEG])
    assert [leg.turn_rad for leg in legs] == pytest.approx([90 * DEG, 0.0])
    assert [leg.length_m for leg in legs] == pytest.approx([10 * NM, 8 * NM])


def test_a_left_turn_through_north_is_negative() -> None:
    route = Route((Waypoint("A", 0, 0), Waypoint("B", 100, 1000), Waypoint("C", 0, 2000)))
    assert route.legs[0].turn_rad == pytest.approx(-2 * math.atan(0.1))


def test_right_of_the_leg_is_positive() -> None:
    assert fly(corner(), 0, 300.0, -5 * NM).cross_track_m == pytest.approx(300.0)
    assert fly(corner(), 0, -300.0, -5 * NM).cross_track_m == pytest.approx(-300.0)
    assert fly(corner(), 1, 2 * NM, -300.0).cross_track_m == pytest.approx(300.0)


def test_to_go_is_counted_along_the_leg() -> None:
    seen = fly(corner(), 0, 700.0, -5 * NM)
    assert seen.to_go_m == pytest.approx(5 * NM)
    assert seen.name == "TURNO"
    assert distance_to_end_m(corner(), seen) == pytest.approx(13 * NM)


def test_the_next_leg_becomes_active_at_the_lead() -> None:
    # Planned with 0.8 × 25° = 20°: 92.6²/(9.80665·tan 20°) = 2 402 m before the corner.
    lead_m = 2402.0
    assert fly(corner(), 0, 0.0, -lead_m - 5).leg_index == 0
    seen = fly(corner(), 0, 0.0, -lead_m + 5)
    assert seen.leg_index == 1
    assert seen.name == "FINIS"
    assert seen.course_rad == pytest.approx(90 * DEG)


def test_a_following_wind_makes_the_lead_longer() -> None:
    assert fly(corner(), 0, 0.0, -2600.0, speed_kt=180).leg_index == 0
    assert fly(corner(), 0, 0.0, -2600.0, speed_kt=200).leg_index == 1


def test_a_fly_over_point_is_left_abeam() -> None:
    assert fly(corner(is_fly_over=True), 0, 50.0, -5.0).leg_index == 0
    assert fly(corner(is_fly_over=True), 0, 50.0, 5.0).leg_index == 1


def test_a_straight_route_changes_leg_abeam() -> None:
    route = Route((Waypoint("A", 0, 0), Waypoint("B", 0, 5000), Waypoint("C", 0, 9000)))
    assert fly(route, 0, 20.0, 4990.0).name == "B"
    assert fly(route, 0, 20.0, 5000.0).name == "C"


def test_the_last_leg_continues_straight_past_its_end() -> None:
    seen = fly(corner(), 1, 9 * NM, -40.0)
    assert seen.leg_index == 1
    assert seen.to_go_m == pytest.approx(-1 * NM)
    assert seen.cross_track_m == pytest.approx(40.0)
    assert distance_to_end_m(corner(), seen) == pytest.approx(-1 * NM)


def test_a_leg_is_never_given_back() -> None:
    assert fly(corner(), 1, 0.0, -9 * NM).leg_index == 1


def test_a_short_leg_is_not_skipped_by_the_lead_of_its_turn() -> None:
    # 1 NM between two square turns: each lead (2 402 m if free) is held to half of it.
    route = Route(
        (
            Waypoint("A", 0, -9000),
            Waypoint("B", 0, 0),
            Waypoint("C", NM, 0),
            Waypoint("D", NM, -9000),
        )
    )
    assert fly(route, 0, 0.0, -930.0).name == "B"
    assert fly(route, 0, 0.0, -920.0).name == "C"
    assert fly(route, 1, 0.5 * NM + 5, 0.0).name == "D"


def test_passing_several_points_in_one_step_ends_on_the_right_leg() -> None:
    route = Route(tuple(Waypoint(str(n), 0, 100.0 * n) for n in range(6)))
    assert fly(route, 0, 0.0, 350.0).name == "4"


def test_a_route_without_length_is_refused() -> None:
    with pytest.raises(ValueError, match="two waypoints"):
        Route((Waypoint("A", 0, 0),))
    with pytest.raises(ValueError, match="A and B"):
        Route((Waypoint("A", 5, 5), Waypoint("B", 5, 5)))


@pytest.mark.parametrize("turn_deg", [20.0, 90.0, -115.0])
def test_flying_the_planned_bank_from_the_lead_ends_on_the_next_leg(turn_deg: float) -> None:
    # Independent check: integrate a constant-bank turn from where the leg changes.
    speed_ms, step_s = 180 * KT, 0.01
    course = turn_deg * DEG
    route = Route(
        (
            Waypoint("START", 0.0, -20_000.0),
            Waypoint("TURNO", 0.0, 0.0),
            Waypoint("FINIS", 20_000.0 * math.sin(course), 20_000.0 * math.cos(course)),
        )
    )
    rate = math.copysign(9.80665 * math.tan(0.8 * BANK) / speed_ms, turn_deg)
    x_m, y_m, track, leg_index = 0.0, -10_000.0, 0.0, 0
    while abs(track) < abs(course):
        leg_index = fly(route, leg_index, x_m, y_m).leg_index
        track += rate * step_s if leg_index == 1 else 0.0
        x_m += speed_ms * step_s * math.sin(track)
        y_m += speed_ms * step_s * math.cos(track)
    assert abs(fly(route, 1, x_m, y_m).cross_track_m) < 2.0
