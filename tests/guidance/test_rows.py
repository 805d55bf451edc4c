"""Every row of every transition table has a story here in which it is taken.

A new row without a story fails `test_every_row_has_a_story`.
"""

from __future__ import annotations

from collections.abc import Callable

import pytest

from tests.guidance.rig import COURSE_DEG, Rig, modes
from tests.guidance.test_coded_path import coming, descending
from tests.guidance.test_landing import on_final
from tests.guidance.test_level_off import capturing, level
from tests.guidance.test_presses import (
    BUSINESS,
    WAITS,
    both_captured,
    leaving_the_localizer,
    localizer_captured,
    outside_glide,
    path_and_localizer_captured,
)
from tests.guidance.test_rnp_final import rnp_armed, rnp_captured
from tests.guidance.test_vor import inbound
from tests.world.types import piston_single, turboprop
from trainer.guidance.machines import Axis
from trainer.guidance.modes import CODED
from trainer.guidance.tables import TABLES, Rule
from trainer.units import FT, NM

Key = tuple[str, str, str, str]
"""Axis, trigger, where to, and the first condition ("" for none)."""
STORIES: dict[Key, Callable[[], object]] = {}


def key_of(axis: str, rule: Rule) -> Key:
    return (axis, rule.trigger, rule.dest, rule.conditions[0] if rule.conditions else "")


def keys() -> list[tuple[Key, tuple[str, ...]]]:
    """Every row's key with its sources: two rows may differ in where they lead from alone."""
    return [(key_of(axis, rule), rule.sources) for axis, t in TABLES.items() for rule in t.rules]


def story(
    axis: str, trigger: str, dest: str, condition: str = ""
) -> Callable[[Callable[[], object]], Callable[[], object]]:
    """Register the story of the row (or rows) with this key."""

    def register(tell: Callable[[], object]) -> Callable[[], object]:
        key = (axis, trigger, dest, condition)
        assert key not in STORIES, f"two stories for {key}"
        STORIES[key] = tell
        return tell

    return register


