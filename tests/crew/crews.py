"""Fly a crew written as text, once per text: shared by the tests of crews and proof."""

from __future__ import annotations

from functools import cache

from trainer.crew.fly import fly_crew
from trainer.crew.session import Session
from trainer.judge.judgement import ItemVerdict, Judgement
from trainer.scenario.compose import load
from trainer.scenario.crew_files import from_text
from trainer.scenario.draw import draw
from trainer.scenario.exercise import Exercise
from trainer.scenario.library import default_library


@cache
def exercise(name: str, seed: int = 0) -> Exercise:
    """A shipped exercise, drawn with `seed`."""
    return draw(load(name, default_library()), seed)


@cache
def flown(name: str, crew: str = "{crew: 1, base: perfect}") -> tuple[Session, Judgement]:
    """The session and judgement of a crew in a shipped exercise."""
    found = exercise(name)
    return fly_crew(found, from_text(crew, found))


def edited(name: str, *edits: str, acts: str = "") -> Judgement:
    """The judgement of the perfect crew with `edits`, and timed `acts` on top."""
    text = f"{{crew: 1, base: perfect, edits: [{', '.join(edits)}], acts: [{acts}]}}"
    return flown(name, text)[1]


def item(judgement: Judgement, name: str) -> ItemVerdict:
    """The verdict on one item."""
    return next(one for one in judgement.items if one.item == name)
