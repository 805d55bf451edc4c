"""Flow files as values: items expanded, watches, gates and checklists.

Owns the shorthands (`do` with `say` is two items, a checklist is one item and one for each line)
and the rules that need more than one key. Refuses to know the exercise except by its names.
Surprising rule: in the list `items` a configuration item is due at the last chance of a gate and
nowhere else; only in the list `go around` may it have another due.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import PurePath

from trainer.errors import hint
from trainer.scenario import nodes
from trainer.scenario.exercise import (
    Act,
    Checklist,
    ChecklistLine,
    Criterion,
    Flow,
    Gate,
    Item,
    Part,
    Watch,
)
from trainer.scenario.fields import Fields, read
from trainer.scenario.moment_parser import Reading
from trainer.scenario.moments import START, Happened, Moment, Shows
from trainer.scenario.nodes import Mapping, Node
from trainer.scenario.references import Names
from trainer.scenario.vocabulary import words
from trainer.scenario.vocabulary.procedures import EXPECTATIONS
from trainer.text import quoted
from trainer.world.aircraft import AircraftType

CONFIGURATION = ("flaps", "gear", "speedbrake")
"""Levers whose items are due at the last chance of a gate."""
_DEFAULT_DUE_S = 30.0
_LINE_DUE_S = 10.0
_LINE_CLOSES_S = 25.0
_SAID_DUE_S = 10.0
_SAID_WHY = "Said, so that the other pilot knows what was selected and can check it."
_LEAST_LINE_WEIGHT = 0.25
_ANSWERED_DUE_S = 6.0
_ANSWERED_WHY = "A call that nobody answers may not have been heard."
_OTHER_ROLE = {"flying": "monitoring", "monitoring": "flying", "aircraft": "flying"}


@dataclass(frozen=True, slots=True)
class Listed:
    """An item as read: its fields, its list, and the names it and its shorthands make."""

    fields: Fields
    is_go_around: bool
    names: tuple[str, ...]


def holds(condition: Fields | None, aircraft: AircraftType | None) -> bool:
    """Whether an `if:` is true for `aircraft` (True when either is missing or not sound)."""
    if condition is None or aircraft is None or not condition.is_sound:
        return True
    wanted = condition.record("aircraft")
    assert wanted is not None
    guidance = aircraft.guidance
    capability = "OPERATIONAL" if guidance.rollout_fitted else "PASSIVE"
    if guidance.capability_ft <= 0.0:
        capability = ""
    offered = {"OPERATIONAL": ("OPERATIONAL", "PASSIVE"), "PASSIVE": ("PASSIVE",), "": ()}
    roles = tuple(role for stage in aircraft.flaps for role in stage.roles)
    tests: dict[str, Callable[[str], bool]] = {
        "gear": lambda text: aircraft.gear.is_fixed == (text == "fixed"),
        "capability": lambda text: text in offered[capability],
        "autothrust": lambda text: (aircraft.autothrust is not None) == (text == "fitted"),
        "control": lambda text: text in aircraft.controls,
        "flaps": lambda text: text in roles,
    }
    for key, test in tests.items():
        if key in wanted and not test(wanted.text(key)):
            return False
    return "early arming" not in wanted or guidance.early_arming in wanted.texts("early arming")


def listed(flow: Fields, aircraft: AircraftType | None) -> tuple[list[Listed], list[Listed]]:
    """Items that exist on `aircraft`, and those filtered out, in file order."""
    kept: list[Listed] = []
    filtered: list[Listed] = []
    for key in ("items", "go around"):
        for fields in flow.records(key):
            names = _names_made(fields, flow, aircraft)
            one = Listed(fields, key == "go around", names)
            (kept if holds(fields.record("if"), aircraft) else filtered).append(one)
    return kept, filtered


def is_complete(fields: Fields, key: str, name_key: str) -> bool:
    """Whether every entry of the list `key` was read with its name."""
    node = fields.node.get(key)
    if node is None:
        return True
    found = fields.records(key)
    if len(found) != len(getattr(node, "items", ())):
        return False
    return key in fields and all(name_key in one for one in found)


def _names_made(fields: Fields, flow: Fields, aircraft: AircraftType | None) -> tuple[str, ...]:
    name = fields.text("item")
    if not name:
        return ()
    if "say" in fields and ("do" in fields or "set" in fields):
        return (name, f"{name}, said", *_answered(name, fields))
    checklist = fields.text("checklist")
    if checklist:
        lines = _lines(checklist, flow, aircraft)
        return (name, *(f"{checklist}: {line.text('challenge')}" for line in lines))
    return (name, *_answered(name, fields))


def _answered(name: str, fields: Fields) -> tuple[str, ...]:
    return (f"{name}, answered",) if "response" in fields else ()


def _lines(checklist: str, flow: Fields, aircraft: AircraftType | None) -> tuple[Fields, ...]:
    lines = flow.named("checklists").get(checklist, ())
    return tuple(line for line in lines if holds(line.record("if"), aircraft))


def check_unique(items: list[Listed], reading: Reading) -> None:
    """Note a problem for each item name that is used twice."""
    seen: dict[str, Fields] = {}
    for item in items:
        for name in item.names:
            if name in seen:
                first = seen[name].node
                where = f" (line {first.line})" if first.line else ""
                if first.source.name != item.fields.node.source.name:
                    where = f" (in {PurePath(first.source.name).name}, line {first.line})"
                reading.refuse(
                    item.fields.at("item"),
                    f"a second item is called {quoted(name)}{where}; expected unique names",
                )
            seen[name] = item.fields


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

    def build(self, name: str, items: list[Listed]) -> Flow:
        """The flow called `name` with `items`; problems are in the reading."""
        flow = self._flow
        plain: list[Item] = []
        go_around: list[Item] = []
        for one in items:
            self._names.check(one.fields.mentions, self._reading)
            if one.fields.is_sound:
                expanded = self._expanded(one)
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
        )

    def _expanded(self, one: Listed) -> list[Item]:
        fields = one.fields
        self._check_item(one)
        act = self._act(fields)
        if act is None:
            return []
        item = self._item(fields.text("item"), act, fields)
        variants = self._variants(item, one)
        item = replace(item, variants=variants)
        if "say" in fields and act.kind != "say":
            said = self._said(item, fields)
            return [item, said, *self._response(item, said, fields)]
        if act.kind == "say":
            return [item, *self._response(item, item, fields)]
        if act.kind == "checklist":
            return [item, *self._line_items(item, act.checklist)]
        return [item]

    def _check_item(self, one: Listed) -> None:
        fields, refuse = one.fields, self._reading.refuse
        present = [key for key in EXPECTATIONS if key in fields]
        if not present:
            refuse(
                fields.node,
                f"the item {quoted(fields.text('item'))} expects nothing; "
                "expected one of do, set, say, read back or checklist",
            )
        elif len(present) > 1 and not (
            len(present) == 2 and present[1] == "say" and present[0] in ("do", "set")
        ):
            refuse(
                fields.node.key_node(present[1]),
                f"{present[0]}: and {present[1]}: in one item; expected one act "
                "(only a call may stand beside do or set)",
            )
        missing = [f"{key}:" for key in ("area", "why", "source") if key not in fields]
        if missing:
            refuse(
                fields.node,
                f"{' and '.join(missing)} missing in the item {quoted(fields.text('item'))}; "
                "the debrief needs area, why and source",
            )
        if "while" in fields and "each" not in fields:
            refuse(
                fields.node.key_node("while"),
                "while: without each:; expected both, or the condition in opens:",
            )
        if "each" in fields and "checklist" in fields:
            refuse(fields.node.key_node("each"), "a checklist cannot recur; leave each: out")
        group = fields.text("group")
        if "each" in fields and group:
            refuse(fields.node.key_node("group"), "a recurring item has no place in a group")
        if "response" in fields and "say" not in fields:
            refuse(fields.node.key_node("response"), "response: without say:; expected both")
        for key, kind in (
            ("say", "intent"),
            ("response", "intent"),
            ("read back", "event"),
            ("checklist", "checklist"),
        ):
            self._check_name(fields, key, kind)
        self._check_due(fields, one.is_go_around)

    def _check_name(self, fields: Fields, key: str, kind: str) -> None:
        if key in fields and not self._names.has(kind, fields.text(key)):
            what = {"intent": "call of the house"}.get(kind, kind)
            name, known = fields.text(key), self._names.known(kind)
            self._reading.refuse(
                fields.at(key), f"unknown {what} {quoted(name)}{hint(name, known)}"
            )

    def _check_due(self, fields: Fields, is_go_around: bool) -> None:
        if is_go_around or "do" not in fields or fields.lever("do")[0] not in CONFIGURATION:
            return
        due = fields.when("due")
        if not (isinstance(due, Happened) and due.kind == "last chance"):
            self._reading.refuse(
                fields.at("due"),
                f"{fields.lever('do')[0]} is judged by its effect; "
                "expected due: {last chance: GATE}",
            )

    def _act(self, fields: Fields) -> Act | None:
        return act_of(fields, self._names)

    def _item(self, name: str, act: Act, fields: Fields) -> Item:
        names = self._names
        due = names.resolve_when(fields.when("due"))
        return Item(
            name=name,
            act=act,
            role=fields.text("role"),
            opens=names.resolve_maybe(fields.moment("opens")) or START,
            aim=names.resolve_maybe(fields.moment("aim")),
            due=_DEFAULT_DUE_S if due is None else due,
            closes=names.resolve_when(fields.when("closes")),
            void=names.resolve_maybe(fields.moment("void")),
            early=fields.text("early"),
            each=names.resolve_maybe(fields.moment("each")),
            while_=names.resolve_maybe(fields.moment("while")),
            group=fields.text("group"),
            weight=fields.number("weight"),
            area=fields.text("area"),
            why=fields.text("why"),
            source=fields.text("source"),
        )

    def _said(self, item: Item, fields: Fields) -> Item:
        return Item(
            name=f"{item.name}, said",
            act=Act("say", intent=fields.text("say")),
            role=item.role,
            opens=Happened("done", item.name),
            due=_SAID_DUE_S,
            void=item.void,
            weight=item.weight,
            area=item.area,
            why=_SAID_WHY,
            source=item.source,
        )

    def _response(self, item: Item, said: Item, fields: Fields) -> list[Item]:
        """The other half of an exchange: the other pilot's, from the call that was really made."""
        if "response" not in fields:
            return []
        return [
            Item(
                name=f"{item.name}, answered",
                act=Act("say", intent=fields.text("response")),
                role=_OTHER_ROLE.get(item.role, "either"),
                opens=Happened("done", said.name),
                due=_ANSWERED_DUE_S,
                void=item.void,
                weight=item.weight,
                area=item.area,
                why=_ANSWERED_WHY,
                source=item.source,
                is_response=True,
            )
        ]

    def _line_items(self, item: Item, name: str) -> list[Item]:
        checklist = self._checklists.get(name)
        if checklist is None or not checklist.lines:
            return []
        weight = item.weight / len(checklist.lines)
        if weight > 0.0:
            weight = max(_LEAST_LINE_WEIGHT, weight)
        lines: list[Item] = []
        before = item.name
        for line in checklist.lines:
            lines.append(
                Item(
                    name=f"{name}: {line.challenge}",
                    act=Act("line", checklist=name, challenge=line.challenge, states=line.states),
                    role=line.by,
                    opens=Happened("done", before),
                    due=_LINE_DUE_S,
                    closes=_LINE_CLOSES_S,
                    void=item.void,
                    weight=weight,
                    area="checklist",
                    why=item.why,
                    source=item.source,
                )
            )
            before = lines[-1].name
        return lines

    def _variants(self, item: Item, one: Listed) -> tuple[tuple[str, Item], ...]:
        found: list[tuple[str, Item]] = []
        written = one.fields.node.get("variants")
        for name, variant in one.fields.named_record("variants").items():
            node = overlaid(one.fields.node, variant.node, drop=("variants",))
            scratch = Reading()
            fields = read(node, "item", scratch)
            if fields is None or len(scratch.problems):
                continue
            self._check_due(fields, one.is_go_around)
            act = self._act(fields)
            if act is None or act.kind != item.act.kind:
                at = written if written is not None else one.fields.node
                self._reading.refuse(
                    at, f"the variant {quoted(name)} expects another kind of act; expected the same"
                )
                continue
            found.append((name, self._item(item.name, act, fields)))
        return tuple(found)

    def _watches(self) -> tuple[Watch, ...]:
        found: list[Watch] = []
        for fields in self._flow.records("watches"):
            self._names.check(fields.mentions, self._reading)
            self._check_name(fields, "unless said", "intent")
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
        written = fields.record("criteria")
        assert written is not None
        criteria: list[Criterion] = []
        for name in words.CRITERIA:
            if name not in written:
                continue
            if name in ("configuration", "checklist"):
                criteria.append(Criterion(name, 0.0, written.text(name)))
            else:
                criteria.append(Criterion(name, written.number(name)))
            if name == "checklist":
                self._check_name(written, name, "checklist")
        return Gate(
            name=fields.text("gate"),
            height_ft=fields.number("height"),
            criteria=tuple(criteria),
            is_main=fields.flag("main"),
            source=fields.text("source"),
        )

    def _checklist(self, name: str) -> Checklist:
        lines: list[ChecklistLine] = []
        for fields in _lines(name, self._flow, self._names.aircraft):
            self._names.check(fields.mentions, self._reading)
            if not fields.is_sound:
                continue
            states = tuple(self._resolved(moment) for moment in fields.moments("answers"))
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

    def _resolved(self, moment: Moment) -> Moment:
        return self._names.resolve(moment)


