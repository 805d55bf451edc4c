"""One item on its way: waiting, open, settled; with the window it really got.

Owns opening, due and closing of a single item; knows nothing of other items. Rules: a due
duration counts from opening; a due moment is the first step at which it is true once the item is
open; nobody is late before a floor of 3 s for hands, 5 s for speech, 6 s where due is a moment.
"""

from __future__ import annotations

from trainer.flight.acts import Fact
from trainer.flight.moments import Evaluator
from trainer.flight.observers import NEVER, Observer
from trainer.scenario.exercise import Item
from trainer.scenario.moments import (
    AllOf,
    AnyOf,
    Compare,
    Happened,
    Held,
    Later,
    Not,
    Shows,
    Then,
    requirements,
)
from trainer.units import steps_for
from trainer.values import dataclass

MOMENTS = (Compare, Shows, Happened, AllOf, AnyOf, Not, Then, Held, Later)

FLOOR_ACT = steps_for(3.0)
FLOOR_SPEECH = steps_for(5.0)
FLOOR_MOMENT = steps_for(6.0)
DUE_AFTER_CLEARANCE = steps_for(12.0)
CLOSES_AFTER_CLEARANCE = steps_for(25.0)
"""Least time from a clearance to due and closing of what only waited for it."""
ORDERS = ("go around", "discontinue")
"""What a controller orders is done at once: it is no clearance that comes late."""
CLOSE_AFTER_MIN = steps_for(5.0)
LATE_SPAN = steps_for(30.0)
"""Span over which late credit falls to nothing where the closing never came."""
AIM_AFTER = steps_for(2.0)
GIVE_WAY_MAX = steps_for(15.0)
"""Most that due and closing of an item move while a more urgent one is open."""

URGENCY = {"decision": 1, "communication": 2, "clearances": 2, "modes": 3, "guidance": 3}
"""What comes first, by area: gate and minimums, clearances, modes, then routine (4)."""
ROUTINE = 4


@dataclass(slots=True)
class Wrong:
    """A wrong act on an open item: when, and what it was; it may still be put right."""

    step: int
    found: str