@pytest.mark.parametrize("key", dict.fromkeys(key for key, _ in keys()), ids=" | ".join)
def test_every_row_has_a_story_in_which_it_is_taken(
    key: Key, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert key in STORIES, f"no story takes the row {key}"
    taken: list[Rule] = []
    take = Axis._take

    def noted(self: Axis, row: Rule, now: object) -> None:
        taken.append(row)
        take(self, row, now)  # type: ignore[arg-type]

    monkeypatch.setattr(Axis, "_take", noted)
    STORIES[key]()
    wanted = [rule for rule in TABLES[key[0]].rules if key_of(key[0], rule) == key]
    assert [rule for rule in wanted if not any(row is rule for row in taken)] == []


def test_no_story_is_about_a_row_that_is_gone() -> None:
    assert set(STORIES) == {key for key, _ in keys()}


def shows(rig: Rig, **columns: object) -> Rig:
    for column, word in columns.items():
        assert getattr(rig.modes, column) == word, column
    return rig


def going_around(height_ft: float = 500.0) -> Rig:
    """A go-around from the approach, climbing."""
    rig = on_final(height_ft=1000.0)
    rig.fly(60.0, lambda r: r.sensed().radio_height_m < height_ft * FT)
    rig.select("altitude", 6000.0)
    rig.press("go-around")
    return shows(rig, lateral="GA", vertical="GA", thrust="GA")


def released() -> Rig:
    rig = going_around(500.0)
    rig.fly(60.0, lambda r: r.sensed().radio_height_m > 800.0 * FT)
    return shows(rig, vertical="GA")


# Lateral ----------------------------------------------------------------------------------------


@story("lateral", "press heading", "HDG")
def heading_takes_over_from_a_heading_that_was_held() -> None:
    rig = Rig()
    rig.press("heading mode")
    shows(rig, lateral="HDG")


@story("lateral", "press heading", "HDG", "rnp final may be left")
def heading_takes_over_from_the_legs() -> None:
    rig = Rig(initial=modes("NAV"))
    rig.press("heading mode")
    shows(rig, lateral="HDG")


@story("lateral", "lose position", "HDG", "position lost")
def a_lost_position_leaves_the_heading() -> None:
    rig = rnp_captured()
    rig.track = "flagged"
    rig.fly(9.0)
    shows(rig, lateral="HDG", vertical="VS")


@story("lateral", "press heading", "HDG", "may leave")
def heading_takes_over_from_a_localizer() -> None:
    rig = localizer_captured()
    rig.press("heading mode")
    shows(rig, lateral="HDG")


@story("lateral", "press heading", "HDG", "lateral released")
def heading_in_a_go_around_once_high_enough() -> None:
    rig = going_around(200.0)
    rig.press("heading mode")
    shows(rig, lateral="GA")
    rig.fly(60.0, lambda r: r.sensed().radio_height_m > 400.0 * FT)
    rig.press("heading mode")
    shows(rig, lateral="HDG", vertical="GA")


@story("lateral", "press nav", "NAV", "nav near")
def nav_on_the_leg_is_taken_at_once() -> None:
    rig = Rig()
    rig.press("nav mode")
    shows(rig, lateral="NAV")


@story("lateral", "press nav", "NAV", "nav free")
def nav_takes_over_from_a_localizer_that_no_approach_holds() -> None:
    rig = Rig()
    rig.press("localizer mode")
    rig.fly(5.0)
    shows(rig, lateral="LOC")
    rig.press("nav mode")
    shows(rig, lateral="NAV")


@story("lateral", "press nav", "NAV", "lateral released")
def nav_in_a_go_around_once_high_enough() -> None:
    rig = released()
    rig.press("nav mode")
    shows(rig, lateral="NAV", vertical="GA")


@story("lateral", "capture nav", "NAV", "nav near")
def nav_armed_beside_the_leg_captures_it() -> None:
    rig = Rig(offset_m=-4000.0, heading_deg=COURSE_DEG + 40.0)
    rig.press("nav mode")
    shows(rig, lateral="HDG", lateral_armed=("NAV",))
    rig.fly(120.0, lambda r: r.modes.lateral == "NAV")
    shows(rig, lateral="NAV", lateral_armed=())


@story("lateral", "capture nav", "NAV", "nav free")
def nav_armed_on_a_localizer_captures_its_leg() -> None:
    # The legs turn away from the localizer at 9 NM; until then the first one is still ahead.
    rig = Rig(WAITS, distance_nm=14.0, route=leaving_the_localizer())
    rig.press("approach mode")
    rig.fly(5.0)
    rig.press("nav mode")
    shows(rig, lateral="LOC", lateral_armed=("NAV",), vertical_armed=("GLIDE",))
    rig.fly(150.0, lambda r: r.modes.lateral == "NAV")
    shows(rig, lateral="NAV", lateral_armed=(), vertical_armed=())


@story("lateral", "capture localizer", "LOC", "localizer caught")
def an_armed_localizer_captures() -> None:
    shows(localizer_captured(), lateral="LOC")


@story("lateral", "capture vor", "VOR", "vor caught")
def an_armed_vor_captures() -> None:
    rig = inbound()
    rig.press("localizer mode")
    rig.fly(200.0, lambda r: r.modes.lateral == "VOR")
    shows(rig, lateral="VOR", lateral_armed=())


@story("lateral", "align", "ALIGN", "landing armed")
@story("lateral", "roll out", "ROLLOUT", "landing armed")
@story("vertical", "flare", "FLARE", "landing armed")
def an_automatic_landing() -> None:
    rig = on_final("second autopilot", height_ft=1500.0)
    rig.fly(250.0, lambda r: r.is_on_ground)
    rig.fly(1.0)
    shows(rig, lateral="ROLLOUT", vertical="FLARE")


@story("lateral", "lose localizer", "HDG", "localizer lost")
def a_localizer_lost_for_longer_than_it_is_held() -> None:
    rig = localizer_captured()
    rig.localizer = "flagged"
    rig.fly(8.5)
    shows(rig, lateral="HDG")


@story("lateral", "lose vor", "HDG", "vor lost")
def a_vor_lost_for_longer_than_it_is_held() -> None:
    rig = inbound()
    rig.press("localizer mode")
    rig.fly(200.0, lambda r: r.modes.lateral == "VOR")
    rig.vor = None
    rig.fly(8.5)
    shows(rig, lateral="HDG")


@story("lateral", "go around", "GA", "not committed")
@story("vertical", "go around", "GA", "not committed")
@story("thrust", "go around", "GA", "autothrust fitted")
def a_go_around() -> None:
    going_around()


@story("lateral", "drop", "HDG")
@story("vertical", "drop", "VS")
@story("engagement", "press autopilot off", "FD", "director on")
@story("engagement", "press flight director", "OFF")
def autopilot_and_flight_director_off_leave_a_captured_approach() -> None:
    rig = path_and_localizer_captured()
    rig.press("autopilot off")
    shows(rig, engagement="FD", lateral="LOC", vertical="PATH")
    rig.press("flight director")
    shows(rig, engagement="OFF", lateral="HDG", vertical="VS")


# Lateral armed ----------------------------------------------------------------------------------


@story("lateral armed", "arm localizer", "LOC", "lateral released")
def localizer_mode_arms() -> None:
    rig = Rig(offset_m=-4000.0)
    rig.press("localizer mode")
    shows(rig, lateral_armed=("LOC",))


@story("lateral armed", "arm localizer", "LOC NAV", "lateral released")
@story("lateral armed", "arm nav", "NAV", "lateral released")
@story("lateral armed", "disarm localizer", "NAV")
@story("lateral armed", "disarm nav", "none")
def localizer_mode_arms_beside_nav_and_both_are_taken_back() -> None:
    rig = Rig(offset_m=-4000.0)
    rig.press("nav mode", "localizer mode")
    shows(rig, lateral_armed=("LOC", "NAV"))
    rig.press("localizer mode")
    shows(rig, lateral_armed=("NAV",))
    rig.press("heading mode")
    shows(rig, lateral_armed=())


@story("lateral armed", "arm nav", "LOC NAV", "lateral released")
@story("lateral armed", "disarm nav", "LOC")
@story("lateral armed", "disarm localizer", "none")
def nav_arms_beside_the_localizer_and_both_are_taken_back() -> None:
    rig = Rig(offset_m=-4000.0)
    rig.press("localizer mode", "nav mode")
    shows(rig, lateral_armed=("LOC", "NAV"))
    rig.press("heading mode")
    shows(rig, lateral_armed=("LOC",))
    rig.press("localizer mode")
    shows(rig, lateral_armed=())


@story("lateral armed", "arm vor", "VOR", "lateral released")
@story("lateral armed", "arm nav", "NAV VOR", "lateral released")
@story("lateral armed", "disarm nav", "VOR")
@story("lateral armed", "disarm vor", "none")
def a_vor_and_nav_armed_together_and_taken_back() -> None:
    rig = inbound()
    rig.press("localizer mode", "nav mode")
    shows(rig, lateral_armed=("NAV", "VOR"))
    rig.press("heading mode")
    shows(rig, lateral_armed=("VOR",))
    rig.press("localizer mode")
    shows(rig, lateral_armed=())


@story("lateral armed", "arm vor", "NAV VOR", "lateral released")
@story("lateral armed", "disarm vor", "NAV")
def a_vor_arms_beside_nav_and_is_taken_back() -> None:
    rig = inbound()
    rig.press("nav mode", "localizer mode")
    shows(rig, lateral_armed=("NAV", "VOR"))
    rig.press("localizer mode")
    shows(rig, lateral_armed=("NAV",))


@story("lateral armed", "clear", "none")
@story("vertical armed", "clear", "none")
def a_go_around_disarms_everything() -> None:
    rig = outside_glide()
    rig.press("approach mode", "go-around")
    shows(rig, lateral_armed=(), vertical_armed=())


# Vertical ---------------------------------------------------------------------------------------

BUTTONS = {
    "press altitude hold": ("altitude hold", "ALT"),
    "press vertical speed": ("vertical speed mode", "VS"),
    "press climb": ("climb mode", "CLIMB"),
    "press descend": ("descend mode", "DESCEND"),
}


def _basic(button: str, word: str) -> Callable[[], object]:
    def from_a_basic_mode() -> None:
        rig = level()
        rig.press("vertical speed mode" if word == "ALT" else "altitude hold", button)
        shows(rig, vertical=word)

    return from_a_basic_mode


def _leaving(button: str, word: str) -> Callable[[], object]:
    def from_an_approach_that_may_be_left() -> None:
        rig = both_captured(WAITS)
        rig.press(button)
        shows(rig, lateral="LOC", vertical=word)

    return from_an_approach_that_may_be_left


def _after_going_around(button: str, word: str) -> Callable[[], object]:
    def from_a_go_around_once_high_enough() -> None:
        rig = released()
        rig.press(button)
        shows(rig, vertical=word)

    return from_a_go_around_once_high_enough


for _trigger, (_button, _word) in BUTTONS.items():
    story("vertical", _trigger, _word)(_basic(_button, _word))
    story("vertical", _trigger, _word, "may leave")(_leaving(_button, _word))
    story("vertical", _trigger, _word, "vertical released")(_after_going_around(_button, _word))


@story("vertical", "capture altitude", "ALT CAP", "altitude ahead")
@story("vertical", "level off", "ALT", "level")
def a_level_off() -> None:
    rig = capturing(turboprop())
    rig.fly(60.0)
    shows(rig, vertical="ALT")


@story("vertical", "turn altitude selector", "VS", "turning falls back")
def the_selector_turned_in_the_level_off() -> None:
    rig = capturing(turboprop())
    rig.select("altitude", 4000.0)
    shows(rig, vertical="VS")


@story("vertical", "capture glide", "GLIDE", "localizer leads")
def a_glide_path_captured_after_the_localizer() -> None:
    shows(both_captured(), vertical="GLIDE")


@story("vertical", "capture path", "PATH", "localizer leads")
def a_computed_path_captured() -> None:
    shows(path_and_localizer_captured(), vertical="PATH")


@story("vertical", "capture coded path", CODED, "coded legs followed")
def a_coded_path_captured() -> None:
    shows(descending(), lateral="NAV", vertical="PATH")


@story("vertical", "leave coded legs", "VS", "coded legs left")
def a_coded_path_left_with_its_legs() -> None:
    rig = descending()
    rig.press("heading mode")
    shows(rig, lateral="HDG", vertical="VS")


@story("vertical", "end coded descent", "VS", "no descent coded")
def a_coded_path_ended_by_a_direct_leg_to_the_runway() -> None:
    rig = descending()
    rig.select("direct to", 4.0)
    shows(rig, lateral="NAV", vertical="VS")
    rig.fly(1.0)


@story("vertical", "lay legs anew", "VS", "coded path elsewhere")
def a_direct_leg_lays_the_coded_path_far_above() -> None:
    rig = descending(1500.0)
    rig.fly(300.0, lambda r: r.before_m < 15.0 * NM)
    rig.select("direct to", 1.0)
    shows(rig, lateral="NAV", vertical="VS")
    rig.fly(1.0)


@story("vertical", "lose glide", "VS", "glide lost")
def a_glide_path_lost_for_longer_than_it_is_held() -> None:
    rig = both_captured()
    rig.glide = "flagged"
    rig.fly(8.5)
    shows(rig, vertical="VS")


@story("vertical", "leave approach", "VS", "may leave")
def localizer_mode_leaves_a_captured_glide_path_where_the_type_allows_it() -> None:
    rig = both_captured(WAITS)
    rig.press("localizer mode")
    shows(rig, lateral="LOC", vertical="VS")


@story("vertical armed", "press approach", "GLIDE", "glide received")
def approach_mode_arms_a_received_glide_path() -> None:
    rig = Rig(offset_m=-4000.0)
    rig.press("approach mode")
    shows(rig, vertical_armed=("GLIDE",))


@story("vertical armed", "press approach", "GLIDE", "glide missing")
def approach_mode_waits_for_a_glide_path() -> None:
    rig = outside_glide(BUSINESS)
    rig.press("approach mode")
    shows(rig, vertical_armed=("GLIDE",))


@story("vertical armed", "press approach", "PATH", "glide missing")
def approach_mode_arms_a_computed_path() -> None:
    rig = outside_glide()
    rig.press("approach mode")
    shows(rig, vertical_armed=("PATH",))


@story("vertical armed", "leave approach", "none", "may leave")
def localizer_mode_drops_an_armed_approach() -> None:
    rig = outside_glide()
    rig.press("approach mode", "localizer mode")
    shows(rig, lateral_armed=("LOC",), vertical_armed=())


@story("vertical armed", "press path", CODED, "descent coded")
@story("vertical armed", "press path again", "none")
def path_mode_pressed_twice() -> None:
    rig = coming()
    rig.press("path mode")
    shows(rig, vertical_armed=("PATH",))
    rig.press("path mode")
    shows(rig, vertical_armed=())


@story("vertical armed", "leave coded legs", "none", "coded legs not in use")
def heading_mode_disarms_a_coded_path() -> None:
    rig = coming()
    rig.press("path mode", "heading mode")
    shows(rig, vertical_armed=())


@story("vertical armed", "end coded descent", "none", "no descent coded")
def a_direct_leg_to_the_runway_disarms_a_coded_path() -> None:
    rig = coming()
    rig.press("path mode")
    rig.select("direct to", 4.0)
    shows(rig, lateral="NAV", vertical_armed=())


# Thrust -----------------------------------------------------------------------------------------


@story("thrust", "press speed", "SPEED", "autothrust fitted")
def speed_mode_takes_autothrust_up() -> None:
    rig = Rig(initial=modes(thrust="OFF"))
    rig.press("speed mode")
    shows(rig, thrust="SPEED")


@story("thrust", "press autothrust off", "OFF")
def autothrust_off_leaves_power_to_the_hand_in_every_mode() -> None:
    for button, word in (("", "SPEED"), ("climb mode", "CLIMB"), ("descend mode", "IDLE"),
                         ("go-around", "GA")):  # fmt: skip
        rig = Rig()
        if button:
            rig.press(button)
        shows(rig, thrust=word)
        rig.press("autothrust off")
        rig.fly(1.0)
        shows(rig, thrust="OFF")


@story("thrust", "close", "IDLE")
@story("thrust", "open", "CLIMB")
@story("thrust", "hold speed", "SPEED", "pitch leaves speed")
def thrust_follows_the_vertical_mode() -> None:
    rig = level()
    rig.press("descend mode")
    shows(rig, thrust="IDLE")
    rig.press("climb mode")
    shows(rig, thrust="CLIMB")
    rig.press("altitude hold")
    shows(rig, thrust="SPEED")


# Engagement -------------------------------------------------------------------------------------


@story("engagement", "press autopilot", "AP", "autopilot fitted")
def an_autopilot_engaged() -> None:
    rig = Rig(initial=modes(engagement="FD"))
    rig.press("autopilot")
    shows(rig, engagement="AP")


@story("engagement", "go around", "FD", "few modes flown")
def a_go_around_disconnects_an_autopilot_that_does_not_fly_it() -> None:
    rig = Rig(piston_single().with_autopilot(), modes(), cas_kt=90.0)
    rig.press("go-around")
    shows(rig, engagement="FD")


@story("engagement", "press second autopilot", "AP", "second autopilot fitted")
def the_second_autopilot_engaged_alone() -> None:
    rig = Rig(initial=modes(engagement="FD"))
    rig.press("second autopilot")
    shows(rig, engagement="AP")


@story("engagement", "press second autopilot", "AP BOTH", "second autopilot fitted")
def both_autopilots_in_an_approach() -> None:
    rig = Rig(offset_m=-4000.0)
    rig.press("approach mode", "second autopilot")
    shows(rig, engagement="AP BOTH")


@story("engagement", "press autopilot off", "OFF", "director off")
def autopilot_off_without_a_flight_director() -> None:
    rig = Rig()
    rig.press("flight director")
    shows(rig, engagement="AP")
    rig.press("autopilot off")
    shows(rig, engagement="OFF")


@story("engagement", "press flight director", "FD")
def the_flight_director_on() -> None:
    rig = Rig(initial=modes("HDG", "VS", engagement="OFF"))
    rig.press("flight director")
    shows(rig, engagement="FD")


@story("engagement", "descend below minimum", "FD", "below minimum")
def an_autopilot_flown_below_its_height() -> None:
    rig = on_final(height_ft=600.0)
    rig.fly(120.0, lambda r: r.sensed().radio_height_m < 70.0 * FT)
    shows(rig, engagement="FD", vertical="GLIDE")


@story("engagement", "descend below minimum", "OFF", "below minimum")
def an_autopilot_flown_below_its_height_without_a_flight_director() -> None:
    rig = on_final("flight director", height_ft=600.0)
    rig.fly(120.0, lambda r: r.sensed().radio_height_m < 70.0 * FT)
    shows(rig, engagement="OFF", vertical="VS")


@story("engagement", "leave approach", "AP", "approach left")
def leaving_the_approach_leaves_one_autopilot() -> None:
    rig = Rig(offset_m=-4000.0)
    rig.press("approach mode", "second autopilot", "localizer mode")
    shows(rig, engagement="AP")


@story("engagement", "go around", "FD")
def a_go_around_shows_the_flight_director() -> None:
    rig = Rig(initial=modes("HDG", "VS", engagement="OFF"), altitude_ft=800.0, distance_nm=3.0)
    rig.press("go-around")
    shows(rig, engagement="FD", lateral="GA", vertical="GA")


@story("engagement", "fail", "AP")
def one_of_two_autopilots_fails() -> None:
    rig = Rig(offset_m=-4000.0)
    rig.press("approach mode", "second autopilot")
    rig.fail("autopilot 2")
    shows(rig, engagement="AP")


@story("engagement", "fail", "FD", "director on")
def the_engaged_autopilot_fails() -> None:
    rig = Rig()
    rig.fail("autopilot 1")
    shows(rig, engagement="FD")


@story("engagement", "fail", "OFF", "director off")
def the_engaged_autopilot_fails_without_a_flight_director() -> None:
    rig = Rig()
    rig.press("flight director")
    rig.fail("autopilot 1")
    shows(rig, engagement="OFF")


# The RNP final ------------------------------------------------------------------------------------


@story("vertical", "capture rnp path", "PATH", "rnp final followed")
def the_path_of_an_rnp_final_is_captured() -> None:
    shows(rnp_captured(), lateral="NAV", vertical="PATH")


@story("vertical", "lose path", "VS", "service lost")
def a_downgrade_leaves_the_present_rate() -> None:
    rig = rnp_captured("LPV")
    rig.service = "LNAV"
    rig.fly(9.0)
    shows(rig, lateral="NAV", vertical="VS")


@story("vertical armed", "arm rnp path", "PATH", "rnp final ahead")
def approach_mode_arms_the_path_of_an_rnp_final() -> None:
    shows(rnp_armed(), vertical_armed=("PATH",))


@story("vertical armed", "lose path", "none", "service lost")
def a_downgrade_disarms_the_path() -> None:
    rig = rnp_armed("LPV")
    rig.service = "LNAV"
    rig.fly(9.0)
    shows(rig, vertical_armed=())
