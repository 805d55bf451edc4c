"""The phrase book of one exercise: the words of its house with the names of its places."""

from __future__ import annotations

from trainer.scenario.exercise import Exercise
from trainer.scenario.phrases import PhraseBook

_newest: tuple[Exercise, PhraseBook] | None = None


def book_of(exercise: Exercise) -> PhraseBook:
    """The phrase book of the exercise's house, with the names of its places.

    Asked again for the same exercise, it is the same book.
    """
    if _newest is None or _newest[0] is not exercise:
        remember(exercise, _made(exercise))
    assert _newest is not None
    return _newest[1]


def remember(exercise: Exercise, book: PhraseBook) -> None:
    """Take `book` for that of `exercise`: it was made somewhere else."""
    global _newest
    _newest = (exercise, book)


def _made(exercise: Exercise) -> PhraseBook:
    airport = exercise.airport
    fixes = {fix.name for fix in airport.fixes}
    fixes.update(leg.fix.name for leg in exercise.approach.legs)
    return PhraseBook(
        dict(exercise.house.words),
        dict(exercise.house.short),
        {
            "fix": sorted(fixes),
            "ident": [exercise.approach.localizer.ident],
            "callsign": [exercise.callsign],
        },
    )