@dataclass(slots=True, eq=False)
class Track:
    """The life of one item (or one instance of a recurring item) during a flight."""

    item: Item
    name: str
    place: int
    weight: float
    urgency: int
    opens: Observer
    due_observer: Observer | None
    closes_observer: Observer | None
    void_observer: Observer | None
    aim_observer: Observer | None
    lines: tuple[Observer, ...] = ()
    fact: Fact | None = None
    is_go_around: bool = False
    opened: int | None = None
    due: int = NEVER
    closes: int = NEVER
    done: int | None = None
    done_found: str = ""
    early: Wrong | None = None
    wrong: Wrong | None = None
    is_early_done: bool = False
    is_void: bool = False
    is_missed: bool = False
    gave_way: int = 0
    clearances: tuple[Observer, ...] = ()
    is_cleared_late: bool = False
    is_held: bool = False
    is_waived: bool = False
    corrected: int | None = None
    was_true: bool = False

    @property
    def is_speech(self) -> bool:
        """Whether the act is spoken."""
        return self.item.act.kind in ("say", "read back")

    @property
    def is_open(self) -> bool:
        """Open, undone, neither void nor missed, and not held by an assigned speed."""
        return self.is_pending and not self.is_held

    @property
    def is_pending(self) -> bool:
        """Open or held, undone and neither void nor missed."""
        return (
            self.opened is not None
            and self.done is None
            and not self.is_void
            and not self.is_missed
        )

    @property
    def needs_closing(self) -> bool:
        """Done late, with its closing still to come: credit depends on it."""
        return (
            self.done is not None
            and self.done > self.due
            and self.closes == NEVER
            and not self.is_void
        )

    def takes_call(self, step: int) -> bool:
        """Whether a call that counts from `step` still meets the item, even if it was sent later.

        Typing takes longer than speaking: the window may have closed in between.
        """
        return self.is_open or (self.is_missed and self.done is None and step <= self.closes)

    @property
    def is_waiting(self) -> bool:
        """Not opened yet and still able to."""
        return self.opened is None and not self.is_void

    @property
    def floor(self) -> int:
        """Steps after opening before which nobody is late."""
        if self.is_cleared_late:
            return DUE_AFTER_CLEARANCE
        if isinstance(self.item.due, MOMENTS):
            return FLOOR_MOMENT
        return FLOOR_SPEECH if self.is_speech else FLOOR_ACT

    def give_way(self) -> None:
        """Move due and closing by one step, because something more urgent is open.

        A due moment (last chance, a height) is physics and does not wait.
        """
        if self.gave_way >= GIVE_WAY_MAX or isinstance(self.item.due, MOMENTS):
            return
        self.gave_way += 1
        self._wait()

    def hold(self) -> None:
        """Wait one step, because an assigned speed stands in place of what the item asks for."""
        self.is_held = True
        self._wait()

    def _wait(self) -> None:
        """Move what counts from opening by one step; a closing that has come stays behind due."""
        if not isinstance(self.item.due, MOMENTS):
            self.due += 1
        if not isinstance(self.item.closes, MOMENTS):
            self.closes += 1
        elif self.due != NEVER:
            self.closes = max(self.closes, self.due)

    def open_at(self, step: int) -> None:
        """Open the item at `step`, and look at once at its due and closing.

        If the clearance that it waited for came last, its window counts from the clearance; if the
        window had closed before, there is no room for it and it is void.
        """
        self.opened = step
        self.is_cleared_late = any(one.first == step for one in self.clearances)
        if self.is_cleared_late and self.closes_observer is not None and self.closes_observer.now:
            self.is_void = True
            return
        due = self.item.due
        if not isinstance(due, MOMENTS):
            self.due = step + max(steps_for(due), self.floor)
        self.look(step)

    def look(self, step: int) -> None:
        """See whether due or closing have come at `step`."""
        assert self.opened is not None
        if self.due == NEVER and self.due_observer is not None and self.due_observer.now:
            self.due = max(step, self.opened + self.floor)
        if self.closes != NEVER:
            return
        closes = self.item.closes
        if closes is None:
            if self.due != NEVER:
                self.closes = self.due + max(CLOSE_AFTER_MIN, self.due - self.opened)
        elif not isinstance(closes, MOMENTS):
            self.closes = self.opened + steps_for(closes)
        elif self.closes_observer is not None and self.closes_observer.now:
            self.closes = max(step, self.opened + self.floor)
        if self.due != NEVER:
            self.closes = max(self.closes, self.due)
        if self.is_cleared_late:
            self.closes = max(self.closes, self.opened + CLOSES_AFTER_CLEARANCE)

    def aim_at(self, step: int) -> bool:
        """Whether a good crew would act by `step`."""
        if self.opened is None:
            return False
        if self.due <= step:
            return True
        aim = self.item.aim
        if aim is None:
            return step >= self.opened + AIM_AFTER
        if isinstance(aim, MOMENTS):
            return self.aim_observer is not None and self.aim_observer.now
        return step >= self.opened + steps_for(aim)


def track_of(item: Item, place: int, evaluator: Evaluator, *, is_go_around: bool = False) -> Track:
    """A track for `item`, its moments registered with `evaluator`."""

    def watch(when: object) -> Observer | None:
        return evaluator.watch(when) if isinstance(when, MOMENTS) else None

    moment = item.each if item.each is not None else item.opens
    if item.act.states:
        # A checklist line can be answered only once it is so: until then the list is held there.
        moment = AllOf((moment, *item.act.states))
    opens = evaluator.watch(moment)
    return Track(
        item=item,
        name=item.name,
        place=place,
        weight=item.weight,
        urgency=URGENCY.get(item.area, ROUTINE),
        opens=opens,
        due_observer=watch(item.due),
        closes_observer=watch(item.closes),
        void_observer=watch(item.void),
        aim_observer=watch(item.aim),
        clearances=tuple(
            evaluator.watch(need)
            for need in requirements(moment)
            if need.kind == "granted" and need.name not in ORDERS
        ),
        lines=tuple(evaluator.watch(state) for state in item.act.states),
        is_go_around=is_go_around,
    )
