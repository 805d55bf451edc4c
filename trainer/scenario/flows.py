"""Flow files as values: items, watches, gates, checklists and segments of one exercise.

What one item becomes stands in `flow_items`, which items exist in `listing`. Refuses to know the
exercise except by its names. Surprising rule: exactly one gate is the main one; the last chance of
every configuration item is counted to it.
"""

from __future__ import annotations

from trainer.scenario import nodes
from trainer.scenario.exercise import (
    Checklist,
    ChecklistLine,
    Criterion,
    Flow,
    Gate,
    Item,
    Part,
    Watch,
)
from trainer.scenario.fields import Fields
from trainer.scenario.flow_items import ItemBuilder
from trainer.scenario.listing import Listed, lines_of
from trainer.scenario.moments import Moment, Shows
from trainer.scenario.reading import Reading
from trainer.scenario.references import Names
from trainer.scenario.vocabulary import words
from trainer.text import quoted


class FlowBuilder:
    """Builds the items of one flow for one exercise; collects every problem.

    What was not read soundly is left out, its mentions checked all the same.
    """

    def __init__(self, flow: Fields, names: Names, reading: Reading) -> None:
        self._flow = flow
        self._names = names
        self._reading = reading
        self._checklists = {
            name: self._checklist(name) for name in sorted(flow.named("checklists"))
        }
        self._items = ItemBuilder(self._checklists, names, reading)

    def build(self, name: str, items: list[Listed]) -> Flow:
        """The flow called `name` with `items`; problems are in the reading."""
        flow = self._flow
        plain: list[Item] = []
        go_around: list[Item] = []
        for one in items:
            self._names.check(one.fields.mentions, self._reading)
            if one.fields.is_sound:
                expanded = self._items.expanded(one)
                (go_around if one.is_go_around else plain).extend(expanded)
        return Flow(
            name=name,
            title=flow.text("title"),
            items=tuple(plain),
            go_around=tuple(go_around),
            watches=self._watches(),
            gates=self._gates(),
            checklists=tuple(self._checklists.values()),
            announce=flow.texts("announce"),
            add_on_ft=flow.maybe("add-on") or 0.0,
            ordered=flow.texts("ordered"),
            parts=self._parts(),
            pilots=int(flow.number("pilots")),
        )

    def _watches(self) -> tuple[Watch, ...]:
        found: list[Watch] = []
        for fields in self._flow.records("watches"):
            self._names.check(fields.mentions, self._reading)
            self._items.check_name(fields, "unless said", "intent")
            if fields.is_sound:
                found.append(self._watch(fields))
        return tuple(found)

    def _watch(self, fields: Fields) -> Watch:
        names = self._names
        kind = next(key for key in ("never", "always", "limit", "mismatch") if key in fields)
        moment = fields.moment(kind) if kind in ("never", "always") else None
        return Watch(
            name=fields.text("watch"),
            kind=kind,
            moment=names.resolve_maybe(moment),
            limit=fields.text("limit"),
            while_=names.resolve_maybe(fields.moment("while")),
            for_s=fields.number("for"),
            unless_said=fields.text("unless said"),
            severity=fields.text("severity"),
            causes=fields.texts("causes"),
            why=fields.text("why"),
            source=fields.text("source"),
        )

    def _parts(self) -> tuple[Part, ...]:
        """The named segments, their moments as one line of text that a command line also takes."""
        found: list[Part] = []
        for fields in self._flow.records("segments"):
            self._names.check(fields.mentions, self._reading)
            if fields.is_sound:
                texts = [
                    nodes.canonical(nodes.plain(fields.at(key))) if fields.is_written(key) else ""
                    for key in ("from", "until")
                ]
                found.append(Part(fields.text("segment"), *texts))
        return tuple(found)

    def _gates(self) -> tuple[Gate, ...]:
        written = self._flow.records("gates")
        gates = tuple(self._gate(fields) for fields in written if fields.is_sound)
        main = [gate for gate in gates if gate.is_main]
        if gates and len(gates) == len(written) and len(main) != 1:
            self._reading.refuse(
                self._flow.at("gates"),
                f"{len(main)} gates are main; expected exactly one main: true",
            )
        return gates

    def _gate(self, fields: Fields) -> Gate:
        written = fields.part("criteria")
        criteria: list[Criterion] = []
        for name in words.CRITERIA:
            if name not in written:
                continue
            if name in ("configuration", "checklist"):
                criteria.append(Criterion(name, 0.0, written.text(name)))
            else:
                criteria.append(Criterion(name, written.number(name)))
            if name == "checklist":
                self._items.check_name(written, name, "checklist")
        return Gate(
            name=fields.text("gate"),
            height_ft=fields.number("height"),
            criteria=tuple(criteria),
            is_main=fields.flag("main"),
            source=fields.text("source"),
            speed_kt=fields.maybe("speed"),
        )

    def _checklist(self, name: str) -> Checklist:
        lines: list[ChecklistLine] = []
        for fields in lines_of(name, self._flow, self._names.aircraft):
            self._names.check(fields.mentions, self._reading)
            if not fields.is_sound:
                continue
            states = tuple(self._names.resolve(one) for one in fields.moments("answers"))
            challenge = fields.text("challenge")
            # Without a type, lines of other types stand here too.
            is_known = self._names.aircraft is not None
            if is_known and any(line.challenge == challenge for line in lines):
                self._reading.refuse(
                    fields.at("challenge"), f"the challenge {quoted(challenge)} stands here twice"
                )
            answer = fields.text("answer") or _spoken(states)
            lines.append(ChecklistLine(challenge, answer, states, fields.text("by")))
        return Checklist(name, tuple(lines))


def _spoken(states: tuple[Moment, ...]) -> str:
    shown = [" or ".join(state.values) for state in states if isinstance(state, Shows)]
    return ", ".join(shown) if shown else "checked"
