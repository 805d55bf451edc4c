from __future__ import annotations

from dataclasses import replace

import pytest

from tests.guidance.rig import COURSE_DEG, Rig, accepted, modes, refusals, shown
from tests.guidance.test_presses import both_captured, outside_glide, type_with
from tests.world.types import twin_jet
from trainer.units import FT, KT


def on_final(*buttons: str, glide: str = "covered", height_ft: float = 2500.0) -> Rig:
    """Configured for landing, established on both signals with `buttons` pressed."""
    distance_nm = (height_ft - 50.0) / 318.4 + 0.3
    rig = Rig(
        distance_nm=distance_nm, altitude_ft=height_ft, cas_kt=137.0, flap=4, is_gear_down=True
    )
    rig.glide = glide
    rig.press("approach mode", *buttons)
    rig.fly(40.0, lambda r: r.modes.vertical in ("GLIDE", "PATH"))
    assert rig.modes.lateral == "LOC"
    return rig


def heights(rig: Rig, column: str, after: str) -> float:
    """Radio height (ft) at which `column` began to show `after`, by flying on until it does."""
    rig.fly(300.0, lambda r: any(c.column == column and c.after == after for _, c in r.changes))
    return rig.sensed().radio_height_m / FT


# Automatic landing ----------------------------------------------------------------------------


def test_an_automatic_landing_goes_through_its_steps_in_order() -> None:
    rig = on_final("second autopilot")
    rig.changes.clear()
    rig.fly(250.0, lambda r: r.is_on_ground)
    rig.fly(1.0)
    assert [(c.column, c.after) for _, c in rig.changes] == [
        ("lateral armed", "ALIGN, ROLLOUT"),
        ("vertical armed", "FLARE"),
        ("capability", "OPERATIONAL"),
        ("lateral", "ALIGN"),
        ("lateral armed", "ROLLOUT"),
        ("vertical", "FLARE"),
        ("vertical armed", ""),
        ("thrust", "IDLE"),
        ("lateral", "ROLLOUT"),
        ("lateral armed", ""),
    ]
    assert not any(change.is_commanded for _, change in rig.changes)
    assert rig.modes.engagement == "AP BOTH"


@pytest.mark.parametrize(
    ("column", "after", "height_ft"),
    [
        ("capability", "OPERATIONAL", 1200.0),
        ("lateral", "ALIGN", 150.0),
        ("vertical", "FLARE", 50.0),
        ("thrust", "IDLE", 30.0),
    ],
)
def test_each_step_of_the_landing_comes_at_its_height(
    column: str, after: str, height_ft: float
) -> None:
    rig = on_final("second autopilot", height_ft=2000.0)
    assert heights(rig, column, after) == pytest.approx(height_ft, abs=3.0)


def test_an_automatic_landing_touches_down_softly_in_the_zone() -> None:
    # Hand calculation of the flare law: sink at touchdown 2 ft/s; common practice for the zone.
    rig = on_final("second autopilot", height_ft=1500.0)
    sink = 0.0
    while not rig.is_on_ground:
        sink = -rig.state.climb_ms / FT
        rig.fly(0.1)
    assert sink == pytest.approx(2.0, abs=0.5)
    assert 250.0 < -rig.before_m < 650.0
    assert abs(rig.offset_m) < 5.0


def test_one_autopilot_is_passive_and_leaves_below_its_minimum_height() -> None:
    rig = on_final(height_ft=1500.0)
    assert heights(rig, "capability", "PASSIVE") == pytest.approx(1200.0, abs=3.0)
    assert rig.modes.vertical_armed == ()
    assert heights(rig, "engagement", "FD") == pytest.approx(80.0, abs=3.0)
    off = next(c for _, c in rig.changes if c.column == "engagement")
    assert off.reason == "autopilot below its minimum height"
    assert not off.is_commanded
    assert (rig.modes.lateral, rig.modes.vertical) == ("LOC", "GLIDE")


def test_no_automatic_landing_is_made_from_a_computed_path() -> None:
    rig = on_final("second autopilot", glide="none", height_ft=1500.0)
    assert (rig.modes.vertical, rig.modes.engagement) == ("PATH", "AP BOTH")
    rig.glide = "covered"
    rig.fly(200.0, lambda r: r.sensed().radio_height_m < 20.0 * FT)
    words = {change.after for _, change in rig.changes}
    assert not words & {"OPERATIONAL", "PASSIVE", "ALIGN", "FLARE", "ROLLOUT"}
    assert rig.modes.engagement == "FD"


