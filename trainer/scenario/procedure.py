"""What a crew does as values: items with their windows, watches, gates, checklists and words."""

from __future__ import annotations

from trainer.scenario.moments import START, Figure, Moment
from trainer.values import dataclass

When = Moment | float
"""A moment, or a duration in seconds counted from the opening of the item."""


@dataclass(frozen=True, slots=True)
class Act:
    """What an item expects.

    kind: "do" (control and position; position "" for a button), "set" (control and figure),
    "say" (intent), "read back" (name of an event), "line" (checklist and challenge).
    `states`: for a line, what must be true of the aircraft (moments all of which must hold).
    """

    kind: str
    control: str = ""
    position: str = ""
    figure: Figure | None = None
    text: str = ""
    intent: str = ""
    event: str = ""
    checklist: str = ""
    challenge: str = ""
    states: tuple[Moment, ...] = ()


@dataclass(frozen=True, slots=True)
class Item:
    """One expected crew action and its window (see `judge.tracker` for the meaning).

    `is_response`: the other pilot's half of an exchange.
    `answers`: for the answer to a fault, every act that is accepted (`act` is the first of them).
    """

    name: str
    act: Act
    role: str = "either"
    opens: Moment = START
    aim: When | None = None
    due: When = 30.0
    closes: When | None = None
    void: Moment | None = None
    early: str = "fine"
    each: Moment | None = None
    while_: Moment | None = None
    group: str = ""
    weight: float = 1.0
    area: str = ""
    why: str = ""
    source: str = ""
    variants: tuple[tuple[str, Item], ...] = ()
    answers: tuple[Act, ...] = ()
    is_response: bool = False


def recurring_part(name: str) -> str:
    """The recurring item of an instance: "mode call" of "mode call 2"; "" without a number."""
    base, _, number = name.rpartition(" ")
    return base if number.isdecimal() else ""


@dataclass(frozen=True, slots=True)
class Watch:
    """Something that must never (or always) be so; a finding is one excursion.

    kind: "never", "always" (with `moment`), "limit" (limit speeds: flaps, gear, maximum,
    manoeuvring), "mismatch" (said what was not shown).
    """

    name: str
    kind: str
    moment: Moment | None
    limit: str = ""
    while_: Moment | None = None
    for_s: float = 0.0
    unless_said: str = ""
    severity: str = "minor"
    causes: tuple[str, ...] = ()
    why: str = ""
    source: str = ""


@dataclass(frozen=True, slots=True)
class Criterion:
    """One condition of a gate from the closed list in `judge.gates`, with its limit."""

    name: str
    limit: float
    text: str = ""


@dataclass(frozen=True, slots=True)
class Gate:
    """A stable-approach gate: a height above the field at which all criteria must hold.

    speed_kt: what its speeds are counted from; None = the final approach speed.
    """

    name: str
    height_ft: float
    criteria: tuple[Criterion, ...]
    is_main: bool
    source: str = ""
    speed_kt: float | None = None

    @property
    def flap_role(self) -> str:
        """The role of the flap stage that must be out: "landing" unless the gate says otherwise."""
        return next((one.text for one in self.criteria if one.name == "configuration"), "landing")


@dataclass(frozen=True, slots=True)
class ChecklistLine:
    """Challenge, the states that make the answer true, and who answers."""

    challenge: str
    answer: str
    states: tuple[Moment, ...]
    by: str


@dataclass(frozen=True, slots=True)
class Checklist:
    """A named list of challenges and responses, read in order."""

    name: str
    lines: tuple[ChecklistLine, ...]


@dataclass(frozen=True, slots=True)
class Part:
    """A named part of the flight to practise: moments as text, "" = from the start, to the end."""

    name: str
    from_moment: str
    until_moment: str


@dataclass(frozen=True, slots=True)
class Flow:
    """What a crew of one family does on one kind of approach.

    pilots: one alone has nobody who calls deviations.
    """

    name: str
    title: str
    items: tuple[Item, ...]
    go_around: tuple[Item, ...]
    watches: tuple[Watch, ...]
    gates: tuple[Gate, ...]
    checklists: tuple[Checklist, ...]
    announce: tuple[str, ...]
    ordered: tuple[str, ...]
    add_on_ft: float = 0.0
    parts: tuple[Part, ...] = ()
    pilots: int = 2

    @property
    def every_item(self) -> tuple[Item, ...]:
        """The items of the approach, then those of the go-around."""
        return (*self.items, *self.go_around)

    @property
    def recurring(self) -> frozenset[str]:
        """The names of the items that come again and again."""
        return frozenset(item.name for item in self.every_item if item.each is not None)


@dataclass(frozen=True, slots=True)
class House:
    """House words: phrases by intent, two-letter short forms, call thresholds."""

    name: str
    words: tuple[tuple[str, tuple[str, ...]], ...]
    short: tuple[tuple[str, str], ...]
    limits: tuple[tuple[str, float], ...]
