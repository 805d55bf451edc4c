"""A wrong course on one side: it is shown, and the two autopilots do not fly together."""

from __future__ import annotations

from tests.flight.landings import Wind, act, exercise, on_path
from trainer.app.scribe import Scribe
from trainer.app.spoken import status_lines
from trainer.app.view import view_of
from trainer.flight.flight import Flight

TURNED = {
    "event": "other side turned",
    "when": {"radio height": "falling through 1000 ft"},
    "fault": {"system": "course 2", "becomes": "turned"},
    "answers": ["check course"],
}


def turned() -> Flight:
    """An automatic landing in calm air, a little below the height where the course is turned."""
    flight = on_path(exercise("twin-jet", Wind(0.0, 0.0, 0.0), 0, events=[TURNED]))
    while flight.row.radio_ft > 950.0:
        flight.step()
    return flight


def told(flight: Flight) -> list[str]:
    """What engagement and capability showed, with the reasons."""
    return [
        f"{fact.name} {fact.detail} ({fact.reason})"
        for fact in flight.facts
        if fact.kind == "mode" and fact.name in ("engagement", "capability")
    ]


def test_the_second_autopilot_leaves_and_comes_back_once_a_course_is_set() -> None:
    flight = turned()
    assert told(flight)[-2:] == [
        "engagement AP (the courses of the two sides differ)",
        "capability PASSIVE (capability passive)",
    ]
    _, facts = flight.step([act(flight, "press", "second autopilot")])
    assert [fact.reason for fact in facts if fact.kind == "refused"] == [
        "second autopilot ignored: the courses of the two sides differ"
    ]
    flight.step([act(flight, "set", "course", "140")])
    flight.step([act(flight, "press", "second autopilot")])
    assert (flight.row.modes.engagement, flight.row.modes.capability) == ("AP BOTH", "OPERATIONAL")


def test_what_differs_is_shown_until_a_course_is_set() -> None:
    flight = turned()
    scribe = Scribe(flight.exercise, flight.rows[0])
    scribe.take(flight.row, flight.facts)
    view = view_of(flight.row, scribe)
    assert view.is_course_split
    assert any("course 140, the other side differs" in line for line in status_lines(view))
    row, facts = flight.step([act(flight, "set", "course", "140")])
    scribe.take(row, facts)
    assert not view_of(row, scribe).is_course_split
