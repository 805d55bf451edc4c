"""The proof of an exercise: correct crews are found right, each mutant as exactly itself.

Owns what is flown for it and in which order, and what counts as proven. Surprising rule: slips of
words are judged again over the reference flight and never flown, since words move no aircraft.
"""

from __future__ import annotations

from functools import partial
from typing import NamedTuple

from trainer.crew.fly import fly_crew
from trainer.crew.perfect import PerfectCrew
from trainer.crew.session import Session
from trainer.judge.judgement import Judgement
from trainer.proof.forks import CAN_FORK, Forks
from trainer.proof.mutants import Mutant, NotApplicable, mutants_of
from trainer.proof.others import OtherCrew, other_crews
from trainer.proof.timeline import Entry, Workload, squeezed, timeline, workload
from trainer.proof.trying import Finding, Result, is_speech, try_all
from trainer.scenario.book import book_of
from trainer.scenario.draw import corners, draw, seed_label
from trainer.scenario.exercise import Edit, Exercise
from trainer.scenario.phrases import PhraseBook
from trainer.scenario.techniques import fixed, techniques
from trainer.values import dataclass

PROOF_SEEDS = (1, 2, 3, 4, 5)
"""Seeds on which the perfect crew must score 100 too."""


class Plan(NamedTuple):
    """What a proof is going to fly, known once the reference flight has been flown.

    `shared`: flights whose first part mutants share (0 or 1). `spoken`: mutants of words, judged
    without flying. `untried`: mutants that a limit leaves out.
    """

    drawn: int
    others: int
    flown: int
    spoken: int
    shared: int
    untried: int

    @property
    def flights(self) -> int:
        """At most so many flights, the reference among them."""
        return 1 + self.shared + self.drawn + self.others + self.flown

    @property
    def pieces(self) -> int:
        """Pieces of work that are left after the reference flight."""
        return self.drawn + self.others + self.flown + self.spoken


class Flown(NamedTuple):
    """A correct crew as judged: points, primary findings, items that were due when they opened."""

    label: str
    points: float | None
    findings: tuple[Finding, ...]
    squeezed: tuple[str, ...]

    @property
    def is_right(self) -> bool:
        """Full points, nothing found, and every window open before its item was due."""
        return self.points == 100.0 and not self.findings and not self.squeezed


class Reference(NamedTuple):
    """The perfect crew in the exercise as written."""

    session: Session
    flown: Flown
    timeline: tuple[Entry, ...]
    workload: Workload | None


class Listener:
    """Is told how a proof goes, in this order; this one keeps it to itself."""

    def begun(self, plan: Plan, reference: Reference, mutants: list[Mutant]) -> None:
        """The reference has been flown, and this is what follows."""

    def tried(self, result: Result) -> None:
        """A mutant has been tried."""

    def flown(self, flown: Flown) -> None:
        """A correct crew has been flown: at an end of the variation, on a seed, or another one."""


@dataclass(frozen=True, slots=True)
class Proof:
    """What the proof of one exercise found.

    `drawn`: the perfect crew at the ends of the variation, on seeds, in each technique. `others`:
    other correct crews. `is_complete`: no mutant was left out by a limit.
    """

    exercise: str
    plan: Plan
    reference: Reference
    results: tuple[Result, ...]
    not_applicable: tuple[NotApplicable, ...]
    drawn: tuple[Flown, ...]
    others: tuple[Flown, ...]

    @property
    def is_complete(self) -> bool:
        """Whether every mutant was tried."""
        return self.plan.untried == 0

    @property
    def imperfect(self) -> tuple[Flown, ...]:
        """Correct crews in which something was found: the exercise or the judge is wrong there."""
        flown = (self.reference.flown, *self.drawn, *self.others)
        return tuple(one for one in flown if not one.is_right)

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
        """Every correct crew right, as written, drawn and others; every mutant tried and exact."""
        return self.is_complete and not self.imperfect and self.exact == len(self.applicable)


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
    exercise: Exercise, limit: int = 0, jobs: int = 1, listener: Listener | None = None
) -> Proof:
    """Prove an exercise as written; `limit` > 0 tries only so many mutants, spread over it."""
    # As written is with the first of each choice: two of one choice never happen together.
    written = draw(exercise, 0)
    # One technique at a time: a slip in the one would often be right in another.
    exercise = fixed(written, "")
    heard = listener or Listener()
    session, judgement = fly_perfect(exercise, book_of(exercise))
    tracker, rows = session.tracker, session.flight.rows
    every, skipped = mutants_of(exercise, tracker, rows)
    mutants = _spread(every, limit)
    seeds = [(seed_label(written, seed), draw(written, seed)) for seed in PROOF_SEEDS]
    drawn = [*corners(written), *seeds]
    drawn = [(label, fixed(one, "")) for label, one in drawn]
    drawn += [(f"technique {name}", fixed(written, name)) for name in techniques(written)]
    others = other_crews(exercise, tracker)
    spoken = len([one for one in mutants if is_speech(one, session)])
    plan = Plan(
        len(drawn), len(others), len(mutants) - spoken, spoken, int(CAN_FORK),
        len(every) - len(mutants),
    )  # fmt: skip
    reference = Reference(
        session,
        _judged("as written", session, judgement),
        timeline(tracker, rows),
        workload(session.flight.acts, rows),
    )
    heard.begun(plan, reference, mutants)
    correct = [partial(_drawn, label, one) for label, one in drawn]
    correct += [partial(_other, one) for one in others]

    def tell(place: int) -> None:
        if place < len(correct):
            heard.flown(forks.results[place])
        else:
            heard.tried(forks.results[place])

    forks = Forks(jobs, tell)
    with forks:
        for place, fly in enumerate(correct):
            forks.start(place, fly)
        try_all(mutants, session, forks, len(correct))
        forks.finish()
    found = [forks.results[place] for place in range(plan.pieces)]
    results: list[Result] = found[len(correct) :]
    skipped += [
        NotApplicable(one.mutant.name, "its due never came, or it closed first")
        for one in results
        if not one.is_applicable
    ]
    return Proof(
        exercise.name,
        plan,
        reference,
        tuple(results),
        tuple(skipped),
        tuple(found[: len(drawn)]),
        tuple(found[len(drawn) : len(correct)]),
    )


def _spread(mutants: list[Mutant], limit: int) -> list[Mutant]:
    """At most `limit` of the mutants (0 = all), evenly spread from the first to the last."""
    if not 0 < limit < len(mutants):
        return mutants
    gaps = max(1, limit - 1)
    return [mutants[place * (len(mutants) - 1) // gaps] for place in range(limit)]


def _drawn(label: str, exercise: Exercise) -> Flown:
    session, judgement = fly_perfect(exercise, book_of(exercise))
    return _judged(label, session, judgement)


def _other(crew: OtherCrew) -> Flown:
    session, judgement = fly_crew(crew.exercise, crew.file)
    # Its windows are those of the reference; it may well act when they are nearly over.
    return _judged(crew.name, session, judgement)._replace(squeezed=())


def _judged(label: str, session: Session, judgement: Judgement) -> Flown:
    findings = tuple(sorted(judgement.primary()))
    return Flown(label, judgement.points, findings, squeezed(session.tracker))
