"""Stations and signals as the judge sees them: the wrong one, the nameless one, the lost one."""

from __future__ import annotations

from typing import Any

import pytest

from tests.crew.crews import edited, exercise, flown, item
from trainer.crew.fly import fly_crew
from trainer.crew.session import Session
from trainer.judge.judgement import Judgement
from trainer.scenario.compose import document_of, from_document
from trainer.scenario.crew_files import from_text

NEIGHBOUR = "{replace: tune, with: {set: {frequency: 111.35 MHz}}}"


def with_events(crew: str, *events: dict[str, Any]) -> tuple[Session, Judgement]:
    """The perfect crew with `crew` edits, straight in, with more events."""
    document = document_of(exercise("straight-in"))
    document["exercise"]["events"] += events
    found = from_document(document)
    return fly_crew(found, from_text(f"{{crew: 1, base: perfect{crew}}}", found))


def fault(name: str, when: dict[str, str], **what: str) -> dict[str, Any]:
    """An event in which a signal fails; going on is accepted."""
    return {"event": name, "when": when, "fault": what, "answers": ["continue"]}


def test_the_neighbours_station_is_one_finding_and_explains_the_rest() -> None:
    session, judgement = flown(
        "early-temptation", f"{{crew: 1, base: perfect, edits: [{NEIGHBOUR}]}}"
    )
    assert judgement.primary() == {("tune", "wrong")}
    heard = [fact.name for fact in session.flight.facts if fact.kind == "heard"]
    assert heard == ["IPEL"]
    watches = {watch.watch: watch.because for watch in judgement.watches}
    assert watches["localizer not identified"] == "tune"
    # It was flown down the neighbour's glide path, a gate failed, and the crew went around.
    assert max(row.modes.vertical == "GLIDE" for row in session.flight.rows)
    assert session.flight.rows[-1].modes.vertical == "ALT"


def test_a_wrong_course_is_one_finding_and_explains_where_it_was_flown() -> None:
    judgement = edited("straight-in", "{replace: course, with: {set: {course: 150 deg}}}")
    assert judgement.primary() == {("course", "wrong")}
    watches = {watch.watch: watch.because for watch in judgement.watches}
    assert watches["localizer on a wrong course"] == "course"


def test_a_localizer_nobody_listened_to_is_watched() -> None:
    judgement = edited("straight-in", "{omit: identify}")
    assert judgement.primary() == {("identify", "missed")}
    watches = {watch.watch: watch.because for watch in judgement.watches}
    assert watches["localizer not identified"] == "identify"


def test_under_maintenance_no_ident_is_heard_and_following_it_is_a_finding() -> None:
    _, judgement = with_events(
        "", fault("works", {"distance": "below 20 NM"}, signal="localizer", becomes="maintenance")
    )
    assert item(judgement, "identify").verdict == "missed"
    assert item(judgement, "identified").verdict == "not reached"
    assert "localizer not identified" in {watch.watch for watch in judgement.watches}


def test_a_bend_draws_the_autopilot_along_and_is_no_finding() -> None:
    lorry = fault("lorry", {"distance": "below 8 NM"}, signal="localizer", becomes="bent",
                  **{"for": "40 s"})  # fmt: skip
    session, judgement = with_events("", lorry)
    assert not judgement.primary()
    at = next(fact.step for fact in session.flight.facts if fact.kind == "fault")
    rows = session.flight.rows
    before_m = max(abs(row.cross_m) for row in rows[at - 100 : at])
    assert max(abs(row.cross_m) for row in rows[at : at + 400]) > before_m + 2.0


@pytest.mark.parametrize(("signal", "call"), [("localizer", "localizer flag"),
                                              ("glideslope", "glide flag")])  # fmt: skip
def test_a_flag_on_a_captured_signal_has_its_call(signal: str, call: str) -> None:
    event = fault("flag", {"altitude": "falling through 2000 ft"},
                  signal=signal, becomes="flagged", **{"for": "5 s"})  # fmt: skip
    session, judgement = with_events("", event)
    assert item(judgement, call).verdict == "on time"
    assert not judgement.watches
    # Shorter than the eight seconds of the type: both modes stay.
    changes = [fact.detail for fact in session.flight.facts
               if fact.kind == "mode" and fact.name in ("lateral", "vertical")]  # fmt: skip
    assert changes[:2] == ["LOC", "GLIDE"]
    assert "HDG" not in changes
    _, silent = with_events(f", edits: [{{omit: {call}}}]", event)
    assert silent.primary() == {(call, "missed")}
