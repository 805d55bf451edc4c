"""Changes to a flow, applied to its nodes before anything is built.

Owns `change`, `remove` and `add` of an exercise, its further watches, and the overrides of a house
file. The changed flow is read again by the same table, so that a change cannot slip past a check.
Surprising rule: a change replaces whole keys; nothing is merged inside a key.
"""

from __future__ import annotations

from trainer.scenario.fields import Fields
from trainer.scenario.nodes import Mapping, Node, Scalar, Sequence
from trainer.scenario.overlays import named_child, overlaid
from trainer.scenario.reading import Reading

_LISTS = (("items", "item"), ("go around", "item"), ("watches", "watch"))


def apply(flow: Mapping, changes: tuple[Fields, ...], reading: Reading) -> Mapping:
    """`flow` with each of `changes` made in order; problems go to `reading`."""
    for change in changes:
        flow = _applied(flow, change, reading)
    return flow


def with_watches(flow: Mapping, exercise: Mapping) -> Mapping:
    """`flow` with the watches of `exercise` behind its own."""
    added = exercise.get("watches")
    if not isinstance(added, Sequence):
        return flow
    own = flow.get("watches")
    if own is None:
        pair = next(pair for pair in exercise.pairs if pair[0].text == "watches")
        return Mapping(flow.source, flow.line, flow.column, (*flow.pairs, pair))
    if not isinstance(own, Sequence):
        return flow
    return _with_list(flow, "watches", (*own.items, *added.items))


def _applied(flow: Mapping, change: Fields, reading: Reading) -> Mapping:
    if "add" in change:
        return _add(flow, change, reading)
    if "after" in change:
        reading.refuse(change.node.key_node("after"), "after: stands only beside add:")
    key = "change" if "change" in change else "remove"
    name = change.text(key)
    lists = _LISTS if key == "remove" else _LISTS[:2]
    for list_key, name_key in lists:
        node = flow.get(list_key)
        index = named_child(node, name_key, name)
        if index < 0:
            continue
        assert isinstance(node, Sequence)
        if key == "remove":
            _refuse_others(change, ("remove", "flow"), reading)
            return _with_list(flow, list_key, (*node.items[:index], *node.items[index + 1 :]))
        item = node.items[index]
        assert isinstance(item, Mapping)
        over = Mapping(
            change.node.source,
            change.node.line,
            change.node.column,
            tuple(pair for pair in change.node.pairs if pair[0].text not in ("change", "flow")),
        )
        changed = overlaid(item, over)
        return _with_list(flow, list_key, (*node.items[:index], changed, *node.items[index + 1 :]))
    reading.unknown(change.at(key), "the flow has no item", name, _item_names(flow))
    return flow


def _refuse_others(change: Fields, allowed: tuple[str, ...], reading: Reading) -> None:
    for key, _ in change.node.pairs:
        if key.text not in allowed:
            reading.refuse(key, f"{key.text}: has no meaning beside {allowed[0]}:")


def _add(flow: Mapping, change: Fields, reading: Reading) -> Mapping:
    _refuse_others(change, ("add", "after"), reading)
    added = change.node.get("add")
    assert added is not None
    after = change.text("after")
    if not after:
        node = flow.get("items")
        children = node.items if isinstance(node, Sequence) else ()
        return _with_list(flow, "items", (*children, added))
    for list_key, name_key in _LISTS[:2]:
        node = flow.get(list_key)
        index = named_child(node, name_key, after)
        if index >= 0:
            assert isinstance(node, Sequence)
            return _with_list(
                flow, list_key, (*node.items[: index + 1], added, *node.items[index + 1 :])
            )
    reading.unknown(change.at("after"), "the flow has no item", after, _item_names(flow))
    return flow


def _item_names(flow: Mapping) -> list[str]:
    names: list[str] = []
    for list_key, name_key in _LISTS[:2]:
        for child in getattr(flow.get(list_key), "items", ()):
            found = child.get(name_key) if isinstance(child, Mapping) else None
            if isinstance(found, Scalar):
                names.append(found.text)
    return names


def _with_list(flow: Mapping, list_key: str, children: tuple[Node, ...]) -> Mapping:
    pairs = []
    for key, value in flow.pairs:
        if key.text == list_key:
            value = Sequence(value.source, value.line, value.column, children)
        pairs.append((key, value))
    return Mapping(flow.source, flow.line, flow.column, tuple(pairs))
