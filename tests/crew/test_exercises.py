"""Every shipped exercise: who falls for its trap is found at exactly that, and reads its lesson.

Sampled in an ordinary run: the perfect crew in every third exercise with one drawn seed, every
second trap. All traps, and all exercises on twenty seeds, are flown with `-m long`. The proof with
every mutant is `approach-drill check NAME`.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.crew.crews import exercise
from trainer.proof.prove import fly_perfect
from trainer.report.debrief import debrief
from trainer.scenario.book import book_of
from trainer.scenario.exercise import Choose, Vary
from trainer.scenario.library import default_library

NAMES = default_library().names("exercise")
SAMPLED_SEED = 12


@pytest.mark.parametrize("name", NAMES[::3])
def test_a_perfect_crew_scores_a_hundred_as_drawn(name: str) -> None:
    found = exercise(name, SAMPLED_SEED)
    _, judgement = fly_perfect(found, book_of(found))
    assert judgement.primary() == set()
    assert (judgement.points, judgement.outcome) == (100.0, "passed")


@pytest.mark.long
@pytest.mark.parametrize("name", NAMES)
def test_a_perfect_crew_scores_a_hundred_on_twenty_seeds(name: str) -> None:
    for seed in range(1, 21):
        found = exercise(name, seed)
        _, judgement = fly_perfect(found, book_of(found))
        assert (seed, judgement.primary(), judgement.points) == (seed, set(), 100.0)


@pytest.mark.parametrize(
    "name", [*NAMES[::2], *(pytest.param(name, marks=pytest.mark.long) for name in NAMES[1::2])]
)
def test_who_falls_for_the_trap_is_found_at_it_and_reads_the_lesson_first(name: str) -> None:
    found = exercise(name)
    assert found.traps
    for trap in found.traps:
        session, judgement = fly_perfect(found, book_of(found), trap.edits)
        assert judgement.primary() == {(trap.item, trap.verdict)}
        assert judgement.points is not None
        assert judgement.points < 100.0
        first, outcome, *_ = debrief(judgement, found, session.flight.rows).paragraph
        assert first == f'The trap "{trap.name}" has caught you: {found.lesson}'
        assert outcome.startswith(("Passed", "Repeat"))


def test_who_makes_another_mistake_reads_the_outcome_first() -> None:
    found = exercise("straight-in")
    _, judgement = fly_perfect(found, book_of(found))
    first = replace(judgement.items[0], verdict="wrong")
    other = replace(judgement, items=(first, *judgement.items[1:]))
    paragraph = debrief(other, found, ()).paragraph
    assert paragraph[0].startswith("Passed")
    assert f"The lesson: {found.lesson}" in paragraph


@pytest.mark.parametrize("name", NAMES)
def test_each_exercise_says_what_it_teaches_and_varies_by_value_and_by_choice(name: str) -> None:
    found = exercise(name)
    assert found.lesson.endswith(".")
    assert len(found.brief) > 100
    assert 1 <= found.level <= 5
    kinds = {type(one) for one in found.variations}
    assert kinds == {Vary, Choose}, "by value and by choice"
