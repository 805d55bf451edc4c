from __future__ import annotations

import math

import pytest

from tests.guidance.rig import COURSE, COURSE_DEG, ROUTE, Rig, along, modes, shown
from tests.guidance.test_presses import type_with
from trainer.guidance.capture import is_line_captured, path_sink_ms, wrap
from trainer.guidance.laws import heading_bank, line_bank
from trainer.units import DEG, FT, KT, NM
from trainer.world.legs import Route, Waypoint


def crosswind(speed_kt: float) -> list[tuple[float, float, float]]:
    """Wind blowing towards the right of the course, kt."""
    speed = speed_kt * KT
    return [(0.0, speed * math.cos(COURSE), -speed * math.sin(COURSE))]


def along_course(speed_kt: float) -> list[tuple[float, float, float]]:
    """Tailwind on the course, kt."""
    speed = speed_kt * KT
    return [(0.0, speed * math.sin(COURSE), speed * math.cos(COURSE))]


def intercept(cut_deg: float, cas_kt: float, wind_kt: float = 0.0) -> tuple[Rig, float]:
    """Fly an intercept from the left; the rig a minute after capture and the worst dots beyond."""
    offset_m = -1500.0 - 60.0 * cut_deg
    rig = Rig(
        distance_nm=14.0,
        offset_m=offset_m,
        heading_deg=COURSE_DEG + cut_deg,
        cas_kt=cas_kt,
        wind=crosswind(wind_kt) if wind_kt else (),
    )
    rig.press("localizer mode")
    rig.fly(200.0, lambda r: r.modes.lateral == "LOC")
    assert rig.modes.lateral == "LOC"
    assert rig.before_m > 8.0 * NM
    beyond = -9.0
    for _ in range(60):
        rig.fly(1.0)
        beyond = max(beyond, rig.localizer_dots)
    return rig, beyond


# Localizer ------------------------------------------------------------------------------------


@pytest.mark.parametrize("cut_deg", [30.0, 45.0])
@pytest.mark.parametrize("wind_kt", [0.0, 30.0])
def test_a_localizer_intercept_goes_hardly_beyond_the_course(
    cut_deg: float, wind_kt: float
) -> None:
    rig, beyond = intercept(cut_deg, 180.0, wind_kt)
    assert beyond < 0.15
    assert abs(rig.localizer_dots) < 0.1


def test_a_faster_closure_is_captured_further_out() -> None:
    def captured_at(cut_deg: float, cas_kt: float) -> float:
        rig = Rig(offset_m=-4000.0, heading_deg=COURSE_DEG + cut_deg, cas_kt=cas_kt)
        rig.press("localizer mode")
        rig.fly(200.0, lambda r: r.modes.lateral == "LOC")
        return abs(rig.offset_m)

    assert captured_at(30.0, 140.0) < captured_at(30.0, 180.0) < captured_at(45.0, 180.0)


def test_the_lead_is_that_of_a_turn_on_the_ground_speed() -> None:
    # Hand calculation, 25 degrees of bank limit, 4 degrees a second, 92.6 m/s, 30 degrees cut:
    # R = 92.6^2 / (9.80665 tan 20) = 2402.3 m; R (1 - cos 30) = 321.8 m; roll-in
    # 0.6 * 92.6 * 6.25 * sin 30 = 173.6 m; together 495.5 m.
    handling = Rig().kind.handling
    assert is_line_captured(-495.0, 30.0 * DEG, 92.6, handling)
    assert not is_line_captured(-496.0, 30.0 * DEG, 92.6, handling)


def test_a_line_is_not_captured_while_flying_away_from_it() -> None:
    handling = Rig().kind.handling
    assert not is_line_captured(100.0, 30.0 * DEG, 92.6, handling)
    assert is_line_captured(-100.0, 30.0 * DEG, 92.6, handling)


@pytest.mark.parametrize("track_deg", [-4.0, 0.0, 4.0])
def test_flown_beside_the_localizer_within_half_a_dot_it_is_captured(track_deg: float) -> None:
    # Half a dot is where a deviation would be called: with less the needle looks centred.
    rig = Rig(distance_nm=12.0, offset_m=210.0, heading_deg=COURSE_DEG + track_deg)
    assert 0.4 < rig.localizer_dots < 0.5
    rig.press("localizer mode")
    rig.fly(0.1)
    assert rig.modes.lateral == "LOC"
    rig.fly(90.0)
    assert abs(rig.localizer_dots) < 0.1


def test_flown_beside_the_localizer_further_out_it_stays_armed() -> None:
    rig = Rig(distance_nm=12.0, offset_m=260.0)
    rig.press("localizer mode")
    rig.fly(30.0)
    assert rig.localizer_dots > 0.6
    assert (rig.modes.lateral, rig.modes.lateral_armed) == ("HDG", ("LOC",))


