"""The coded descent, and the ways it is missed, as stories of the annunciator."""

from __future__ import annotations

import pytest

from tests.guidance.rig import COURSE_DEG, Rig, along, modes, refusals
from tests.guidance.told import begin, told
from trainer.guidance.coded import Coding
from trainer.units import DEG, FT, NM
from trainer.world.coded_descent import Constraint
from trainer.world.legs import Route, Waypoint

ROUTE = Route(
    tuple(
        Waypoint(name, *along(nm))
        for name, nm in (
            ("START", 40.0),
            ("HIGH", 30.0),
            ("SLOW", 20.0),
            ("FINAL", 9.0),
            ("RW", 0.0),
        )
    )
)
CODING = Coding(
    constraints=(
        Constraint("HIGH", 0.0, "above", 6000.0),
        Constraint("SLOW", 0.0, "at", 5000.0, 210.0),
        Constraint("FINAL", 0.0, "at", 3000.0),
    ),
    final_fix="FINAL",
    final_ft=3000.0,
    threshold_ft=50.0,
    approach_kt=148.0,
    clean_kt=204.0,
    angle_rad=3.0 * DEG,
)
ARMED = "vertical armed: PATH (path mode pressed: coded descent armed)"
CAPTURED = ["vertical: PATH (coded path captured)", "vertical armed: - (coded path captured)"]


def coming(
    altitude_ft: float = 9000.0, cas_kt: float = 240.0, lateral: str = "NAV", below_k: float = 0.0
) -> Rig:
    """Level on the coded legs, 39 NM out, clean."""
    rig = Rig(
        initial=modes(lateral),
        distance_nm=39.0,
        altitude_ft=altitude_ft,
        cas_kt=cas_kt,
        flap=0,
        route=ROUTE,
        coding=CODING,
        below_standard_k=below_k,
    )
    rig.glide = "none"
    return rig


def descending(selected_ft: float = 3000.0) -> Rig:
    rig = coming()
    rig.select("altitude", selected_ft)
    rig.press("path mode")
    rig.fly(300.0, lambda r: r.modes.vertical == "PATH")
    assert rig.modes.vertical == "PATH"
    return rig


def test_the_coded_descent_is_flown_through_its_constraints() -> None:
    rig = coming(cas_kt=215.0)
    rig.select("altitude", 3000.0)
    rig.press("path mode")
    assert told(rig) == [ARMED]
    rig.fly(300.0, lambda r: r.before_m < 30.0 * NM)
    assert rig.altitude_ft > 6000.0
    assert told(rig)[1:] == CAPTURED
    rig.fly(300.0, lambda r: r.before_m < 20.0 * NM)
    assert rig.altitude_ft == pytest.approx(5000.0, abs=60.0)
    # A clean jet gains speed on three degrees: the level part takes most of it off again.
    assert rig.sensed().cas_kt == pytest.approx(210.0, abs=6.0)
    rig.fly(300.0, lambda r: r.before_m < 9.0 * NM)
    assert rig.altitude_ft == pytest.approx(3000.0, abs=30.0)


@pytest.mark.parametrize(
    ("below_k", "wrong_hpa", "true_ft"),
    [
        (30.0, 0.0, 5000.0 * (1.0 - 30.0 / 283.0)),  # 4 % in 10 K, 3.5 % exactly (AIM 7-3)
        (0.0, 10.0, 5000.0 - 270.0),  # 27 ft a hectopascal near the sea (EASA SIB 2023-03)
        (0.0, -10.0, 5000.0 + 270.0),
    ],
)
def test_constraints_are_altitudes_as_the_altimeter_shows_them(
    below_k: float, wrong_hpa: float, true_ft: float
) -> None:
    rig = coming(8000.0, cas_kt=215.0, below_k=below_k)
    rig.setting_hpa += wrong_hpa
    rig.select("altitude", 3000.0)
    rig.press("path mode")
    rig.fly(900.0, lambda r: r.before_m < 20.0 * NM)
    assert rig.modes.vertical == "PATH"
    assert rig.altitude_ft == pytest.approx(5000.0, abs=60.0)
    assert rig.state.height_m / FT == pytest.approx(true_ft, abs=70.0)
    rig.fly(300.0, lambda r: r.before_m < 9.0 * NM)
    assert rig.altitude_ft == pytest.approx(3000.0, abs=30.0)


def test_on_the_straight_part_cold_air_leaves_nothing_between_altimeter_and_path() -> None:
    """The law takes the slope that the air makes: without that it would fly 16 ft below."""
    rig = coming(8000.0, cas_kt=215.0, below_k=30.0)
    rig.select("altitude", 3000.0)
    rig.press("path mode")
    rig.fly(900.0, lambda r: r.before_m < 27.0 * NM)
    assert rig.modes.vertical == "PATH"
    error_ft = rig.guidance.followed_error_ft(rig.sensed())
    assert error_ft == pytest.approx(0.0, abs=3.0)


