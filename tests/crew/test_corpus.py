"""Every crew of the corpus, flown and judged: correct ones without a finding, faulty ones with
exactly theirs. In an ordinary run every eighth is flown, the rest under the marker `long`.
"""

from __future__ import annotations

import pytest

from tests.crew.corpus import CREWS, Crew, crews, exercise_of, flown
from tests.crew.crews import exercise as default_exercise
from trainer.crew.session import Session
from trainer.judge.judgement import Judgement
from trainer.report.debrief import debrief
from trainer.scenario.crew_files import load
from trainer.scenario.library import default_library

CORRECT = crews("correct")
FAULTY = crews("faulty")
EVERY = 8


def sampled(found: list[Crew]) -> list[object]:
    """Every eighth crew as it is, the others marked `long`."""
    return [
        pytest.param(crew, id=crew.name, marks=() if place % EVERY == 0 else pytest.mark.long)
        for place, crew in enumerate(found)
    ]


def consequences(judgement: Judgement) -> set[tuple[str, str]]:
    found = {(one.watch, one.because) for one in judgement.watches if one.because is not None}
    found |= {(one.gate, one.because) for one in judgement.gates if one.because is not None}
    return found


@pytest.mark.parametrize("crew", sampled(CORRECT))
def test_a_correct_crew_has_no_finding_and_a_hundred_points(crew: Crew) -> None:
    _, judgement = flown(crew)
    assert judgement.primary() == set()
    assert consequences(judgement) == set()
    assert (judgement.outcome, judgement.points) == ("passed", 100.0)


@pytest.mark.parametrize("crew", sampled(FAULTY))
def test_a_faulty_crew_has_exactly_its_findings(crew: Crew) -> None:
    session, judgement = flown(crew)
    assert judgement.primary() == crew.findings()
    assert consequences(judgement) == crew.consequences()
    assert judgement.outcome == crew.only("outcome")
    assert crew.only("reason") in judgement.reason
    if points := crew.only("points"):
        assert f"{judgement.points:.2f}" == points
    check_paragraph(crew, session, judgement)


def check_paragraph(crew: Crew, session: Session, judgement: Judgement) -> None:
    rows, facts = session.flight.rows, session.flight.facts
    paragraph = " ".join(debrief(judgement, session.exercise, rows, facts).paragraph)
    for words in crew.every("says"):
        assert words in paragraph


def test_the_corpus_is_as_large_as_a_judge_needs_it() -> None:
    assert len(CORRECT) >= 25
    assert len(FAULTY) >= 40
    flown_in = {crew.path.parent.name for crew in (*CORRECT, *FAULTY)}
    assert flown_in <= {one.name for one in default_library().exercises()}


def test_two_crews_for_each_flow_are_timed_by_hand_and_their_points_worked_out_by_hand() -> None:
    # Independent of the perfect crew, which shares its tracker with the judge.
    clean = {crew.path.parent.name for crew in CORRECT if is_hand_timed(crew)}
    faulty = {crew.path.parent.name for crew in FAULTY if is_hand_timed(crew)}
    assert clean == faulty
    flows = {default_exercise(name).flow.name for name in clean}
    jets = {"jet-ils", "jet-autoland", "jet-loc", "business-jet-ils"}
    assert flows >= {*jets, "turboprop-ils", "piston-ils"}
    assert all(crew.only("points") for crew in FAULTY if is_hand_timed(crew))


def is_hand_timed(crew: Crew) -> bool:
    return "base: none" in crew.path.read_text()


def test_every_faulty_crew_says_what_it_gives_and_no_expectation_stands_alone() -> None:
    for crew in FAULTY:
        assert crew.findings(), crew.name
        assert crew.only("outcome") in ("passed", "repeat"), crew.name
    for path in CREWS.rglob("*.txt"):
        assert path.with_suffix(".yaml").exists(), path


@pytest.mark.parametrize("crew", [*CORRECT, *FAULTY], ids=lambda crew: crew.name)
def test_every_crew_file_says_first_what_it_does(crew: Crew) -> None:
    assert crew.path.read_text().startswith("# ")


@pytest.mark.parametrize("every", [5, pytest.param(1, marks=pytest.mark.long)])
def test_crew_files_of_an_unchanged_exercise_can_be_read(every: int) -> None:
    for crew in (*CORRECT, *FAULTY)[::every]:
        load(crew.path, exercise_of(crew))
