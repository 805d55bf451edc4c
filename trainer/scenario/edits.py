"""Edits of the perfect crew, as written in traps and crew files.

Owns the five edits and the acts they put in place of others. Surprising rule: `say` in an edit or
a script is what is spoken, where `say` in a flow names an intent.
"""

from __future__ import annotations

from trainer.errors import hint
from trainer.scenario.exercise import Act, Edit
from trainer.scenario.fields import Fields
from trainer.scenario.flows import act_of
from trainer.scenario.moment_parser import Reading
from trainer.scenario.nodes import Node
from trainer.scenario.references import Names
from trainer.text import quoted

_KINDS = ("omit", "delay", "advance", "replace", "swap")
_NEEDS = {"delay": ("by",), "advance": ("by", "to"), "replace": ("with",)}


def edit_of(fields: Fields, names: Names, reading: Reading) -> Edit | None:
    """The edit in `fields`, or None with problems noted (mentions are checked by the caller)."""
    kind = next(key for key in _KINDS if key in fields)
    before = len(reading.problems)
    needs = _NEEDS.get(kind, ())
    given = [key for key in ("by", "to", "with") if key in fields]
    for key in given:
        if key not in needs:
            reading.refuse(fields.node.key_node(key), f"{key}: has no meaning beside {kind}:")
    if needs and len([key for key in given if key in needs]) != 1:
        wanted = " or ".join(f"{key}:" for key in needs)
        reading.refuse(fields.node, f"{kind}: needs {wanted}; expected exactly one")
    items = fields.texts("swap") if kind == "swap" else (fields.text(kind),)
    if kind == "swap" and (len(items) != 2 or items[0] == items[1]):
        reading.refuse(fields.at("swap"), "swap: needs two different items, [A, B]")
        return None
    for item in items:
        _check_item(item, fields.at(kind), names, reading)
    act = None
    if kind == "replace" and (replacement := fields.record("with")) is not None:
        act = spoken_act(replacement, names, reading)
    to = fields.moment("to")
    if len(reading.problems) > before:
        return None
    return Edit(
        kind=kind,
        item=items[0],
        seconds=fields.maybe("by") or 0.0,
        to=names.resolve_maybe(to),
        act=act,
        other=items[1] if kind == "swap" else "",
    )


def _check_item(item: str, at: Node, names: Names, reading: Reading) -> None:
    # An instance of a recurring item is the item's name and its number: "mode call 2".
    base, _, number = item.rpartition(" ")
    is_instance = number.isdecimal() and base in names.items
    if item not in names.items and not is_instance:
        reading.refuse(
            at,
            f"there is no item {quoted(item)}{hint(item, names.items)}",
        )


def spoken_act(fields: Fields, names: Names, reading: Reading) -> Act | None:
    """The act in `fields` where `say` is spoken text; None with a problem noted."""
    if "say" in fields:
        return Act("say", text=fields.text("say"))
    if "read back" in fields:
        event = fields.text("read back")
        if event not in names.events:
            reading.refuse(
                fields.at("read back"),
                f"there is no event {quoted(event)}{hint(event, names.events)}",
            )
            return None
        return Act("read back", event=event)
    return act_of(fields, names)
