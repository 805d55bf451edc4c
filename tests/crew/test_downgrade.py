"""The same failure at three heights: which answer is right where, and what the others are.

Alert height 150 ft, reversion briefed above 1,000 ft only (the exercise). Seeds draw the height.
"""

from __future__ import annotations

from functools import cache

import pytest

from tests.crew.crews import exercise, item
from trainer.crew.fly import fly_crew
from trainer.crew.session import Session
from trainer.judge.judgement import Judgement
from trainer.proof.prove import fly_perfect
from trainer.scenario.book import book_of
from trainer.scenario.crew_files import from_text
from trainer.scenario.draw import corners

HIGH, CUT_OFF, LOW = 2, 0, 1
"""Seeds that draw the failure at 1,300, 600 and 120 ft."""


@cache
def flown(seed: int, edits: str = "", acts: str = "") -> tuple[Session, Judgement]:
    found = exercise("downgrade", seed)
    text = f"{{crew: 1, base: perfect, edits: [{edits}], acts: [{acts}]}}"
    return fly_crew(found, from_text(text, found))


def shown_since_failure(session: Session) -> list[tuple[str, str]]:
    """Annunciator history from the failure on: column and what it shows now."""
    facts = session.flight.facts
    step = next(fact.step for fact in facts if fact.kind == "fault")
    return [(f.name, f.detail) for f in facts if f.kind == "mode" and f.step >= step]


@pytest.mark.parametrize(
    ("seed", "reason", "answered"),
    [
        (HIGH, "stopped on the runway", 'said "revert to passive"'),
        (CUT_OFF, "level after the missed approach", "go-around"),
        (LOW, "stopped on the runway", 'said "continue"'),
    ],
)
def test_each_height_has_its_own_right_answer(seed: int, reason: str, answered: str) -> None:
    _, judgement = flown(seed)
    (answer,) = [one for one in judgement.items if one.item.startswith("answer to failure")]
    assert (judgement.points, judgement.outcome, judgement.reason) == (100.0, "passed", reason)
    assert answer.verdict == "on time"
    assert answer.found.startswith(answered)
    assert not judgement.watches


def test_at_1300_ft_the_landing_system_is_passive_when_it_is_shown_and_the_hand_lands() -> None:
    session, _ = flown(HIGH)
    assert shown_since_failure(session)[:2] == [("engagement", "AP"), ("capability", "PASSIVE")]
    rows = session.flight.rows
    off = next(row for row in rows if row.radio_ft < 150.0 and row.modes.engagement == "FD")
    assert 78.0 < off.radio_ft < 100.0
    assert not any(row.modes.vertical == "FLARE" for row in rows)


def test_at_600_ft_the_loss_shows_at_once_and_the_go_around_takes_the_rest() -> None:
    session, _ = flown(CUT_OFF)
    assert shown_since_failure(session)[:8] == [
        ("lateral armed", ""),
        ("vertical armed", ""),
        ("engagement", "AP"),
        ("capability", "PASSIVE"),
        ("lateral", "GA"),
        ("vertical", "GA"),
        ("thrust", "GA"),
        ("capability", ""),
    ]


def test_at_120_ft_nothing_that_belongs_to_the_landing_is_lost() -> None:
    session, _ = flown(LOW)
    assert shown_since_failure(session) == [
        ("engagement", "AP"),
        ("vertical", "FLARE"),
        ("vertical armed", ""),
        ("thrust", "IDLE"),
        ("lateral", "ROLLOUT"),
        ("lateral armed", ""),
    ]
    (touchdown,) = [fact for fact in session.flight.facts if fact.kind == "touchdown"]
    assert 250.0 <= float(touchdown.name) <= 600.0


def test_going_around_at_1300_ft_is_as_right() -> None:
    _, judgement = flown(HIGH, "{replace: answer to failure at 1300, with: {do: go-around}}")
    assert not judgement.primary()
    assert judgement.outcome == "passed"


def test_going_on_at_600_ft_is_wrong_and_the_approach_is_to_be_flown_again() -> None:
    _, judgement = flown(CUT_OFF, "{replace: answer to failure at 600, with: {say: continue}}")
    assert set(judgement.primary()) == {("answer to failure at 600", "wrong")}
    assert judgement.outcome == "repeat"
    assert judgement.reason.startswith("downgraded and continued")


def test_saying_nothing_at_600_ft_is_missed() -> None:
    _, judgement = flown(CUT_OFF, "{omit: answer to failure at 600}")
    assert set(judgement.primary()) == {("answer to failure at 600", "missed")}
    assert judgement.outcome == "repeat"


@pytest.mark.parametrize("control", ["go-around", "autopilot off"])
def test_taking_over_at_120_ft_for_a_lost_status_is_wrong(control: str) -> None:
    _, judgement = flown(LOW, f"{{replace: answer to failure at 120, with: {{do: {control}}}}}")
    answer = item(judgement, "answer to failure at 120")
    assert answer.verdict == "wrong"
    assert answer.found.endswith("that is not accepted here")


def test_with_one_autopilot_all_the_way_the_approach_is_passive() -> None:
    session, judgement = flown(LOW, "{omit: both autopilots}")
    assert item(judgement, "both autopilots").verdict == "missed"
    assert not any(row.modes.capability == "OPERATIONAL" for row in session.flight.rows)
    assert any(row.modes.capability == "PASSIVE" for row in session.flight.rows)


def test_without_any_capability_at_500_ft_the_only_way_is_around() -> None:
    session, judgement = flown(LOW, acts="{when: {height: below 900 ft}, do: autopilot off}")
    low = next(row for row in session.flight.rows if row.radio_ft < 500.0 and row.flap > 3.0)
    assert (low.modes.engagement, low.modes.capability) == ("FD", "")
    assert item(judgement, "go around, no capability").verdict == "on time"
    assert judgement.reason == "level after the missed approach"


def test_the_other_sides_course_is_set_again_though_this_side_stood_right_all_the_time() -> None:
    turned = dict(corners(exercise("downgrade")))["with other side turned"]
    session, judgement = fly_perfect(turned, book_of(turned))
    assert judgement.primary() == set()
    assert item(judgement, "course again").found.startswith("course 140")
    engaged = [fact.detail for fact in session.flight.facts if fact.name == "engagement"]
    assert engaged[:3] == ["AP BOTH", "AP", "AP BOTH"]


def test_who_leaves_the_other_sides_course_flies_on_with_one_autopilot() -> None:
    turned = dict(corners(exercise("downgrade")))["with other side turned"]
    left = from_text("{crew: 1, base: perfect, edits: [{omit: course again}]}", turned)
    session, judgement = fly_crew(turned, left)
    assert judgement.primary() == {("course again", "missed")}
    assert not any(row.modes.capability == "OPERATIONAL" for row in session.flight.rows)
