"""When is it true? Moments evaluated over rows and facts, each distinct one once per step.

Owns the meaning of the grammar: states are true while they are so; happenings occur at a step and
then stay happened; inside `then` they count only from the step before. Knows no item and no
verdict. The surprise: observers of equal moments are shared, so nothing here may be reset except
the private observers of `then`.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping

from trainer.flight.acts import Fact
from trainer.flight.row import Row
from trainer.guidance.modes import Modes
from trainer.scenario.exercise import Exercise
from trainer.scenario.moments import (
    AllOf,
    AnyOf,
    Compare,
    Figure,
    Happened,
    Held,
    Later,
    Moment,
    Not,
    Shows,
    Then,
)
from trainer.scenario.phrases import PhraseBook
from trainer.units import steps_for

LAST_CHANCE_S = 12.0
"""Time kept for the landing checklist before the gate, s (common practice)."""

NEVER = 1 << 40
"""A step that does not come."""

_SUBJECTS: dict[str, Callable[[Row], float | None]] = {
    "distance": lambda row: row.distance_nm,
    "dme": lambda row: row.dme_nm,
    "altitude": lambda row: row.altitude_ft,
    "height": lambda row: row.height_ft,
    "radio height": lambda row: row.radio_ft,
    "altitude to go": lambda row: abs(row.selectors.altitude_ft - row.altitude_ft),
    "speed": lambda row: row.cas_kt,
    "vertical speed": lambda row: row.vertical_speed_fpm,
    "localizer": lambda row: row.localizer_dots,
    "glideslope": lambda row: row.glide_dots,
    "margin": lambda row: row.margin_nm,
    "selected speed": lambda row: row.selectors.speed_kt,
    "selected heading": lambda row: row.selectors.heading_deg,
    "selected altitude": lambda row: row.selectors.altitude_ft,
    "selected vertical speed": lambda row: row.selectors.vertical_speed_fpm,
    "selected course": lambda row: row.selectors.course_deg,
    "selected frequency": lambda row: float(row.selectors.frequency or 0.0),
    "selected altimeter": lambda row: row.selectors.altimeter_hpa,
    "selected minimums": lambda row: row.selectors.minimums_ft,
    "selected final speed": lambda row: row.selectors.final_speed_kt,
}
"""How each quantity is read from a row; "selected X" is where selector X stands."""


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


class _Figure:
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


class _Level(Observer):
    """A quantity below, above or between figures: true while it is so."""

    __slots__ = ("high", "low", "read")

    def __init__(
        self, read: Callable[[Row], float | None], low: _Figure | None, high: _Figure | None
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


class _Crossing(Observer):
    """A quantity that fell or rose through a figure: happens, then stays happened."""

    __slots__ = ("figure", "last", "read", "sign")

    def __init__(
        self, read: Callable[[Row], float | None], figure: _Figure, is_falling: bool
    ) -> None:
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


class _Every(Observer):
    """True in each step in which the quantity passes a multiple of the figure."""

    __slots__ = ("figure", "last", "read")

    def __init__(self, read: Callable[[Row], float | None], figure: float) -> None:
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


class _State(Observer):
    """Something shown: true while one of the values is."""

    __slots__ = ("test",)

    def __init__(self, test: Callable[[Row], bool]) -> None:
        super().__init__()
        self.test = test

    def update(self, context: Context) -> None:
        self.become(self.test(context.row), context)


class _Happening(Observer):
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


class _All(Observer):
    __slots__ = ("children",)

    def __init__(self, children: tuple[Observer, ...]) -> None:
        super().__init__()
        self.children = children

    def update(self, context: Context) -> None:
        for child in self.children:
            if not child.now:
                self.become(False, context)
                return
        self.become(True, context)


class _Any(Observer):
    __slots__ = ("children",)

    def __init__(self, children: tuple[Observer, ...]) -> None:
        super().__init__()
        self.children = children

    def update(self, context: Context) -> None:
        for child in self.children:
            if child.now:
                self.become(True, context)
                return
        self.become(False, context)


class _Not(Observer):
    __slots__ = ("child",)

    def __init__(self, child: Observer) -> None:
        super().__init__()
        self.child = child

    def update(self, context: Context) -> None:
        self.become(not self.child.now, context)


class _Held(Observer):
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


class _Later(Observer):
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


class _Then(Observer):
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


class _Quantity:
    """All observers of one quantity, looked at only when it leaves the gap between figures."""

    __slots__ = ("high", "low", "members", "read")

    def __init__(self, read: Callable[[Row], float | None]) -> None:
        self.read = read
        self.members: list[_Level | _Crossing] = []
        self.low = math.inf
        self.high = -math.inf

    def add(self, member: _Level | _Crossing) -> None:
        self.members.append(member)
        self.low, self.high = math.inf, -math.inf

    def update(self, context: Context) -> None:
        value = self.read(context.row)
        if value is not None and self.low < value < self.high:
            return
        low, high = -math.inf, math.inf
        for member in self.members:
            member.update(context)
            if value is None:
                continue
            for figure in member.figures(context):
                if figure is None or figure == value:
                    # Nothing assigned yet, or just on it: look again at the next step.
                    low, high = math.inf, -math.inf
                elif figure < value:
                    low = max(low, figure)
                else:
                    high = min(high, figure)
        self.low, self.high = (low, high) if value is not None else (math.inf, -math.inf)


class Evaluator:
    """Watches any number of moments over one flight.

    Register moments with `watch`, best before the first row; call `observe` once per row, in
    order. Quantities and states are looked at each step, combinations only when something below
    them has changed or a clock is running: most steps change nothing.
    """

    def __init__(self, exercise: Exercise, book: PhraseBook) -> None:
        self.context = Context()
        self._exercise = exercise
        self._book = book
        self._fixed = exercise.figures()
        self._shared: dict[Moment, Observer] = {}
        self._quantities: dict[str, _Quantity] = {}
        self._states: list[Observer] = []
        self._mode_states: list[Observer] = []
        self._shown: Modes | None = None
        self._happenings: dict[tuple[str, str, str], _Happening] = {}
        self._occurred: list[_Happening] = []
        self._combined: list[Observer] = []
        self._clocks: list[_Held | _Later] = []
        self._thens: list[_Then] = []
        self._announce = frozenset(exercise.flow.announce)
        self._slots = {event.name: event.slots for event in exercise.events}

    def watch(self, moment: Moment) -> Observer:
        """The shared observer of `moment` (equal moments give the same one)."""
        known = self._shared.get(moment)
        if known is None:
            known = self._build(moment, self.watch)
            self._shared[moment] = known
            self._enter(moment, known)
            self.context.is_changed = True
        return known

    def _enter(self, moment: Moment, observer: Observer) -> None:
        """Put a shared observer where it is looked at when it must be, children first."""
        if isinstance(observer, _Level | _Crossing):
            assert isinstance(moment, Compare)
            group = self._quantities.get(moment.subject)
            if group is None:
                group = self._quantities[moment.subject] = _Quantity(observer.read)
            group.add(observer)
        elif isinstance(observer, _Happening):
            self._happenings[observer.key] = observer
        elif isinstance(moment, Shows) and moment.subject == "mode":
            self._mode_states.append(observer)
            self._shown = None
        elif isinstance(observer, _State | _Every):
            self._states.append(observer)
        elif isinstance(observer, _Then):
            self._thens.append(observer)
        else:
            self._combined.append(observer)
            if isinstance(observer, _Held | _Later):
                self._clocks.append(observer)

    def observe(
        self, row: Row, facts: Iterable[Fact], also: Iterable[tuple[str, str, str]] = ()
    ) -> None:
        """Evaluate everything on `row`; `facts` are those since the row before.

        `also` are happenings that only the caller knows (items done, gates).
        """
        context = self.context
        context.row = row
        happenings = context.happenings
        if happenings:
            happenings.clear()
        happenings.update(also)
        for fact in facts:
            self._note(fact)
        if self._occurred:
            for one in self._occurred:
                one.occurred = False
            self._occurred.clear()
        if happenings:
            self._occur(happenings)
        for group in self._quantities.values():
            group.update(context)
        for observer in self._states:
            observer.update(context)
        if row.modes is not self._shown:
            self._shown = row.modes
            for observer in self._mode_states:
                observer.update(context)
        for then in self._thens:
            if not then.now:
                then.update(context)
        if context.is_changed or self._is_clock_running():
            context.is_changed = False
            for observer in self._combined:
                observer.update(context)
            # Combinations stand children first, so one pass settles them all.
            context.is_changed = False

    def _occur(self, happenings: set[tuple[str, str, str]]) -> None:
        for key in sorted(happenings):
            happening = self._happenings.get(key)
            if happening is not None:
                happening.update(self.context)
                self._occurred.append(happening)

    def _is_clock_running(self) -> bool:
        for clock in self._clocks:
            if clock.since != NEVER and not clock.now:
                return True
        return False

    def _note(self, fact: Fact) -> None:
        add = self.context.happenings.add
        kind = fact.kind
        if kind == "acted":
            add(("acted", fact.name, fact.detail))
            add(("acted", fact.name, ""))
        elif kind == "mode":
            add(("changed", "any", ""))
            column = "armed" if fact.name.endswith("armed") else fact.name
            add(("changed", column, ""))
            if is_announced(fact, self._announce):
                add(("changed", "announced", ""))
        elif kind == "said":
            for call in self._book.hear(fact.detail).calls:
                add(("said", call.intent, ""))
        elif kind == "event":
            add(("event", fact.name, ""))
            for name, text in self._slots.get(fact.name, ()):
                if name in ("heading", "altitude", "speed"):
                    self.context.assigned[f"assigned {name}"] = float(text)
            for group in self._quantities.values():
                group.low, group.high = math.inf, -math.inf
        else:
            add((kind, fact.name, ""))

    def _build(self, moment: Moment, child: Callable[[Moment], Observer]) -> Observer:
        match moment:
            case Compare():
                return self._compare(moment)
            case Shows():
                return _State(shows(moment, self._exercise))
            case Happened("last chance"):
                return _State(_is_last_chance)
            case Happened(kind, name, detail):
                return _Happening((kind, name, detail))
            case AllOf(children):
                return _All(tuple(child(one) for one in children))
            case AnyOf(children):
                return _Any(tuple(child(one) for one in children))
            case Not(inner):
                return _Not(child(inner))
            case Held(inner, seconds):
                return _Held(child(inner), steps_for(seconds))
            case Later(inner, seconds, miles):
                return _Later(child(inner), steps_for(seconds), miles)
            case Then(children):
                return _Then(tuple(self._private(one) for one in children))

    def _private(self, moment: Moment) -> tuple[Observer, ...]:
        """Own observers for one stage of `then`, children first, the stage itself last."""
        order: list[Observer] = []

        def build(one: Moment) -> Observer:
            observer = self._build(one, build)
            order.append(observer)
            return observer

        build(moment)
        return tuple(order)

    def _compare(self, moment: Compare) -> Observer:
        read = _SUBJECTS[moment.subject]
        figure = _Figure(moment.figure, self._fixed)
        match moment.relation:
            case "below":
                return _Level(read, None, figure)
            case "above":
                return _Level(read, figure, None)
            case "from":
                assert moment.upper is not None
                return _Level(read, figure, _Figure(moment.upper, self._fixed))
            case "falling" | "rising":
                return _Crossing(read, figure, moment.relation == "falling")
            case "every":
                return _Every(read, moment.figure.value)
        raise RuntimeError(f"unknown relation {moment.relation}")


def is_announced(fact: Fact, announce: frozenset[str]) -> bool:
    """Whether a mode fact is on the announce list (columns, words, or "WORD armed")."""
    if fact.name.endswith("armed"):
        # Words that left an armed list by capturing are announced by the capture.
        before = frozenset(fact.before.split(", ")) if fact.before else frozenset()
        return any(
            f"{word} armed" in announce or "armed" in announce
            for word in fact.detail.split(", ")
            if word and word not in before
        )
    return fact.name in announce or fact.detail in announce


def _is_last_chance(row: Row) -> bool:
    margin = row.margin_nm
    return margin is not None and margin <= row.ground_speed_kt * LAST_CHANCE_S / 3600.0


def shows(moment: Shows, exercise: Exercise) -> Callable[[Row], bool]:
    """A test of one row for a shown state."""
    values = frozenset(moment.values)
    match moment.subject:
        case "mode":
            return _mode_test(moment.key, values)
        case "signal":
            alive = exercise.aircraft.guidance.alive_dots
            return _signal_test(moment.key, values, alive)
        case "config":
            return _config_test(moment.key, moment.values, exercise)
        case "lever":
            if moment.key == "flaps":
                stages = frozenset(exercise.aircraft.stage_index(name) for name in values)
                return lambda row: row.flap_lever in stages
            attribute = {"gear": "gear_lever", "speedbrake": "speedbrake_lever"}.get(
                moment.key, moment.key
            )
            return lambda row: getattr(row, attribute) in values
        case "phase":
            return lambda row: row.phase in values
        case "sees":
            if "lights" in values:
                return lambda row: row.sees in ("lights", "runway")
            return lambda row: row.sees in values
    raise RuntimeError(f"unknown state {moment.subject}")


def _mode_test(column: str, values: frozenset[str]) -> Callable[[Row], bool]:
    if column in ("lateral armed", "vertical armed"):
        place = 2 if column == "lateral armed" else 3
        return lambda row: not values.isdisjoint(row.modes[place])
    place = {"lateral": 0, "vertical": 1, "thrust": 4, "engagement": 5, "capability": 6}[column]
    return lambda row: row.modes[place] in values


def _signal_test(key: str, values: frozenset[str], alive: float) -> Callable[[Row], bool]:
    wants_alive = "alive" in values
    shown = values | ({"covered"} if "received" in values else set())

    def localizer(row: Row) -> bool:
        if row.localizer in shown:
            return True
        return wants_alive and row.localizer_dots is not None and abs(row.localizer_dots) < alive

    def glideslope(row: Row) -> bool:
        if row.glide in shown:
            return True
        return wants_alive and row.glide_dots is not None and abs(row.glide_dots) < alive

    return localizer if key == "localizer" else glideslope


def _config_test(key: str, values: tuple[str, ...], exercise: Exercise) -> Callable[[Row], bool]:
    if key == "flaps":
        stages = tuple(float(exercise.aircraft.stage_index(name)) for name in values)
        return lambda row: any(abs(row.flap - stage) < 1e-6 for stage in stages)
    target = 1.0 if values[0] in ("down", "out") else 0.0
    if key == "gear":
        return lambda row: abs(row.gear - target) < 1e-6
    return lambda row: abs(row.speedbrake - target) < 1e-6
