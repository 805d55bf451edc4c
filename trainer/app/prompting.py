"""Prompters: what tells a pilot the next step, in Guided and in Coached only.

A hint is a value of its own, never part of the View. A check is flown by a driver that was given
no prompter, so that no screen can show what does not exist.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Protocol

from trainer.app.keymap import key_of_control
from trainer.crew.perfect import PerfectCrew
from trainer.crew.words import act_of
from trainer.flight.acts import Act
from trainer.flight.row import Row
from trainer.judge.tracker import Tracker
from trainer.judge.tracks import Track


@dataclass(frozen=True, slots=True)
class Hint:
    """The step to take: the act in words, the keys that make it, why, and whether time waits.

    `more` counts further steps that are due as well.
    """

    item: str
    what: str
    keys: str
    why: str
    is_waiting: bool
    more: int = 0


class Prompter(Protocol):
    """What a driver asks at every step."""

    def hint(self, row: Row) -> Hint | None:
        """The hint to show at `row`."""

    def must_wait(self, row: Row) -> bool:
        """Whether time has to stop at `row`."""

    def is_pressing(self, row: Row) -> bool:
        """Whether something is due, so that time must not run faster than it is."""

    def skip(self, row: Row) -> bool:
        """Give up the step that time waits for; False if there is none."""


@dataclass(slots=True)
class Guide:
    """Stops time whenever a perfect crew would act, and says what it would do and why."""

    tracker: Tracker
    _crew: PerfectCrew = field(init=False)
    _skipped: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        self._crew = PerfectCrew(self.tracker)

    def hint(self, row: Row) -> Hint | None:
        """The next step of the perfect crew."""
        track = self._next(row)
        return None if track is None else hint_for(track, row, self.tracker, is_waiting=True)

    def must_wait(self, row: Row) -> bool:
        """Whether the perfect crew would act now."""
        return self._next(row) is not None

    def is_pressing(self, row: Row) -> bool:
        """The same: time never runs faster in Guided."""
        return self.must_wait(row)

    def skip(self, row: Row) -> bool:
        """Leave the step undone and go on."""
        track = self._next(row)
        if track is None:
            return False
        self._skipped.append(track.name)
        return True

    def _next(self, row: Row) -> Track | None:
        return self._crew.next_track(row, skipped=self._skipped)


@dataclass(slots=True)
class Coach:
    """Lets time run, and says what is due once it is due."""

    tracker: Tracker

    def hint(self, row: Row) -> Hint | None:
        """The open step that fell due first."""
        due = self._due(row)
        if not due:
            return None
        first = min(due, key=_urgency)
        return hint_for(first, row, self.tracker, is_waiting=False, more=len(due) - 1)

    def must_wait(self, row: Row) -> bool:
        """Never: time runs in Coached."""
        return False

    def is_pressing(self, row: Row) -> bool:
        """Whether there is something to do: then time runs no faster than in life."""
        return any(track.aim_at(row.step) for track in self.tracker.open_tracks())

    def skip(self, row: Row) -> bool:
        """Nothing to skip where time does not wait."""
        return False

    def _due(self, row: Row) -> list[Track]:
        return [
            track
            for track in self.tracker.open_tracks()
            if track.due <= row.step and track.item.role != "aircraft"
        ]


def _urgency(track: Track) -> tuple[int, int, int]:
    return (track.due, track.closes, track.place)


def prompter_for(level: str, tracker: Tracker) -> Prompter | None:
    """The prompter of a level: none for a check."""
    match level:
        case "guided":
            return Guide(tracker)
        case "coached":
            return Coach(tracker)
        case "check":
            return None
    raise RuntimeError(f"unknown level {level}")


def hint_for(track: Track, row: Row, tracker: Tracker, *, is_waiting: bool, more: int = 0) -> Hint:
    """The hint for one item: what the perfect crew would do now."""
    act = act_of(track.item.act, row, tracker, "crew", track)
    what, keys = described(act, row)
    return Hint(track.name, what, keys, track.item.why, is_waiting, more)


def described(act: Act, row: Row) -> tuple[str, str]:
    """An act in words, and the keys that make it."""
    match act.act:
        case "press":
            return f"press {act.control}", key_of_control(act.control)
        case "set":
            return f"set {act.control} {act.value}", f"{act.value}{key_of_control(act.control)}"
        case "move" if act.control == "flaps":
            return f"flaps {act.value}", f"{act.value}f"
        case "move" if act.control == "autobrake":
            return f"autobrake {act.value} (now {row.autobrake})", "k"
        case "move":
            return f"{act.control} {act.value}", key_of_control(act.control)
        case "say":
            return f'say "{act.text}"', f"Space {act.text} Enter"
        case "read back":
            return f'read back "{act.text}"', f"Enter {act.text} Enter"
        case "checklist":
            return f"begin the {act.control} checklist", "j"
        case "line":
            return f"{act.control} checklist: confirm {act.value}", "Enter"
    raise RuntimeError(f"unknown act {act.act}")
