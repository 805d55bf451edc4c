"""An assigned speed replaces the target until its end; "unable" in time is as right as complying.

While it holds, the targets of the flow wait: none is due, and what a later target overtakes is
not asked for. It ends where the clearance says, else five miles out (AIM 4-4-12), or with the
approach.
"""

from __future__ import annotations

from functools import cache
from typing import Any

import pytest

from tests.crew.crews import exercise as drill
from tests.judge.small import verdicts
from trainer.crew.fly import fly_crew
from trainer.crew.session import Session
from trainer.judge.judgement import Judgement
from trainer.proof.prove import fly_perfect
from trainer.scenario.book import book_of
from trainer.scenario.compose import document_of, from_document
from trainer.scenario.crew_files import from_text
from trainer.scenario.exercise import Exercise

pytestmark = pytest.mark.dear


def assigned(until: str = "7 NM", speed: str = "180 kt") -> Exercise:
    """Straight in, with a speed assigned at 13 NM ("" = no stated end)."""
    document = document_of(drill("straight-in"))
    values: dict[str, Any] = {"speed": speed}
    if until:
        values["distance"] = until
    document["exercise"]["events"].append(
        {
            "event": "slow traffic",
            "when": {"distance": "below 13 NM"},
            "atc": "{callsign}, speed {speed}",
            "grants": "speed",
            "assigns": values,
        }
    )
    return from_document(document)


def flown(found: Exercise, crew: str) -> Judgement:
    return fly_crew(found, from_text(crew, found))[1]


@cache
def perfect(until: str) -> tuple[Session, Judgement]:
    found = assigned(until)
    return fly_perfect(found, book_of(found))


@pytest.mark.parametrize("until", ["7 NM", "9 NM", pytest.param("6 NM", marks=pytest.mark.long)])
def test_the_perfect_crew_keeps_it_and_slows_after_its_end(until: str) -> None:
    session, judgement = perfect(until)
    assert (judgement.points, judgement.primary()) == (100.0, set())
    end_nm = float(until.removesuffix(" NM"))
    kept = [
        row.selectors.speed_kt for row in session.flight.rows if end_nm < row.distance_nm < 12.5
    ]
    assert set(kept) == {180.0}


@pytest.mark.parametrize(
    ("restated", "kept_to_nm"), [("", 11.0), pytest.param("180 kt", 7.0, marks=pytest.mark.long)]
)
def test_an_approach_clearance_ends_it_unless_it_says_it_again(
    restated: str, kept_to_nm: float
) -> None:
    # AIM 4-4-12: an approach clearance supersedes a speed assigned before it, unless restated.
    document = document_of(assigned())
    events = document["exercise"]["events"]
    cleared = next(one for one in events if one["event"] == "cleared approach")
    cleared["when"] = {"distance": "below 11 NM"}
    if restated:
        cleared["assigns"] = {"speed": restated, "distance": "7 NM"}
    found = from_document(document)
    session, judgement = fly_perfect(found, book_of(found))
    assert (judgement.points, judgement.primary()) == (100.0, set())
    slower = [row for row in session.flight.rows if row.selectors.speed_kt < 180.0]
    assert slower[0].distance_nm == pytest.approx(kept_to_nm, abs=1.0)
    assert slower[0].distance_nm < kept_to_nm


def test_the_target_it_replaced_is_not_asked_for_when_a_later_one_has_come() -> None:
    found = verdicts(perfect("7 NM")[1])
    assert found["speed 175"] == "not reached"
    assert found["speed 155"] == "on time"


def test_another_speed_while_it_holds_is_wrong() -> None:
    crew = (
        "{crew: 1, base: perfect, edits: "
        "[{replace: set speed (slow traffic), with: {set: {speed: 160 kt}}}]}"
    )
    judgement = flown(assigned(), crew)
    assert ("set speed (slow traffic)", "wrong") in judgement.primary()


def test_slowing_before_its_end_is_found() -> None:
    crew = (
        "{crew: 1, base: perfect, acts: [{when: {distance: below 10.5 NM}, set: {speed: 160 kt}}]}"
    )
    judgement = flown(assigned(), crew)
    assert ("slowed too early", "watch") in judgement.primary()


def test_unable_in_time_is_as_right_as_complying() -> None:
    crew = (
        "{crew: 1, base: perfect, edits: [{omit: read back slow traffic}, "
        "{omit: set speed (slow traffic)}], "
        "acts: [{when: {event: slow traffic}, plus: 4 s, say: unable}]}"
    )
    judgement = flown(assigned(), crew)
    assert (judgement.points, judgement.primary()) == (100.0, set())
    found = verdicts(judgement)
    assert found["read back slow traffic"] == "on time"
    assert found["set speed (slow traffic)"] == "not reached"
    assert found["speed 175"] == "on time"


def test_unable_too_late_is_silence() -> None:
    crew = (
        "{crew: 1, base: perfect, edits: [{omit: read back slow traffic}, "
        "{omit: set speed (slow traffic)}], "
        "acts: [{when: {event: slow traffic}, plus: 60 s, say: unable}]}"
    )
    found = verdicts(flown(assigned(), crew))
    assert found["read back slow traffic"] == "missed"
    assert found["set speed (slow traffic)"] == "missed"