@pytest.mark.parametrize(("beside_m", "taken"), [(250.0, "NAV"), (310.0, "HDG")])
def test_flown_beside_a_coded_leg_it_is_captured_within_half_its_accuracy(
    beside_m: float, taken: str
) -> None:
    # RNP 0.3 of a final approach: half of it is 278 m.
    rig = Rig(distance_nm=12.0, offset_m=beside_m)
    rig.press("nav mode")
    assert rig.modes.lateral == taken


def test_a_direct_leg_to_a_fix_behind_begins_with_its_turn() -> None:
    rig = Rig(distance_nm=12.0, offset_m=-3000.0, heading_deg=COURSE_DEG + 180.0, route=ROUTE)
    rig.select("direct to", 1.0)
    rig.fly(30.0)
    rig.press("nav mode")
    assert rig.modes.lateral == "NAV"
    end = ROUTE.points[1]
    rig.fly(130.0)
    bearing = math.atan2(end.x_m - rig.state.x_m, end.y_m - rig.state.y_m)
    assert abs(wrap(bearing - rig.sensed().track_rad)) < 3.0 * DEG


def test_a_direct_leg_chosen_while_nav_is_armed_is_taken_at_once() -> None:
    rig = Rig(distance_nm=12.0, offset_m=-3000.0, heading_deg=COURSE_DEG + 180.0, route=ROUTE)
    rig.press("nav mode")
    assert rig.modes.lateral_armed == ("NAV",)
    rig.select("direct to", 1.0)
    rig.fly(0.1)
    assert rig.modes.lateral == "NAV"


def test_an_armed_localizer_waits_while_it_is_not_received() -> None:
    rig = Rig(offset_m=-2000.0, heading_deg=COURSE_DEG + 30.0)
    rig.press("localizer mode")
    rig.localizer = "flagged"
    rig.fly(60.0)
    assert rig.modes.lateral == "HDG"
    assert rig.modes.lateral_armed == ("LOC",)


def test_nothing_is_captured_beyond_the_threshold() -> None:
    rig = Rig(distance_nm=-2.0)
    rig.press("localizer mode")
    rig.fly(5.0)
    assert rig.modes.lateral == "HDG"


# Glide path -----------------------------------------------------------------------------------


@pytest.mark.parametrize("wind_kt", [-25.0, 0.0, 25.0])
def test_a_glide_path_capture_settles_without_overshoot(wind_kt: float) -> None:
    rig = Rig(distance_nm=11.0, wind=along_course(wind_kt))
    rig.press("approach mode")
    rig.fly(200.0, lambda r: r.modes.vertical == "GLIDE")
    worst = -9.0
    for _ in range(60):
        rig.fly(1.0)
        worst = max(worst, rig.glide_dots)
    assert worst <= 0.2
    assert abs(rig.glide_dots) < 0.05


def test_the_sink_on_the_path_is_ground_speed_times_its_slope() -> None:
    # Published rule: ground speed in kt times 5.3 is the rate of descent on 3 degrees (ft/min).
    rig = Rig(distance_nm=8.0, cas_kt=140.0)
    sensed = rig.sensed()
    fpm = path_sink_ms(sensed) / FT * 60.0
    assert fpm == pytest.approx(5.3 * sensed.ground_speed_ms / KT, rel=0.005)


def test_the_glide_path_waits_for_the_localizer() -> None:
    rig = Rig(distance_nm=9.5, offset_m=-3000.0)
    rig.press("approach mode")
    rig.fly(30.0)
    assert rig.path_error_m > 0.0
    assert rig.modes.vertical == "ALT"


def test_a_glide_path_is_not_captured_from_far_above() -> None:
    rig = Rig(distance_nm=8.0)
    rig.press("approach mode")
    rig.fly(5.0)
    assert rig.path_error_m > 30.0
    assert (rig.modes.lateral, rig.modes.vertical) == ("LOC", "ALT")


def test_the_computed_path_is_flown_like_a_glide_path_and_shown_as_path() -> None:
    rig = Rig(distance_nm=11.0)
    rig.glide = "none"
    rig.press("approach mode")
    rig.fly(120.0)
    assert rig.modes.vertical == "PATH"
    assert abs(rig.glide_dots) < 0.05


# Altitude -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("from_ft", "rate_fpm"),
    [(3600.0, -500.0), (4000.0, -1000.0), (5000.0, -2500.0), (1800.0, 1500.0)],
)
def test_an_altitude_is_captured_within_forty_feet(from_ft: float, rate_fpm: float) -> None:
    rig = Rig(initial=modes("HDG", "VS"), altitude_ft=from_ft, climb_fpm=rate_fpm)
    rig.select("altitude", 3000.0)
    side = math.copysign(1.0, rate_fpm)
    beyond = 0.0
    for _ in range(1200):
        rig.fly(0.1)
        beyond = max(beyond, side * (rig.altitude_ft - 3000.0))
    words = [change.after for _, change in rig.changes if change.column == "vertical"]
    assert words == ["ALT CAP", "ALT"]
    assert beyond < 40.0
    assert rig.altitude_ft == pytest.approx(3000.0, abs=5.0)


