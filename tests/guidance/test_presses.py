from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from tests.guidance.rig import COURSE_DEG, Rig, accepted, along, modes, refusals, shown
from tests.world.types import twin_jet
from trainer.units import FT
from trainer.world.aircraft import AircraftType
from trainer.world.legs import Route, Waypoint

BOTH_REFUSAL = "approach captured: only a go-around, or autopilot and flight director off"


def leaving_the_localizer() -> Route:
    """Legs that cross the final approach at 9 NM, from right to left at a right angle."""
    ahead, across = along(9.0, 9000.0), along(9.0, -20000.0)
    return Route((Waypoint("RIGHT", *ahead), Waypoint("LEFT", *across)))


def type_with(**options: Any) -> AircraftType:
    kind = twin_jet()
    return replace(kind, guidance=replace(kind.guidance, **options))


WAITS = type_with(
    early_arming="waits",
    leaving="any basic mode",
    second_press="disarms always",
    is_nav_inert_after_localizer=False,
)
BUSINESS = type_with(
    early_arming="waits",
    leaving="until glide",
    second_press="nothing",
    is_glide_before_localizer=True,
    is_nav_inert_after_localizer=False,
)


def outside_glide(kind: AircraftType | None = None, **settings: Any) -> Rig:
    """On a 30° cut at 14 NM where the localizer is received and the glide path is not."""
    settings = {"offset_m": -4000.0, "heading_deg": COURSE_DEG + 30.0} | settings
    rig = Rig(kind, **settings)
    rig.glide = "none"
    return rig


def localizer_captured(kind: AircraftType | None = None) -> Rig:
    """Approach pressed too early, then the localizer captured at the platform height."""
    rig = outside_glide(kind)
    rig.press("approach mode")
    rig.fly(60.0, lambda r: r.modes.lateral == "LOC")
    rig.fly(20.0)
    assert rig.modes.lateral == "LOC"
    return rig


def both_captured(kind: AircraftType | None = None) -> Rig:
    rig = Rig(kind, distance_nm=10.0)
    rig.press("approach mode")
    rig.fly(60.0, lambda r: r.modes.vertical == "GLIDE")
    assert (rig.modes.lateral, rig.modes.vertical) == ("LOC", "GLIDE")
    return rig


# Arming ---------------------------------------------------------------------------------------


def test_approach_mode_with_both_signals_arms_both() -> None:
    rig = Rig(offset_m=-4000.0)
    found = rig.press("approach mode")
    assert shown(found) == [("lateral armed", "LOC"), ("vertical armed", "GLIDE")]
    assert all(change.is_commanded for change in accepted(found))


@pytest.mark.parametrize(
    ("arming", "armed", "refused"),
    [
        ("computed path", ("PATH",), []),
        ("waits", ("GLIDE",), []),
        ("refuses", (), ["approach ignored: no glide path received"]),
    ],
)
def test_arming_before_the_glide_path_is_received_is_the_types_option(
    arming: str, armed: tuple[str, ...], refused: list[str]
) -> None:
    rig = outside_glide(type_with(early_arming=arming))
    found = rig.press("approach mode")
    assert rig.modes.lateral_armed == ("LOC",)
    assert rig.modes.vertical_armed == armed
    assert refusals(found) == refused


def test_the_computed_path_is_armed_quietly_and_says_why() -> None:
    found = outside_glide().press("approach mode")
    reasons = {c.column: c.reason for c in accepted(found)}
    assert reasons["vertical armed"] == "glide path not received: computed path armed"


def test_a_computed_path_stays_when_the_glide_path_is_received_later() -> None:
    rig = outside_glide()
    rig.press("approach mode")
    rig.glide = "covered"
    rig.fly(5.0)
    assert rig.modes.vertical_armed == ("PATH",)


@pytest.mark.parametrize("button", ["approach mode", "localizer mode"])
@pytest.mark.parametrize("state", ["none", "flagged"])
def test_without_a_localizer_nothing_arms(button: str, state: str) -> None:
    rig = Rig()
    rig.localizer = state
    found = rig.press(button)
    assert [reason.split(": ")[1] for reason in refusals(found)] == ["no localizer received"]
    assert rig.modes.lateral_armed == ()
    assert rig.modes.vertical_armed == ()