def test_a_type_without_a_landing_system_shows_no_capability() -> None:
    kind = type_with(autopilots=1, autopilot_minimum_ft=190.0, align_ft=0.0, rollout_fitted=False)
    rig = Rig(kind, distance_nm=4.0, altitude_ft=1150.0, cas_kt=137.0, flap=4, is_gear_down=True)
    rig.press("approach mode")
    rig.fly(60.0)
    assert rig.modes.vertical == "GLIDE"
    assert rig.modes.capability == ""


# Signals lost ---------------------------------------------------------------------------------


def test_a_lost_glide_path_is_held_and_then_becomes_vertical_speed() -> None:
    rig = both_captured()
    rig.fly(10.0)
    rig.glide = "flagged"
    rig.fly(7.9)
    sink = rig.state.climb_ms
    assert rig.modes.vertical == "GLIDE"
    assert abs(rig.glide_dots) < 0.1
    changes = rig.fly(0.3)
    assert shown(changes) == [("vertical", "VS")]
    assert changes[0].reason == "glide path lost for 8 s: present flight held"
    assert not changes[0].is_commanded
    rig.fly(5.0)
    assert rig.modes.lateral == "LOC"
    assert rig.state.climb_ms == pytest.approx(sink, abs=0.5)


def test_a_glide_path_that_comes_back_in_time_is_followed_on() -> None:
    rig = both_captured()
    rig.glide = "flagged"
    rig.fly(6.0)
    rig.glide = "covered"
    rig.fly(1.0)
    rig.glide = "flagged"
    rig.fly(6.0)
    assert rig.modes.vertical == "GLIDE"


def test_a_lost_localizer_takes_the_whole_approach_with_it() -> None:
    rig = both_captured()
    rig.localizer = "none"
    rig.fly(7.9)
    assert (rig.modes.lateral, rig.modes.vertical) == ("LOC", "GLIDE")
    rig.fly(0.3)
    assert (rig.modes.lateral, rig.modes.vertical) == ("HDG", "VS")
    rig.select("altitude", 4000.0)
    rig.fly(3.0)
    assert rig.command.bank_rad == pytest.approx(0.0, abs=0.02)


def test_a_type_without_holding_time_reverts_at_once() -> None:
    rig = both_captured(type_with(signal_hold_s=0.0))
    rig.glide = "none"
    rig.fly(0.1)
    assert rig.modes.vertical == "VS"


def test_the_capability_goes_with_the_signal_above_the_alert_height_only() -> None:
    rig = on_final("second autopilot", height_ft=1500.0)
    rig.fly(100.0, lambda r: r.modes.capability == "OPERATIONAL")
    rig.glide = "flagged"
    assert ("capability", "") in shown(rig.fly(0.1))
    rig.glide = "covered"
    rig.fly(1.0)
    assert rig.modes.capability == "OPERATIONAL"
    rig.fly(100.0, lambda r: r.sensed().radio_height_m < 140.0 * FT)
    rig.glide = "flagged"
    rig.fly(2.0)
    assert rig.modes.capability == "OPERATIONAL"


# Go-around ------------------------------------------------------------------------------------


def test_a_go_around_changes_every_column_it_concerns() -> None:
    rig = on_final("second autopilot", height_ft=1500.0)
    rig.fly(100.0, lambda r: r.sensed().radio_height_m < 300.0 * FT)
    found = rig.press("go-around")
    assert shown(found) == [
        ("lateral", "GA"),
        ("vertical", "GA"),
        ("lateral armed", ""),
        ("vertical armed", ""),
        ("thrust", "GA"),
        ("capability", ""),
    ]
    assert {c.reason for c in accepted(found) if c.column in ("lateral", "vertical", "thrust")} == {
        "go-around pressed"
    }


