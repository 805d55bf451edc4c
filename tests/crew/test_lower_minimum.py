"""The path of an RNP final lost before the fix: the minimum of LNAV, flown in vertical speed.

FAA AIM 5-4-5 (lines of minima by level of service), AC 120-108 (continuous descent, add-on).
"""

from __future__ import annotations

import pytest

from tests.crew.crews import exercise, flown, item
from tests.crew.test_cold_path import history
from trainer.judge.judgement import Judgement
from trainer.proof.prove import fly_perfect
from trainer.scenario.book import book_of
from trainer.scenario.draw import corners
from trainer.scenario.exercise import Exercise

NAME = "before-the-fix"
PUBLISHED_FT = 600.0
FLOWN_FT = 650.0
"""With the 50 ft that the flow adds, because a minimum descent altitude is not passed."""


def perfect(*edits: str) -> str:
    return f"{{crew: 1, base: perfect, edits: [{', '.join(edits)}]}}"


def drawn(event: str) -> Exercise:
    return dict(corners(exercise(NAME)))[f"with {event}"]


def watches(judgement: Judgement) -> dict[str, bool]:
    """Watches that found something, and whether each is a finding of its own."""
    primary = judgement.primary()
    return {one.watch: (one.watch, "watch") in primary for one in judgement.watches}


def test_the_minimum_of_lnav_takes_the_place_of_the_other_before_the_fix() -> None:
    session, judgement = flown(NAME, perfect())
    assert (judgement.points, judgement.reason) == (100.0, "stopped on the runway")
    assert history(session)[:5] == [
        "vertical armed: PATH",
        "capability: LNAV/VNAV",
        "capability: LNAV",
        "vertical armed: -",
        "vertical: VS",
    ]
    assert exercise(NAME).approach.minimums_ft == 430.0
    assert session.flight.rows[-1].selectors.minimums_ft == FLOWN_FT
    assert item(judgement, "LNAV minimum").verdict == "on time"


def test_the_decision_falls_at_it() -> None:
    session, _ = flown(NAME, perfect())
    rows = session.flight.rows
    first = next(row for row in rows if row.phase == "minimums")
    assert first.altitude_ft == pytest.approx(FLOWN_FT, abs=3.0)
    said = next(fact for fact in session.flight.facts if fact.detail == "minimums")
    assert 0.0 < FLOWN_FT - rows[said.step].altitude_ft < 60.0


def test_with_the_path_there_the_decision_falls_at_its_own() -> None:
    found = drawn("nothing")
    session, judgement = fly_perfect(found, book_of(found))
    assert judgement.points == 100.0
    first = next(row for row in session.flight.rows if row.phase == "minimums")
    assert first.altitude_ft == pytest.approx(430.0, abs=3.0)
    assert item(judgement, "LNAV minimum").verdict == "not reached"


def test_on_the_miles_down_the_table_is_kept_without_a_path() -> None:
    session, _ = flown(NAME, perfect())
    down = [row for row in session.flight.rows if row.modes.vertical == "VS" and row.along_nm < 8.0]
    assert max(abs(row.path_error_ft) for row in down if row.height_ft > 500.0) < 75.0


def test_who_keeps_the_minimum_of_the_path_has_nothing_to_go_on() -> None:
    _, judgement = flown(NAME, perfect("{omit: LNAV minimum}"))
    assert item(judgement, "LNAV minimum").verdict == "missed"
    assert watches(judgement)["continued without service"] is False
    assert judgement.outcome == "repeat"


def test_the_old_minimum_said_again_is_wrong() -> None:
    edit = "{replace: 'LNAV minimum, said', with: {say: minimums 430 set}}"
    _, judgement = flown(NAME, perfect(edit))
    assert item(judgement, "LNAV minimum, said").verdict == "wrong"


def test_giving_the_approach_up_level_is_as_right() -> None:
    edits = (
        "{replace: answer to service lost before, with: {say: discontinue}}",
        "{omit: LNAV minimum}",
        "{omit: 'LNAV minimum, said'}",
    )
    text = perfect(*edits)[:-1] + ", acts: [{at: 138 s, do: heading mode}]}"
    session, judgement = flown(NAME, text)
    assert judgement.primary() == set()
    assert "discontinued" in {row.phase for row in session.flight.rows}
