"""What screens ask of the application: values passed upwards, nothing else."""

from __future__ import annotations

from textual.message import Message

from trainer.app.settings import Settings
from trainer.values import dataclass


@dataclass
class FlyRequested(Message):
    """Fly an exercise at a level; `seed` None = a fresh one where the level draws one."""

    exercise: str
    level: str
    seed: int | None = None


@dataclass
class SetUpRequested(Message):
    """Set up and brief an exercise, then fly it; `level` "" = the one chosen at home."""

    exercise: str
    level: str = ""


class PreparationEnded(Message):
    """Set-up and briefing are done: let the flight begin."""


class TourRequested(Message):
    """Fly the guided tour."""


@dataclass
class BriefRequested(Message):
    """Show the procedure sheet of an exercise."""

    exercise: str


@dataclass
class SegmentsRequested(Message):
    """Show the segments of an exercise, to be flown at a level."""

    exercise: str
    level: str


@dataclass
class OwnSegmentRequested(Message):
    """Cut a segment of one's own out of the exercise whose segments are shown."""

    level: str


@dataclass
class SegmentRequested(Message):
    """Fly a part of an exercise: the moments at its two ends as text, "" for start or end."""

    exercise: str
    level: str
    from_moment: str
    until_moment: str


class SettingsRequested(Message):
    """Show the settings, to be changed."""


@dataclass
class Settled(Message):
    """The settings have been changed and written."""

    settings: Settings


class AboutRequested(Message):
    """Show what this program is, its keys and its settings."""


class HistoryRequested(Message):
    """Show the attempts on record."""


@dataclass
class ResumeRequested(Message):
    """Take up the unfinished attempt of that number."""

    number: int


class FlightEnded(Message):
    """The flight has come to its end."""


class FlightLeft(Message):
    """The pilot has left the flight before its end."""


@dataclass
class RepeatRequested(Message):
    """Fly the same again, with the same seed or a new one."""

    with_new_seed: bool


class ReplayRequested(Message):
    """Look again at the flight that was just debriefed."""


@dataclass
class FlyAgainRequested(Message):
    """Fly the same again from `moment`, as typed; "" from the start."""

    moment: str


class ExportRequested(Message):
    """Write the attempt that was just flown to a file."""


class HomeRequested(Message):
    """Go back to the home screen."""


class LeaveRequested(Message):
    """End the application."""