def test_localizer_mode_arms_the_localizer_alone() -> None:
    rig = Rig(offset_m=-4000.0)
    assert shown(rig.press("localizer mode")) == [("lateral armed", "LOC")]


def test_approach_mode_after_localizer_mode_adds_the_glide_path() -> None:
    rig = Rig(offset_m=-4000.0)
    assert shown(rig.press("localizer mode", "approach mode")) == [("vertical armed", "GLIDE")]


def test_modes_are_refused_while_autopilot_and_flight_director_are_off() -> None:
    rig = Rig(initial=modes("HDG", "VS", engagement="OFF"))
    assert refusals(rig.press("approach mode")) == [
        "approach ignored: autopilot and flight director off"
    ]


# The second press -----------------------------------------------------------------------------


@pytest.mark.parametrize("option", ["disarms before localizer", "disarms always"])
def test_a_second_press_before_the_localizer_disarms(option: str) -> None:
    rig = outside_glide(type_with(second_press=option))
    rig.press("approach mode")
    assert shown(rig.press("approach mode")) == [("lateral armed", ""), ("vertical armed", "")]


def test_on_a_type_without_it_a_second_press_is_refused() -> None:
    rig = outside_glide(BUSINESS)
    rig.press("approach mode")
    assert refusals(rig.press("approach mode"))
    assert rig.modes.vertical_armed == ("GLIDE",)


def test_after_the_localizer_a_second_press_is_refused_on_the_twin_jet() -> None:
    rig = localizer_captured()
    rig.glide = "covered"
    assert refusals(rig.press("approach mode")) == [
        "approach ignored: a second press disarms only before the localizer is captured"
    ]
    assert rig.modes.vertical_armed == ("PATH",)


def test_a_type_that_always_disarms_drops_a_captured_approach() -> None:
    rig = both_captured(WAITS)
    rig.press("approach mode")
    assert (rig.modes.lateral, rig.modes.vertical) == ("HDG", "VS")
    rig.fly(5.0)
    assert rig.command.climb_ms == pytest.approx(rig.state.climb_ms, abs=0.2)


# Ways back from a computed path ---------------------------------------------------------------


def test_way_back_press_again_before_the_localizer_then_inside_the_signal() -> None:
    rig = outside_glide()
    rig.press("approach mode", "approach mode")
    rig.glide = "covered"
    rig.press("approach mode")
    assert (rig.modes.lateral_armed, rig.modes.vertical_armed) == (("LOC",), ("GLIDE",))


def test_way_back_heading_then_localizer_then_approach() -> None:
    rig = localizer_captured()
    rig.press("heading mode")
    assert rig.modes.lateral == "HDG"
    assert rig.modes.vertical_armed == ("PATH",)
    found = rig.press("localizer mode")
    assert shown(found) == [("lateral armed", "LOC"), ("vertical armed", "")]
    rig.glide = "covered"
    assert shown(rig.press("approach mode")) == [("vertical armed", "GLIDE")]


def test_way_back_localizer_mode_drops_an_armed_approach() -> None:
    rig = outside_glide()
    rig.press("approach mode", "localizer mode")
    assert (rig.modes.lateral_armed, rig.modes.vertical_armed) == (("LOC",), ())


def test_way_back_localizer_mode_keeps_a_captured_localizer() -> None:
    rig = localizer_captured()
    found = rig.press("localizer mode")
    assert shown(found) == [("vertical armed", "")]
    assert rig.modes.lateral == "LOC"
    rig.glide = "covered"
    rig.press("approach mode")
    assert rig.modes.vertical_armed == ("GLIDE",)


def test_way_back_heading_then_approach_inside_the_signal_arms_afresh() -> None:
    rig = localizer_captured()
    rig.press("heading mode")
    rig.glide = "covered"
    rig.press("approach mode")
    assert (rig.modes.lateral_armed, rig.modes.vertical_armed) == (("LOC",), ("GLIDE",))


