"""An unfinished attempt made ready to be flown on: its exercise, what was flown, where it ends.

Owns what must fit before a flight is taken up again. It flies nothing itself; the driver flies what
was flown before. Surprising rule: only the engine that flew the first part may fly on, because by
another one the same acts would lead somewhere else.
"""

from __future__ import annotations

from trainer import ENGINE
from trainer.app.driver import Before
from trainer.app.services import Recorder
from trainer.app.settings import LEVELS
from trainer.errors import UserError
from trainer.flight.acts import numbered
from trainer.records.journal import Segment, interruptions
from trainer.records.stored import Stored
from trainer.report.again import exercise_of, other_engine
from trainer.scenario.crew_files import parse_moment_text
from trainer.scenario.exercise import Exercise
from trainer.scenario.moments import Moment
from trainer.values import dataclass


@dataclass(frozen=True, slots=True)
class Resumed:
    """An attempt to be flown on. `until` ends it early; `recorder` keeps what comes."""

    number: int
    exercise: Exercise
    level: str
    segment: Segment
    until: Moment | None
    before: Before
    recorder: Recorder


def flight_of(stored: Stored) -> tuple[Exercise, str, Moment | None, Before]:
    """Exercise, level, end and beginning of an unfinished attempt.

    Raises:
        UserError: it has ended, or was flown by another engine, or cannot be read.
    """
    if stored.outcome is not None:
        raise UserError(f"{stored.label}: it has ended; debrief {stored.number} shows it")
    if stored.engine != ENGINE:
        raise UserError(f"{stored.label}: it cannot be flown on: {other_engine(stored)}")
    exercise = exercise_of(stored)
    level = stored.segment.flown_as or stored.level
    if level not in LEVELS:
        raise UserError(f"{stored.label}: it does not say at which level it was flown")
    until = parse_moment_text(stored.segment.until, exercise) if stored.segment.until else None
    earlier = [step for step, _ in interruptions(stored.entries)]
    return exercise, level, until, Before(numbered(stored.acts), stored.steps or 0, earlier)
