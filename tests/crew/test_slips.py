"""Crews with one slip in the shipped straight-in: exactly that slip is found, and why is said."""

from __future__ import annotations

from tests.crew.crews import edited, flown, item


def test_the_perfect_crew_passes_with_a_hundred_points_and_lands_in_the_zone() -> None:
    session, judgement = flown("straight-in")
    assert (judgement.outcome, judgement.points) == ("passed", 100.0)
    assert judgement.primary() == set()
    (touchdown,) = [fact for fact in session.flight.facts if fact.kind == "touchdown"]
    # Touchdown zone markings end 600 m (standard length) beyond the threshold: ICAO Annex 14.
    assert 250.0 <= float(touchdown.name) <= 600.0
    # At most 6 ft/s (from memory): the usual limit for a normal landing.
    assert float(touchdown.detail) <= 6.0


def test_the_perfect_crew_keeps_every_limit_by_the_rows_alone() -> None:
    session, _ = flown("straight-in")
    aircraft = session.exercise.aircraft
    for row in session.flight.rows:
        limit_kt = aircraft.flaps[row.flap_lever].limit_kt
        assert limit_kt is None or row.cas_kt <= limit_kt
        if row.gear > 0.0 and aircraft.gear.extended_limit_kt is not None:
            assert row.cas_kt <= aircraft.gear.extended_limit_kt
    gate = next(row for row in session.flight.rows if row.height_ft <= 1000.0)
    assert aircraft.flaps[gate.flap_lever].name == "36"
    assert (gate.flap, gate.gear) == (4.0, 1.0)
    assert -5.0 <= gate.cas_kt - session.exercise.final_kt <= 10.0
    assert gate.power > 0.05


def test_gear_forgotten_fails_the_gate_because_of_it_and_a_go_around_is_safe() -> None:
    judgement = edited("straight-in", "{omit: gear down}")
    assert judgement.primary() == {("gear down", "missed")}
    (gate,) = judgement.gates
    assert (gate.result, gate.because) == ("failed", "gear down")
    assert "configuration" in [one.criterion for one in gate.failed]
    assert item(judgement, "go around, not stable").verdict == "on time"
    assert item(judgement, "go around call").credit == 1.0
    assert judgement.reason == "level after the missed approach"


def test_landing_flap_past_its_last_chance_is_late() -> None:
    judgement = edited("straight-in", "{delay: landing flap, by: 4 s}")
    assert judgement.primary() == {("landing flap", "late")}
    verdict = item(judgement, "landing flap")
    assert verdict.due is not None
    assert verdict.done == verdict.due + 40
    assert "right from" in verdict.better


def test_no_call_at_a_thousand_feet_is_missed() -> None:
    judgement = edited("straight-in", "{omit: one thousand stable}")
    assert judgement.primary() == {("one thousand stable", "missed")}
    assert judgement.outcome == "passed"


def test_a_wrong_missed_approach_altitude_is_wrong() -> None:
    edit = "{replace: missed approach altitude, with: {set: {altitude: 5000 ft}}}"
    judgement = edited("straight-in", edit)
    assert judgement.primary() == {("missed approach altitude", "wrong")}
    assert item(judgement, "missed approach altitude").found == "altitude 5000"


def test_path_said_for_glide_is_wrong_and_the_mismatch_follows_from_it() -> None:
    session, _ = flown("straight-in")
    armed = next(
        track.name
        for track in session.tracker.tracks
        if track.fact is not None and track.fact.detail == "GLIDE" and "armed" in track.fact.name
    )
    judgement = edited("straight-in", f"{{replace: {armed}, with: {{say: path armed}}}}")
    assert judgement.primary() == {(armed, "wrong")}
    assert "GLIDE armed" in item(judgement, armed).found
    (watch,) = judgement.watches
    assert (watch.watch, watch.because) == ("said, not shown", armed)
