"""Items of a flow as values: shorthands expanded, and the rules that need more than one key.

`do` with `say` is two items, an exchange two or three, a checklist one item and one for each line.
Surprising rule: in the list `items` a configuration item is due at the last chance of a gate and
nowhere else; only in the list `go around` may it have another due.
"""

from __future__ import annotations

from dataclasses import replace

from trainer.scenario.exercise import Act, Checklist, Item
from trainer.scenario.fields import Fields, read
from trainer.scenario.listing import Listed
from trainer.scenario.moments import START, Happened
from trainer.scenario.overlays import overlaid
from trainer.scenario.reading import Reading
from trainer.scenario.references import Names
from trainer.scenario.vocabulary.procedures import EXPECTATIONS
from trainer.scenario.vocabulary.words import MODE_SHOWN
from trainer.text import quoted

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


class ItemBuilder:
    """Builds the items of one flow for one exercise; collects every problem."""

    def __init__(self, checklists: dict[str, Checklist], names: Names, reading: Reading) -> None:
        self._checklists = checklists
        self._names = names
        self._reading = reading

    def expanded(self, one: Listed) -> list[Item]:
        """The item as read and those that its shorthands make; none if it cannot be used."""
        fields = one.fields
        self._check_item(one)
        act = act_of(fields, self._names)
        if act is None:
            return []
        item = self._item(fields.text("item"), act, fields)
        variants = self._variants(item, one)
        item = replace(item, variants=variants)
        if "say" in fields and act.kind != "say":
            call = Act("say", intent=fields.text("say"))
            said = _following(item, f"{item.name}, said", call, item.role, item.name)
            said = replace(said, due=_SAID_DUE_S, why=_SAID_WHY)
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
        each = "each" in fields
        for key, is_wrong, message in (
            ("while", not each, "while: without each:; expected both, or the condition in opens:"),
            ("each", "checklist" in fields, "a checklist cannot recur; leave each: out"),
            ("group", each, "a recurring item has no place in a group"),
            ("response", "say" not in fields, "response: without say:; expected both"),
        ):
            if is_wrong and key in fields:
                refuse(fields.node.key_node(key), message)
        is_mode_call = present == ["say"] and fields.text("say") == MODE_SHOWN
        each_change = fields.moment("each") if each else None
        if is_mode_call and getattr(each_change, "kind", "") != "changed":
            refuse(
                fields.node.key_node("say"),
                f"say: {MODE_SHOWN} without each: {{changed: …}}; expected both, "
                "or the words of one call",
            )
        for key, kind in (
            ("say", "intent"),
            ("response", "intent"),
            ("read back", "event"),
            ("checklist", "checklist"),
        ):
            if not (is_mode_call and key == "say"):
                self.check_name(fields, key, kind)
        self._check_due(fields, one.is_go_around)

    def check_name(self, fields: Fields, key: str, kind: str) -> None:
        """Note a problem if what stands under `key` is the name of no `kind`."""
        if key in fields and not self._names.has(kind, fields.text(key)):
            what = {"intent": "call of the house"}.get(kind, kind)
            known = self._names.known(kind)
            self._reading.unknown(fields.at(key), f"unknown {what}", fields.text(key), known)

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

    def _response(self, item: Item, said: Item, fields: Fields) -> list[Item]:
        """The other half of an exchange: the other pilot's, from the call that was really made."""
        if "response" not in fields:
            return []
        call, role = (
            Act("say", intent=fields.text("response")),
            _OTHER_ROLE.get(item.role, "either"),
        )
        answer = _following(item, f"{item.name}, answered", call, role, said.name)
        return [replace(answer, due=_ANSWERED_DUE_S, why=_ANSWERED_WHY, is_response=True)]

    def _line_items(self, item: Item, name: str) -> list[Item]:
        checklist = self._checklists.get(name)
        if checklist is None or not checklist.lines:
            return []
        weight = item.weight / len(checklist.lines)
        if weight > 0.0:
            weight = max(_LEAST_LINE_WEIGHT, weight)
        lines = [item]
        for line in checklist.lines:
            act = Act("line", checklist=name, challenge=line.challenge, states=line.states)
            made = _following(item, f"{name}: {line.challenge}", act, line.by, lines[-1].name)
            made = replace(made, due=_LINE_DUE_S, closes=_LINE_CLOSES_S, weight=weight)
            lines.append(replace(made, area="checklist"))
        return lines[1:]

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
            act = act_of(fields, self._names)
            added = [key for key in EXPECTATIONS if key in variant and key not in one.fields]
            if act is None or act.kind != item.act.kind or added:
                at = written if written is not None else one.fields.node
                self._reading.refuse(
                    at, f"the variant {quoted(name)} expects another kind of act; expected the same"
                )
                continue
            found.append((name, self._item(item.name, act, fields)))
        return tuple(found)


def _following(item: Item, name: str, act: Act, role: str, before: str) -> Item:
    """An item that `item` makes: from when the one called `before` is done, with its own act."""
    return Item(
        name=name,
        act=act,
        role=role,
        opens=Happened("done", before),
        void=item.void,
        weight=item.weight,
        area=item.area,
        why=item.why,
        source=item.source,
    )


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
