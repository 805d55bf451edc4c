"""The segments of an exercise that can be flown by themselves, and how they went lately.

Found by flying the exercise once with a good crew: a segment that is never reached there, or that
would end as it begins, is not offered. It judges nothing and draws nothing.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

from trainer.crew.perfect import PerfectCrew
from trainer.crew.session import Session
from trainer.flight.replay import collection_paused
from trainer.proof.timeline import timeline
from trainer.scenario.crew_files import parse_moment_text

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
        return (self.ends - self.begins) // 10


def flyable(exercise: Exercise) -> tuple[Flyable, ...]:
    """The segments of the flow that this exercise reaches, in the order of the flow."""
    parts = exercise.flow.parts
    if not parts:
        return ()
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
    last = rows[-1].step
    entries = timeline(session.tracker, rows)
    found = []
    for part, begins, end_step in zip(parts, begun, ended, strict=True):
        ends_at = last if end_step is None else end_step
        if begins is None or ends_at - begins < LEAST_STEPS:
            continue
        if part.until_moment and end_step is None:
            continue
        work = tuple(
            Work(one.item, one.done, one.distance_nm)
            for one in entries
            if one.done is not None and begins <= one.done < ends_at
        )
        if work:
            found.append(
                Flyable(
                    part, begins, ends_at, rows[begins].along_nm,
                    tuple(sorted(work, key=lambda one: one.step)),
                )
            )  # fmt: skip
    return tuple(found)


def trend_text(points: Sequence[float]) -> str:
    """The last results of a segment, the newest at the right: bars, then the figures."""
    if not points:
        return "not flown yet"
    bars = "".join(BARS[min(int(max(one, 0.0) / 100.0 * 8.0), 7)] for one in points)
    return f"{bars}  {' '.join(f'{one:.0f}' for one in points)}"
