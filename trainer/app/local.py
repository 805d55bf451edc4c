"""The outside world of a person at a terminal: scenario files, the records file, the reports.

Modules that a first paint does not need are imported when they are first used.
"""

from __future__ import annotations

import datetime
from collections.abc import Mapping, Sequence
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from trainer import ENGINE, paths
from trainer.app.launch import fresh_seed
from trainer.app.listing import Listed
from trainer.app.mark import Mark
from trainer.errors import UserError
from trainer.records.journal import WHOLE
from trainer.records.store import Records

if TYPE_CHECKING:
    from trainer.app.ahead import Ahead
    from trainer.app.debriefing import DebriefText
    from trainer.app.launch import Start
    from trainer.app.profile import Sample
    from trainer.app.resumed import Resumed
    from trainer.app.services import Recorder
    from trainer.app.settings import Settings
    from trainer.app.settling import Change
    from trainer.briefing.sheet import Sheet
    from trainer.crew.session import Session
    from trainer.flight.acts import Act
    from trainer.judge.judgement import Judgement
    from trainer.records.journal import Attempt, Segment
    from trainer.scenario.exercise import Exercise
    from trainer.scenario.library import Library
    from trainer.scenario.moments import Moment


class AttemptRecorder:
    """Writes one attempt into `records`."""

    def __init__(self, attempt: Attempt, records: Records) -> None:
        self.attempt = attempt
        self._records = records

    def act(self, act: Act) -> None:
        """Keep an act."""
        self.attempt.act(act)

    def beat(self, step: int) -> None:
        """Note how far the flight has come."""
        self.attempt.beat(step)

    def interrupted(self, step: int) -> None:
        """Keep that a check stood still."""
        self.attempt.interrupted(step, "a gap, nothing to show the flight on, or taken up again")

    def rewound(self, step: int, to_step: int) -> None:
        """Keep that the flight was taken back to `to_step`."""
        self.attempt.rewound(step, to_step)

    def leave(self, step: int) -> str:
        """Keep that the pilot left the flight; says what became of the attempt."""
        self.attempt.left(step)
        number = self.attempt.number
        if self._records.is_kept:
            return f"Attempt {number} was left: kept as unfinished"
        return f"Attempt {number} was left: unfinished, lost when the program ends"

    def finish(self, session: Session, judgement: Judgement) -> None:
        """Close the attempt with its judgement, rows and facts."""
        from trainer.report.closing import close

        close(self.attempt, session, judgement)

    def export(self) -> str:
        """Write the attempt to a file of its own; says where, or why not."""
        from trainer.app.exporting import write_attempt

        return write_attempt(self._records.load(self.attempt.number), Path.cwd())


