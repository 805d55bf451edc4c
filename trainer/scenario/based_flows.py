"""Flows that build on another one: both made into one, before anything is built.

Owns which part of a based flow replaces, adds to or changes what the other flow says. Refuses to
know items and windows: the flow that comes out is read like any other, each problem at its place
in the file it stands in. Surprising rule: one step only, so that a reader has two files to look
into and never a chain.
"""

from __future__ import annotations

from trainer.errors import hint
from trainer.scenario import changes, library
from trainer.scenario.fields import read
from trainer.scenario.nodes import Mapping, Node, Sequence
from trainer.scenario.overlays import named_child, overlaid
from trainer.scenario.reading import Reading
from trainer.scenario.vocabulary.tables import RECORDS
from trainer.text import quoted

BASED_ON = "based on"
"""The key that names the other flow."""

_ADDED = ("items", "go around", "watches")
_KNOWN = RECORDS["flow"].names()


def whole(node: Node, found: library.Library, reading: Reading) -> Node | None:
    """The flow of the file `node`, complete; None with problems noted if it cannot be.

    Lists of items and watches go behind those of the other flow; checklists and segments replace
    those of the same name; any other key replaces that of the other flow; then the changes are made
    in order.

    Raises:
        FileProblems: the other flow is no YAML of this format.
    """
    if not isinstance(node, Mapping) or node.get(BASED_ON) is None:
        return node
    fields = read(node, "based flow", reading)
    name = "" if fields is None else fields.text(BASED_ON)
    if fields is None or not name:
        return None
    entry = found.find("flow", name)
    if entry is None:
        known = found.names("flow")
        reading.refuse(
            fields.at(BASED_ON), f"there is no flow {quoted(name)} in flows/{hint(name, known)}"
        )
        return None
    base = library.parse_file(entry.path)
    if not isinstance(base, Mapping) or base.get(BASED_ON) is not None:
        reading.refuse(
            fields.at(BASED_ON),
            f"the flow {quoted(name)} does not stand alone; expected one that names no other",
        )
        return None
    sound = tuple(one for one in fields.records("changes") if one.is_sound or "add" in one)
    return changes.apply(_joined(base, node), sound, reading)


def _joined(base: Mapping, node: Mapping) -> Mapping:
    pairs = []
    for key, value in node.pairs:
        other = base.get(key.text)
        if key.text not in _KNOWN:  # its own keys; of unknown ones it has been said already
            continue
        if key.text in _ADDED and isinstance(value, Sequence) and isinstance(other, Sequence):
            items = (*other.items, *value.items)
            value = Sequence(other.source, other.line, other.column, items)
        elif key.text == "segments" and isinstance(value, Sequence) and isinstance(other, Sequence):
            value = _segments(other, value)
        elif key.text == "checklists" and isinstance(value, Mapping) and isinstance(other, Mapping):
            value = overlaid(other, value)
        pairs.append((key, value))
    over = Mapping(node.source, node.line, node.column, tuple(pairs))
    joined = overlaid(base, over)
    return Mapping(node.source, node.line, node.column, joined.pairs)


def _segments(base: Sequence, own: Sequence) -> Sequence:
    """The segments of `base`, each of `own` in the place of its namesake or behind them."""
    found = list(base.items)
    for one in own.items:
        name = one.get("segment") if isinstance(one, Mapping) else None
        place = named_child(base, "segment", getattr(name, "text", ""))
        if place >= 0 and found[place] is base.items[place]:  # of two the second is refused later
            found[place] = one
        else:
            found.append(one)
    return Sequence(base.source, base.line, base.column, tuple(found))
