"""Names that must exist: checks mentions, and puts this exercise's names into moments.

Owns the last step from "flaps landing" and "passed: final fix" to the stage and the fix of one
exercise. Surprising rules: an item that does not exist on this type counts as done (its gear is
always down), and a flow may name an event that this exercise does not have (it never happens).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import field, replace

from trainer.errors import hint
from trainer.scenario.exercise import Exercise, When
from trainer.scenario.moments import (
    START,
    AllOf,
    AnyOf,
    Happened,
    Held,
    Later,
    Moment,
    Not,
    Shows,
    Then,
)
from trainer.scenario.nodes import Source
from trainer.scenario.reading import Mention, Reading
from trainer.scenario.vocabulary import words
from trainer.text import quoted
from trainer.values import dataclass
from trainer.world.aircraft import AircraftType, FlapStage


@dataclass(slots=True)
class Names:
    """Every name of one exercise, by kind of mention.

    `aircraft`: None if its file could not be used. `recurring`: those of `items` that happen more
    than once, each time as an instance with a number. `filtered`: items that exist in the flow but
    not on this type. `strict`: the file in which unknown events are problems (elsewhere they
    simply never happen). `open_kinds`: kinds whose names could not all be read, so that an unknown
    one is no problem of whoever mentions it.
    """

    aircraft: AircraftType | None
    fixes: tuple[str, ...] = ()
    events: tuple[str, ...] = ()
    items: tuple[str, ...] = ()
    recurring: tuple[str, ...] = ()
    filtered: tuple[str, ...] = ()
    gates: tuple[str, ...] = ()
    intents: tuple[str, ...] = ()
    checklists: tuple[str, ...] = ()
    final_fix: str = ""
    threshold: str = ""
    strict: Source | None = None
    open_kinds: frozenset[str] = frozenset()
    _known: dict[str, tuple[str, ...]] = field(default_factory=dict)

    def known(self, kind: str) -> tuple[str, ...]:
        """Names of `kind` that may be mentioned."""
        if not self._known:
            stages = tuple(stage.name for stage in self._flaps())
            self._known = {
                "fix": (*self.fixes, *words.FIX_ROLES),
                "event": self.events,
                "item": (*self.items, *self.filtered),
                "gate": self.gates,
                "intent": self.intents,
                "checklist": self.checklists,
                "stage": (*stages, *self.roles()),
                "control": () if self.aircraft is None else self.aircraft.controls,
            }
        return self._known[kind]

    def has(self, kind: str, name: str) -> bool:
        """Whether `name` may be mentioned as a `kind`, or that cannot be told."""
        if kind in self.open_kinds or (self.aircraft is None and kind in ("stage", "control")):
            return True
        return name in self.known(kind)

    def _flaps(self) -> tuple[FlapStage, ...]:
        return () if self.aircraft is None else self.aircraft.flaps

    def roles(self) -> tuple[str, ...]:
        """Flap roles that the type plays."""
        played = [role for stage in self._flaps() for role in stage.roles]
        return tuple(role for role in words.FLAP_ROLES if role in played)

    def check(self, mentions: Iterable[Mention], reading: Reading) -> None:
        """Note a problem for each mention that names nothing."""
        for mention in mentions:
            if self.has(mention.kind, mention.name):
                continue
            if mention.kind == "event" and mention.node.source is not self.strict:
                continue
            reading.refuse(mention.node, self._unknown(mention, self.known(mention.kind)))

    def _unknown(self, mention: Mention, known: tuple[str, ...]) -> str:
        if mention.kind == "control" and self.aircraft is not None:
            return (
                f"{self.aircraft.title} has no {mention.name}; "
                "expected a control of the type, or if: {aircraft: {control: …}}"
            )
        what = {
            "fix": "fix of this approach", "intent": "call of the house", "stage": "flap stage",
        }.get(mention.kind, mention.kind)  # fmt: skip
        return f"unknown {what} {quoted(mention.name)}{hint(mention.name, known)}"

    def stage(self, name: str) -> str:
        """The stage that `name` (a stage or a role) means on this type.

        A name that means none comes back as it is; `check` has noted the problem.
        """
        if self.aircraft is None or name not in self.roles():
            return name
        if any(stage.name == name for stage in self.aircraft.flaps):
            return name
        return self.aircraft.flaps[self.aircraft.stage_for(name)].name

    def resolve(self, moment: Moment) -> Moment:
        """`moment` with stages, fixes and missing items of this exercise."""
        match moment:
            case AllOf(children):
                return AllOf(tuple(self.resolve(child) for child in children))
            case AnyOf(children):
                return AnyOf(tuple(self.resolve(child) for child in children))
            case Then(children):
                return Then(tuple(self.resolve(child) for child in children))
            case Not(child) | Held(child, _) | Later(child, _, _):
                return replace(moment, child=self.resolve(child))
            case Shows(subject="config" | "lever", key="flaps", values=values):
                return Shows(moment.subject, "flaps", tuple(self.stage(name) for name in values))
            case Happened("acted", "flaps", detail) if detail:
                return Happened("acted", "flaps", self.stage(detail))
            case Happened("passed", "final fix"):
                return Happened("passed", self.final_fix)
            case Happened("passed", "threshold"):
                return Happened("passed", self.threshold)
            case Happened("done", name) if name in self.filtered and name not in self.items:
                return START
        return moment

    def resolve_when(self, when: When | None) -> When | None:
        """A duration as it is, a moment resolved, None as None."""
        return when if when is None or isinstance(when, float | int) else self.resolve(when)

    def resolve_maybe(self, moment: Moment | None) -> Moment | None:
        """A moment resolved, None as None."""
        return None if moment is None else self.resolve(moment)


def names_of(exercise: Exercise, source: Source | None = None) -> Names:
    """The names of a composed exercise, for crew files and commands (`source`: strict file)."""
    flow = exercise.flow
    return Names(
        aircraft=exercise.aircraft,
        fixes=known_fixes(exercise),
        events=tuple(event.name for event in exercise.events),
        items=tuple(item.name for item in flow.every_item),
        recurring=tuple(item.name for item in flow.every_item if item.each is not None),
        gates=tuple(gate.name for gate in flow.gates),
        intents=tuple(intent for intent, _ in exercise.house.words),
        checklists=tuple(checklist.name for checklist in flow.checklists),
        final_fix=exercise.approach.final_fix.name,
        threshold=f"RW{exercise.approach.runway.name}",
        strict=source,
    )


def known_fixes(exercise: Exercise) -> tuple[str, ...]:
    """Names of all fixes that can be passed in this exercise."""
    approach = exercise.approach
    names = [fix.name for fix in exercise.airport.fixes]
    names += [leg.fix.name for leg in (*approach.legs, *approach.missed_legs)]
    names.append(f"RW{approach.runway.name}")
    return tuple(dict.fromkeys(names))