class LocalServices:
    """Scenario files of this machine, and its records."""

    def __init__(self, records: Records | None = None) -> None:
        self._records = Records(paths.records_file()) if records is None else records
        self._samples: dict[str, Sample | None] = {}
        self._mark = Mark(paths.tour_mark())
        self._looked_at: dict[tuple[str, int], Exercise] = {}

    @cached_property
    def _library(self) -> Library:
        from trainer.scenario.library import default_library

        return default_library()

    def close(self) -> None:
        """Let go of the records file."""
        self._records.close()

    def listed(self) -> Sequence[Listed]:
        """The exercises there are, the easiest first, each with the last result on record."""
        last: dict[str, str] = {}
        for name, entry in self._records.last_results().items():
            points = "" if entry["points"] is None else f" {entry['points']:.0f}"
            is_part = entry["level"] == "segment"  # a part is neither passed nor repeated
            last[name] = (
                f"segment{points}" if is_part else f"{entry['outcome']}{points} {entry['level']}"
            )
        listed = [
            Listed(
                name=one.name,
                title=one.title,
                lesson=one.lesson,
                level=one.level,
                aircraft=one.aircraft,
                place=f"{one.approach} {one.airport.upper()}",
                last=last.get(one.name, ""),
                problem=one.problem,
            )
            for one in self._library.exercises()
        ]
        return sorted(listed, key=lambda one: (bool(one.problem), one.level, one.title, one.name))

    def due(self) -> Mapping[str, int]:
        """Days until each exercise falls due again, by name; 0 = today, negative = overdue."""
        from trainer.study.due import LEVELS, Repetition, days_until_due

        flown = (Repetition(*one) for one in self._records.repetitions(LEVELS))
        return days_until_due(flown, datetime.datetime.now(datetime.UTC))

    def sample(self, name: str) -> Sample | None:
        """What a small drawing of an exercise shows; None where its file cannot be read."""
        from trainer.app.profile import sample_of

        if name not in self._samples:
            try:
                self._samples[name] = sample_of(self.exercise(name, 0))
            except UserError:
                self._samples[name] = None
        return self._samples[name]

    def notice(self) -> str:
        """Why attempts are not kept, "" while they are."""
        return "; ".join(self._records.messages)

    def exercise(self, name: str, seed: int) -> Exercise:
        """An exercise, drawn. Raises UserError if its file is missing or wrong."""
        if (looked_at := self._looked_at.pop((name, seed), None)) is not None:
            return looked_at
        from trainer.scenario import compose, draw

        return draw.draw(compose.load(name, self._library), seed)

    def look_at(self, start: Start, ahead: Ahead | None = None) -> None:
        """Raise UserError if `start` cannot be flown; the next flight of it is composed already."""
        seed = start.seed or 0
        exercise = None if ahead is None else ahead.take()
        if exercise is None:
            from trainer.scenario.library import parsed

            exercise = self.exercise(start.exercise, seed)
            parsed.cache_clear()  # the home screen is not there yet: nobody else reads these files
        for text in filter(None, (start.from_moment, start.until_moment)):
            self.moment(text, exercise)
        self._looked_at[start.exercise, seed] = exercise

    def moment(self, text: str, exercise: Exercise) -> Moment:
        """A moment as typed on the command line. Raises UserError."""
        from trainer.scenario.crew_files import parse_moment_text

        return parse_moment_text(text, exercise)

    def fresh_seed(self) -> int:
        """A seed nobody knows beforehand, never 0."""
        return fresh_seed()

    def brief(self, exercise: Exercise) -> Sheet:
        """The procedure sheet, flown once for its reference ladder."""
        from trainer.briefing.sheet import flown_sheet

        return flown_sheet(exercise)

    def settings_file(self) -> str:
        """Where the settings are written."""
        return str(paths.configuration_file())

    def settle(self, change: Change) -> Settings:
        """Write a setting; gives them as they now are. Raises UserError, nothing written."""
        from trainer.app.settling import settle

        return settle(paths.configuration_file(), change)

    def is_new(self) -> bool:
        """Whether no attempt is on record and the tour was never begun."""
        return not self._mark.is_set() and not self._records.count()

    def tour_begun(self) -> None:
        """Keep that the tour was begun once."""
        self._mark.set()

    def history(self) -> Sequence[str]:
        """How each exercise went lately, then the attempts on record, newest first."""
        from trainer.app.past import history_lines

        return history_lines(self._records, self.due())

    def trend(self, exercise: str, from_moment: str, until_moment: str) -> Sequence[float]:
        """Points of the last ten times that segment was flown to its end, the newest last."""
        return self._records.trend(exercise, from_moment, until_moment)

    def recorder(self, exercise: Exercise, level: str, segment: Segment = WHOLE) -> Recorder:
        """Begin to record an attempt."""
        now = datetime.datetime.now(datetime.UTC)
        attempt = self._records.begin(
            exercise.canonical,
            exercise.digest,
            exercise.name,
            level,
            "solo",
            exercise.seed,
            ENGINE,
            now.strftime("%Y-%m-%dT%H:%M:%SZ"),
            segment,
        )
        return AttemptRecorder(attempt, self._records)

    def unfinished(self) -> int | None:
        """The number of the attempt that `resume` would take up, None if there is none."""
        return self._records.unfinished()

    def resume(self, number: int | None) -> Resumed:
        """Take up an unfinished attempt, the newest for None. Raises UserError."""
        from trainer.app.resumed import Resumed, flight_of

        chosen = self.unfinished() if number is None else number
        if chosen is None:
            raise UserError("no attempt is unfinished; `history` lists what there is")
        stored = self._records.load(chosen)
        exercise, level, until, before = flight_of(stored)
        recorder = AttemptRecorder(self._records.reopen(chosen), self._records)
        return Resumed(chosen, exercise, level, stored.segment, until, before, recorder)

    def debrief(
        self, session: Session, judgement: Judgement, has_ladder: bool = False
    ) -> DebriefText:
        """The debrief of a flight; with the ladder of last chances it takes a moment longer."""
        from trainer.app.debriefing import debrief_text
        from trainer.briefing.ladders import last_chance
        from trainer.report.debrief import debrief

        flight, exercise = session.flight, session.exercise
        rungs = last_chance(exercise) if has_ladder else ()
        return debrief_text(debrief(judgement, exercise, flight.rows, flight.facts, rungs))

    def what_if(self, session: Session, judgement: Judgement, item: str) -> Sequence[str]:
        """What a flight would have been with the slip on `item` put right. Raises UserError."""
        from trainer.report.what_if import told

        flight = session.flight
        given = (session.exercise, flight.acts, flight.facts, flight.rows)
        return told(judgement, *given, [item])[item]

    def differs(
        self, session: Session, judgement: Judgement, item: str, wish: str
    ) -> tuple[bool, str]:
        """Our procedure differs on `item`: whether that is written now, and what it means."""
        from trainer.report import our_procedure
        from trainer.scenario.library import shown_path

        exercise = session.exercise
        verdict = our_procedure.finding_called(judgement, item)
        found = our_procedure.how_it_differs(exercise, verdict)
        if wish == "write":
            our_procedure.write(exercise, found)
        elif wish == "take back":
            our_procedure.take_back(exercise, found)
        if wish:
            self.__dict__.pop("_library", None)  # looked through anew when it is needed
        return found.is_written, f"{found.meaning} ({shown_path(found.path)})"
