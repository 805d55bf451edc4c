"""From files to one frozen exercise: shape of every file first, then references, then values.

Owns the order in which files are read and the stored form of an exercise. The stored form is
canonical JSON of the plain documents, flow changes applied; its SHA-256 is the digest, so that
comments and layout do not change it. Surprising rule: a stored exercise is rebuilt by the same
builder that reads files, and a drawn value is one more change to that document.
"""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from trainer.errors import FileProblems, Problem, hint
from trainer.scenario import (
    aircraft_types,
    airports,
    changes,
    checks,
    flows,
    happenings,
    lessons,
    library,
    nodes,
)
from trainer.scenario.exercise import Exercise
from trainer.scenario.fields import STEM, Fields, read
from trainer.scenario.moment_parser import Reading
from trainer.scenario.nodes import Mapping, Node, Source
from trainer.scenario.references import Names
from trainer.scenario.vocabulary.tables import KINDS
from trainer.text import quoted

PARTS = ("airport", "aircraft", "flow", "house")
"""Kinds of file that an exercise names."""

_STORED = Source("stored exercise")
_DROPPED = ("notes", "changes")


@dataclass(slots=True)
class _Documents:
    """The nodes of one exercise and its parts, and how the files are called."""

    name: str
    exercise: Mapping
    parts: dict[str, Mapping]


def load(reference: str | Path, found: library.Library) -> Exercise:
    """The exercise `reference`: a name in the library, or the path of a file.

    Raises:
        FileProblems: everything wrong in any of its files, with positions.
        UserError: there is no exercise of that name.
    """
    path = found.exercise_path(reference)
    shown = library.shown_path(path)
    if not STEM.fullmatch(path.stem) or path.suffix != ".yaml":
        message = (
            f"{quoted(path.name)} is no name of an exercise; expected small letters, digits and "
            "hyphens, and the ending .yaml"
        )
        raise FileProblems([Problem(shown, 0, 0, message)])
    node = library.parse_file(path)
    return compose(node, path.stem, found.beside(path))


def compose(node: Node, name: str, found: library.Library) -> Exercise:
    """The exercise whose file has the root `node`, called `name`; parts from `found`."""
    reading = Reading()
    exercise = read(node, "exercise", reading)
    parts: dict[str, Fields] = {}
    if exercise is not None:
        for kind in PARTS:
            fields = _part(kind, exercise, found, reading)
            if fields is not None:
                parts[kind] = fields
    _check_size(node, parts, reading)
    reading.problems.raise_if_any()
    assert exercise is not None
    flow = parts["flow"].node
    for source in (parts["house"], exercise):
        applicable = tuple(
            change
            for change in source.records("changes")
            if "flow" not in change or change.text("flow") == exercise.text("flow")
        )
        flow = changes.apply(flow, applicable, reading)
    reading.problems.raise_if_any()
    documents = _Documents(
        name, exercise.node, {**{kind: part.node for kind, part in parts.items()}, "flow": flow}
    )
    return _build(documents, frozenset(), strict=exercise.node.source)


def from_canonical(text: str) -> Exercise:
    """The exercise stored as `text` (see `Exercise.canonical`), as written (seed 0).

    Raises FileProblems if the text is not a stored exercise of this version.
    """
    return from_document(_document(text))


def from_document(document: dict[str, Any], dropped: frozenset[str] = frozenset()) -> Exercise:
    """The exercise of a plain document; `dropped`: events that do not happen."""
    try:
        name = document["name"]
        parts = {kind: document[kind] for kind in (*PARTS, "exercise")}
    except (KeyError, TypeError):
        raise FileProblems([_STORED.problem(0, 0, 1, "not a stored exercise")]) from None
    roots = {kind: nodes.from_plain(part, _STORED) for kind, part in parts.items()}
    for kind, root in roots.items():
        if not isinstance(root, Mapping):
            message = f"the {kind} of the stored exercise is no mapping"
            raise FileProblems([_STORED.problem(0, 0, 1, message)])
    mappings = {kind: root for kind, root in roots.items() if isinstance(root, Mapping)}
    exercise = mappings.pop("exercise")
    return _build(_Documents(str(name), exercise, mappings), dropped, strict=None)


def _document(text: str) -> dict[str, Any]:
    try:
        document = json.loads(text)
    except (ValueError, RecursionError):
        raise FileProblems([_STORED.problem(0, 0, 1, "not readable as JSON")]) from None
    if not isinstance(document, dict):
        raise FileProblems([_STORED.problem(0, 0, 1, "not a stored exercise")])
    return document


def document_of(exercise: Exercise) -> dict[str, Any]:
    """The plain document an exercise was composed from (a fresh copy)."""
    return _document(exercise.canonical)


def _part(kind: str, exercise: Fields, found: library.Library, reading: Reading) -> Fields | None:
    name = exercise.text(kind)
    if not name:
        return None
    entry = found.find(kind, name)
    if entry is None:
        known = found.names(kind)
        reading.refuse(
            exercise.at(kind),
            f"there is no {kind} {quoted(name)} in {KINDS[kind]}/{hint(name, known)}",
        )
        return None
    try:
        node = library.parse_file(entry.path)
    except FileProblems as error:
        reading.problems.extend(error.problems)
        return None
    return read(node, kind, reading)


