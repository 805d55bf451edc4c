"""Whole flights for tests of what is kept: flown once, kept where a test says."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from trainer import ENGINE
from trainer.crew.fly import fly_crew
from trainer.crew.session import Session
from trainer.judge.judgement import Judgement
from trainer.records.store import Records
from trainer.records.stored import Stored
from trainer.report.closing import close
from trainer.scenario import compose, library
from trainer.scenario.crew_files import CrewFile
from trainer.scenario.draw import draw
from trainer.scenario.exercise import Edit

SEED = 11


@cache
def careless() -> tuple[Session, Judgement]:
    """A flight whose crew forgets the landing flap: findings, a gate, a go-around."""
    exercise = draw(compose.load("straight-in", library.default_library()), SEED)
    return fly_crew(exercise, CrewFile("perfect", (Edit("omit", "landing flap"),), ()))


def kept(path: Path) -> Stored:
    """The careless flight as the records at `path` give it back."""
    session, judgement = careless()
    exercise = session.exercise
    with Records(path) as records:
        attempt = records.begin(
            exercise.canonical, exercise.digest, exercise.name, "check", "solo", SEED, ENGINE,
            "2031-05-04T10:00:00Z",
        )  # fmt: skip
        for act in session.flight.acts:
            attempt.act(act)
        close(attempt, session, judgement)
        return records.load("last")
