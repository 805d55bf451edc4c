"""Observers: each watches one moment step by step and remembers when it first became true.

Owns how a level, a crossing, a happening or a combination behaves over time; knows no exercise
and no file. The surprise: observers of equal moments are shared, so nothing here may be reset
except the private observers of `Sequel`.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping

from trainer.flight.row import Row
from trainer.scenario.moments import Figure

NEVER = 1 << 40
"""A step that does not come."""

Reader = Callable[[Row], float | None]
"""How a quantity is read from a row; None while it has no value."""


class Context:
    """What observers read during one step: the row, this step's happenings, assigned values."""

    __slots__ = ("assigned", "happenings", "is_changed", "row")

    def __init__(self) -> None:
        self.row: Row = None  # type: ignore[assignment]
        self.happenings: set[tuple[str, str, str]] = set()
        self.assigned: dict[str, float] = {}
        self.is_changed = True


class Observer:
    """One moment being watched: `now`, and the step at which it first became true."""

    __slots__ = ("first", "now")

    def __init__(self) -> None:
        self.now = False
        self.first = NEVER

    def update(self, context: Context) -> None:
        """Look at this step."""
        raise NotImplementedError

    def become(self, now: bool, context: Context) -> None:
        """Take the level of this step, and say so if it is another one."""
        if now is not self.now:
            self.now = now
            context.is_changed = True
            if now and self.first == NEVER:
                self.first = context.row.step

    def restart(self) -> None:
        """Forget what happened before (only for the private observers of `then`)."""
        self.now = False
        self.first = NEVER


class ResolvedFigure:
    """A figure resolved against fixed or assigned values."""

    __slots__ = ("key", "offset")

    def __init__(self, figure: Figure, fixed: Mapping[str, float]) -> None:
        self.key = ""
        self.offset = figure.value
        if figure.name in fixed:
            self.offset += fixed[figure.name]
        elif figure.name:
            self.key = figure.name

    def value(self, context: Context) -> float | None:
        if not self.key:
            return self.offset
        assigned = context.assigned.get(self.key)
        return None if assigned is None else assigned + self.offset


class Level(Observer):
    """A quantity below, above or between figures: true while it is so."""

    __slots__ = ("high", "low", "read")

    def __init__(
        self, read: Reader, low: ResolvedFigure | None, high: ResolvedFigure | None
    ) -> None:
        super().__init__()
        self.read, self.low, self.high = read, low, high

    def figures(self, context: Context) -> list[float | None]:
        """The values at which the level may change."""
        return [one.value(context) for one in (self.low, self.high) if one is not None]

    def update(self, context: Context) -> None:
        value = self.read(context.row)
        now = value is not None
        if value is not None and self.low is not None:
            low = self.low.value(context)
            now = low is not None and value >= low
        if value is not None and now and self.high is not None:
            high = self.high.value(context)
            now = high is not None and value <= high
        self.become(now, context)


class Crossing(Observer):
    """A quantity that fell or rose through a figure: happens, then stays happened."""

    __slots__ = ("figure", "last", "read", "sign")

    def __init__(self, read: Reader, figure: ResolvedFigure, is_falling: bool) -> None:
        super().__init__()
        self.read, self.figure = read, figure
        self.sign = 1.0 if is_falling else -1.0
        self.last: float | None = None

    def figures(self, context: Context) -> list[float | None]:
        """The values at which the level may change."""
        return [self.figure.value(context)]

    def update(self, context: Context) -> None:
        if self.now:
            return
        value = self.read(context.row)
        figure = self.figure.value(context)
        if value is None or figure is None:
            self.last = None
            return
        gap = self.sign * (value - figure)
        if self.last is not None and self.last > 0.0 >= gap:
            self.become(True, context)
        self.last = gap

    def restart(self) -> None:
        super().restart()
        self.last = None


class Every(Observer):
    """True in each step in which the quantity passes a multiple of the figure."""

    __slots__ = ("figure", "last", "read")

    def __init__(self, read: Reader, figure: float) -> None:
        super().__init__()
        self.read, self.figure = read, figure
        self.last: float | None = None

    def update(self, context: Context) -> None:
        value = self.read(context.row)
        if value is None:
            self.last = None
            self.become(False, context)
            return
        cell = value // self.figure
        self.become(self.last is not None and cell != self.last, context)
        self.last = cell


class State(Observer):
    """Something shown: true while one of the values is."""

    __slots__ = ("test",)

    def __init__(self, test: Callable[[Row], bool]) -> None:
        super().__init__()
        self.test = test

    def update(self, context: Context) -> None:
        self.become(self.test(context.row), context)


