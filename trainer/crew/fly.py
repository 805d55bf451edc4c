"""Fly a crew file without a screen: its base crew, its edits, its timed acts."""

from __future__ import annotations

from trainer.crew.perfect import PerfectCrew
from trainer.crew.script import ScriptedCrew
from trainer.crew.session import Session
from trainer.judge.judgement import Judgement
from trainer.scenario.book import book_of
from trainer.scenario.crew_files import CrewFile
from trainer.scenario.exercise import Exercise
from trainer.units import steps_for


def fly_crew(exercise: Exercise, file: CrewFile) -> tuple[Session, Judgement]:
    """Fly `exercise` with the crew of `file` to the end, and judge it."""
    book = book_of(exercise)
    session = Session(exercise, book)
    perfect = None
    if file.base == "perfect":
        advances = _advances(exercise, file)
        perfect = PerfectCrew(session.tracker, file.edits, advances)
    crew = ScriptedCrew(session, file, perfect)
    return session, session.run(crew.acts)


def _advances(exercise: Exercise, file: CrewFile) -> dict[str, int]:
    """When items advanced by seconds are acted: so long before they open in a reference flight."""
    edits = [edit for edit in file.edits if edit.kind == "advance" and edit.to is None]
    if not edits:
        return {}
    reference = Session(exercise)
    reference.run(PerfectCrew(reference.tracker).acts)
    opened = {track.name: track.opened for track in reference.tracker.tracks}
    return {
        edit.item: max(0, step - steps_for(edit.seconds))
        for edit in edits
        if (step := opened.get(edit.item)) is not None
    }
