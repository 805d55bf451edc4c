"""The piston single, one pilot alone: what its two exercises show of the type, and their traps."""

from __future__ import annotations

from itertools import pairwise

from tests.crew.crews import exercise, flown, item
from trainer.crew.session import Session
from trainer.flight.row import Row
from trainer.judge.judgement import Judgement
from trainer.proof.prove import fly_perfect
from trainer.scenario.book import book_of
from trainer.scenario.draw import corners

RADIAL, TWO_MODES = "by-radial", "two-modes"


def trapped(name: str, trap: int) -> tuple[Session, Judgement]:
    found = exercise(name)
    return fly_perfect(found, book_of(found), found.traps[trap].edits)


def shown(session: Session, column: str) -> list[str]:
    """What a column of the annunciator showed, one after the other."""
    return [fact.detail for fact in session.flight.facts if fact.name == column]


def at_height(session: Session, height_ft: float) -> Row:
    rows = session.flight.rows
    return next(
        row for before, row in pairwise(rows) if before.height_ft > height_ft >= row.height_ft
    )


def test_the_radial_is_tracked_and_left_for_a_heading_before_the_receiver_is_turned() -> None:
    session, judgement = flown(RADIAL)
    assert judgement.points == 100.0
    assert shown(session, "lateral")[:3] == ["VOR", "HDG", "LOC"]
    assert {row.modes.engagement for row in session.flight.rows} == {"FD"}


def test_tuned_away_the_radial_is_gone_within_a_step() -> None:
    session, _ = trapped(RADIAL, 1)
    lost = next(fact for fact in session.flight.facts if fact.reason.startswith("VOR lost"))
    tuned = [fact.step for fact in session.flight.facts if fact.name == "frequency"]
    assert lost.step - tuned[1] <= 1
    assert lost.detail == "HDG"


def test_a_press_where_no_glide_path_is_received_arms_the_localizer_alone() -> None:
    session, judgement = trapped(RADIAL, 0)
    refused = [fact for fact in session.flight.facts if fact.kind == "refused"]
    assert [fact.reason for fact in refused] == ["approach ignored: no glide path received"]
    row = session.flight.rows[refused[0].step + 1]
    assert (row.modes.lateral_armed, row.modes.vertical_armed) == (("LOC",), ())
    assert "LOC armed" in item(judgement, "approach mode").found


def test_a_flagged_glide_path_is_held_for_no_time_at_all() -> None:
    drawn = dict(corners(exercise(RADIAL)))["with glide path flagged"]
    session, judgement = fly_perfect(drawn, book_of(drawn))
    assert judgement.points == 100.0
    gone = next(fact for fact in session.flight.facts if fact.reason.startswith("glide path lost"))
    flagged = next(fact for fact in session.flight.facts if fact.kind == "fault")
    assert gone.step - flagged.step <= 1


def test_the_gate_is_met_at_the_speed_of_the_approach_and_the_runway_at_that_of_the_landing() -> (
    None
):
    for name in (RADIAL, TWO_MODES):
        session, judgement = flown(name)
        assert [(one.gate, one.result) for one in judgement.gates] == [
            ("stable", "passed"),
            ("slow", "passed"),
        ]
        gate, low = at_height(session, 500.0), at_height(session, 100.0)
        assert abs(gate.cas_kt - 90.0) < 3.0
        assert gate.flap == 1.0
        assert abs(low.cas_kt - session.exercise.final_kt) < 3.0
        assert low.flap == 3.0


def test_the_autopilot_holds_heading_and_altitude_and_comes_off_for_the_descent() -> None:
    session, _ = flown(TWO_MODES)
    assert shown(session, "engagement") == ["AP", "FD"]
    coupled = {row.modes[:2] for row in session.flight.rows if row.modes.engagement == "AP"}
    assert coupled == {("HDG", "ALT")}


def test_the_selector_turned_in_the_capture_gives_the_level_away() -> None:
    session, judgement = trapped(TWO_MODES, 0)
    assert judgement.primary() == {("missed approach altitude", "early")}
    assert item(judgement, "hold the level").verdict == "on time"
    assert shown(session, "vertical")[:4] == ["VS", "ALT CAP", "VS", "ALT"]
    before_the_path = [row for row in session.flight.rows if row.distance_nm > 9.0]
    assert 2900.0 < min(row.altitude_ft for row in before_the_path) < 2980.0