class Happening(Observer):
    """Something that occurs; `occurred` is true in the very step, `now` ever after."""

    __slots__ = ("key", "occurred")

    def __init__(self, key: tuple[str, str, str]) -> None:
        super().__init__()
        self.key = key
        self.occurred = False

    def update(self, context: Context) -> None:
        self.occurred = self.key in context.happenings
        if self.occurred:
            self.become(True, context)


class Combined(Observer):
    """True while every child is (`is_all`), or while at least one is."""

    __slots__ = ("children", "is_all")

    def __init__(self, children: tuple[Observer, ...], is_all: bool) -> None:
        super().__init__()
        self.children, self.is_all = children, is_all

    def update(self, context: Context) -> None:
        is_all = self.is_all
        for child in self.children:
            if child.now is not is_all:
                self.become(not is_all, context)
                return
        self.become(is_all, context)


class Negation(Observer):
    """True while the child is not."""

    __slots__ = ("child",)

    def __init__(self, child: Observer) -> None:
        super().__init__()
        self.child = child

    def update(self, context: Context) -> None:
        self.become(not self.child.now, context)


class HeldFor(Observer):
    """True once the child has been true without a break for so many steps."""

    __slots__ = ("child", "since", "steps")

    def __init__(self, child: Observer, steps: int) -> None:
        super().__init__()
        self.child, self.steps = child, steps
        self.since = NEVER

    def update(self, context: Context) -> None:
        step = context.row.step
        if not self.child.now:
            self.since = NEVER
            self.become(False, context)
            return
        if self.since == NEVER:
            self.since = step
        self.become(step - self.since >= self.steps, context)

    def restart(self) -> None:
        super().restart()
        self.since = NEVER


class LaterThan(Observer):
    """Time or distance after the child first became true; then it stays happened."""

    __slots__ = ("child", "from_nm", "miles", "since", "steps")

    def __init__(self, child: Observer, steps: int, miles: float) -> None:
        super().__init__()
        self.child, self.steps, self.miles = child, steps, miles
        self.since = NEVER
        self.from_nm = 0.0

    def update(self, context: Context) -> None:
        if self.now:
            return
        row = context.row
        if self.since == NEVER:
            if not self.child.now:
                return
            self.since, self.from_nm = row.step, row.flown_nm
        if row.step - self.since >= self.steps and row.flown_nm - self.from_nm >= self.miles:
            self.become(True, context)

    def restart(self) -> None:
        super().restart()
        self.since = NEVER


class Sequel(Observer):
    """Children in order; each private child starts to count when the one before is true."""

    __slots__ = ("stages", "turn")

    def __init__(self, stages: tuple[tuple[Observer, ...], ...]) -> None:
        super().__init__()
        self.stages = stages
        self.turn = 0

    def update(self, context: Context) -> None:
        while not self.now:
            stage = self.stages[self.turn]
            for observer in stage:
                observer.update(context)
            if not stage[-1].now:
                return
            self.turn += 1
            if self.turn == len(self.stages):
                self.become(True, context)
                return
            for observer in self.stages[self.turn]:
                observer.restart()


class Quantity:
    """All observers of one quantity, looked at only when it leaves the gap between figures.

    `settled`: the value at which all of them were looked at last. A second look at the same value
    finds nothing, whether it stands on a figure, is not known, or is compared with nothing yet.
    """

    __slots__ = ("high", "low", "members", "read", "settled")

    def __init__(self, read: Reader) -> None:
        self.read = read
        self.members: list[Level | Crossing] = []
        self.forget()

    def add(self, member: Level | Crossing) -> None:
        self.members.append(member)
        self.forget()

    def forget(self) -> None:
        """A figure is another one, or a member is new: look again at the next step."""
        self.low, self.high = math.inf, -math.inf
        self.settled: float | None = math.nan

    def update(self, value: float | None, context: Context) -> None:
        """Look at all of them at `value`, and find the gap in which it stands."""
        low, high = -math.inf, math.inf
        self.settled = value
        for member in self.members:
            member.update(context)
            if value is None:
                continue
            for figure in member.figures(context):
                if figure is None:
                    continue  # not assigned yet: whoever assigns it has the gap forgotten
                if figure == value:
                    # Just on it: look again at the next step.
                    low, high = math.inf, -math.inf
                elif figure < value:
                    low = max(low, figure)
                else:
                    high = min(high, figure)
        self.low, self.high = (low, high) if value is not None else (math.inf, -math.inf)
