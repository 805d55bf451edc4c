"""A level cleared during altitude capture: the selector shows it, the aircraft keeps the old one.

The trap and what it costs; that the clearance well before the capture asks for nothing more.
"""

from __future__ import annotations

from tests.crew.crews import exercise, flown, item
from trainer.proof.prove import fly_perfect
from trainer.scenario.book import book_of
from trainer.scenario.draw import corners

NAME = "stolen-level-off"


def test_the_perfect_crew_presses_a_vertical_mode_again_and_scores_a_hundred() -> None:
    session, judgement = flown(NAME)
    assert (judgement.outcome, judgement.points) == ("passed", 100.0)
    assert item(judgement, "go on down").verdict == "on time"
    shown = [word.vertical for word in judgement.modes]
    assert shown[:5] == ["ALT", "DESCEND", "ALT CAP", "ALT", "DESCEND"]
    assert session.flight.reason == "stopped on the runway"


def test_who_believes_the_selector_stays_at_the_old_level() -> None:
    session, judgement = flown(NAME, "{crew: 1, base: perfect, edits: [{omit: go on down}]}")
    assert judgement.primary() == {("go on down", "missed")}
    at = [row for row in session.flight.rows if 15.0 < row.distance_nm < 17.0]
    assert all(row.selectors.altitude_ft == 3000.0 for row in at)
    assert all(abs(row.altitude_ft - 4000.0) < 30.0 for row in at)
    assert {row.modes.vertical for row in at} == {"ALT"}


def test_turned_before_the_capture_the_selector_is_obeyed_and_nothing_more_is_asked() -> None:
    early = dict(corners(exercise(NAME)))["with down to three before capture"]
    session, judgement = fly_perfect(early, book_of(early))
    assert judgement.points == 100.0
    assert item(judgement, "go on down").verdict == "not reached"
    captured = next(row for row in session.flight.rows if row.modes.vertical == "ALT CAP")
    assert captured.altitude_ft < 3300.0
