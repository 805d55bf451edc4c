"""Each shipped exercise has a trap, and who falls for it reads its lesson in the first sentence.

And the other side: whatever a seed draws, the perfect crew scores a hundred (one seed of each
exercise in an ordinary run, twenty under the marker `long`).
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.crew.crews import exercise
from trainer.crew.fly import fly_crew
from trainer.crew.session import book_of
from trainer.judge.judgement import Judgement
from trainer.proof.prove import fly_perfect
from trainer.report.debrief import debrief
from trainer.scenario.crew_files import CrewFile
from trainer.scenario.library import default_library

NAMES = [one.name for one in default_library().exercises()]
SEEDS = range(1, 21)


@pytest.mark.parametrize("name", NAMES)
def test_who_falls_for_the_trap_reads_the_lesson_in_the_first_sentence(name: str) -> None:
    found = exercise(name)
    assert found.lesson
    assert found.traps
    for trap in found.traps:
        session, judgement = fly_crew(found, CrewFile("perfect", trap.edits))
        assert judgement.primary() == {(trap.item, trap.verdict)}
        first, outcome, *_ = debrief(judgement, found, session.flight.rows).paragraph
        assert first == f'The trap "{trap.name}" has caught you: {found.lesson}'
        assert outcome.startswith(("Passed", "Repeat"))


def test_who_makes_another_mistake_reads_the_outcome_first() -> None:
    found = exercise("straight-in")
    _, judgement = fly_perfect(found, book_of(found))
    tune = replace(judgement.items[0], verdict="wrong")
    other = replace(judgement, items=(tune, *judgement.items[1:]))
    paragraph = debrief(other, found, ()).paragraph
    assert paragraph[0].startswith("Passed")
    assert f"The lesson: {found.lesson}" in paragraph


def perfect(name: str, seed: int) -> Judgement:
    found = exercise(name, seed)
    return fly_perfect(found, book_of(found))[1]


@pytest.mark.parametrize("name", NAMES)
def test_the_perfect_crew_scores_a_hundred_on_a_seed(name: str) -> None:
    judgement = perfect(name, NAMES.index(name) + 1)
    assert judgement.primary() == set()
    assert (judgement.outcome, judgement.points) == ("passed", 100.0)


@pytest.mark.long
@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("name", NAMES)
def test_the_perfect_crew_scores_a_hundred_on_every_seed(name: str, seed: int) -> None:
    judgement = perfect(name, seed)
    assert judgement.primary() == set()
    assert (judgement.outcome, judgement.points) == ("passed", 100.0)
