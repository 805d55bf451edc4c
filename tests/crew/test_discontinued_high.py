"""An approach called off at the missed-approach altitude: level off, no go-around thrust.

The perfect crew; other correct crews; what the button would do there; what stays armed; the
decision with its fuel; and a go-around flown to its level, which is never a reason for repeat,
while its flying can be.
"""

from __future__ import annotations

import pytest

from tests.crew.crews import edited, exercise, flown, item
from trainer.crew.fly import fly_crew
from trainer.crew.session import Session
from trainer.judge.judgement import Judgement
from trainer.proof.prove import fly_perfect
from trainer.scenario.book import book_of
from trainer.scenario.compose import document_of, from_document
from trainer.scenario.crew_files import from_text
from trainer.scenario.draw import corners

NAME = "discontinued-high"
PERFECT = "{crew: 1, base: perfect}"
AROUND = "{when: {event: called off}, plus: 2 s, do: go-around}"
LEVEL_OFF = '"level off, above the altitude"'


def test_the_perfect_crew_levels_off_without_thrust_and_decides() -> None:
    session, judgement = flown(NAME)
    assert (judgement.outcome, judgement.points) == ("passed", 100.0)
    assert judgement.reason == "level after the missed approach"
    after = [row for row in session.flight.rows if row.phase == "discontinued"]
    assert after
    assert {row.modes.thrust for row in after} == {"SPEED"}
    assert max(abs(row.altitude_ft - 4000.0) for row in after) < 60.0
    said = [fact.detail for fact in session.flight.facts if fact.kind == "said"]
    assert "discontinue" in said
    assert said[-1].endswith("2.6")


def test_not_called_off_the_same_approach_is_flown_to_a_landing() -> None:
    landed = dict(corners(exercise(NAME)))["with nothing"]
    _, judgement = fly_perfect(landed, book_of(landed))
    assert (judgement.points, judgement.reason) == (100.0, "stopped on the runway")


OTHER = {
    "heading mode pressed later": (
        ["{omit: discontinued track}"],
        "{when: {event: called off}, plus: 25 s, do: heading mode}",
    ),
    "hold instead of divert": (["{replace: decision, with: {say: hold}}"], ""),
    "again, with the briefed fuel": (
        ["{replace: decision, with: {say: again leave with 2.6}}"],
        "",
    ),
    "the decision at once": (
        ["{omit: decision}"],
        "{when: {event: turned away}, plus: 6 s, say: another approach}",
    ),
}


@pytest.mark.parametrize("crew", OTHER, ids=str)
def test_other_correct_crews_have_no_finding(crew: str) -> None:
    edits, acts = OTHER[crew]
    judgement = edited(NAME, *edits, acts=acts)
    assert judgement.primary() == set()
    assert judgement.outcome == "passed"


def test_a_decision_with_other_fuel_than_briefed_is_wrong() -> None:
    judgement = edited(NAME, "{replace: decision, with: {say: again leave with 1.2}}")
    assert item(judgement, "decision").verdict == "wrong"
    assert "1.2" in item(judgement, "decision").found


def test_who_leaves_the_glide_path_armed_is_told_so() -> None:
    judgement = edited(NAME, "{omit: drop the approach}")
    assert judgement.primary() == {("drop the approach", "missed")}


def test_the_go_around_button_takes_the_aircraft_through_the_altitude() -> None:
    omit = f"{{omit: {LEVEL_OFF}}}"
    crew = f"{{crew: 1, base: perfect, edits: [{omit}], acts: [{AROUND}]}}"
    session, judgement = flown(NAME, crew)
    assert max(row.altitude_ft for row in session.flight.rows) > 4200.0
    assert "through the missed approach altitude" in [one.watch for one in judgement.watches]


def test_without_a_decision_three_minutes_after_level_off_the_drill_is_to_be_repeated() -> None:
    judgement = edited(NAME, "{omit: decision}")
    assert judgement.outcome == "repeat"
    assert judgement.reason.startswith("abandoned: no decision")


def above_the_altitude(*omit: str) -> tuple[Session, Judgement]:
    """A go-around that is begun at 4,600 ft, where 4,000 ft are the missed-approach altitude."""
    document = document_of(exercise(NAME))
    start = document["exercise"]["start"]
    start["altitude"], start["selected altitude"] = "4600 ft", "4000 ft"
    high = from_document(document)
    edits = ", ".join(f"{{omit: {name}}}" for name in omit)
    text = f"{{crew: 1, base: perfect, edits: [{edits}], acts: [{AROUND}]}}"
    return fly_crew(high, from_text(text, high))


