"""The reference flight as a timeline: each item's window, when it was acted, and what was left.

Owns the table by which an author tunes windows, and the busiest fifteen seconds. It judges
nothing. Surprising rule: the aim is where a good crew *would* act; it acts later when its hands
are still busy with something else, and the difference shows where work piles up.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from trainer.crew.pace import busy_steps
from trainer.flight.acts import Act
from trainer.flight.observers import NEVER
from trainer.flight.row import Row
from trainer.judge.tracker import Tracker
from trainer.judge.tracks import AIM_AFTER, MOMENTS, Track
from trainer.units import steps_for

BUSY_STEPS = steps_for(15.0)
"""Length of the busiest piece of a flight that is told."""


class Entry(NamedTuple):
    """One item (or instance) of a flight; steps from the start, None where it did not come.

    `aim`: when a good crew would act. `margin`: steps from the act to its due. `distance_nm` to
    the threshold and `altitude_ft` where it was acted (opened, if it was not).
    """

    item: str
    opened: int
    aim: int
    done: int | None
    due: int | None
    closes: int | None
    distance_nm: float
    altitude_ft: float

    @property
    def margin(self) -> int | None:
        """Steps left when it was done; None if it was not done, or never fell due."""
        return None if self.done is None or self.due is None else self.due - self.done


class Workload(NamedTuple):
    """The busiest stretch: its first step, seconds of work in it, and the acts done in it."""

    start: int
    busy_s: float
    acts: tuple[str, ...]
    distance_nm: float


def timeline(tracker: Tracker, rows: Sequence[Row]) -> tuple[Entry, ...]:
    """Every item that opened, in order of opening."""
    found = [
        _entry(track, rows)
        for track in tracker.tracks
        if track.opened is not None and not track.is_void
    ]
    return tuple(sorted(found, key=lambda entry: entry.opened))


def _entry(track: Track, rows: Sequence[Row]) -> Entry:
    assert track.opened is not None
    row = rows[min(track.opened if track.done is None else track.done, len(rows) - 1)]
    return Entry(
        track.name,
        track.opened,
        _aim(track, track.opened),
        track.done,
        None if track.due == NEVER else track.due,
        None if track.closes == NEVER else track.closes,
        row.distance_nm,
        row.altitude_ft,
    )


def _aim(track: Track, opened: int) -> int:
    aim = track.item.aim
    if aim is None:
        step = opened + AIM_AFTER
    elif not isinstance(aim, MOMENTS):
        step = opened + steps_for(aim)
    elif track.aim_observer is not None and track.aim_observer.first != NEVER:
        step = max(opened, track.aim_observer.first)
    else:
        step = track.due
    return min(step, track.due) if step != NEVER else opened


def squeezed(tracker: Tracker) -> tuple[str, ...]:
    """Items whose due moment had already come when they opened, so that only the floor is left."""
    return tuple(
        track.name
        for track in tracker.tracks
        if track.opened is not None
        and not track.is_void
        and track.due_observer is not None
        and track.due_observer.first < track.opened
        and track.due == track.opened + track.floor
    )


def workload(acts: Sequence[Act], rows: Sequence[Row]) -> Workload | None:
    """The fifteen seconds with the most work in them, by the pace of the crew; None without acts.

    Work counts only as far as it falls into the stretch, which begins with an act.
    """
    spans = [(act.step, act.step + busy_steps(act), act) for act in acts]
    best: Workload | None = None
    for start, _, _ in spans:
        end = start + BUSY_STEPS
        inside = [span for span in spans if span[0] < end and span[1] > start]
        busy = 0
        for begin, stop, _ in inside:
            busy += min(stop, end) - max(begin, start)
        if best is None or busy > steps_for(best.busy_s):
            names = tuple(_name(act) for _, _, act in inside)
            row = rows[min(start, len(rows) - 1)]
            best = Workload(start, busy / 10.0, names, row.distance_nm)
    return best


def _name(act: Act) -> str:
    match act.act:
        case "say" | "read back":
            return f'"{act.text}"'
        case "line" | "checklist":
            return " ".join(part for part in ("checklist", act.control, act.value) if part)
    return " ".join(part for part in (act.control, act.value) if part)