def test_a_go_around_loses_little_height_and_then_climbs() -> None:
    # Second implementation of the model: height loss 27 ft from stabilised power, full thrust,
    # flap one stage up; here the first press asks for a climb rate only.
    rig = on_final("second autopilot", height_ft=1500.0)
    rig.fly(100.0, lambda r: r.sensed().radio_height_m < 220.0 * FT)
    start = rig.altitude_ft
    rig.press("go-around", "go-around")
    rig.flap = 3
    lowest = start
    for _ in range(300):
        rig.fly(0.1)
        lowest = min(lowest, rig.altitude_ft)
    assert 10.0 < start - lowest < 45.0
    assert rig.altitude_ft > start + 500.0


def test_the_first_press_gives_a_climb_rate_and_the_second_full_thrust() -> None:
    rig = on_final(height_ft=1500.0)
    rig.select("altitude", 9000.0)
    rig.press("go-around")
    rig.flap, rig.gear = 3, 0.0
    rig.fly(40.0)
    assert rig.state.climb_ms / FT * 60.0 == pytest.approx(2000.0, abs=200.0)
    assert rig.command.power < 0.9
    rig.press("go-around")
    rig.fly(0.1)
    assert rig.command.power == 1.0
    assert refusals(rig.press("go-around")) == ["go-around ignored: go-around engaged already"]


def test_with_one_press_a_go_around_is_full_at_once() -> None:
    rig = both_captured(type_with(go_around_second_press=False))
    rig.press("go-around")
    rig.fly(0.1)
    assert rig.command.power == 1.0


def test_a_go_around_levels_off_at_the_selected_altitude_and_gives_thrust_back() -> None:
    rig = on_final(height_ft=1500.0)
    rig.select("altitude", 3000.0)
    rig.press("go-around", "go-around")
    rig.flap, rig.gear = 3, 0.0
    rig.fly(120.0)
    words = [c.after for _, c in rig.changes if c.column in ("vertical", "thrust")]
    assert words[-4:] == ["GA", "ALT CAP", "SPEED", "ALT"]
    assert rig.altitude_ft == pytest.approx(3000.0, abs=40.0)


def test_the_go_around_holds_its_track_until_the_height_for_other_modes() -> None:
    rig = on_final("second autopilot", height_ft=1500.0)
    rig.fly(100.0, lambda r: r.sensed().radio_height_m < 250.0 * FT)
    rig.select("heading", 233.0)
    rig.press("go-around", "go-around")
    rig.flap = 3
    for button in ("heading mode", "nav mode", "approach mode", "vertical speed mode"):
        (reason,) = refusals(rig.press(button))
        assert reason.endswith("go-around below the height for other modes")
    rig.fly(60.0, lambda r: r.sensed().radio_height_m > 410.0 * FT)
    assert abs(rig.offset_m) < 10.0
    rig.press("heading mode")
    assert (rig.modes.lateral, rig.modes.vertical) == ("HDG", "GA")
    rig.fly(0.1)
    assert rig.command.bank_rad > 0.3


def test_nav_flies_the_coded_missed_approach_after_a_go_around() -> None:
    rig = on_final(height_ft=1500.0)
    rig.select("altitude", 4000.0)
    rig.press("go-around", "nav mode")
    assert (rig.modes.lateral, rig.modes.vertical) == ("NAV", "GA")
    rig.fly(30.0)
    assert abs(rig.offset_m) < 20.0


def test_a_go_around_from_guidance_off_brings_the_flight_director() -> None:
    rig = Rig(initial=modes("HDG", "VS", engagement="OFF"))
    found = rig.press("go-around")
    assert ("engagement", "FD") in shown(found)


def test_a_go_around_is_possible_on_the_ground_until_reverse_is_selected() -> None:
    rig = on_final("second autopilot", height_ft=1000.0)
    rig.fly(150.0, lambda r: r.is_on_ground)
    rig.fly(1.0)
    assert rig.modes.lateral == "ROLLOUT"
    rig.guidance.reverse_selected()
    assert refusals(rig.press("go-around")) == [
        "go-around ignored: reverse thrust selected: committed to stop"
    ]


def test_after_touchdown_and_before_reverse_a_go_around_engages() -> None:
    rig = on_final("second autopilot", height_ft=1000.0)
    rig.fly(150.0, lambda r: r.is_on_ground)
    rig.fly(1.0)
    rig.press("go-around")
    assert (rig.modes.lateral, rig.modes.vertical, rig.modes.thrust) == ("GA", "GA", "GA")