def test_begun_above_the_altitude_a_go_around_is_levelled_off_by_the_crew() -> None:
    session, judgement = above_the_altitude()
    shown = [
        fact.detail
        for fact in session.flight.facts
        if (fact.kind, fact.name) == ("mode", "vertical")
    ]
    assert shown[-2:] == ["GA", "ALT"]
    assert item(judgement, LEVEL_OFF.strip('"')).verdict == "on time"
    assert judgement.reason == "level after the missed approach"
    assert max(row.altitude_ft for row in session.flight.rows) < 4600.0 + 200.0
    assert [one.watch for one in judgement.watches] == []


def test_nobody_levels_it_off_and_it_climbs_on_until_the_flight_is_given_up() -> None:
    session, judgement = above_the_altitude(LEVEL_OFF, "level off")
    assert item(judgement, LEVEL_OFF.strip('"')).verdict == "missed"
    assert judgement.outcome == "repeat"
    assert session.flight.reason == "abandoned: climbed away from the missed-approach altitude"
    assert session.flight.rows[-1].altitude_ft < 4600.0 + 2600.0


# A go-around to its level -------------------------------------------------------------------------


BUTTON = "{when: {height: falling through 700 ft}, do: go-around},"


def test_a_go_around_is_flown_in_order_to_level_off_and_decision_without_a_finding() -> None:
    session, judgement = flown("straight-in", f"{{crew: 1, base: perfect, acts: [{BUTTON}]}}")
    assert judgement.primary() == set()
    assert (judgement.outcome, judgement.points) == ("passed", 100.0)
    done = {one.item: one.done for one in judgement.items if one.verdict == "on time"}
    order = ["go around call", "go-around thrust", "positive climb", "gear up", "decision"]
    steps = [done[name] or 0 for name in order]
    assert 0 not in steps
    assert steps == sorted(steps)
    phases = list(dict.fromkeys(row.phase for row in session.flight.rows))
    assert phases[-3:] == ["go-around", "climb-out", "decision"]
    assert session.flight.rows[-1].altitude_ft == pytest.approx(4000.0, abs=50.0)


def test_the_coded_missed_approach_is_followed_through_its_point() -> None:
    session, _ = flown("straight-in", f"{{crew: 1, base: perfect, acts: [{BUTTON}]}}")
    passed = [fact.name for fact in session.flight.facts if fact.kind == "passed"]
    assert passed[-1] == "RW14"
    rows = session.flight.rows
    beyond = [row for row in rows if row.modes.lateral == "NAV" and row.along_nm < 0.0]
    # 140° to JAXUM, 5.5 NM beyond the threshold.
    assert beyond
    assert all(abs(row.track_deg - 140.0) < 3.0 for row in beyond if row.along_nm > -4.0)
    assert any(row.modes.lateral == "NAV" for row in session.flight.rows[-600:])


FAULTY = {
    "gear before the climb": (["{advance: gear up, to: {phase: go-around}}"], "gear up", "early"),
    "gear forgotten": (["{omit: gear up}"], "gear up", "missed"),
    "thrust not verified": (["{omit: go-around thrust}"], "go-around thrust", "missed"),
    "track not flown": (["{omit: missed approach track}"], "missed approach track", "missed"),
}


@pytest.mark.parametrize("crew", FAULTY, ids=str)
def test_a_slip_in_the_go_around_is_found_as_itself(crew: str) -> None:
    edits, name, verdict = FAULTY[crew]
    text = f"{{crew: 1, base: perfect, edits: [{', '.join(edits)}], acts: [{BUTTON}]}}"
    _, judgement = flown("straight-in", text)
    assert (name, verdict) in judgement.primary()


def test_a_turn_before_the_missed_approach_point_is_found() -> None:
    turn = (
        "{when: {phase: go-around}, plus: 12 s, set: {heading: 230 deg}}, "
        "{when: {phase: go-around}, plus: 13 s, do: heading mode}"
    )
    _, judgement = flown("straight-in", f"{{crew: 1, base: perfect, acts: [{BUTTON} {turn}]}}")
    found = [one.watch for one in judgement.watches]
    assert "turn before the missed-approach point" in found


def test_a_late_go_around_below_a_low_ceiling_is_a_pass() -> None:
    document = document_of(exercise("straight-in"))
    document["exercise"]["weather"]["ceiling"] = "100 ft"
    low = from_document(document)
    _, judgement = fly_perfect(low, book_of(low))
    assert judgement.primary() == set()
    assert (judgement.outcome, judgement.points) == ("passed", 100.0)
