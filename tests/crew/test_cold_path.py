"""An RNP final on a cold day: flown to a landing, without integrity, and without its path.

The annunciator's history is asserted step by step; what other crews do about the same is told from
what the judge finds.
"""

from __future__ import annotations

import pytest

from tests.crew.crews import edited, exercise, item
from tests.crew.crews import flown as fly_text
from trainer.crew.session import Session
from trainer.judge.judgement import Judgement
from trainer.proof.prove import fly_perfect
from trainer.scenario.book import book_of
from trainer.scenario.draw import corners
from trainer.scenario.exercise import Exercise

NAME = "cold-path"
ANSWER = "answer to no integrity"


def drawn(event: str) -> Exercise:
    """The exercise as written, with this event drawn instead of that without integrity."""
    return dict(corners(exercise(NAME)))[f"with {event}"]


def flown(event: str = "") -> tuple[Session, Judgement]:
    found = drawn(event) if event else exercise(NAME)
    return fly_perfect(found, book_of(found))


def history(session: Session) -> list[str]:
    """What guidance showed from the approach clearance on, but for thrust."""
    return [
        f"{fact.name}: {fact.detail or '-'}"
        for fact in session.flight.facts
        if fact.kind == "mode" and fact.name != "thrust"
    ]


ARMED_AND_CAPTURED = [
    "vertical armed: PATH",
    "capability: LNAV/VNAV",
    "vertical: PATH",
    "vertical armed: -",
]


def test_undisturbed_it_is_flown_to_a_landing() -> None:
    session, judgement = flown("nothing")
    assert (judgement.points, judgement.reason) == (100.0, "stopped on the runway")
    assert history(session)[:4] == ARMED_AND_CAPTURED
    path = [row for row in session.flight.rows if row.modes.vertical == "PATH"]
    gate = min(path, key=lambda row: abs(row.height_ft - 1000.0))
    assert abs(gate.path_error_ft) < 20.0
    assert gate.track_dots is not None
    assert abs(gate.track_dots) < 0.2


def test_on_a_cold_day_the_descent_is_slower_than_its_angle_says() -> None:
    """Below the angle of 3.08° by the warmth of the air: 251 K where 277 K are standard."""
    session, _ = flown("nothing")
    row = next(
        row for row in session.flight.rows if row.modes.vertical == "PATH" and row.along_nm < 5.0
    )
    published_fpm = row.ground_speed_kt * 6076.1 / 60.0 * 0.0538
    assert -row.vertical_speed_fpm == pytest.approx(published_fpm * 251.0 / 277.0, rel=0.03)


def test_without_integrity_the_level_of_service_goes_at_once_and_the_crew_goes_around() -> None:
    session, judgement = flown()
    assert judgement.points == 100.0
    assert history(session) == [
        *ARMED_AND_CAPTURED,
        "capability: -",
        "lateral: GA",
        "vertical: GA",
        "lateral: HDG",
        "vertical: ALT CAP",
        "vertical: ALT",
    ]


def test_without_its_path_the_service_falls_to_lnav_and_nav_leads_the_missed_approach() -> None:
    session, judgement = flown("service lost")
    assert judgement.points == 100.0
    shown = history(session)
    assert "capability: LNAV" in shown
    assert "lateral: NAV" in shown[shown.index("lateral: GA") :]


def test_who_waits_for_it_to_come_back_loses_nav_and_path_after_the_hold() -> None:
    crew = f"{{crew: 1, base: perfect, edits: [{{replace: {ANSWER}, with: {{say: continue}}}}]}}"
    session, judgement = fly_text(NAME, crew)
    assert history(session)[4:7] == ["capability: -", "lateral: HDG", "vertical: VS"]
    assert item(judgement, ANSWER).verdict == "wrong"
    assert judgement.outcome == "repeat"


def test_who_lets_it_run_on_is_told_that_the_service_is_gone() -> None:
    judgement = edited(NAME, f"{{omit: {ANSWER}}}")
    assert item(judgement, ANSWER).verdict == "missed"
    assert "continued without service" in {one.watch for one in judgement.watches}


def test_the_clearance_is_read_back_in_its_own_words() -> None:
    session, _ = flown()
    read = next(fact for fact in session.flight.facts if fact.kind == "read back")
    assert read.detail == "cleared RNP 23"


def test_integrity_lost_before_the_fix_ends_the_approach_level() -> None:
    found = dict(corners(exercise("before-the-fix")))["with no integrity before"]
    session, judgement = fly_perfect(found, book_of(found))
    assert (judgement.points, judgement.reason) == (100.0, "level after the missed approach")
    assert "discontinued" in {row.phase for row in session.flight.rows}
    assert {row.modes.thrust for row in session.flight.rows} == {"SPEED"}
    assert min(row.altitude_ft for row in session.flight.rows) > 2950.0


def test_approach_mode_before_its_clearance_is_early() -> None:
    judgement = edited(NAME, "{advance: approach mode, by: 30 s}")
    assert item(judgement, "approach mode").verdict == "early"
