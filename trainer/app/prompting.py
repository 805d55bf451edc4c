"""Prompters: what tells a pilot the next step, in Guided and in Coached only.

A hint is a value of its own, never part of the View. A check is flown by a driver that was given
no prompter, so that no screen can show what does not exist.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import field, replace
from typing import Protocol

from trainer.app.keymap import DEFAULT, Keymap
from trainer.crew.perfect import PerfectCrew
from trainer.crew.words import act_of
from trainer.flight.acts import Act
from trainer.flight.row import Row
from trainer.judge.tracker import Tracker
from trainer.judge.tracks import Track
from trainer.scenario.controls import CONTROLS
from trainer.units import steps_for
from trainer.values import dataclass

HOLD = steps_for(20.0)
"""A step keeps fast time at ×1 for this long, steps."""
HINTS_MAX = 3
"""So many due steps are told at once where there is room."""


@dataclass(frozen=True, slots=True)
class Hint:
    """The step to take: the act in words, the keys that make it, why, and whether time waits.

    `shorter` are the same keys in fewer letters, for where `keys` does not fit: the house's
    two-letter form, or a word that points at `what`. `more` counts further steps that are due as
    well; `also` holds those of them that come next. `act` is what the perfect crew would do.
    """

    item: str
    what: str
    keys: str
    why: str
    is_waiting: bool
    more: int = 0
    shorter: tuple[str, ...] = ()
    also: tuple[Hint, ...] = ()
    act: Act | None = None


class Prompter(Protocol):
    """What a driver asks at every step."""

    def hint(self, row: Row) -> Hint | None:
        """The hint to show at `row`."""

    def must_wait(self, row: Row) -> bool:
        """Whether time has to stop at `row`."""

    def is_pressing(self, row: Row) -> bool:
        """Whether a step is open, so that time must not run faster than it is."""

    def skip(self, row: Row) -> bool:
        """Give up the step that time waits for; False if there is none."""


@dataclass(slots=True)
class Guide:
    """Stops time whenever a perfect crew would act, and says what it would do and why."""

    tracker: Tracker
    keymap: Keymap = DEFAULT
    _crew: PerfectCrew = field(init=False)
    _skipped: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        self._crew = PerfectCrew(self.tracker)

    def hint(self, row: Row) -> Hint | None:
        """The next step of the perfect crew."""
        track = self._next(row)
        if track is None:
            return None
        return hint_for(track, row, self.tracker, is_waiting=True, keymap=self.keymap)

    def must_wait(self, row: Row) -> bool:
        """Whether the perfect crew would act now."""
        return self._next(row) is not None

    def is_pressing(self, row: Row) -> bool:
        """The same: between the steps there is nothing to miss."""
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
    """Lets time run, and says what is due once it is due.

    Surprising rule: a step holds time at ×1 only for `HOLD` after it could first be taken, and
    again after it fell due; whoever leaves it undone may go on faster.
    """

    tracker: Tracker
    keymap: Keymap = DEFAULT
    _since: dict[str, int] = field(default_factory=dict)

    def hint(self, row: Row) -> Hint | None:
        """The open step that fell due first, and those that follow it."""
        due = sorted(self._due(row), key=_urgency)
        if not due:
            return None
        first, *others = [
            hint_for(track, row, self.tracker, is_waiting=False, keymap=self.keymap)
            for track in due[:HINTS_MAX]
        ]
        return replace(first, more=len(due) - 1, also=tuple(others))

    def must_wait(self, row: Row) -> bool:
        """Never: time runs in Coached."""
        return False

    def is_pressing(self, row: Row) -> bool:
        """Whether there is something new to do: then time runs no faster than in life."""
        step = row.step
        is_pressing = False
        for track in self.tracker.open_tracks():
            if track.item.role == "aircraft" or not track.aim_at(step):
                continue
            since = self._since.setdefault(track.name, step)
            if step < since + HOLD or track.due <= step < track.due + HOLD:
                is_pressing = True
        return is_pressing

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


def prompter_for(level: str, tracker: Tracker, keymap: Keymap = DEFAULT) -> Prompter | None:
    """The prompter of a level: none for a check."""
    match level:
        case "guided":
            return Guide(tracker, keymap)
        case "coached":
            return Coach(tracker, keymap)
        case "check":
            return None
    raise RuntimeError(f"unknown level {level}")


def hint_for(
    track: Track, row: Row, tracker: Tracker, *, is_waiting: bool, keymap: Keymap = DEFAULT
) -> Hint:
    """The hint for one item: what the perfect crew would do now."""
    act = act_of(track.item.act, row, tracker, "crew", track)
    what, keys = described(act, keymap)
    shorter = _shorter(act, tracker.exercise.house.short)
    return Hint(track.name, what, keys, track.item.why, is_waiting, shorter=shorter, act=act)


def _shorter(act: Act, short: Iterable[tuple[str, str]]) -> tuple[str, ...]:
    """The keys of words in fewer letters, the most telling first; nothing for other acts."""
    if act.act == "read back":
        return ("Enter these words Enter",)
    if act.act != "say":
        return ()
    forms = []
    for letters, phrase in short:
        fixed = phrase.partition(" {")[0]
        if act.text == fixed or ("{" in phrase and act.text.startswith(f"{fixed} ")):
            forms.append(f"Space {letters}{act.text.removeprefix(fixed)} Enter")
    return (*forms, "Space these words Enter")


def described(act: Act, keymap: Keymap = DEFAULT) -> tuple[str, str]:
    """An act in words, and the keys that make it."""
    key = keymap.key_of
    match act.act:
        case "press":
            return f"press {act.control}", key(act.control)
        case "set":
            return f"set {act.control} {act.value}", f"{act.value}{key(act.control)}"
        case "move":
            control = CONTROLS[act.control]
            number = ""
            if control.is_numbered:
                positions = control.positions
                number = str(positions.index(act.value)) if positions else act.value
            return f"{act.control} {act.value}", f"{number}{key(act.control)}"
        case "say":
            return f'say "{act.text}"', f"Space {act.text} Enter"
        case "read back":
            return f'read back "{act.text}"', f"Enter {act.text} Enter"
        case "checklist":
            return f"begin the {act.control} checklist", key("checklist")
        case "line":
            return f"{act.control} checklist: confirm {act.value}", "Enter"
    raise RuntimeError(f"unknown act {act.act}")
