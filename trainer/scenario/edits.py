"""Edits of the perfect crew, as written in traps and crew files.

Owns the five edits and the acts they put in place of others. Surprising rule: `say` in an edit or
a script is what is spoken, where `say` in a flow names an intent.
"""

from __future__ import annotations

from collections.abc import Sequence

from trainer.scenario.exercise import Act, Edit
from trainer.scenario.fields import Fields
from trainer.scenario.flow_items import act_of
from trainer.scenario.nodes import Node
from trainer.scenario.procedure import recurring_part
from trainer.scenario.reading import Reading
from trainer.scenario.references import Names
from trainer.text import quoted

_KINDS = ("omit", "delay", "advance", "replace", "swap")
_NEEDS = {"delay": ("by",), "advance": ("by", "to"), "replace": ("with",)}


def edit_of(fields: Fields, names: Names, reading: Reading) -> Edit | None:
    """The edit in `fields`, or None with problems noted (mentions are checked by the caller)."""
    kind = _kind(fields)
    before = reading.refusals
    act = None
    if (replacement := fields.record("with")) is not None:
        act = spoken_act(replacement, names, reading)
    if not kind:  # reading the file has noted what is wrong
        return None
    _check_keys(fields, kind, reading)
    items = _items(fields)
    if kind == "swap":
        _check_swap(fields, names, reading)
    for place, item in enumerate(items):
        check_item(item, fields.entry(kind, place), names, reading)
    if reading.refusals > before or not fields.is_sound:
        return None
    return Edit(
        kind=kind,
        item=items[0],
        seconds=fields.maybe("by") or 0.0,
        to=names.resolve_maybe(fields.moment("to")),
        act=act,
        other=items[1] if kind == "swap" else "",
    )


def refuse_second_edits(edits: Sequence[Fields], names: Names, reading: Reading) -> None:
    """Note a problem for each of `edits` that changes an item changed by one before it.

    A recurring item by its own name means its first instance.
    """
    first: dict[str, Node] = {}
    for fields in edits:
        kind = _kind(fields)
        for place, item in enumerate(dict.fromkeys(_items(fields))):
            key = f"{item} 1" if item in names.recurring else item
            if key not in first:
                first[key] = fields.node
                continue
            line = first[key].line
            where = f"; the first is on line {line}" if line else ""
            reading.refuse(
                fields.entry(kind, place),
                f"a second edit of {quoted(item)}{where}; expected one edit for each item",
            )


def _kind(fields: Fields) -> str:
    return next((key for key in _KINDS if key in fields), "")


def _items(fields: Fields) -> tuple[str, ...]:
    """The items that an edit names."""
    kind = _kind(fields)
    return fields.texts(kind) if kind == "swap" else (fields.text(kind),) if kind else ()


def _check_keys(fields: Fields, kind: str, reading: Reading) -> None:
    needs = _NEEDS.get(kind, ())
    given = [key for key in ("by", "to", "with") if fields.is_written(key)]
    for key in given:
        if key not in needs:
            reading.refuse(fields.node.key_node(key), f"{key}: has no meaning beside {kind}:")
    if needs and len([key for key in given if key in needs]) != 1:
        wanted = " or ".join(f"{key}:" for key in needs)
        reading.refuse(fields.node, f"{kind}: needs {wanted}; expected exactly one")


def _check_swap(fields: Fields, names: Names, reading: Reading) -> None:
    items = fields.texts("swap")
    if len(items) != 2 or items[0] == items[1]:
        reading.refuse(fields.at("swap"), "swap: needs two different items, [A, B]")
    for place, item in enumerate(items):
        if item in names.recurring or _instance_of(item, names):
            reading.refuse(
                fields.entry("swap", place),
                f"{quoted(item)} recurs and has no place in an order; "
                "expected items that happen once",
            )


def _instance_of(item: str, names: Names) -> str:
    """The recurring item of which `item` is an instance ("mode call 2"), or ""."""
    base = recurring_part(item)
    return base if item not in names.items and base in names.recurring else ""


def check_item(item: str, at: Node, names: Names, reading: Reading) -> None:
    """Note a problem at `at` if `item` is no item, and no instance of a recurring one."""
    if not ("item" in names.open_kinds or item in names.items or _instance_of(item, names)):
        reading.unknown(at, "there is no item", item, names.items)


def spoken_act(fields: Fields, names: Names, reading: Reading) -> Act | None:
    """The act in `fields` where `say` is spoken text; None with a problem noted."""
    if "say" in fields:
        return Act("say", text=fields.text("say"))
    if "read back" in fields:
        event = fields.text("read back")
        if event not in names.events and "event" not in names.open_kinds:
            reading.unknown(fields.at("read back"), "there is no event", event, names.events)
            return None
        return Act("read back", event=event)
    return act_of(fields, names)
