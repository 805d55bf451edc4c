"""The proof of an exercise: a perfect crew scores 100, each mutant is found as exactly itself.

Speech mutants are judged again over the reference flight without flying, since words move no
aircraft; everything else is flown.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from trainer.crew.perfect import PerfectCrew
from trainer.crew.session import Session, book_of
from trainer.flight.moments import NEVER
from trainer.judge.judgement import Judgement
from trainer.proof.mutants import Mutant, NotApplicable, mutants_of
from trainer.scenario.exercise import Edit, Exercise
from trainer.scenario.phrases import PhraseBook

Finding = tuple[str, str]


@dataclass(frozen=True, slots=True)
class Result:
    """One mutant as judged: what it had to give, what it gave, and whether it applied at all."""

    mutant: Mutant
    found: tuple[Finding, ...]
    is_applicable: bool

    @property
    def is_exact(self) -> bool:
        """Whether the primary findings are exactly the mutation."""
        return self.found == ((self.mutant.item, self.mutant.verdict),)


@dataclass(frozen=True, slots=True)
class Proof:
    """What the proof of one exercise found."""

    exercise: str
    perfect_points: float | None
    perfect_findings: tuple[Finding, ...]
    results: tuple[Result, ...]
    not_applicable: tuple[NotApplicable, ...]

    @property
    def applicable(self) -> tuple[Result, ...]:
        """The mutants that could be made."""
        return tuple(result for result in self.results if result.is_applicable)

    @property
    def exact(self) -> int:
        """How many mutants were found as exactly themselves."""
        return len([result for result in self.applicable if result.is_exact])

    @property
    def recall(self) -> float:
        """Share of mutants whose finding was among those given."""
        tried = self.applicable
        hit = [one for one in tried if (one.mutant.item, one.mutant.verdict) in one.found]
        return len(hit) / len(tried) if tried else 1.0

    @property
    def precision(self) -> float:
        """Share of all primary findings that are the mutation."""
        given = 0
        right = 0
        for result in self.applicable:
            given += len(result.found)
            right += (result.mutant.item, result.mutant.verdict) in result.found
        return right / given if given else 1.0

    @property
    def is_proven(self) -> bool:
        """Perfect crew 100, every mutant exact."""
        return (
            self.perfect_points == 100.0
            and not self.perfect_findings
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
    exercise: Exercise, limit: int = 0, progress: Callable[[int, int], None] | None = None
) -> Proof:
    """Prove an exercise as written; `limit` > 0 tries only the first mutants."""
    book = book_of(exercise)
    session, judgement = fly_perfect(exercise, book)
    mutants, skipped = mutants_of(exercise, session.tracker, session.flight.rows)
    if limit:
        mutants = mutants[:limit]
    results: list[Result] = []
    for number, result in enumerate(_try_all(exercise, book, mutants)):
        results.append(result)
        if progress is not None:
            progress(number + 1, len(mutants))
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
    )


def _try_all(
    exercise: Exercise, book: PhraseBook, mutants: list[Mutant]
) -> Iterator[Result]:
    for mutant in mutants:
        advances = {mutant.item: mutant.at} if mutant.at != NEVER else None
        session, judgement = fly_perfect(exercise, book, mutant.edits, advances)
        found = tuple(sorted(judgement.primary()))
        is_applicable = True
        if mutant.verdict == "late":
            track = next(one for one in session.tracker.tracks if one.name == mutant.item)
            acted_in_time = track.done is not None and track.done <= track.due
            is_applicable = track.due != NEVER and not acted_in_time and track.done is not None
        yield Result(mutant, found, is_applicable)
