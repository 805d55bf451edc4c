"""What the app needs from outside: scenario files, records, reports. One object, easy to replace.

Only the shapes stand here; `local` is the one that a person uses.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Protocol

from trainer.records.journal import WHOLE, Segment

if TYPE_CHECKING:
    from trainer.app.debriefing import DebriefText
    from trainer.app.listing import Listed
    from trainer.app.profile import Sample
    from trainer.app.resumed import Resumed
    from trainer.app.settings import Settings
    from trainer.app.settling import Change
    from trainer.briefing.sheet import Sheet
    from trainer.crew.session import Session
    from trainer.flight.acts import Act
    from trainer.judge.judgement import Judgement
    from trainer.scenario.exercise import Exercise
    from trainer.scenario.moments import Moment

NOT_KEPT = "attempts are not kept any more; the flight goes on"
"""Told once in a flight whose records fail."""


class Recorder(Protocol):
    """Where an attempt is written as it is flown."""

    def act(self, act: Act) -> None:
        """Keep an act."""

    def beat(self, step: int) -> None:
        """Note how far the flight has come."""

    def interrupted(self, step: int) -> None:
        """Keep that a check stood still."""

    def rewound(self, step: int, to_step: int) -> None:
        """Keep that the flight was taken back."""

    def leave(self, step: int) -> str:
        """Keep that the pilot left the flight; says what became of the attempt."""

    def finish(self, session: Session, judgement: Judgement) -> None:
        """Close the attempt with its judgement."""

    def export(self) -> str:
        """Write the attempt to a file; says where, or why not."""


class Services(Protocol):
    """The outside world as the app sees it."""

    def listed(self) -> Sequence[Listed]:
        """The exercises there are."""

    def due(self) -> Mapping[str, int]:
        """Days until each exercise falls due again, by name; 0 = today, negative = overdue."""

    def sample(self, name: str) -> Sample | None:
        """What a small drawing of an exercise shows; None where its file cannot be read."""

    def notice(self) -> str:
        """What a person must know about the records now, "" for nothing."""

    def exercise(self, name: str, seed: int) -> Exercise:
        """An exercise, drawn. Raises UserError if its file is missing or wrong."""

    def moment(self, text: str, exercise: Exercise) -> Moment:
        """A moment as typed on the command line. Raises UserError."""

    def fresh_seed(self) -> int:
        """A seed nobody knows beforehand."""

    def brief(self, exercise: Exercise) -> Sheet:
        """The procedure sheet, flown once for its reference ladder."""

    def settings_file(self) -> str:
        """Where the settings are written."""

    def settle(self, change: Change) -> Settings:
        """Write a setting; gives them as they now are. Raises UserError, nothing written."""

    def is_new(self) -> bool:
        """Whether nobody has flown here yet, nor begun the tour."""

    def tour_begun(self) -> None:
        """Keep that the tour was begun once."""

    def history(self) -> Sequence[str]:
        """The attempts on record as lines of text."""

    def trend(self, exercise: str, from_moment: str, until_moment: str) -> Sequence[float]:
        """Points of the last ten times that segment was flown to its end, the newest last."""

    def recorder(self, exercise: Exercise, level: str, segment: Segment = WHOLE) -> Recorder:
        """Begin to record an attempt."""

    def unfinished(self) -> int | None:
        """The number of the attempt that `resume` would take up, None if there is none."""

    def resume(self, number: int | None) -> Resumed:
        """Take up an unfinished attempt, the newest for None. Raises UserError."""

    def debrief(
        self, session: Session, judgement: Judgement, has_ladder: bool = False
    ) -> DebriefText:
        """The debrief of a flight; with the ladder of last chances it takes a moment longer."""

    def what_if(self, session: Session, judgement: Judgement, item: str) -> Sequence[str]:
        """What a flight would have been with the slip on `item` put right. Raises UserError."""

    def differs(
        self, session: Session, judgement: Judgement, item: str, wish: str
    ) -> tuple[bool, str]:
        """Our procedure differs on `item`: whether that is written now, and what it means.

        `wish`: "" only asks, "write" and "take back" do so. Raises UserError.
        """
