"""Scripted acts: a crew file's timed acts, on their own or on top of the perfect crew."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import field, replace

from trainer.crew.perfect import PerfectCrew
from trainer.crew.session import Session
from trainer.crew.words import act_of, event_named, read_back_text
from trainer.flight.acts import Act
from trainer.flight.observers import NEVER, Observer
from trainer.flight.row import Row
from trainer.scenario.crew_files import CrewFile, ScriptedAct
from trainer.units import steps_for
from trainer.values import dataclass


@dataclass(slots=True)
class _Waiting:
    """One scripted act: its moment, and the step it is due at once the moment has come."""

    scripted: ScriptedAct
    observer: Observer | None
    step: int
    is_done: bool = False


@dataclass(slots=True)
class ScriptedCrew:
    """Plays the acts of a crew file; a base of `perfect` flies along with its edits."""

    session: Session
    file: CrewFile
    perfect: PerfectCrew | None = None
    _waiting: list[_Waiting] = field(default_factory=list)

    def __post_init__(self) -> None:
        evaluator = self.session.tracker.evaluator
        for scripted in self.file.acts:
            observer = evaluator.watch(scripted.when) if scripted.when is not None else None
            at_s = scripted.at_s if scripted.at_s is not None else 0.0
            step = steps_for(at_s) if observer is None else NEVER
            self._waiting.append(_Waiting(scripted, observer, step))

    def acts(self, row: Row) -> Sequence[Act]:
        """What this crew does at `row`."""
        found = self.perfect.acts(row) if self.perfect is not None else []
        for waiting in self._waiting:
            if waiting.is_done:
                continue
            if waiting.step == NEVER and waiting.observer is not None and waiting.observer.now:
                waiting.step = row.step + steps_for(waiting.scripted.plus_s)
            if row.step >= waiting.step:
                waiting.is_done = True
                found.append(self._act(waiting.scripted, row))
        return found

    def _act(self, scripted: ScriptedAct, row: Row) -> Act:
        expected = scripted.act
        if expected.kind == "read back" and scripted.slots:
            event = event_named(self.session.exercise, expected.event)
            text = read_back_text(self.session.book, event, dict(scripted.slots))
            expected = replace(expected, text=text)
        return act_of(expected, row, self.session.tracker, "crew")