def test_vertical_speed_away_from_the_selected_altitude_never_captures() -> None:
    rig = Rig(initial=modes("HDG", "VS"), altitude_ft=3100.0, climb_fpm=700.0)
    rig.select("altitude", 3000.0)
    rig.fly(60.0)
    assert rig.modes.vertical == "VS"
    assert rig.altitude_ft > 3700.0


def test_descend_mode_flies_away_from_a_higher_selected_altitude() -> None:
    rig = Rig(altitude_ft=4000.0, cas_kt=210.0, flap=0)
    rig.select("altitude", 5000.0)
    rig.press("descend mode")
    rig.fly(60.0)
    assert rig.modes.vertical == "DESCEND"
    assert rig.altitude_ft < 3700.0


def test_descend_mode_holds_the_speed_with_pitch() -> None:
    rig = Rig(altitude_ft=8000.0, cas_kt=210.0, flap=0)
    rig.select("altitude", 1000.0)
    rig.press("descend mode")
    rig.fly(90.0)
    assert rig.sensed().cas_kt == pytest.approx(210.0, abs=3.0)
    assert rig.command.power == 0.0


@pytest.mark.parametrize(
    ("option", "after"), [("keeps target", "ALT CAP"), ("falls back to vertical speed", "VS")]
)
def test_turning_the_altitude_selector_in_its_capture_is_the_types_option(
    option: str, after: str
) -> None:
    kind = type_with(altitude_capture_turn=option)
    rig = Rig(kind, modes("HDG", "VS"), altitude_ft=4000.0, climb_fpm=-1000.0)
    rig.select("altitude", 3000.0)
    rig.fly(120.0, lambda r: r.modes.vertical == "ALT CAP")
    found = rig.select("altitude", 5000.0)
    assert rig.modes.vertical == after
    assert bool(found) == (after == "VS")
    rig.fly(40.0)
    if after == "VS":
        assert rig.altitude_ft < 2900.0
    else:
        assert rig.altitude_ft == pytest.approx(3000.0, abs=5.0)


def test_altitude_hold_keeps_the_present_altitude_whatever_the_selector_says() -> None:
    rig = Rig(initial=modes("HDG", "VS"), altitude_ft=4000.0, climb_fpm=-1000.0)
    rig.select("altitude", 2000.0)
    rig.fly(10.0)
    held = rig.altitude_ft
    rig.press("altitude hold")
    rig.fly(30.0)
    assert rig.altitude_ft == pytest.approx(held, abs=5.0)


# Coded legs and headings ----------------------------------------------------------------------


def test_nav_is_armed_and_captures_the_leg() -> None:
    rig = Rig(offset_m=-3000.0, heading_deg=COURSE_DEG + 30.0, distance_nm=18.0)
    rig.press("nav mode")
    changes = rig.fly(90.0)
    assert shown(changes) == [("lateral", "NAV"), ("lateral armed", "")]
    rig.fly(60.0)
    assert abs(rig.offset_m) < 15.0


def test_behind_the_last_fix_nav_flies_straight_on() -> None:
    """No hold is coded: what comes after the last leg is its extension."""
    rig = Rig(initial=modes("NAV"), distance_nm=-6.0)
    rig.fly(120.0)
    assert rig.before_m < -9.0 * NM
    assert rig.modes.lateral == "NAV"
    assert abs(rig.offset_m) < 5.0


def test_nav_turns_from_leg_to_leg_before_the_corner() -> None:
    corner = along(12.0)
    route = Route(
        (
            Waypoint("START", corner[0] - 15000.0, corner[1] + 15000.0),
            Waypoint("CORNER", *corner),
            Waypoint("THRESHOLD", 0.0, 0.0),
        )
    )
    rig = Rig(initial=modes("NAV"), distance_nm=14.0, heading_deg=135.0, route=route)
    x, y = corner[0] - 7000.0, corner[1] + 7000.0
    rig.state = rig.state._replace(x_m=x, y_m=y)
    rig.fly(150.0)
    assert abs(rig.offset_m) < 15.0


def test_the_bank_for_a_heading_is_limited_and_turns_the_short_way() -> None:
    assert heading_bank(10.0 * DEG, 350.0 * DEG, 25.0 * DEG) == pytest.approx(24.0 * DEG)
    assert heading_bank(350.0 * DEG, 10.0 * DEG, 25.0 * DEG) == pytest.approx(-24.0 * DEG)
    assert heading_bank(180.0 * DEG, 90.0 * DEG, 25.0 * DEG) == pytest.approx(25.0 * DEG)


def test_far_from_a_line_the_cut_is_forty_five_degrees() -> None:
    assert line_bank(9000.0, COURSE, COURSE - 45.0 * DEG, 90.0, 25.0 * DEG) == pytest.approx(0.0)
    assert line_bank(-9000.0, COURSE, COURSE + 45.0 * DEG, 90.0, 25.0 * DEG) == pytest.approx(0.0)


def test_an_angle_is_wrapped_into_half_a_turn() -> None:
    assert wrap(350.0 * DEG) == pytest.approx(-10.0 * DEG)
    assert wrap(-190.0 * DEG) == pytest.approx(170.0 * DEG)
