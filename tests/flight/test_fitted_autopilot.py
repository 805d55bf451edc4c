"""The piston single: by hand, or with an autopilot that holds a heading and an altitude."""

from __future__ import annotations

from dataclasses import replace

from tests.builders import book
from tests.flight.stories.story import TYPES, Story
from tests.guidance.rig import Rig, modes, refusals
from tests.world.types import piston_single
from trainer.flight.flight import Flight
from trainer.scenario.exercise import Exercise
from trainer.world.aircraft import AircraftType

FITTED = piston_single().with_autopilot()


def begun(kind: str, aircraft: AircraftType | None = None) -> Flight:
    """A flight of `kind` at its start, level on the coded legs."""
    story = Story(kind, altitude_ft=2000.0)
    drill: Exercise = story.exercise
    if aircraft is not None:
        drill = replace(drill, aircraft=aircraft)
    return Flight(drill, book())


def test_a_flight_begins_with_what_the_type_has() -> None:
    found = {kind: begun(kind).guidance.modes for kind in TYPES}
    assert {kind: (at.engagement, at.thrust) for kind, at in found.items()} == {
        "twin jet": ("AP", "SPEED"),
        "turboprop": ("AP", "OFF"),
        "business jet": ("AP", "OFF"),
        "piston single": ("FD", "OFF"),
    }


def test_the_piston_single_has_no_autopilot_to_engage() -> None:
    story = Story("piston single")
    story.press("autopilot")
    assert story.history() == ["no: autopilot ignored: no autopilot fitted"]


def test_a_fitted_autopilot_that_does_not_fly_the_legs_begins_off() -> None:
    assert begun("piston single", FITTED).guidance.modes.engagement == "FD"


def test_the_fitted_autopilot_holds_heading_and_altitude() -> None:
    rig = Rig(FITTED, modes(engagement="FD"), cas_kt=100.0, flap=0)
    rig.press("autopilot")
    assert rig.modes.engagement == "AP"
    rig.select("heading", 180.0)
    rig.press("heading mode", "altitude hold")
    rig.fly(60.0)
    assert (rig.modes.lateral, rig.modes.vertical, rig.modes.engagement) == ("HDG", "ALT", "AP")
    assert abs(rig.state.heading_rad * 57.29578 - 180.0) < 1.0


def test_the_fitted_autopilot_refuses_every_other_mode_and_says_why() -> None:
    rig = Rig(FITTED, modes(), cas_kt=100.0, flap=0)
    before = rig.modes
    for control, name in (
        ("nav mode", "nav"),
        ("localizer mode", "localizer"),
        ("approach mode", "approach"),
        ("path mode", "path"),
        ("vertical speed mode", "vertical speed"),
        ("climb mode", "climb"),
        ("descend mode", "descend"),
    ):
        reason = f"{name} ignored: the autopilot flies HDG and ALT only"
        assert refusals(rig.press(control)) == [reason]
    assert rig.modes == before


def test_the_director_switched_behind_the_autopilot_is_a_fact_of_its_own() -> None:
    story = Story("twin jet")
    story.press("flight director", "autopilot off")
    assert [fact.name for fact in story.flight.facts if fact.kind == "director"] == ["off"]
    assert story.row.modes.engagement == "OFF"
    # A go-around brings the director back.
    story.press("go-around")
    assert [fact.name for fact in story.flight.facts if fact.kind == "director"] == ["off", "on"]
    assert story.row.modes.engagement == "FD"


def test_with_the_autopilot_off_the_director_shows_every_mode() -> None:
    rig = Rig(FITTED, modes(), cas_kt=100.0, flap=0)
    rig.press("autopilot off", "vertical speed mode")
    assert (rig.modes.vertical, rig.modes.engagement) == ("VS", "FD")
    found = rig.press("autopilot")
    reason = "autopilot ignored: it does not fly the modes that are active or armed"
    assert refusals(found) == [reason]


def test_the_fitted_autopilot_is_not_engaged_with_a_capture_to_come() -> None:
    rig = Rig(FITTED, modes(engagement="FD"), offset_m=-4000.0, cas_kt=100.0, flap=0)
    rig.press("localizer mode")
    reason = "autopilot ignored: it does not fly the modes that are active or armed"
    assert refusals(rig.press("autopilot")) == [reason]


def test_a_go_around_is_flown_by_hand() -> None:
    rig = Rig(FITTED, modes(), cas_kt=90.0, flap=0)
    rig.press("go-around")
    assert (rig.modes.lateral, rig.modes.vertical, rig.modes.engagement) == ("GA", "GA", "FD")