def path_and_localizer_captured() -> Rig:
    rig = localizer_captured()
    rig.fly(200.0, lambda r: r.modes.vertical == "PATH")
    assert rig.modes.vertical == "PATH"
    rig.glide = "covered"
    return rig


@pytest.mark.parametrize(
    "button",
    ["heading mode", "localizer mode", "altitude hold", "vertical speed mode", "descend mode"],
)
def test_once_both_are_captured_no_basic_mode_leaves_the_approach(button: str) -> None:
    rig = path_and_localizer_captured()
    before = rig.modes
    (reason,) = refusals(rig.press(button))
    assert BOTH_REFUSAL in reason
    assert rig.modes == before


def test_way_back_from_both_captured_is_the_go_around() -> None:
    rig = path_and_localizer_captured()
    rig.press("go-around")
    assert (rig.modes.lateral, rig.modes.vertical) == ("GA", "GA")


def test_way_back_from_both_captured_is_autopilot_and_flight_director_off() -> None:
    rig = path_and_localizer_captured()
    rig.press("autopilot off")
    assert (rig.modes.engagement, rig.modes.vertical) == ("FD", "PATH")
    rig.press("flight director")
    assert (rig.modes.engagement, rig.modes.lateral, rig.modes.vertical) == ("OFF", "HDG", "VS")
    rig.press("autopilot")
    assert (rig.modes.engagement, rig.modes.lateral, rig.modes.vertical) == ("AP", "HDG", "VS")
    rig.press("approach mode")
    assert (rig.modes.lateral_armed, rig.modes.vertical_armed) == (("LOC",), ("GLIDE",))


def test_flight_director_off_first_and_autopilot_second_leaves_as_well() -> None:
    rig = path_and_localizer_captured()
    assert rig.press("flight director") == []
    rig.press("autopilot off")
    assert (rig.modes.engagement, rig.modes.lateral, rig.modes.vertical) == ("OFF", "HDG", "VS")


def test_after_guidance_off_the_present_flight_is_held_until_a_selector_turns() -> None:
    rig = path_and_localizer_captured()
    rig.select("heading", 233.0)
    sink = rig.state.climb_ms
    rig.press("autopilot off", "flight director")
    rig.fly(2.0)
    assert rig.command.bank_rad == pytest.approx(0.0, abs=0.02)
    assert rig.command.climb_ms == pytest.approx(sink)
    rig.select("heading", 233.0)
    rig.fly(0.1)
    assert rig.command.bank_rad > 0.2


# Nav and the other types ----------------------------------------------------------------------


def test_approach_mode_on_the_localizer_takes_an_armed_nav_away() -> None:
    # NAV armed behind an approach would take the aircraft off it at the next leg.
    rig = Rig(WAITS, distance_nm=14.0, route=leaving_the_localizer())
    rig.press("localizer mode")
    rig.fly(5.0)
    rig.press("nav mode")
    assert (rig.modes.lateral, rig.modes.lateral_armed) == ("LOC", ("NAV",))
    rig.press("approach mode")
    assert (rig.modes.lateral_armed, rig.modes.vertical_armed) == ((), ("GLIDE",))


def test_nav_is_inert_on_the_twin_jet_once_the_localizer_is_captured() -> None:
    rig = localizer_captured()
    assert refusals(rig.press("nav mode")) == ["nav ignored: localizer captured in approach mode"]
    assert rig.modes.lateral == "LOC"


def test_nav_takes_over_from_a_localizer_that_was_armed_alone() -> None:
    rig = Rig(distance_nm=14.0)
    rig.press("localizer mode")
    rig.fly(5.0)
    assert rig.modes.lateral == "LOC"
    rig.press("nav mode")
    assert rig.modes.lateral == "NAV"


def test_any_basic_mode_leaves_on_a_type_that_allows_it() -> None:
    rig = both_captured(WAITS)
    rig.press("heading mode")
    assert (rig.modes.lateral, rig.modes.vertical) == ("HDG", "VS")


