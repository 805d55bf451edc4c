"""An exercise as the home screen lists it."""

from __future__ import annotations

from trainer.values import dataclass


@dataclass(frozen=True, slots=True)
class Listed:
    """One exercise: name, title, lesson, difficulty 1..5, type, place, the last result.

    `last` is a word or two such as "passed 92", "" while there is none; `problem` says why its
    file cannot be read. `due_days` is how many days remain until it is to be flown again, None
    for one that has not been flown from memory yet.
    """

    name: str
    title: str
    lesson: str
    level: int
    aircraft: str
    place: str
    last: str = ""
    problem: str = ""
    due_days: int | None = None

    @property
    def is_due(self) -> bool:
        """Whether it is to be flown again today, or was to be before."""
        return self.due_days is not None and self.due_days <= 0
