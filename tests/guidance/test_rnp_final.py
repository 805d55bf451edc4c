"""An RNP final in approach mode: what arms it, what captures it, and what takes it away.

Rules: FAA AIM 1-1-18 and 5-4-5 (levels of service), ICAO Doc 9613 (RNP APCH); where a figure is
ours the test says so.
"""

from __future__ import annotations

import math

import pytest

from tests.guidance.rig import Rig, modes, refusals
from tests.guidance.test_presses import BUSINESS, WAITS
from tests.guidance.told import begin, told
from trainer.guidance.modes import Modes


def coming_in(
    service: str = "LNAV/VNAV", lateral: str = "NAV", distance_nm: float = 12.0, **more: object
) -> Rig:
    """Level at 3,000 ft on the coded legs of an approach with an RNP final."""
    rig = Rig(initial=modes(lateral), distance_nm=distance_nm, **more)  # type: ignore[arg-type]
    rig.track, rig.service = "received", service
    return rig


def rnp_armed(service: str = "LNAV/VNAV", **more: object) -> Rig:
    rig = coming_in(service, **more)  # type: ignore[arg-type]
    rig.press("approach mode")
    assert (rig.modes.lateral, rig.modes.vertical_armed) == ("NAV", ("PATH",))
    return rig


def rnp_captured(service: str = "LNAV/VNAV", **more: object) -> Rig:
    rig = rnp_armed(service, **more)
    rig.fly(180.0, lambda r: r.modes.vertical == "PATH")
    assert (rig.modes.lateral, rig.modes.vertical) == ("NAV", "PATH")
    return rig


# Arming -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("service", ["LPV", "LNAV/VNAV"])
def test_approach_mode_arms_the_path_and_shows_the_level_of_service(service: str) -> None:
    rig = coming_in(service)
    rig.press("approach mode")
    assert told(rig) == [
        f"vertical armed: PATH (approach mode pressed: {service} path armed)",
        f"capability: {service} (level of service {service})",
    ]


def test_no_station_is_needed() -> None:
    rig = coming_in()
    rig.localizer = rig.glide = "none"
    assert refusals(rig.press("approach mode")) == []


def test_on_a_heading_it_arms_nav_as_well_and_nav_captures_the_final_course() -> None:
    rig = coming_in(lateral="HDG", offset_m=-3000.0, heading_deg=173.0)
    rig.press("approach mode")
    assert rig.modes == Modes("HDG", "ALT", ("NAV",), ("PATH",), "SPEED", "AP", "LNAV/VNAV")
    rig.fly(120.0, lambda r: r.modes.lateral == "NAV")
    assert (rig.modes.lateral, rig.modes.vertical_armed) == ("NAV", ("PATH",))


def test_a_level_of_service_without_a_path_arms_nothing() -> None:
    rig = coming_in("LNAV")
    assert refusals(rig.press("approach mode")) == [
        "approach ignored: the level of service in use has no path"
    ]
    assert (rig.modes.vertical_armed, rig.modes.lateral) == ((), "NAV")


def test_without_integrity_neither_approach_nor_nav_is_taken() -> None:
    rig = coming_in(lateral="HDG")
    rig.track = "flagged"
    assert refusals(rig.press("approach mode")) == [
        "approach ignored: the level of service in use has no path"
    ]
    assert refusals(rig.press("nav mode")) == ["nav ignored: position without integrity"]
    assert (rig.modes.lateral, rig.modes.lateral_armed) == ("HDG", ())


def test_behind_the_threshold_there_is_no_final_to_arm() -> None:
    rig = coming_in(distance_nm=-1.0)
    assert refusals(rig.press("approach mode")) == ["approach ignored: no coded final ahead"]


def test_two_autopilots_do_not_fly_it() -> None:
    rig = rnp_captured()
    assert refusals(rig.press("second autopilot")) == [
        "second autopilot ignored: no automatic landing from an RNP final"
    ]


# Capturing --------------------------------------------------------------------------------------


def test_the_path_is_captured_from_below_and_held() -> None:
    rig = rnp_captured()
    begin(rig)
    rig.fly(15.0)
    assert abs(rig.path_error_m) < 5.0
    rig.fly(60.0)
    assert abs(rig.path_error_m) < 1.0
    assert told(rig) == []


def test_off_the_final_course_by_more_than_half_of_rnp_the_path_is_not_taken() -> None:
    # Half of RNP 0.3 is 278 m.
    rig = coming_in(lateral="HDG", offset_m=320.0)
    rig.press("approach mode")
    assert rig.modes.lateral_armed == ("NAV",)
    rig.fly(160.0)
    assert rig.path_error_m > 0.0
    assert (rig.modes.vertical, rig.modes.vertical_armed) == ("ALT", ("PATH",))


