"""An exercise as the home screen lists it."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Listed:
    """One exercise: name, title, lesson, difficulty 1..5, type, place, the last result.

    `last` is a word or two such as "passed 92", "" while there is none; `problem` says why its
    file cannot be read.
    """

    name: str
    title: str
    lesson: str
    level: int
    aircraft: str
    place: str
    last: str = ""
    problem: str = ""