def test_nothing_stays_armed_when_all_guidance_goes_on_the_ground() -> None:
    kind = type_with(go_around_lateral_ft=0.0)
    rig = Rig(kind, modes("HDG", "VS", engagement="FD"), 0.3, altitude_ft=10.0, climb_fpm=-300.0)
    rig.select("vertical speed", -300.0)
    rig.fly(10.0, lambda r: r.is_on_ground)
    rig.press("go-around", "approach mode")
    assert rig.modes.vertical_armed == ("GLIDE",)
    rig.press("flight director")
    assert rig.modes.engagement == "OFF"
    shown_now = rig.modes
    assert not shown_now.lateral_armed + shown_now.vertical_armed


def test_without_autothrust_a_go_around_leaves_thrust_to_the_hand() -> None:
    rig = Rig(replace(twin_jet(), autothrust=None), distance_nm=10.0)
    rig.press("go-around")
    assert (rig.modes.vertical, rig.modes.thrust) == ("GA", "OFF")
    rig.fly(0.1)
    assert rig.command.power == pytest.approx(rig.state.power)


def test_both_autopilots_stay_through_a_go_around_until_the_level_off() -> None:
    rig = on_final("second autopilot", height_ft=1500.0)
    rig.select("altitude", 3000.0)
    rig.press("go-around", "go-around")
    rig.flap, rig.gear = 3, 0.0
    rig.fly(10.0)
    assert rig.modes.engagement == "AP BOTH"
    rig.fly(100.0, lambda r: r.modes.vertical == "ALT CAP")
    assert rig.modes.engagement == "AP"


def test_the_speed_target_is_the_selector_before_and_after_capture() -> None:
    rig = outside_glide(cas_kt=190.0, heading_deg=COURSE_DEG)
    rig.select("speed", 170.0)
    rig.fly(60.0)
    assert rig.sensed().cas_kt == pytest.approx(170.0, abs=1.0)
    assert rig.sensed().ground_speed_ms > 170.0 * KT


# Something fails ------------------------------------------------------------------------------


def down_to(rig: Rig, height_ft: float) -> Rig:
    """Fly on to a radio height."""
    rig.fly(300.0, lambda r: r.sensed().radio_height_m < height_ft * FT)
    return rig


def told(rig: Rig) -> list[tuple[str, str, str]]:
    """(column, now shown, why) of everything since the changes were last cleared."""
    return [(c.column, c.after, c.reason) for _, c in rig.changes]


def fail(rig: Rig, system: str) -> list[tuple[str, str]]:
    found = rig.guidance.fail(system, rig.sensed(), rig.selectors)
    rig.changes += [(rig.step, change) for change in found]
    return shown(found)


def test_the_story_of_an_autopilot_that_fails_at_six_hundred_feet() -> None:
    # Alert height 150 ft (type file). Above it the loss shows at once: PASSIVE, nothing that
    # belongs to the landing armed any more, and coupled flight ends at the 80 ft of one autopilot.
    rig = down_to(on_final("second autopilot", height_ft=1500.0), 600.0)
    rig.changes.clear()
    fail(rig, "autopilot 2")
    assert told(rig) == [
        ("lateral armed", "", "autopilot 2 failed"),
        ("vertical armed", "", "autopilot 2 failed"),
        ("engagement", "AP", "autopilot 2 failed"),
        ("capability", "PASSIVE", "capability passive"),
    ]
    assert not any(change.is_commanded for _, change in rig.changes)
    rig.changes.clear()
    down_to(rig, 60.0)
    assert [(c, a) for c, a, _ in told(rig)] == [("engagement", "FD"), ("capability", "")]
    assert (rig.modes.lateral, rig.modes.vertical) == ("LOC", "GLIDE")


def test_the_story_of_an_autopilot_that_fails_at_one_hundred_and_twenty_feet() -> None:
    # Below the alert height the other one lands the aircraft; nothing is asked of the pilot.
    rig = down_to(on_final("second autopilot", height_ft=1500.0), 120.0)
    rig.changes.clear()
    fail(rig, "autopilot 2")
    assert told(rig) == [("engagement", "AP", "autopilot 2 failed")]
    rig.fly(60.0, lambda r: r.is_on_ground)
    rig.fly(1.0)
    assert [(c, a) for c, a, _ in told(rig)[1:]] == [
        ("vertical", "FLARE"),
        ("vertical armed", ""),
        ("thrust", "IDLE"),
        ("lateral", "ROLLOUT"),
        ("lateral armed", ""),
    ]
    assert (rig.modes.engagement, rig.modes.capability) == ("AP", "OPERATIONAL")


