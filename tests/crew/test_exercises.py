"""Every shipped exercise: who falls for its trap is found at exactly that; a perfect crew is not.

Sampled here, one drawn seed each; the twenty seeds are flown with `-m long`. The proof with every
mutant is `approach-drill check NAME`.
"""

from __future__ import annotations

import pytest

from tests.crew.crews import exercise
from trainer.crew.session import book_of
from trainer.proof.prove import fly_perfect
from trainer.scenario.library import default_library

NAMES = default_library().names("exercise")
WITHOUT_TRAP = ("straight-in",)
"""The first exercise teaches the sequence; nothing in it tempts."""
SAMPLED_SEED = 12


@pytest.mark.parametrize("name", NAMES)
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


@pytest.mark.parametrize("name", [name for name in NAMES if name not in WITHOUT_TRAP])
def test_falling_for_the_trap_is_one_finding(name: str) -> None:
    found = exercise(name)
    assert found.traps
    for trap in found.traps:
        _, judgement = fly_perfect(found, book_of(found), trap.edits)
        assert judgement.primary() == {(trap.item, trap.verdict)}
        assert judgement.points is not None
        assert judgement.points < 100.0


@pytest.mark.parametrize("name", NAMES)
def test_each_exercise_says_what_it_teaches_and_varies_by_value_and_by_choice(name: str) -> None:
    found = exercise(name)
    assert found.lesson.endswith(".")
    assert len(found.brief) > 100
    assert 1 <= found.level <= 5
    assert found.variations