def _check_size(node: Node, parts: dict[str, Fields], reading: Reading) -> None:
    sources = (node.source, *(part.node.source for part in parts.values()))
    size = sum(len(line) + 1 for source in sources for line in source.lines)
    if size > nodes.COMPOSED_BYTES:
        reading.refuse(
            node,
            f"the exercise and its parts hold {size:,} characters; at most "
            f"{nodes.COMPOSED_BYTES:,} are read",
        )


def _build(documents: _Documents, dropped: frozenset[str], strict: Source | None) -> Exercise:
    reading = Reading()
    exercise = read(documents.exercise, "exercise", reading)
    parts = {kind: read(node, kind, reading) for kind, node in documents.parts.items()}
    reading.problems.raise_if_any()
    airport, aircraft_file, flow, house = (parts[kind] for kind in PARTS)
    assert exercise is not None
    assert airport is not None
    assert aircraft_file is not None
    assert flow is not None
    assert house is not None
    aircraft = aircraft_types.build(exercise.text("aircraft"), aircraft_file, reading)
    approach = airports.select_approach(
        airport, exercise.text("approach"), exercise.at("approach"), reading
    )
    start = exercise.record("start")
    assert start is not None
    place = None
    if approach is not None:
        arrival = (exercise.text("arrival"), exercise.at("arrival"))
        place = airports.build(
            exercise.text("airport"), airport, approach, arrival, start.text("before"), reading
        )
    reading.problems.raise_if_any()
    assert aircraft is not None
    assert place is not None
    words = lessons.house(exercise.text("house"), house, reading)
    kept, filtered = flows.listed(flow, aircraft)
    events = exercise.records("events")
    names = Names(
        aircraft=aircraft,
        fixes=tuple(fix.name for fix in place[0].fixes),
        events=tuple(event.text("event") for event in events),
        items=_item_names(kept, events),
        filtered=tuple(name for one in filtered for name in one.names),
        gates=tuple(gate.text("gate") for gate in flow.records("gates")),
        intents=tuple(intent for intent, _ in words.words),
        checklists=tuple(flow.named("checklists")),
        final_fix=place[1].final_fix.name,
        threshold=f"RW{place[1].runway.name}",
        strict=strict,
    )
    flows.check_unique(kept, reading)
    checks.check_family(flow, aircraft, exercise.at("flow"), reading)
    built = flows.FlowBuilder(flow, names, reading).build(exercise.text("flow"), kept)
    surrounding = happenings.Surrounding(
        exercise.text("callsign"), place[0].name, place[1].name, place[1].runway.name
    )
    happened = []
    for fields in events:
        event = happenings.build(fields, surrounding, names, reading)
        if event.name not in dropped:
            happened.append(event)
            items = happenings.derived_items(event, fields.text("items") != "none")
            built = replace(built, items=(*built.items, *items))
    weather = lessons.weather(exercise.record("weather"), exercise.node, reading)
    begun = lessons.start(start, place[1], aircraft, weather, names, reading)
    variations = lessons.variations(exercise, reading)
    traps = lessons.traps(exercise, names, reading)
    checks.check_names(flow, events, kept, names, reading)
    checks.check_windows(built, happened, flow, events, reading)
    reading.problems.raise_if_any()
    assert begun is not None
    document = _canonical_document(documents)
    canonical = nodes.canonical(document)
    reference_kt = aircraft.reference_kt(begun.mass_t)
    return Exercise(
        name=documents.name,
        title=exercise.text("title"),
        lesson=exercise.text("lesson"),
        level=int(exercise.number("level")),
        brief=exercise.text("brief"),
        callsign=exercise.text("callsign"),
        airport=place[0],
        approach=place[1],
        aircraft=aircraft,
        flow=built,
        house=words,
        start=begun,
        weather=weather,
        events=tuple(happened),
        variations=variations,
        traps=traps,
        pass_points=exercise.number("pass"),
        reference_kt=reference_kt,
        final_kt=lessons.final_speed_kt(reference_kt, weather, place[1].runway.course_deg),
        digest=hashlib.sha256(canonical.encode("ascii")).hexdigest(),
        canonical=canonical,
    )


def _item_names(kept: list[flows.Listed], events: tuple[Fields, ...]) -> tuple[str, ...]:
    names = [name for one in kept for name in one.names]
    for event in events:
        names.extend(happenings.derived_names(event))
    return tuple(names)


def _canonical_document(documents: _Documents) -> dict[str, Any]:
    document: dict[str, Any] = {"format": 1, "name": documents.name}
    for kind, node in (*documents.parts.items(), ("exercise", documents.exercise)):
        plain = nodes.plain(node)
        for key in _DROPPED:
            plain.pop(key, None)
        document[kind] = plain
    return document
