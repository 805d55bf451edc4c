"""Techniques: the other accepted ways of flying an approach, each one consistent set of variants.

Owns which techniques a flow knows and the flow with one of them fixed. Refuses to know which one
was flown. Surprising rule: a technique is all variants of one name together with every other item
as written; nobody may take the best of two.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace
from typing import TYPE_CHECKING

from trainer.errors import hint
from trainer.scenario.exercise import Exercise, Flow, Item
from trainer.text import quoted

if TYPE_CHECKING:  # the judge reads no files
    from trainer.scenario.fields import Fields
    from trainer.scenario.reading import Reading

AS_WRITTEN = "as written"
"""How an exercise names the items without any variant."""


def techniques(exercise: Exercise) -> tuple[str, ...]:
    """Names of the techniques that are accepted beside the one as written, in file order."""
    return _names(exercise.flow)


def better_for(exercise: Exercise, items: Collection[str]) -> tuple[str, ...]:
    """The techniques by which one of `items`, which went wrong as written, would be another item.

    Any other differs only in items that were right as written, and so cannot be better.
    """
    flow = exercise.flow
    varied = [item for item in flow.every_item if item.name in items]
    names = {name for item in varied for name, _ in item.variants}
    return tuple(name for name in _names(flow) if name in names)


def fixed(exercise: Exercise, technique: str) -> Exercise:
    """`exercise` with nothing but `technique` accepted ("" = as written)."""
    return replace(exercise, flow=_fixed_flow(exercise.flow, technique))


def chosen(flow: Flow, exercise: Fields, reading: Reading) -> Flow:
    """`flow` with the technique that the exercise file fixes, if it does."""
    name = exercise.text("technique")
    if not name:
        return flow
    known = (AS_WRITTEN, *_names(flow))
    if name not in known:
        reading.refuse(
            exercise.at("technique"),
            f"no item of the flow has a variant {quoted(name)}{hint(name, known)}",
        )
        return flow
    return _fixed_flow(flow, "" if name == AS_WRITTEN else name)


def _names(flow: Flow) -> tuple[str, ...]:
    names = [name for item in flow.every_item for name, _ in item.variants]
    return tuple(dict.fromkeys(names))


def _fixed_flow(flow: Flow, technique: str) -> Flow:
    return replace(
        flow,
        items=tuple(_fixed(item, technique) for item in flow.items),
        go_around=tuple(_fixed(item, technique) for item in flow.go_around),
    )


def _fixed(item: Item, technique: str) -> Item:
    if not item.variants:
        return item
    return replace(dict(item.variants).get(technique, item), variants=())
