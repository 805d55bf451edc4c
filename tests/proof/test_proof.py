"""The proof of the shipped exercises: every slip is found as exactly itself.

The whole matrix is long and runs with `-m long` and in `check`; here stands a spread sample.
"""

from __future__ import annotations

import pytest

from tests.crew.crews import exercise
from trainer.flight.observers import NEVER
from trainer.proof.forks import CAN_FORK, Forks
from trainer.proof.mutants import mutants_of
from trainer.proof.prove import fly_perfect, prove
from trainer.proof.trying import first_step, is_speech, try_all, try_mutant
from trainer.scenario.book import book_of

SHIPPED = ("straight-in", pytest.param("early-temptation", marks=pytest.mark.long))


@pytest.mark.parametrize("name", SHIPPED)
def test_a_spread_of_mutants_is_found_exactly(name: str) -> None:
    found = exercise(name)
    reference, judgement = fly_perfect(found, book_of(found))
    assert judgement.points == 100.0
    mutants, _ = mutants_of(found, reference.tracker, reference.flight.rows)
    sample = mutants[:: max(1, len(mutants) // 8)] + mutants[-1:]
    for mutant in sample:
        result = try_mutant(mutant, reference)
        assert result.is_exact or not result.is_applicable, (mutant.name, result.found)


def test_words_judged_again_give_what_flying_them_gives() -> None:
    found = exercise("straight-in")
    reference, _ = fly_perfect(found, book_of(found))
    mutants, _ = mutants_of(found, reference.tracker, reference.flight.rows)
    spoken = [one for one in mutants if is_speech(one, reference)][::20]
    assert len(spoken) >= 3
    for mutant in spoken:
        advances = {mutant.item: mutant.at} if mutant.at != NEVER else None
        _, flown = fly_perfect(found, reference.book, mutant.edits, advances)
        judged = try_mutant(mutant, reference)
        assert tuple(sorted(flown.primary())) == judged.found, mutant.name


@pytest.mark.skipif(not CAN_FORK, reason="this platform does not copy a running process")
@pytest.mark.parametrize("name", SHIPPED)
def test_mutants_that_share_the_first_part_of_a_flight_give_what_whole_flights_give(
    name: str,
) -> None:
    found = exercise(name)
    reference, _ = fly_perfect(found, book_of(found))
    mutants, _ = mutants_of(found, reference.tracker, reference.flight.rows)
    kinds = {one.name.split(":")[0]: one for one in mutants}
    sample = [*kinds.values(), *mutants[5::40]]
    assert any(first_step(one, reference) > 1000 for one in sample)
    told: list[int] = []
    with Forks(2, told.append) as forks:
        try_all(sample, reference, forks)
        forks.finish()
    assert len(told) == len(sample) > 6
    for place, mutant in enumerate(sample):
        assert forks.results[place] == try_mutant(mutant, reference), mutant.name


def test_work_that_fails_in_a_fork_is_not_passed_over() -> None:
    def fail() -> None:
        raise ValueError("no")

    with Forks(2, lambda place: None) as forks:
        if CAN_FORK:
            forks.start(0, fail)
            with pytest.raises(RuntimeError, match="failed in its own process"):
                forks.finish()
        else:
            with pytest.raises(ValueError, match="no"):
                forks.start(0, fail)


@pytest.mark.long
@pytest.mark.parametrize("name", SHIPPED)
def test_the_whole_matrix_has_precision_and_recall_one(name: str) -> None:
    proof = prove(exercise(name), jobs=2)
    assert proof.is_proven
    assert proof.given == proof.right == len(proof.applicable)
    assert len(proof.applicable) > 130


@pytest.mark.long
@pytest.mark.parametrize("name", SHIPPED)
def test_the_perfect_crew_scores_a_hundred_at_corners_and_on_seeds(name: str) -> None:
    from trainer.scenario.draw import corners, draw

    written = exercise(name)
    drawn = [(f"seed {seed}", draw(written, seed)) for seed in range(1, 6)]
    for label, found in [*corners(written), *drawn]:
        _, judgement = fly_perfect(found, book_of(found))
        assert (judgement.points, judgement.primary()) == (100.0, set()), label


def test_a_call_of_the_go_around_has_no_early_form_before_the_go_around() -> None:
    found = exercise("flag-at-the-fix")
    session, _ = fly_perfect(found, book_of(found))
    mutants, skipped = mutants_of(found, session.tracker, session.flight.rows)
    left_out = {one.name for one in skipped if "what follows the approach" in one.reason}
    assert left_out == {"early: go-around thrust", "early: one to go"}
    assert "early: positive climb" in {one.name for one in mutants}
