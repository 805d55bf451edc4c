"""A localizer approach without a glide path: continuous descent, mile checks, step minima.

Figures by hand: the published path is 3° through 50 ft over the threshold (24 ft), so 9.0 NM before
it stands at 24 + 50 + 9.0 · 6,076 · tan 3° + 71 (curvature) = 3,011 ft; the ranging stands 3,000 m
= 1.62 NM behind the threshold, so RAVIX is at DME 10.6. The rate of 3° is ground speed × 5.3
(common practice).
"""

from __future__ import annotations

import pytest

from tests.crew.crews import edited, exercise, flown, item
from trainer.proof.prove import fly_perfect
from trainer.scenario.book import book_of
from trainer.scenario.compose import document_of, from_document

NAME = "localizer-only"


def test_the_add_on_makes_a_decision_altitude_of_the_descent_minimum() -> None:
    approach = exercise(NAME).approach
    assert (approach.descent_minimum_ft, approach.minimums_ft) == (480.0, 530.0)
    assert approach.glide_check_altitude_ft == pytest.approx(3011.0, abs=10.0)


def test_the_perfect_crew_stays_within_a_hundred_feet_of_the_table_and_above_every_step() -> None:
    session, judgement = flown(NAME)
    assert (judgement.outcome, judgement.points) == ("passed", 100.0)
    rows = [row for row in session.flight.rows if row.phase == "final"]
    on_path = [row for row in rows if row.distance_nm < 8.5]
    assert max(abs(row.path_error_ft) for row in on_path) < 100.0
    for name, least_ft in (("RAVIX", 2800.0), ("SODEM", 1500.0), ("TAKUL", 900.0)):
        step = next(fact.step for fact in session.flight.facts if fact.name == name)
        assert session.flight.rows[step].altitude_ft >= least_ft
    assert not any(row.modes.vertical_armed for row in session.flight.rows)


def test_the_ranging_has_a_zero_of_its_own() -> None:
    session, _ = flown(NAME)
    step = next(fact.step for fact in session.flight.facts if fact.name == "RAVIX")
    row = session.flight.rows[step]
    assert row.dme_nm is not None
    assert row.dme_nm == pytest.approx(10.63, abs=0.05)
    assert row.distance_nm == pytest.approx(9.0, abs=0.05)


def test_the_rate_set_is_ground_speed_times_five_and_a_bit() -> None:
    session, _ = flown(NAME)
    row = next(row for row in session.flight.rows if row.modes.vertical == "VS")
    assert row.selectors.vertical_speed_fpm == pytest.approx(-5.3 * row.ground_speed_kt, abs=100.0)


def test_who_waits_for_the_other_ends_figure_is_high_at_the_gate_and_goes_around() -> None:
    judgement = edited(
        NAME,
        '{omit: "altitude, path passed"}',
        '{omit: "go around, path passed"}',
        "{advance: start down, to: {dme: below 9 NM}}",
    )
    assert item(judgement, "start down").verdict == "missed"
    assert [(gate.result, gate.because) for gate in judgement.gates] == [("failed", "start down")]
    assert judgement.gates[0].failed[0].criterion == "path"
    assert item(judgement, "go around, not stable").verdict == "on time"


def test_who_waits_for_the_fix_itself_is_late_and_comes_back_to_the_table() -> None:
    judgement = edited(NAME, "{advance: start down, to: {passed: final fix, plus: 3 s}}")
    assert judgement.primary() == {("start down", "late")}
    assert judgement.outcome == "passed"


def test_approach_mode_arms_a_computed_path_that_nobody_cleared() -> None:
    acts = "{when: {distance: below 12 NM}, do: approach mode}"
    session, judgement = flown(NAME, f"{{crew: 1, base: perfect, acts: [{acts}]}}")
    assert any("PATH" in row.modes.vertical_armed for row in session.flight.rows)
    assert "approach mode without a glide path" in [watch.watch for watch in judgement.watches]


def test_below_a_step_before_its_fix_is_found() -> None:
    steep = "{when: {distance: below 6.5 NM}, set: {vertical speed: -1800 ft/min}}"
    edits = ", ".join(f"{{omit: correct the rate {place}}}" for place in (3, 4))
    crew = f"{{crew: 1, base: perfect, edits: [{edits}], acts: [{steep}]}}"
    _, judgement = flown(NAME, crew)
    assert "below a step" in [watch.watch for watch in judgement.watches]


def test_without_sight_the_descent_minimum_is_not_passed_in_the_go_around_either() -> None:
    document = document_of(exercise(NAME))
    document["exercise"]["weather"]["ceiling"] = "200 ft"
    low = from_document(document)
    session, judgement = fly_perfect(low, book_of(low))
    assert judgement.outcome == "passed"
    assert item(judgement, "go around, no visual").verdict == "on time"
    assert min(row.altitude_ft for row in session.flight.rows) >= 480.0
    assert judgement.primary() == set()