def act_of(fields: Fields, names: Names) -> Act | None:
    """The act that an item, a replacement or a script expects; None if nothing stands there.

    Names are not checked here; a stage that the type does not have gives None.
    """
    if "do" in fields:
        control, position = fields.lever("do")
        if control == "flaps":
            if position not in names.known("stage"):
                return None
            position = names.stage(position)
        return Act("do", control=control, position=position)
    setting = fields.record("set")
    if setting is not None:
        name = next((key.text for key, _ in setting.node.pairs if key.text in setting), "")
        return Act("set", control=name, figure=setting.figure(name)) if name else None
    if "say" in fields:
        return Act("say", intent=fields.text("say"))
    if "read back" in fields:
        return Act("read back", event=fields.text("read back"))
    if "checklist" in fields:
        return Act("checklist", checklist=fields.text("checklist"))
    return None


def overlaid(base: Mapping, over: Mapping, drop: tuple[str, ...] = ()) -> Mapping:
    """`base` with the pairs of `over` in place of its own; keys in `drop` are left out."""
    replaced = {key.text for key, _ in over.pairs}
    kept = [
        (key, value)
        for key, value in base.pairs
        if key.text not in replaced and key.text not in drop
    ]
    added = [(key, value) for key, value in over.pairs if key.text not in drop]
    return Mapping(base.source, base.line, base.column, (*kept, *added))


def named_child(node: Node | None, key: str, name: str) -> int:
    """Index of the mapping in a list whose `key` is `name`, or -1."""
    for index, child in enumerate(getattr(node, "items", ())):
        found = child.get(key) if isinstance(child, Mapping) else None
        if found is not None and getattr(found, "text", None) == name:
            return index
    return -1


def _spoken(states: tuple[Moment, ...]) -> str:
    shown = [" or ".join(state.values) for state in states if isinstance(state, Shows)]
    return ", ".join(shown) if shown else "checked"