def test_the_second_failure_below_the_alert_height_is_the_landing_warning() -> None:
    rig = down_to(on_final("second autopilot", height_ft=1500.0), 120.0)
    fail(rig, "autopilot 2")
    assert fail(rig, "autopilot 1") == [
        ("lateral armed", ""),
        ("vertical armed", ""),
        ("engagement", "FD"),
        ("capability", ""),
    ]


def test_a_failure_above_the_display_height_leaves_passive_to_be_shown() -> None:
    rig = down_to(on_final("second autopilot", height_ft=2000.0), 1300.0)
    rig.changes.clear()
    assert fail(rig, "autopilot 1") == [("engagement", "AP")]
    assert heights(rig, "capability", "PASSIVE") == pytest.approx(1200.0, abs=3.0)
    assert refusals(rig.press("second autopilot")) == [
        "second autopilot ignored: the other autopilot has failed"
    ]


def test_a_failed_receiver_takes_its_autopilot_with_it() -> None:
    rig = down_to(on_final("second autopilot", height_ft=1500.0), 600.0)
    rig.changes.clear()
    fail(rig, "receiver 1")
    assert ("engagement", "AP", "receiver 1 failed: autopilot 1 has no signal") in told(rig)
    assert rig.modes.capability == "PASSIVE"
    assert refusals(rig.press("second autopilot")) == [
        "second autopilot ignored: one navigation receiver has failed"
    ]
    assert fail(rig, "receiver 1") == []


def test_the_one_autopilot_that_flies_alone_leaves_when_it_fails_and_no_other_does() -> None:
    rig = down_to(on_final(height_ft=1500.0), 600.0)
    assert fail(rig, "autopilot 2") == []
    assert fail(rig, "autopilot 1") == [("engagement", "FD"), ("capability", "")]
    assert refusals(rig.press("autopilot")) == ["autopilot ignored: every autopilot has failed"]


@pytest.mark.parametrize(
    ("button", "height_ft", "mode"),
    [("heading mode", 140.0, "ALIGN"), ("climb mode", 40.0, "FLARE")],
)
def test_a_mode_pressed_in_a_landing_is_told_what_leaves_it(
    button: str, height_ft: float, mode: str
) -> None:
    rig = on_final("second autopilot", height_ft=1500.0)
    rig.fly(120.0, lambda r: r.sensed().radio_height_m < height_ft * FT)
    (refusal,) = refusals(rig.press(button))
    assert refusal.endswith(
        f"ignored: {mode} is left only by a go-around, or autopilot and flight director off"
    )


def test_nothing_is_gained_below_the_alert_height() -> None:
    rig = down_to(on_final(height_ft=1500.0), 140.0)
    assert rig.modes.capability == "PASSIVE"
    rig.press("second autopilot")
    rig.fly(0.2)
    assert (rig.modes.engagement, rig.modes.capability) == ("AP BOTH", "PASSIVE")


def test_passive_has_no_alert_height_and_goes_with_its_signal_at_any_height() -> None:
    rig = down_to(on_final(height_ft=1500.0), 120.0)
    rig.glide = "flagged"
    assert ("capability", "") in shown(rig.fly(0.1))


@pytest.mark.parametrize("height_ft", [140.0, 90.0, 45.0, 20.0])
def test_the_pilot_may_disconnect_at_any_moment_of_the_landing(height_ft: float) -> None:
    rig = down_to(on_final("second autopilot", height_ft=1500.0), height_ft)
    assert ("engagement", "FD") in shown(rig.press("autopilot off"))
    assert rig.modes.capability == ""


@pytest.mark.parametrize("height_ft", [140.0, 90.0, 50.0, 20.0])
def test_a_go_around_is_flown_from_any_height_of_the_landing(height_ft: float) -> None:
    rig = down_to(on_final("second autopilot", height_ft=1500.0), height_ft)
    found = shown(rig.press("go-around"))
    assert ("vertical", "GA") in found
    assert ("lateral", "GA") in found
    assert rig.modes.capability == ""
