"""The segments of an exercise that can be flown by themselves, and how they went lately.

Found by flying the exercise once with a good crew: a segment that is never reached there, or that
would end as it begins, is not offered. It judges nothing and draws nothing.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

from trainer.crew.perfect import PerfectCrew
from trainer.crew.session import Session
from trainer.garbage import collection_paused
from trainer.proof.timeline import timeline
from trainer.scenario.crew_files import parse_moment_text
from trainer.units import STEPS_PER_S

if TYPE_CHECKING:
    from trainer.scenario.exercise import Exercise, Part

LEAST_STEPS = 50
"""A segment shorter than this is no practice, steps."""
BARS = "▁▂▃▄▅▆▇█"
"""Points from 0 to 100 as the height of a bar."""


class Work(NamedTuple):
    """An item inside a segment: name, step at which a good crew did it, miles to the threshold."""

    item: str
    step: int
    distance_nm: float


class Flyable(NamedTuple):
    """A segment as a good crew flies it: its steps, where it begins (NM), what is done in it."""

    part: Part
    begins: int
    ends: int
    from_nm: float
    work: tuple[Work, ...]

    @property
    def seconds(self) -> int:
        """How long a good crew takes, s."""
        return (self.ends - self.begins) // STEPS_PER_S


class Reference(NamedTuple):
    """An exercise as a good crew flies it: its segments, and what may be cut out of it freely.

    `work` is everything that is done, in the order in which it is done; `opened` when each of it
    may first be done, steps; `distances_nm` to the threshold at each step; `last` the last step.
    """

    parts: tuple[Flyable, ...]
    work: tuple[Work, ...]
    opened: tuple[int, ...]
    distances_nm: tuple[float, ...]

    @property
    def last(self) -> int:
        """The step at which the flight ends."""
        return len(self.distances_nm) - 1


def reference_of(exercise: Exercise) -> Reference:
    """Fly an exercise once with a good crew, and note what happens where."""
    parts = exercise.flow.parts
    session = Session(exercise)
    watch = session.tracker.evaluator.watch
    ends = [
        [watch(parse_moment_text(text, exercise)) if text else None for text in (one[1], one[2])]
        for one in ((part.name, part.from_moment, part.until_moment) for part in parts)
    ]
    begun: list[int | None] = [None if start else 0 for start, _ in ends]
    ended: list[int | None] = [None for _ in ends]
    crew = PerfectCrew(session.tracker)
    with collection_paused():
        while not session.is_over:
            session.step(crew.acts(session.row))
            step = session.row.step
            for place, (start, end) in enumerate(ends):
                if begun[place] is None and start is not None and start.now:
                    begun[place] = step
                elif begun[place] is not None and ended[place] is None and end and end.now:
                    ended[place] = step
    rows = session.flight.rows
    entries = sorted(
        (one for one in timeline(session.tracker, rows) if one.done is not None),
        key=lambda one: one.done or 0,
    )
    work = tuple(Work(one.item, one.done or 0, one.distance_nm) for one in entries)
    found = []
    for part, begins, end_step in zip(parts, begun, ended, strict=True):
        ends_at = rows[-1].step if end_step is None else end_step
        if begins is None or ends_at - begins < LEAST_STEPS:
            continue
        if part.until_moment and end_step is None:
            continue
        inside = tuple(one for one in work if begins <= one.step < ends_at)
        if inside:
            found.append(Flyable(part, begins, ends_at, rows[begins].along_nm, inside))
    return Reference(
        tuple(found), work, tuple(one.opened for one in entries),
        tuple(row.distance_nm for row in rows),
    )  # fmt: skip


def bar(begins: int, ends: int, last: int, cells: int) -> str:
    """Where a segment lies in its flight of `last` steps, in so many cells."""
    start = min(int(begins / max(last, 1) * cells), cells - 1)
    length = max(1, min(cells - start, round((ends - begins) / max(last, 1) * cells)))
    return "·" * start + "━" * length + "·" * (cells - start - length)


def trend_text(points: Sequence[float]) -> str:
    """The last results of a segment, the newest at the right: bars, then the figures."""
    if not points:
        return "not flown yet"
    bars = "".join(BARS[min(int(max(one, 0.0) / 100.0 * 8.0), 7)] for one in points)
    return f"{bars}  {' '.join(f'{one:.0f}' for one in points)}"
