"""The phrase book of one exercise: the words of its house with the names of its places."""

from __future__ import annotations

from trainer.scenario.exercise import Exercise
from trainer.scenario.phrases import PhraseBook


def book_of(exercise: Exercise) -> PhraseBook:
    """The phrase book of the exercise's house, with the names of its places."""
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
