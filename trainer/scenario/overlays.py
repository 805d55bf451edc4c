"""Mappings laid over others, and entries of lists found by name; nodes only, no meaning."""

from __future__ import annotations

from trainer.scenario.nodes import Mapping, Node


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
