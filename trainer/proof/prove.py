"""The proof of an exercise: a perfect crew scores 100, each mutant is found as exactly itself.

Speech mutants are judged again over the reference flight without flying, since words move no
aircraft; everything else is flown.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from trainer.crew.perfect import PerfectCrew
from trainer.crew.session import Session, book_of
from trainer.flight.acts import Act, Fact
from trainer.flight.flight import spoken_fact
from trainer.flight.observers import NEVER
from trainer.judge.judgement import Judgement
from trainer.judge.tracker import Tracker
from trainer.judge.verdicts import conclude
from trainer.proof.mutants import Mutant, NotApplicable, mutants_of
from trainer.scenario.draw import corners, draw
from trainer.scenario.exercise import Edit, Exercise
from trainer.scenario.phrases import PhraseBook

Finding = tuple[str, str]

PROOF_SEEDS = (1, 2, 3, 4, 5)
"""Seeds on which the perfect crew must score 100 too."""


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
    done = 0
    imperfect: list[tuple[str, tuple[Finding, ...]]] = []
    if progress is not None:
        progress(done, total)
    for label, one in drawn:
        _, found = fly_perfect(one, book_of(one))
        if found.points != 100.0 or found.primary():
            imperfect.append((label, tuple(sorted(found.primary()))))
        done += 1
        if progress is not None:
            progress(done, total)
    results: list[Result] = []
    for result in _try_all(exercise, mutants, session, jobs):
        results.append(result)
        if progress is not None:
            progress(done + len(results), total)
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


def _try_all(
    exercise: Exercise, mutants: list[Mutant], reference: Session, jobs: int
) -> Iterator[Result]:
    """Try every mutant, in order; with several jobs each process keeps its own reference."""
    if jobs <= 1 or len(mutants) < 2 * jobs:
        for mutant in mutants:
            yield try_mutant(exercise, mutant, reference)
        return
    from concurrent.futures import ProcessPoolExecutor
    from multiprocessing import get_context

    # "spawn" carries nothing over: no lock of a screen or a database can be inherited.
    pool = ProcessPoolExecutor(jobs, get_context("spawn"), _begin, (exercise,))
    with pool:
        yield from pool.map(_try_one, mutants, chunksize=4)


_process: dict[str, tuple[Exercise, Session]] = {}
"""What a worker process keeps between mutants: set once by `_begin`, read by `_try_one`."""


def _begin(exercise: Exercise) -> None:
    reference, _ = fly_perfect(exercise, book_of(exercise))
    _process["exercise"] = (exercise, reference)


def _try_one(mutant: Mutant) -> Result:
    exercise, reference = _process["exercise"]
    return try_mutant(exercise, mutant, reference)


def try_mutant(exercise: Exercise, mutant: Mutant, reference: Session) -> Result:
    """Fly one mutant, or judge it over the reference flight if only words are changed."""
    advances = {mutant.item: mutant.at} if mutant.at != NEVER else None
    if is_speech(mutant, reference):
        tracker, judgement = _said_otherwise(exercise, mutant, reference, advances)
    else:
        session, judgement = fly_perfect(exercise, reference.book, mutant.edits, advances)
        tracker = session.tracker
    is_applicable = True
    if mutant.verdict == "late":
        track = next(one for one in tracker.tracks if one.name == mutant.item)
        is_applicable = track.done is not None and track.due < track.done
    return Result(mutant, tuple(sorted(judgement.primary())), is_applicable)


def is_speech(mutant: Mutant, reference: Session) -> bool:
    """Whether a mutant changes one call and nothing else."""
    if len(mutant.edits) != 1 or mutant.edits[0].to is not None:
        return False
    track = next(one for one in reference.tracker.tracks if one.name == mutant.item)
    return track.is_speech


def _said_otherwise(
    exercise: Exercise, mutant: Mutant, reference: Session, advances: dict[str, int] | None
) -> tuple[Tracker, Judgement]:
    """The reference rows with the acts of the edited crew: words move no aircraft.

    Acts of hands keep their steps, so rows and all facts but those of speech stay as they were.
    """
    flight = reference.flight
    tracker = Tracker(exercise, reference.book)
    tracker.start(flight.rows[0])
    crew = PerfectCrew(tracker, mutant.edits, advances or {})
    facts_of: dict[int, list[Fact]] = {}
    hands_of: dict[int, list[Act]] = {}
    for fact in flight.facts:
        if fact.kind not in ("said", "read back"):
            facts_of.setdefault(fact.step, []).append(fact)
    for act in flight.acts:
        if act.act not in ("say", "read back"):
            hands_of.setdefault(act.step, []).append(act)
    for row in flight.rows[:-1]:
        step = row.step
        spoken = [act for act in crew.acts(row) if act.act in ("say", "read back")]
        acts = hands_of.get(step, []) + spoken
        facts = facts_of.get(step, []) + [spoken_fact(act) for act in spoken]
        tracker.advance(acts, facts, flight.rows[step + 1])
    return tracker, conclude(tracker, flight.rows, flight.reason)
