"""Legs on an arc: geometry by hand, sequencing, and a flight round one."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.units import DEG, KT, NM
from trainer.world.arcs import Arc, lay
from trainer.world.legs import (
    LegView,
    Route,
    Waypoint,
    cross_track_m,
    distance_to_end_m,
    follow,
    to_go_m,
    turn_radius_m,
)

RADIUS_M = 12.0 * NM
BANK = 25.0 * DEG


def on_circle(bearing_deg: float, radius_m: float = RADIUS_M) -> tuple[float, float]:
    return radius_m * math.sin(bearing_deg * DEG), radius_m * math.cos(bearing_deg * DEG)


def arc_route(begin_deg: float, end_deg: float, is_right: bool) -> Route:
    """Ten miles straight out of nothing onto an arc about the origin, then inbound to it."""
    sense = 1.0 if is_right else -1.0
    start_x, start_y = on_circle(begin_deg)
    course = (begin_deg + sense * 90.0) * DEG
    return Route(
        (
            Waypoint("FAROF", start_x - 10 * NM * math.sin(course),
                     start_y - 10 * NM * math.cos(course)),
            Waypoint("BEGIN", start_x, start_y),
            Waypoint("ENDED", *on_circle(end_deg), arc=Arc(0.0, 0.0, is_right)),
            Waypoint("HOMER", 0.0, 0.0),
        )
    )  # fmt: skip


def fly(route: Route, leg_index: int, x_m: float, y_m: float) -> LegView:
    return follow(route, leg_index, x_m, y_m, 180 * KT, BANK)


@pytest.mark.parametrize(
    ("begin_deg", "end_deg", "is_right", "sweep_deg", "course_deg"),
    [
        (300, 20, True, 80, 110),
        (20, 300, False, 80, 210),
        (350, 10, True, 20, 100),
        (10, 350, True, 340, 80),
        (180, 90, False, 90, 0),
    ],
)
def test_an_arc_has_the_length_and_courses_of_its_circle(
    begin_deg: float, end_deg: float, is_right: bool, sweep_deg: float, course_deg: float
) -> None:
    # Hand calculation: r·Δ; clockwise the course is the bearing from the centre + 90°.
    arc = lay(Arc(0.0, 0.0, is_right), *on_circle(begin_deg), *on_circle(end_deg))
    assert arc.radius_m == pytest.approx(RADIUS_M)
    assert arc.length_m == pytest.approx(RADIUS_M * sweep_deg * DEG)
    assert arc.end_course_rad == pytest.approx(course_deg * DEG, abs=1e-9)


def test_on_a_twelve_mile_arc_a_degree_is_a_fifth_of_a_mile() -> None:
    # The 60-to-1 rule: 12 NM / 60 = 0.2 NM a degree (exactly 0.2094).
    arc = lay(Arc(0.0, 0.0, True), *on_circle(0), *on_circle(1))
    assert arc.length_m / NM == pytest.approx(0.2094, abs=1e-4)


def test_right_of_a_clockwise_arc_is_inside_it() -> None:
    right = arc_route(300, 20, True).legs[1]
    left = arc_route(20, 300, False).legs[1]
    inside = on_circle(330, RADIUS_M - 500)
    assert cross_track_m(right, *inside) == pytest.approx(500.0)
    assert cross_track_m(left, *inside) == pytest.approx(-500.0)


@pytest.mark.parametrize(("bearing_deg", "left_deg"), [(300, 80), (340, 40), (20, 0), (280, 100)])
def test_to_go_is_counted_round_the_arc(bearing_deg: float, left_deg: float) -> None:
    leg = arc_route(300, 20, True).legs[1]
    there = on_circle(bearing_deg, RADIUS_M + 300)
    assert to_go_m(leg, *there) == pytest.approx(RADIUS_M * left_deg * DEG, abs=1e-6)


def test_past_its_end_an_arc_continues_straight() -> None:
    route = Route(arc_route(300, 20, True).points[:3])
    x_m, y_m = on_circle(20)
    course = 110 * DEG
    seen = fly(route, 1, x_m + 3000 * math.sin(course), y_m + 3000 * math.cos(course))
    assert seen.to_go_m == pytest.approx(-3000.0)
    assert seen.cross_track_m == pytest.approx(0.0, abs=1e-6)
    assert seen.course_rad == pytest.approx(course)
    assert seen.turn_radius_m == 0.0


@pytest.mark.parametrize("is_right", [True, False])
def test_the_course_is_the_tangent_and_the_radius_is_told(is_right: bool) -> None:
    route = arc_route(300, 20, True) if is_right else arc_route(20, 300, False)
    seen = fly(route, 1, *on_circle(340))
    assert seen.course_rad == pytest.approx((70 if is_right else 250) * DEG)
    assert seen.turn_radius_m == pytest.approx(RADIUS_M if is_right else -RADIUS_M)
    assert seen.name == "ENDED"


def test_an_arc_that_leaves_on_the_tangent_is_entered_abeam_its_beginning() -> None:
    route = arc_route(300, 20, True)
    x_m, y_m = on_circle(300)
    sin, cos = math.sin(30 * DEG), math.cos(30 * DEG)
    assert route.legs[0].turn_rad == pytest.approx(0.0, abs=1e-9)
    assert fly(route, 0, x_m - 20 * sin, y_m - 20 * cos).leg_index == 0
    assert fly(route, 0, x_m + 20 * sin, y_m + 20 * cos).leg_index == 1


def test_the_turn_inbound_begins_at_its_lead_on_the_arc() -> None:
    # A square turn planned with 20° of bank: the lead is its radius, 2 402 m of the arc.
    route = arc_route(300, 20, True)
    lead_m = turn_radius_m(180 * KT, 0.8 * BANK)
    assert route.legs[1].turn_rad == pytest.approx(90 * DEG)
    for short_m, leg_index in ((lead_m + 10, 1), (lead_m - 10, 2)):
        assert fly(route, 1, *on_circle(20 - short_m / RADIUS_M / DEG)).leg_index == leg_index


def test_the_distance_to_the_end_goes_round_the_arc() -> None:
    route = arc_route(300, 20, True)
    seen = fly(route, 1, *on_circle(340))
    assert distance_to_end_m(route, seen) == pytest.approx(RADIUS_M * (40 * DEG + 1))


def test_a_crooked_arc_is_refused() -> None:
    with pytest.raises(ValueError, match="ONE and TWO are not equally far"):
        Route((Waypoint("ONE", 0, 5000), Waypoint("TWO", 5100, 0, arc=Arc(0, 0, True))))
    with pytest.raises(ValueError, match="the same place"):
        Route((Waypoint("ONE", 0, 5000), Waypoint("TWO", 0, 5000, arc=Arc(0, 0, True))))


@given(
    st.floats(0, 359), st.floats(5, 350), st.booleans(), st.floats(0.05, 0.95),
    st.floats(-2000, 2000),
)  # fmt: skip
def test_where_a_point_stands_does_not_depend_on_how_the_arc_lies(
    begin_deg: float, sweep_deg: float, is_right: bool, part: float, aside_m: float
) -> None:
    # The same arc turned about its centre, moved and mirrored gives the same figures.
    sense = 1.0 if is_right else -1.0
    center = (4000.0, -7000.0)

    def place(turned_deg: float, radius_m: float) -> tuple[float, float]:
        x_m, y_m = on_circle(begin_deg + sense * turned_deg, radius_m)
        return center[0] + x_m, center[1] + y_m

    arc = lay(Arc(*center, is_right), *place(0, RADIUS_M), *place(sweep_deg, RADIUS_M))
    seen = arc.where(*place(part * sweep_deg, RADIUS_M - aside_m))
    assert seen.to_go_m == pytest.approx(RADIUS_M * (1 - part) * sweep_deg * DEG, abs=1e-4)
    assert seen.cross_track_m == pytest.approx(sense * aside_m, abs=1e-6)
    assert seen.turn_radius_m == pytest.approx(sense * RADIUS_M)


def test_steering_with_the_radius_told_keeps_to_the_arc() -> None:
    # Independent check: integrate a flight that turns at V/R and corrects nothing.
    route, speed_ms, step_s = arc_route(300, 20, True), 180 * KT, 0.05
    x_m, y_m = on_circle(300)
    track, seen = 30 * DEG, fly(arc_route(300, 20, True), 1, *on_circle(300))
    worst_m = 0.0
    while seen.leg_index == 1:
        track += speed_ms / seen.turn_radius_m * step_s
        x_m += speed_ms * step_s * math.sin(track)
        y_m += speed_ms * step_s * math.cos(track)
        seen = fly(route, 1, x_m, y_m)
        if seen.leg_index == 1:
            worst_m = max(worst_m, abs(seen.cross_track_m))
    assert worst_m < 5.0
