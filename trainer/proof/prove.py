"""The proof of an exercise: a perfect crew scores 100, each mutant is found as exactly itself.

Speech mutants are judged again over the reference flight without flying, since words move no
aircraft; everything else is flown.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

from trainer.crew.perfect import PerfectCrew
from trainer.crew.session import Session, book_of
from trainer.judge.judgement import Judgement
from trainer.proof.forks import Forks
from trainer.proof.mutants import NotApplicable, mutants_of
from trainer.proof.trying import Finding, Result, try_all
from trainer.scenario.draw import corners, draw
from trainer.scenario.exercise import Edit, Exercise
from trainer.scenario.phrases import PhraseBook

PROOF_SEEDS = (1, 2, 3, 4, 5)
"""Seeds on which the perfect crew must score 100 too."""


@dataclass(frozen=True, slots=True)
class Proof:
    """What the proof of one exercise found.

    `imperfect`: drawn exercises (a corner of the variation, or a seed) in which the perfect crew
    does not score 100, with what was found. `is_complete`: no mutant was left out by a limit.
    """

    exercise: str
    perfect_points: float | None
    perfect_findings: tuple[Finding, ...]
    results: tuple[Result, ...]
    not_applicable: tuple[NotApplicable, ...]
    imperfect: tuple[tuple[str, tuple[Finding, ...]], ...]
    is_complete: bool

    @property
    def applicable(self) -> tuple[Result, ...]:
        """The mutants that could be made."""
        return tuple(result for result in self.results if result.is_applicable)

    @property
    def exact(self) -> int:
        """How many mutants were found as exactly themselves."""
        return len([result for result in self.applicable if result.is_exact])

    @property
    def given(self) -> int:
        """How many primary findings all mutants gave together."""
        return len([found for result in self.applicable for found in result.found])

    @property
    def right(self) -> int:
        """How many of them were the mutation itself."""
        return len(
            [one for one in self.applicable if (one.mutant.item, one.mutant.verdict) in one.found]
        )

    @property
    def is_proven(self) -> bool:
        """Perfect crew 100 as written, at corners and on seeds; every mutant tried and exact."""
        return (
            self.is_complete
            and self.perfect_points == 100.0
            and not self.perfect_findings
            and not self.imperfect
            and self.exact == len(self.applicable)
        )


def fly_perfect(
    exercise: Exercise,
    book: PhraseBook,
    edits: tuple[Edit, ...] = (),
    advances: dict[str, int] | None = None,
) -> tuple[Session, Judgement]:
    """Fly the perfect crew with `edits` to the end."""
    session = Session(exercise, book)
    crew = PerfectCrew(session.tracker, edits, advances or {})
    return session, session.run(crew.acts)


def prove(
    exercise: Exercise,
    limit: int = 0,
    jobs: int = 1,
    progress: Callable[[int, int], None] | None = None,
) -> Proof:
    """Prove an exercise as written; `limit` > 0 tries only the first mutants.

    `progress` is told how many of how many mutants are done, first with 0.
    """
    # As written is with the first of each choice: two of one choice never happen together.
    exercise = draw(exercise, 0)
    book = book_of(exercise)
    session, judgement = fly_perfect(exercise, book)
    mutants, skipped = mutants_of(exercise, session.tracker, session.flight.rows)
    is_complete = not 0 < limit < len(mutants)
    if limit:
        mutants = mutants[:limit]
    drawn = [*corners(exercise), *((f"seed {n}", draw(exercise, n)) for n in PROOF_SEEDS)]
    total = len(mutants) + len(drawn)

    def tell() -> None:
        if progress is not None:
            progress(len(forks.results), total)

    forks = Forks(jobs, tell)
    tell()
    with forks:
        for place, (_, one) in enumerate(drawn):
            forks.start(place, partial(_findings, one))
        try_all(mutants, session, forks, len(drawn))
        forks.finish()
    found = [forks.results[place] for place in range(total)]
    imperfect = [
        (label, findings)
        for (label, _), (is_perfect, findings) in zip(drawn, found, strict=False)
        if not is_perfect
    ]
    results: list[Result] = found[len(drawn) :]
    skipped += [
        NotApplicable(one.mutant.name, "its due never came, or it closed first")
        for one in results
        if not one.is_applicable
    ]
    return Proof(
        exercise.name,
        judgement.points,
        tuple(sorted(judgement.primary())),
        tuple(results),
        tuple(skipped),
        tuple(imperfect),
        is_complete,
    )


def _findings(exercise: Exercise) -> tuple[bool, tuple[Finding, ...]]:
    """Whether the perfect crew scores 100 without a finding, and its findings."""
    _, judgement = fly_perfect(exercise, book_of(exercise))
    found = tuple(sorted(judgement.primary()))
    return judgement.points == 100.0 and not found, found
