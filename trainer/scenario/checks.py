"""Checks that need a whole exercise: names used twice, circles, windows that never open.

Owns only what can be said without flying; everything else is found by flying it. Surprising rule:
a window is called impossible only where no flight could prove the opposite (see `openings`), so
that a doubtful case is left to the flight.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from collections.abc import Mapping as ValuesByName

from trainer.errors import sentence_of
from trainer.scenario.exercise import Event, Exercise, Flow
from trainer.scenario.fields import Fields
from trainer.scenario.listing import Listed
from trainer.scenario.moments import Moment, requirements
from trainer.scenario.nodes import Mapping, Node
from trainer.scenario.openings import Reach, never, reach_of
from trainer.scenario.reading import Reading
from trainer.scenario.references import Names
from trainer.scenario.windows import Order, misplaced
from trainer.text import quoted
from trainer.world.aircraft import AircraftType


def check_family(flow: Fields, aircraft: AircraftType, at: Node, reading: Reading) -> None:
    """Note a problem if the flow is for another family of types."""
    if "family" in flow and flow.text("family") != aircraft.family:
        reading.refuse(
            at,
            f"the flow {quoted(flow.text('title'))} is for a {flow.text('family')}, "
            f"{aircraft.title} is a {aircraft.family}; expected one family",
        )


def check_names(
    flow: Fields, events: Sequence[Fields], kept: Sequence[Listed], names: Names, reading: Reading
) -> None:
    """Note a problem for each event, gate, watch or segment whose name is used twice."""
    lists = (
        (events, "event"),
        (flow.records("gates"), "gate"),
        (flow.records("watches"), "watch"),
        (flow.records("segments"), "segment"),
    )
    for records, key in lists:
        seen: set[str] = set()
        for fields in records:
            name = fields.text(key)
            if name and name in seen:
                reading.refuse(
                    fields.at(key),
                    f"a second {key} is called {quoted(name)}; expected unique names",
                )
            seen.add(name)
    flow_items = {name for one in kept for name in one.names}
    for fields in events:
        name = f"read back {fields.text('event')}"
        if name in flow_items and names.items.count(name) > 1:
            reading.refuse(
                fields.at("event"), f"its item {quoted(name)} has the name of a flow item"
            )
    groups = {one.fields.text("group") for one in kept}
    if not all(one.fields.is_sound for one in kept):
        return
    for place, group in enumerate(flow.texts("ordered")):
        if group not in groups:
            known = sorted(group for group in groups if group)
            reading.refuse(
                flow.entry("ordered", place),
                f"no item is in the group {quoted(group)}; "
                f"known are {sentence_of(known) or 'none'}",
            )


def check_windows(
    flow: Flow,
    events: Sequence[Event],
    figures: ValuesByName[str, float],
    flow_fields: Fields,
    event_fields: Sequence[Fields],
    reading: Reading,
) -> None:
    """Note circles between items and events, and windows that are closed when they open.

    figures: named values that do not change in flight.
    """
    nodes = _nodes(flow_fields, event_fields)
    items = flow.every_item
    needs: dict[tuple[str, str], tuple[tuple[str, str], ...]] = {}
    for item in items:
        moment = item.each if item.each is not None else item.opens
        needs[("done", item.name)] = _links(moment)
    for event in events:
        needs[("event", event.name)] = _links(event.when)
    for circle in _circles(needs):
        kind, name = circle[0]
        at = nodes.get((kind, name), flow_fields.node)
        path = " needs ".join(quoted(part) for _, part in (*circle, circle[0]))
        reading.refuse(at, f"a circle: {path}; none of them can ever open")
    written = {
        fields.text("item"): fields
        for key in ("items", "go around")
        for fields in flow_fields.records(key)
    }
    order = Order(figures, events)
    for item in items:
        wrong = misplaced(item, order)
        if wrong is not None and item.name in written:
            reading.refuse(written[item.name].at(wrong[0]), wrong[1])


def check_openings(exercise: Exercise, fields: Fields, reading: Reading) -> None:
    """Note each event of an exercise, and each item that it adds or changes, that never comes.

    `fields` are those of the exercise's own file.
    """
    for node, message in never_coming(exercise, fields, reach_of(exercise)):
        reading.refuse(node, message)


def never_coming(exercise: Exercise, fields: Fields, reach: Reach) -> Iterator[tuple[Node, str]]:
    """Each moment that an exercise writes itself and that can never come, with the reason.

    `fields` are those of the exercise's own file; `reach` is that of the exercise, or of another
    draw of it.
    """
    happened = {event.name: event for event in exercise.events}
    for one in fields.records("events"):
        event = happened.get(one.text("event"))
        why = "" if event is None else never(event.when, reach, event.name)
        if event is not None and why:
            yield one.at("when"), f"{quoted(event.name)} can never happen: {why}"
    items = {item.name: item for item in exercise.flow.every_item}
    for change in fields.records("changes"):
        added = change.record("add")
        made = change if added is None else added
        name = change.text("change") if added is None else added.text("item")
        item = items.get(name)
        if item is None or not made.is_written("opens"):
            continue
        why = never(item.opens, reach)
        if why:
            yield made.at("opens"), f"{quoted(name)} can never open: {why}"


def _nodes(flow: Fields, events: Iterable[Fields]) -> dict[tuple[str, str], Node]:
    found: dict[tuple[str, str], Node] = {}
    for key in ("items", "go around"):
        for fields in flow.records(key):
            found[("done", fields.text("item"))] = _opening(fields.node)
    for fields in events:
        found[("event", fields.text("event"))] = fields.at("when")
    return found


def _opening(node: Mapping) -> Node:
    return node.get("opens") or node.get("each") or node


def _links(moment: Moment | None) -> tuple[tuple[str, str], ...]:
    return tuple(
        (need.kind, need.name) for need in requirements(moment) if need.kind in ("done", "event")
    )


def _circles(
    needs: dict[tuple[str, str], tuple[tuple[str, str], ...]],
) -> list[list[tuple[str, str]]]:
    """Circles of the graph, each once, found without recursion."""
    circles: list[list[tuple[str, str]]] = []
    finished: set[tuple[str, str]] = set()
    for first in needs:
        if first in finished:
            continue
        path: list[tuple[str, str]] = [first]
        ahead = [iter(needs[first])]
        while path:
            following = next(ahead[-1], None)
            if following is None:
                finished.add(path.pop())
                ahead.pop()
            elif following in path:
                circles.append(path[path.index(following) :])
            elif following in needs and following not in finished:
                path.append(following)
                ahead.append(iter(needs[following]))
    return circles