def test_the_coded_speed_limit_is_flown_below_a_faster_selection_and_said() -> None:
    rig = descending()
    rig.fly(300.0, lambda r: r.before_m < 20.0 * NM)
    assert [p.reason for p in rig.protections] == ["coded speed limit of SLOW"]
    assert rig.guidance.protected_kt == 210.0
    rig.press("vertical speed mode")
    rig.fly(1.0)
    assert rig.guidance.protected_kt == 0.0


def test_before_the_final_fix_the_path_is_level_to_slow_down() -> None:
    rig = descending(1500.0)
    # 204 to 148 kt at ten knots a mile: 5.6 NM before the fix.
    rig.fly(400.0, lambda r: r.before_m < 13.5 * NM)
    assert rig.modes.vertical == "PATH"
    rig.fly(10.0)
    assert abs(rig.state.climb_ms) < 0.3
    fast_kt = rig.sensed().cas_kt
    rig.select("speed", 170.0)
    rig.flap = 2
    rig.fly(300.0, lambda r: r.before_m < 9.2 * NM)
    assert rig.sensed().cas_kt < fast_kt - 40.0
    assert rig.altitude_ft == pytest.approx(3000.0, abs=20.0)
    rig.fly(120.0, lambda r: r.before_m < 7.0 * NM)
    # 3,000 ft at 9 NM is 85 ft above 3 degrees: the last part is a little steeper.
    assert rig.path_error_m == pytest.approx(7.0 / 9.0 * 26.0, abs=5.0)


def test_a_selected_altitude_not_lowered_lets_the_top_of_descent_go_by() -> None:
    rig = coming()
    rig.press("path mode")
    begin(rig)
    rig.fly(400.0, lambda r: r.before_m < 20.0 * NM)
    assert told(rig) == []
    assert (rig.modes.vertical, rig.modes.vertical_armed) == ("ALT", ("PATH",))
    assert rig.altitude_ft == pytest.approx(9000.0, abs=20.0)
    # Lowered now it is too late: the path is far below, and armed as before.
    rig.select("altitude", 3000.0)
    rig.fly(10.0)
    assert rig.modes.vertical == "ALT"


def test_from_above_the_path_is_met_by_another_descent() -> None:
    rig = coming()
    rig.fly(200.0, lambda r: r.before_m < 31.0 * NM)
    rig.select("altitude", 3000.0)
    rig.select("vertical speed", -2500.0)
    rig.press("path mode", "vertical speed mode")
    begin(rig)
    rig.fly(300.0, lambda r: r.modes.vertical == "PATH")
    assert told(rig)[:1] == CAPTURED[:1]


def test_the_selected_altitude_stops_the_coded_descent() -> None:
    rig = descending()
    rig.select("altitude", 6000.0)
    begin(rig)
    rig.fly(200.0, lambda r: r.modes.vertical == "ALT")
    assert told(rig) == [
        "vertical: ALT CAP (selected altitude captured)",
        "vertical: ALT (level at the captured altitude)",
    ]
    assert rig.altitude_ft == pytest.approx(6000.0, abs=20.0)


def test_heading_takes_the_coded_path_away_and_the_sink_stays() -> None:
    rig = descending()
    rig.fly(20.0)
    sink_ms = rig.state.climb_ms
    begin(rig)
    rig.press("heading mode")
    assert told(rig) == [
        "lateral: HDG (heading mode pressed)",
        "vertical: VS (coded path left with nav: vertical speed held)",
    ]
    rig.fly(20.0)
    assert rig.state.climb_ms == pytest.approx(sink_ms, abs=0.3)


def test_heading_disarms_a_coded_path_that_is_armed() -> None:
    rig = coming()
    rig.press("path mode")
    begin(rig)
    rig.press("heading mode")
    assert told(rig) == [
        "lateral: HDG (heading mode pressed)",
        "vertical armed: - (coded path disarmed: nav left)",
    ]


def test_path_mode_needs_nav_a_coded_descent_and_no_approach() -> None:
    away = coming(lateral="HDG")
    assert refusals(away.press("path mode")) == ["path ignored: nav mode neither active nor armed"]
    bare = Rig(initial=modes("NAV"), distance_nm=14.0)
    assert refusals(bare.press("path mode")) == ["path ignored: no coded descent ahead"]
    rig = coming()
    rig.press("approach mode")
    assert refusals(rig.press("path mode")) == ["path ignored: approach mode armed or captured"]


