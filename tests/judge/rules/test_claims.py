"""What is said of stations and signals is held against what was received."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.builders import exercise, modes, row
from trainer.flight.row import Row
from trainer.judge.truth import contradiction, mode_phrase, read_back_error, slot_error
from trainer.scenario.exercise import Event, RnpFinal
from trainer.scenario.moments import Happened
from trainer.scenario.phrases import Call


def said(intent: str, *slots: tuple[str, str], **shown: object) -> str:
    """What contradicts a call made while `shown` was so; "" if nothing does."""
    rows: list[Row] = [row(0, **shown)]
    return contradiction(Call(intent, tuple(slots)), rows, exercise())


@pytest.mark.parametrize(
    ("heard", "wrong"), [("IMRW", ""), ("IPEL", "heard was IPEL"), ("", "heard was no ident")]
)
def test_identified_is_true_of_the_approachs_own_ident_only(heard: str, wrong: str) -> None:
    assert said("identified", ("ident", "IMRW"), identified=heard) == wrong


@pytest.mark.parametrize(
    ("dots", "is_true"), [(None, False), (-2.5, False), (-2.4, True), (0.0, True)]
)
def test_a_needle_on_its_stop_is_not_alive(dots: float | None, is_true: bool) -> None:
    # The twin jet's display has its stop at 2.5 dots.
    assert (said("localizer alive", localizer_dots=dots) == "") == is_true
    assert (said("glide alive", glide_dots=dots) == "") == is_true


@pytest.mark.parametrize(
    ("state", "is_true"), [("flagged", True), ("none", True), ("received", False)]
)
def test_a_flag_is_one_only_while_it_is_shown(state: str, is_true: bool) -> None:
    assert (said("localizer flag", localizer=state) == "") == is_true
    assert (said("glide flag", glide=state) == "") == is_true


def test_a_distance_check_names_the_miles_and_feet_that_are_read() -> None:
    read = {"dme_nm": 7.1, "altitude_ft": 2430.0}
    assert said("distance check", ("distance", "7"), ("altitude", "2400"), **read) == ""
    assert said("distance check", ("distance", "6"), ("altitude", "2400"), **read)
    assert said("distance check", ("distance", "7"), ("altitude", "2700"), **read)


def test_without_ranging_the_distance_to_the_threshold_counts() -> None:
    read = {"dme_nm": None, "distance_nm": 7.2, "altitude_ft": 2400.0}
    assert said("distance check", ("distance", "7"), ("altitude", "2400"), **read) == ""


def test_a_climb_is_positive_only_while_the_altimeter_rises() -> None:
    low, high = (row(step, vertical_speed_fpm=900.0, altitude_ft=400.0 + step) for step in (0, 9))
    climb = Call("positive climb", ())
    assert contradiction(climb, [low, high], exercise()) == ""
    assert contradiction(climb, [high, low], exercise()) == "the altimeter was not rising"
    assert contradiction(climb, [low, high, low], exercise()) == "the altimeter was not rising"
    level = [low, low]
    assert contradiction(climb, level, exercise()) == "the altimeter was not rising"
    slow = [one._replace(vertical_speed_fpm=0.5) for one in (low, high)]
    assert contradiction(climb, slow, exercise()) == ""


def test_every_number_and_name_of_a_call_must_be_right() -> None:
    assert said("anything", ("wind", "calm"), ("course", "139"))
    assert said("anything", ("ident", "IMRW"), ("course", "139"))
    assert said("anything", ("ident", "IMRW"), ("course", "140")) == ""


def test_what_is_in_sight_is_told_where_more_was_claimed() -> None:
    assert said("runway in sight", sees="lights") == "in sight was lights"
    assert said("lights in sight", sees="") == "in sight was nothing"
    assert said("lights in sight", sees="runway") == ""


@pytest.mark.parametrize(
    ("intent", "shown", "told"),
    [
        ("speed mode", {"modes": modes(thrust="IDLE")}, "shown was thrust IDLE"),
        ("operational", {}, "shown was capability nothing"),
        ("localizer captured", {}, "shown was lateral NAV, nothing armed"),
        (
            "glide captured",
            {"modes": modes(vertical_armed=("GLIDE", "PATH"))},
            "shown was vertical ALT, GLIDE and PATH armed",
        ),
    ],
)
def test_a_false_mode_call_is_told_what_its_axis_showed(
    intent: str, shown: dict[str, object], told: str
) -> None:
    assert said(intent, **shown) == told


@pytest.mark.parametrize(
    ("intent", "slot", "right", "wrong"),
    [
        # The row of the builders: flap 0; ILS 14, IMRW, course 140, final fix ORVEN, minimums
        # 230 ft, missed approach 4,000 ft; selected 210 kt, 3,000 ft, 1013 hPa.
        ("flaps", "stage", ("0",), ("1",)),
        ("identified", "ident", ("IMRW", "imrw"), ("IPEL",)),
        ("course set", "course", ("140",), ("139", "141")),
        ("altimeter set", "setting", ("1013",), ("1012", "1014")),
        ("speed set", "speed", ("208", "210", "212"), ("207", "213")),
        ("altitude set", "altitude", ("3000",), ("2900", "2999", "3001", "3010")),
        ("missed approach set", "altitude", ("4000",), ("3000", "3999", "4001")),
        ("fix passed", "fix", ("ORVEN",), ("PELTA",)),
        ("minimums set", "minimums", ("230", "250"), ("229", "251")),
        ("passing", "altitude", ("2900", "3100"), ("2899", "3101")),
        ("anything", "wind", ("calm", "storm"), ()),
    ],
)
def test_what_fills_a_call_is_held_against_the_state(
    intent: str, slot: str, right: tuple[str, ...], wrong: tuple[str, ...]
) -> None:
    for text in right:
        assert slot_error(Call(intent, ((slot, text),)), [row(0)], exercise()) == "", text
    for text in wrong:
        told = slot_error(Call(intent, ((slot, text),)), [row(0)], exercise())
        assert told.startswith(f"{slot} {text} was said, "), text


def test_fuel_is_checked_only_where_a_fuel_to_leave_with_is_briefed() -> None:
    leaving = exercise(start=replace(exercise().start, leaving_fuel_t=2.4))
    low = Call("fuel check", (("fuel", "2.2"),))
    assert slot_error(low, [row(0)], leaving) == "fuel 2.2 was said, 2.4 is right"
    assert slot_error(Call("fuel check", (("fuel", "2.4"),)), [row(0)], leaving) == ""
    assert slot_error(low, [row(0)], exercise()) == ""
    light = exercise(start=replace(exercise().start, leaving_fuel_t=0.4))
    assert slot_error(low, [row(0)], light) == "fuel 2.2 was said, 0.4 is right"


def test_the_call_of_a_mode_is_the_one_that_names_it() -> None:
    assert mode_phrase("lateral", "LOC") == "localizer captured"
    # With the autopilot off and no director nothing is engaged: the call is the same.
    assert mode_phrase("engagement", "OFF") == mode_phrase("engagement", "FD") == "autopilot off"
    assert mode_phrase("lateral", "GA") == ""


@pytest.mark.parametrize(
    ("read", "told"),
    [
        ({"altitude": "3000", "fix": "orven"}, ""),
        ({"altitude": "3000.0", "fix": "ORVEN"}, ""),
        ({"altitude": "3000"}, "fix ORVEN was not read back"),
        ({"altitude": "2000", "fix": "ORVEN"}, "altitude 2000 was read back, 3000 was cleared"),
        ({"altitude": "3000", "fix": "PELTA"}, "fix PELTA was read back, ORVEN was cleared"),
    ],
)
def test_a_read_back_carries_every_value_of_the_clearance(read: dict[str, str], told: str) -> None:
    cleared = Event(
        "lower", Happened("event", "now"), grants="descend",
        slots=(("altitude", "3000"), ("fix", "ORVEN")),
    )  # fmt: skip
    assert read_back_error([Call("read back descend", tuple(read.items()))], cleared) == told


@pytest.mark.parametrize(
    ("intent", "so", "not_so"),
    [
        ("navigation flag", {"track": "flagged"}, [{"track": "received"}]),
        ("gear down", {"gear_lever": "down"}, [{"gear_lever": "up", "gear": 1.0}]),
        ("gear up", {"gear_lever": "up"}, [{"gear_lever": "down", "gear": 0.0}]),
        ("three green", {"gear": 1.0}, [{"gear": 0.99, "gear_lever": "down"}]),
        ("spoilers armed", {"spoilers": "armed"}, [{"spoilers": "disarmed"}]),
        ("speedbrake out", {"speedbrake_lever": "out"}, [{"speedbrake_lever": "in"}]),
        ("speedbrake in", {"speedbrake_lever": "in"}, [{"speedbrake_lever": "out"}]),
        ("lights in sight", {"sees": "lights"}, [{"sees": ""}]),
        ("runway in sight", {"sees": "runway"}, [{"sees": ""}, {"sees": "lights"}]),
        ("landing", {"sees": "runway"}, [{"sees": ""}, {"sees": "lights"}]),
        ("not in sight", {"sees": ""}, [{"sees": "lights"}, {"sees": "runway"}]),
        ("go-around thrust", {"power": 0.31}, [{"power": 0.3}]),
        ("decelerating", {"is_on_ground": True}, [{"is_on_ground": False}]),
        ("not decelerating", {"is_on_ground": True}, [{"is_on_ground": False}]),
        ("reverse", {"reverse": "selected"}, [{"reverse": "stowed"}]),
        (
            "spoilers",
            {"is_on_ground": True, "spoilers": "armed"},
            [{"is_on_ground": True, "spoilers": "disarmed"}, {"spoilers": "armed"}],
        ),
        (
            "no spoilers",
            {"is_on_ground": True, "spoilers": "disarmed"},
            [{"is_on_ground": True, "spoilers": "armed"}, {"spoilers": "disarmed"}],
        ),
        (
            "no reverse",
            {"is_on_ground": True, "reverse": "stowed"},
            [{"is_on_ground": True, "reverse": "selected"}, {"reverse": "stowed"}],
        ),
        (
            "autopilot on",
            {"modes": modes(engagement="AP BOTH")},
            [{"modes": modes(engagement="FD")}],
        ),
        ("autopilot both", {"modes": modes(engagement="AP BOTH")}, [{}]),
        ("autopilot off", {"modes": modes(engagement="FD")}, [{}]),
        (
            "autopilot off",
            {"modes": modes(engagement="OFF")},
            [{"modes": modes(engagement="AP BOTH")}],
        ),
    ],
)
def test_what_a_call_claims_must_be_so(
    intent: str, so: dict[str, object], not_so: list[dict[str, object]]
) -> None:
    assert said(intent, **so) == ""
    for shown in not_so:
        assert said(intent, **shown) != "", shown


def test_what_was_so_in_any_of_the_last_two_seconds_is_true() -> None:
    seen, gone = row(0, sees="lights"), row(9, sees="")
    call = Call("lights in sight", ())
    assert contradiction(call, [seen, gone], exercise()) == ""
    assert contradiction(call, [gone, gone], exercise()) == "in sight was nothing"


def test_a_climb_is_positive_only_where_the_aircraft_climbs() -> None:
    low, high = (row(step, vertical_speed_fpm=0.0, altitude_ft=400.0 + step) for step in (0, 9))
    climb = Call("positive climb", ())
    assert contradiction(climb, [low, high], exercise()) == "the aircraft showed otherwise"


def test_a_distance_in_another_call_is_nobodys_reading() -> None:
    assert said("runway change", ("distance", "3")) == ""


@pytest.mark.parametrize(("service", "right"), [("LPV", "230"), ("LNAV", "480")])
def test_the_minimum_said_is_that_of_the_level_of_service(service: str, right: str) -> None:
    plain = exercise()
    final = RnpFinal(0.3, "LPV", -15.0, 40.0, descent_minimum_ft=430.0, minimums_ft=480.0)
    made = replace(plain, approach=replace(plain.approach, rnp=final))
    shown = row(0, modes=modes(capability=service))
    assert slot_error(Call("minimums set", (("minimums", right),)), [shown], made) == ""
    assert slot_error(Call("minimums set", (("minimums", "350"),)), [shown], made) != ""