def test_the_selected_altitude_is_not_captured_on_the_way_down() -> None:
    rig = rnp_captured()
    rig.select("altitude", 2000.0)
    rig.fly(150.0)
    assert rig.modes.vertical == "PATH"
    assert rig.altitude_ft < 1500.0


# Leaving ----------------------------------------------------------------------------------------


def test_heading_mode_before_the_capture_drops_the_approach() -> None:
    rig = rnp_armed()
    begin(rig)
    rig.press("heading mode")
    assert told(rig) == [
        "lateral: HDG (heading mode pressed)",
        "vertical armed: - (approach left with nav)",
        "capability: - (level of service lost)",
    ]


def test_once_captured_a_type_that_only_a_go_around_releases_keeps_it() -> None:
    rig = rnp_captured()
    for button in ("heading mode", "altitude hold", "vertical speed mode"):
        (refusal,) = refusals(rig.press(button))
        assert "approach captured: only a go-around" in refusal
    assert (rig.modes.lateral, rig.modes.vertical) == ("NAV", "PATH")


def test_a_type_that_any_basic_mode_releases_lets_it_go() -> None:
    rig = rnp_captured(kind=WAITS)
    rig.press("heading mode")
    assert (rig.modes.lateral, rig.modes.vertical, rig.modes.capability) == ("HDG", "VS", "")


@pytest.mark.parametrize("is_captured", [False, True])
def test_a_second_press_disarms_until_the_path_is_captured(is_captured: bool) -> None:
    rig = rnp_captured() if is_captured else rnp_armed()
    found = refusals(rig.press("approach mode"))
    if is_captured:
        assert found == [
            "approach ignored: a second press disarms only before the path is captured"
        ]
    else:
        assert (found, rig.modes.vertical_armed, rig.modes.lateral) == ([], (), "NAV")


def test_a_go_around_ends_it_and_nav_flies_the_missed_approach() -> None:
    rig = rnp_captured()
    rig.fly(120.0)
    rig.select("altitude", 5000.0)
    rig.press("go-around")
    assert (rig.modes.lateral, rig.modes.vertical, rig.modes.capability) == ("GA", "GA", "")
    rig.fly(30.0)
    rig.press("nav mode")
    assert (rig.modes.lateral, rig.modes.capability) == ("NAV", "")
    assert refusals(rig.press("approach mode")) == ["approach ignored: no coded final ahead"]


# Losing -----------------------------------------------------------------------------------------


def test_a_downgrade_is_shown_at_once_and_takes_the_path_after_the_hold() -> None:
    rig = rnp_captured("LPV", kind=BUSINESS)
    rig.fly(30.0)
    begin(rig)
    rig.service = "LNAV"
    rig.fly(1.0)
    assert told(rig) == ["capability: LNAV (level of service LNAV)"]
    sink_ms = rig.state.climb_ms
    hold_s = rig.kind.guidance.signal_hold_s
    rig.fly(hold_s)
    assert told(rig)[1:] == [
        f"vertical: VS (level of service with a path lost for {hold_s:g} s: present flight held)"
    ]
    rig.fly(20.0)
    assert rig.modes.lateral == "NAV"
    assert rig.state.climb_ms == pytest.approx(sink_ms, abs=0.1)


def test_a_downgrade_before_the_capture_disarms_the_path_after_the_hold() -> None:
    rig = rnp_armed("LPV")
    rig.service = "LNAV"
    rig.fly(rig.kind.guidance.signal_hold_s + 0.2)
    assert (rig.modes.vertical, rig.modes.vertical_armed, rig.modes.capability) == (
        "ALT",
        (),
        "LNAV",
    )


def test_a_position_without_integrity_takes_nav_and_path_after_the_hold() -> None:
    rig = rnp_captured()
    rig.fly(30.0)
    begin(rig)
    rig.track = "flagged"
    rig.fly(1.0)
    assert told(rig) == ["capability: - (level of service lost)"]
    heading = rig.state.heading_rad
    rig.fly(rig.kind.guidance.signal_hold_s)
    assert told(rig)[1:] == [
        "lateral: HDG (position lost for 8 s: present flight held)",
        "vertical: VS (level of service with a path lost for 8 s: present flight held)",
    ]
    assert math.isclose(rig.state.heading_rad, heading, abs_tol=0.01)


def test_a_position_that_comes_back_within_the_hold_changes_no_mode() -> None:
    rig = rnp_captured()
    rig.track = "flagged"
    rig.fly(rig.kind.guidance.signal_hold_s - 0.5)
    rig.track = "received"
    begin(rig)
    rig.fly(20.0)
    assert (rig.modes.lateral, rig.modes.vertical) == ("NAV", "PATH")


def test_an_approach_without_an_rnp_final_is_untouched_by_all_this() -> None:
    rig = Rig(initial=modes("NAV"), distance_nm=12.0)
    rig.press("approach mode")
    assert rig.modes.capability == ""
    assert "LOC" in rig.modes.lateral_armed
