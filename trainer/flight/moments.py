"""When is it true? Moments evaluated over rows and facts, each distinct one once per step.

Owns the meaning of the grammar: states are true while they are so; happenings occur at a step and
then stay happened; inside `then` they count only from the step before. Knows no item and no
verdict.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence

from trainer.flight.acts import Fact
from trainer.flight.observers import (
    NEVER,
    Combined,
    Context,
    Crossing,
    Every,
    Happening,
    HeldFor,
    LaterThan,
    Level,
    Negation,
    Observer,
    Quantity,
    ResolvedFigure,
    Sequel,
    State,
)
from trainer.flight.outlook import Outlook
from trainer.flight.row import Row
from trainer.flight.shown import SUBJECTS, deck_of, is_last_chance, is_used_up, shows
from trainer.flight.surroundings import surroundings_of
from trainer.guidance.modes import Modes
from trainer.scenario.exercise import Exercise
from trainer.scenario.moments import (
    AllOf,
    AnyOf,
    Compare,
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

SPEED_ENDS_NM = 5.0
"""Where an assigned speed without a stated end is over (AIM 4-4-12: none inside 5 miles)."""
DECLINED_WITHIN = steps_for(25.0)
"""Time in which a clearance may be answered with "unable"."""
OFF_APPROACH = ("go-around", "climb-out", "decision", "discontinued")
"""Phases in which no speed of the approach is in force any more."""


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
        self._quantities: dict[str, Quantity] = {}
        self._each_step: list[Observer] = []
        self._mode_states: list[Observer] = []
        self._modes: Modes | None = None
        self._deck_states: list[Observer] = []
        self._deck: tuple[object, ...] = ()
        self._happenings: dict[tuple[str, str, str], Happening] = {}
        self._occurred: list[Happening] = []
        self._combined: list[Observer] = []
        self._clocks: list[HeldFor | LaterThan] = []
        self._thens: list[Sequel] = []
        self._announce = frozenset(exercise.flow.announce)
        self._floors = list(exercise.approach.floors())
        self._floor(0)
        self._slots = {event.name: dict(event.slots) for event in exercise.events}
        self._ice = [one.name for one in exercise.events if one.weather and one.weather.is_icing]
        self.context.assigned.update(exercise.speed_figures(False))
        self.context.assigned.update(exercise.minimum_figures(""))
        self._speed_ends_nm = SPEED_ENDS_NM
        self._newest: tuple[int, tuple[str, ...]] = (-NEVER, ())

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
        if isinstance(observer, Level | Crossing):
            assert isinstance(moment, Compare)
            group = self._quantities.get(moment.subject)
            if group is None:
                group = self._quantities[moment.subject] = Quantity(observer.read)
            group.add(observer)
        elif isinstance(observer, Happening):
            self._happenings[observer.key] = observer
        elif isinstance(moment, Shows) and moment.subject == "mode":
            self._mode_states.append(observer)
            self._modes = None
        elif isinstance(moment, Shows) and "alive" not in moment.values:
            self._deck_states.append(observer)
            self._deck = ()
        elif isinstance(observer, State | Every):
            self._each_step.append(observer)
        elif isinstance(observer, Sequel):
            self._thens.append(observer)
        else:
            self._combined.append(observer)
            if isinstance(observer, HeldFor | LaterThan):
                self._clocks.append(observer)

    def observe(
        self, row: Row, facts: Iterable[Fact], also: Sequence[tuple[str, str, str]] = ()
    ) -> None:
        """Evaluate everything on `row`; `facts` are those since the row before.

        `also` are happenings that only the caller knows (items done, gates).
        """
        context = self.context
        context.row = row
        happenings = context.happenings
        if happenings:
            happenings.clear()
        if also:
            happenings.update(also)
        for fact in facts:
            self._note(fact)
        if "assigned speed" in context.assigned and (
            row.distance_nm <= self._speed_ends_nm or row.phase in OFF_APPROACH
        ):
            self._withdraw(("assigned speed",))
        if self._occurred:
            for one in self._occurred:
                one.occurred = False
            self._occurred.clear()
        if happenings:
            self._occur(happenings)
        for group in self._quantities.values():
            value = group.read(row)
            # Most quantities stand between two figures, or where they stood: nothing changes.
            is_in_gap = value is not None and group.low < value < group.high
            if not is_in_gap and value != group.settled:
                group.update(value, context)
        for observer in self._each_step:
            observer.update(context)
        if row.modes is not self._modes:
            self._modes = row.modes
            for observer in self._mode_states:
                observer.update(context)
        deck = deck_of(row)
        if deck != self._deck:
            self._deck = deck
            for observer in self._deck_states:
                observer.update(context)
        for then in self._thens:
            if not then.now:
                then.update(context)
        for clock in () if context.is_changed else self._clocks:
            if clock.since != NEVER and not clock.now:
                context.is_changed = True
                break
        if context.is_changed:
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
            if column == "capability":
                self.context.assigned.update(self._exercise.minimum_figures(fact.detail))
                self._forget_gaps()
        elif kind == "said":
            for call in self._book.hear(fact.detail).calls:
                add(("said", call.intent, ""))
                if call.intent == "unable":
                    self._decline()
        elif kind == "event":
            add(("event", fact.name, ""))
            self._assign(self._slots.get(fact.name, {}))
            if fact.name in self._ice:
                self.context.assigned.update(self._exercise.speed_figures(True))
                self._forget_gaps()
        else:
            add((kind, fact.name, ""))
            if (kind, fact.name) == ("granted", "approach"):
                self._clear_for_approach(fact.detail)
            if kind == "read back" and any(
                call.intent == "unable" for call in self._book.hear(fact.detail).calls
            ):
                self._decline()
            if kind == "passed":
                names = [name for name, _ in self._floors]
                if fact.name in names:
                    self._floor(names.index(fact.name) + 1)

    def _assign(self, slots: Mapping[str, str]) -> None:
        values = [name for name in ("heading", "altitude", "speed") if name in slots]
        for name in values:
            self.context.assigned[f"assigned {name}"] = float(slots[name])
        if values:
            self._newest = (self.context.row.step, tuple(f"assigned {one}" for one in values))
        if "speed" in slots:
            self._speed_ends_nm = float(slots.get("distance", SPEED_ENDS_NM))
        self._forget_gaps()

    def _clear_for_approach(self, event: str) -> None:
        """An approach clearance ends an assigned speed unless it says one again (AIM 4-4-12)."""
        if "speed" not in self._slots.get(event, {}):
            self._withdraw(("assigned speed",))

    def _decline(self) -> None:
        """ "Unable", said in time, takes back what the newest clearance assigned."""
        step, names = self._newest
        if self.context.row.step - step <= DECLINED_WITHIN:
            self._withdraw(names)

    def _withdraw(self, names: Iterable[str]) -> None:
        for name in names:
            self.context.assigned.pop(name, None)
        self._forget_gaps()

    def _forget_gaps(self) -> None:
        for group in self._quantities.values():
            group.forget()

    def _floor(self, passed: int) -> None:
        """The step minimum that holds once the first `passed` fixes lie behind."""
        del self._floors[:passed]
        self.context.assigned["segment minimum"] = self._floors[0][1]
        self._forget_gaps()

    def _build(self, moment: Moment, child: Callable[[Moment], Observer]) -> Observer:
        match moment:
            case Compare():
                return self._compare(moment)
            case Shows():
                return State(shows(moment, self._exercise))
            case Happened("last chance", name):
                return State(self._last_chance(name))
            case Happened(kind, name, detail):
                return Happening((kind, name, detail))
            case AllOf(children):
                return Combined(tuple(child(one) for one in children), is_all=True)
            case AnyOf(children):
                return Combined(tuple(child(one) for one in children), is_all=False)
            case Not(inner):
                return Negation(child(inner))
            case Held(inner, seconds):
                return HeldFor(child(inner), steps_for(seconds))
            case Later(inner, seconds, miles):
                return LaterThan(child(inner), steps_for(seconds), miles)
            case Then(children):
                return Sequel(tuple(self._private(one) for one in children))

    def _last_chance(self, name: str) -> Callable[[Row], bool]:
        """The rows hold the margin to the main gate; that to another one is worked out here."""
        if not any(gate.name == name and not gate.is_main for gate in self._exercise.flow.gates):
            return is_last_chance
        outlook = Outlook(self._exercise, surroundings_of(self._exercise), name)
        return lambda row: is_used_up(outlook.margin_nm(row, row.phase), row)

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
        read = SUBJECTS[moment.subject]
        figure = ResolvedFigure(moment.figure, self._fixed)
        match moment.relation:
            case "below":
                return Level(read, None, figure)
            case "above":
                return Level(read, figure, None)
            case "from":
                assert moment.upper is not None
                return Level(read, figure, ResolvedFigure(moment.upper, self._fixed))
            case "falling" | "rising":
                return Crossing(read, figure, moment.relation == "falling")
            case "every":
                return Every(read, moment.figure.value)
        raise RuntimeError(f"unknown relation {moment.relation}")


def is_announced(fact: Fact, announce: frozenset[str]) -> bool:
    """Whether a mode fact is on the announce list (columns, words, or "WORD armed")."""
    if fact.name.endswith("armed"):
        # Words that left an armed list by capturing are announced by the capture.
        before = fact.before.split(", ")
        return any(
            f"{word} armed" in announce or "armed" in announce
            for word in fact.detail.split(", ")
            if word and word not in before
        )
    return fact.name in announce or fact.detail in announce