def test_a_vertical_basic_mode_keeps_the_localizer() -> None:
    rig = both_captured(WAITS)
    rig.press("altitude hold")
    assert (rig.modes.lateral, rig.modes.vertical) == ("LOC", "ALT")


def test_until_glide_a_basic_mode_drops_the_whole_approach() -> None:
    rig = localizer_captured(BUSINESS)
    rig.press("heading mode")
    assert (rig.modes.lateral, rig.modes.vertical_armed) == ("HDG", ())


def test_after_glide_no_basic_mode_leaves_on_a_type_that_locks_it() -> None:
    rig = both_captured(BUSINESS)
    (reason,) = refusals(rig.press("vertical speed mode"))
    assert BOTH_REFUSAL in reason


def test_heading_mode_keeps_an_armed_localizer() -> None:
    rig = Rig(initial=modes("NAV"), distance_nm=14.0, offset_m=-5000.0)
    rig.press("localizer mode", "heading mode")
    assert (rig.modes.lateral, rig.modes.lateral_armed) == ("HDG", ("LOC",))


def test_nav_off_its_leg_is_armed_and_heading_mode_disarms_it() -> None:
    rig = Rig(offset_m=-5000.0)
    rig.press("nav mode")
    assert (rig.modes.lateral, rig.modes.lateral_armed) == ("HDG", ("NAV",))
    rig.press("heading mode")
    assert rig.modes.lateral_armed == ()


# Autopilot, flight director, thrust -----------------------------------------------------------


def test_the_second_autopilot_needs_approach_mode() -> None:
    rig = Rig(offset_m=-4000.0)
    assert refusals(rig.press("second autopilot")) == [
        "second autopilot ignored: both autopilots only with approach mode armed or captured"
    ]
    rig.press("approach mode", "second autopilot")
    assert rig.modes.engagement == "AP BOTH"


def test_leaving_the_approach_leaves_one_autopilot() -> None:
    rig = Rig(offset_m=-4000.0)
    rig.press("approach mode", "second autopilot")
    found = rig.press("localizer mode")
    assert ("engagement", "AP") in shown(found)


def test_types_with_one_or_no_autopilot_say_so() -> None:
    one = Rig(type_with(autopilots=1), offset_m=-4000.0)
    one.press("approach mode")
    assert one.press("autopilot") == []
    assert refusals(one.press("second autopilot")) == [
        "second autopilot ignored: no second autopilot fitted"
    ]
    none = Rig(type_with(autopilots=0), modes(engagement="FD"))
    assert refusals(none.press("autopilot")) == ["autopilot ignored: no autopilot fitted"]


def test_an_autopilot_is_not_engaged_below_its_minimum_height() -> None:
    rig = Rig(initial=modes(engagement="FD"))
    rig.state = rig.state._replace(height_m=70.0 * FT)
    assert refusals(rig.press("autopilot")) == [
        "autopilot ignored: below the minimum height of the autopilot"
    ]


def test_speed_mode_is_refused_without_autothrust() -> None:
    rig = Rig(replace(twin_jet(), autothrust=None))
    assert rig.modes.thrust == "OFF"
    assert refusals(rig.press("autothrust off")) == [
        "autothrust off ignored: no autothrust fitted: speed by hand"
    ]
    assert refusals(rig.press("speed mode")) == [
        "speed ignored: no autothrust fitted: speed by hand"
    ]


def test_descend_mode_closes_thrust_and_another_mode_opens_it() -> None:
    rig = Rig()
    found = rig.press("descend mode")
    assert shown(found) == [("vertical", "DESCEND"), ("thrust", "IDLE")]
    assert refusals(rig.press("speed mode"))
    assert shown(rig.press("altitude hold")) == [("vertical", "ALT"), ("thrust", "SPEED")]


def test_a_control_that_is_no_button_of_guidance_is_a_broken_contract() -> None:
    with pytest.raises(ValueError, match="no guidance button gear"):
        Rig().press("gear")