def test_a_second_press_disarms_and_a_captured_path_stays() -> None:
    rig = coming()
    rig.press("path mode", "path mode")
    assert told(rig) == [ARMED, "vertical armed: - (path mode pressed again)"]
    flown = descending()
    assert flown.press("path mode") == []


def test_glide_takes_over_from_the_coded_path() -> None:
    rig = descending(1500.0)
    rig.glide = "covered"
    rig.press("approach mode")
    begin(rig)
    rig.fly(400.0, lambda r: r.modes.vertical == "GLIDE")
    assert [line for line in told(rig) if line.startswith("vertical:")] == [
        "vertical: GLIDE (glide path captured)"
    ]


def test_a_coded_path_is_no_approach_for_a_second_autopilot() -> None:
    rig = descending()
    assert refusals(rig.press("second autopilot")) == [
        "second autopilot ignored: both autopilots only with approach mode armed or captured"
    ]


def test_a_wrong_altimeter_setting_moves_the_coded_path_with_it() -> None:
    # 10 hPa too high read about 270 ft too much: the path is flown that much too low.
    right, wrong = descending(), descending()
    wrong.setting_hpa = 1023.25
    for rig in (right, wrong):
        rig.fly(400.0, lambda r: r.before_m < 18.0 * NM)
    low_m = right.state.height_m - wrong.state.height_m
    assert low_m / 0.3048 == pytest.approx(270.0, abs=25.0)


# Direct-to ------------------------------------------------------------------------------------


def offset(**settings: float) -> Rig:
    """Beside the legs on NAV, tracking across them."""
    return Rig(
        initial=modes("NAV"),
        distance_nm=30.0,
        offset_m=-12000.0,
        heading_deg=settings.get("heading_deg", COURSE_DEG),
        altitude_ft=5000.0,
        cas_kt=210.0,
        flap=0,
        route=ROUTE,
        coding=CODING,
    )


@pytest.mark.parametrize("heading_deg", [COURSE_DEG - 90.0, COURSE_DEG, COURSE_DEG + 60.0])
def test_direct_to_turns_once_and_flies_straight_to_the_fix(heading_deg: float) -> None:
    rig = offset(heading_deg=heading_deg)
    rig.select("direct to", 2.0)
    rig.fly(130.0)
    leg = rig.guidance._core.legs.view(rig.sensed())
    assert leg.name == "SLOW"
    assert abs(leg.cross_track_m) < 60.0
    nearest_m = 1e9
    for _ in range(400):
        rig.fly(1.0)
        x_m, y_m = along(20.0)
        away = ((rig.state.x_m - x_m) ** 2 + (rig.state.y_m - y_m) ** 2) ** 0.5
        nearest_m = min(nearest_m, away)
    assert nearest_m < 1500.0  # Flown by: the turn onto the next leg begins before the fix.
    assert rig.modes.lateral == "NAV"
    assert abs(rig.offset_m) < 60.0


def test_direct_to_beyond_a_constraint_asks_no_more_for_it() -> None:
    rig = coming()
    legs = rig.guidance._core.legs
    assert legs.descent is not None
    assert legs.descent.limit(15.0 * NM) is not None
    rig.select("direct to", 3.0)
    assert legs.descent is not None
    assert legs.descent.limit(15.0 * NM) is None


def test_direct_to_the_runway_leaves_no_coded_descent() -> None:
    rig = coming()
    rig.select("direct to", 4.0)
    assert refusals(rig.press("path mode")) == ["path ignored: no coded descent ahead"]


def test_direct_to_while_in_heading_changes_the_legs_and_not_the_mode() -> None:
    rig = offset()
    rig.press("heading mode")
    rig.select("direct to", 2.0)
    rig.fly(5.0)
    assert rig.modes.lateral == "HDG"
    begin(rig)
    rig.press("nav mode")
    rig.fly(5.0)
    assert rig.modes.lateral == "NAV"


def test_the_height_above_the_coded_path_is_told_while_it_is_armed_or_active() -> None:
    rig = coming()
    assert rig.guidance.followed_error_ft(rig.sensed()) is None
    rig.select("altitude", 3000.0)
    rig.press("path mode")
    told_ft = rig.guidance.followed_error_ft(rig.sensed())
    assert told_ft is not None
    assert told_ft < -300.0
    rig.fly(300.0, lambda r: r.modes.vertical == "PATH")
    rig.fly(60.0)
    flown_ft = rig.guidance.followed_error_ft(rig.sensed())
    assert flown_ft == pytest.approx(0.0, abs=25.0)
    rig.press("altitude hold")
    assert rig.guidance.followed_error_ft(rig.sensed()) is None
