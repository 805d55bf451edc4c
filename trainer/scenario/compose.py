"""From files to one frozen exercise: shapes, references and values, every problem in one run.

Owns the order in which files are read and the stored form of an exercise. The stored form is
canonical JSON of the plain documents, flow changes applied; its SHA-256 is the digest, so that
comments and layout do not change it. Surprising rules: a part that cannot be used leaves out only
the checks that need it; a stored exercise is rebuilt by the same builder that reads files, and a
drawn value is one more change to that document.
"""

from __future__ import annotations

import hashlib
import json
from dataclasses import replace
from pathlib import Path
from typing import Any

from trainer.errors import FileProblems, Problem, did_you_mean, hint
from trainer.scenario import (
    aircraft_types,
    airports,
    based_flows,
    changes,
    checks,
    flows,
    flyability,
    happenings,
    lessons,
    library,
    listing,
    nodes,
    slips,
    techniques,
    variation,
)
from trainer.scenario.exercise import (
    Airport,
    Approach,
    Choose,
    Event,
    Exercise,
    Flow,
    House,
    Item,
    Slip,
    Start,
    Trap,
    Vary,
    Weather,
)
from trainer.scenario.fields import Fields, read, sound
from trainer.scenario.nodes import Mapping, Node, Source
from trainer.scenario.reading import Reading
from trainer.scenario.references import Names
from trainer.scenario.scalars import STEM
from trainer.scenario.vocabulary.tables import KINDS
from trainer.text import quoted
from trainer.values import dataclass
from trainer.world.aircraft import AircraftType

PARTS = ("airport", "aircraft", "flow", "house")
"""Kinds of file that an exercise names."""

_STORED = Source("stored exercise")
_DROPPED = {"exercise": ("notes", "changes", "watches")}
"""Keys not stored, by document: remarks, and what the stored flow holds already."""
_DROPPED_ELSEWHERE = ("notes", "changes")


_latest: tuple[str, dict[str, Fields]] = ("", {})
"""Digest and parts of the exercise composed last: whoever draws it need not read them again."""


def load(reference: str | Path, found: library.Library) -> Exercise:
    """The exercise `reference`: a name in the library, or the path of a file.

    Raises:
        FileProblems: everything wrong in any of its files, with positions.
        UserError: there is no exercise of that name.
    """
    path = found.exercise_path(reference)
    shown = library.shown_path(path)
    if not STEM.fullmatch(path.stem) or path.suffix != ".yaml":
        meant = "" if path.suffix else path.name.lower().replace(" ", "-")
        message = (
            f"{quoted(path.name)} is no name of an exercise; expected small letters, digits and "
            f"hyphens, and the ending .yaml{did_you_mean(meant, found.names('exercise'))}"
        )
        raise FileProblems([Problem(shown, 0, 0, message)])
    node = library.parse_file(path)
    if isinstance(node, Mapping) and "crew" in node.index:
        message = f"a crew file, which is flown: approach-drill fly EXERCISE --crew {path.name}"
        raise FileProblems([node.key_node("crew").problem(message)])
    return compose(node, path.stem, found.beside(path))


def compose(node: Node, name: str, found: library.Library) -> Exercise:
    """The exercise whose file has the root `node`, called `name`; parts from `found`."""
    reading = Reading()
    exercise = read(node, "exercise", reading)
    if exercise is None:
        raise FileProblems(reading.problems)
    parts: dict[str, Fields] = {}
    for kind in PARTS:
        fields = _part(kind, exercise, found, reading)
        if fields is not None:
            parts[kind] = fields
    _check_size(node, parts, reading)
    if "flow" in parts:
        flow = parts["flow"].node
        for source in (parts.get("house"), exercise):
            if source is not None:
                flow = _changed(flow, source, exercise.text("flow"), reading)
        flow = changes.with_watches(flow, exercise.node)
        if flow is not parts["flow"].node and (read_again := read(flow, "flow", reading)):
            parts["flow"] = read_again
    house = found.find("house", exercise.text("house"))
    is_tried = house is not None and house.is_shipped
    built = _build(name, exercise, parts, frozenset(), exercise.node.source, reading, is_tried)
    for finding in flyability.findings(built):
        reading.refuse(_written(finding, exercise, parts), finding.message)
    checks.check_openings(built, exercise, reading)
    reading.problems.raise_if_any()
    global _latest
    _latest = (built.digest, parts)
    return built


def _written(finding: flyability.Finding, exercise: Fields, parts: dict[str, Fields]) -> Node:
    """The node that says what `finding` is about; that of the approach's name if there is none."""
    name = exercise.text("approach")
    approaches = parts["airport"].records("approaches")
    approach = next(one for one in approaches if one.text("approach") == name)
    records: list[Fields] = []
    key = finding.name
    match finding.place:
        case "start":
            records, key = [one for one in (exercise.record("start"),) if one is not None], key
        case "leg":
            legs = [*(leg for legs in approach.named("arrivals").values() for leg in legs)]
            legs += approach.records("legs")
            records, key = [leg for leg in legs if leg.text("fix") == finding.name], "fix"
        case "missed leg" if (missed := approach.record("missed approach")) is not None:
            legs = list(missed.records("legs"))
            records, key = [leg for leg in legs if leg.text("fix") == finding.name], "fix"
        case "gate":
            gates = parts["flow"].records("gates")
            records, key = [gate for gate in gates if gate.text("gate") == finding.name], "gate"
        case "approach":
            records = [approach]
        case _:
            found = approach.record(finding.place)
            records = [] if found is None else [found]
    return records[0].at(key) if records else exercise.at("approach")


def _fitted(aircraft: AircraftType, exercise: Fields, reading: Reading) -> AircraftType:
    """`aircraft` with the options that `exercise` fits."""
    offered = {
        "autothrust": aircraft.autothrust_option is not None,
        "autopilot": bool(aircraft.guidance.autopilot_option),
    }
    for option in exercise.texts("fitted"):
        if not offered[option]:
            reading.refuse(exercise.at("fitted"), f"{aircraft.title}: {option} is no option")
        elif option == "autothrust":
            aircraft = aircraft.with_autothrust()
        else:
            aircraft = aircraft.with_autopilot()
    return aircraft


def _changed(flow: Mapping, source: Fields, name: str, reading: Reading) -> Mapping:
    """The flow called `name` with the changes that `source` makes to it.

    A change that was not read soundly is left out; an added item stays, so that its name is known.
    """
    applicable = tuple(
        change
        for change in source.records("changes")
        if (change.is_sound or "add" in change)
        and (not change.is_written("flow") or change.text("flow") == name)
    )
    return changes.apply(flow, applicable, reading)


def from_canonical(text: str, *, is_tried: bool = False) -> Exercise:
    """The exercise stored as `text` (see `Exercise.canonical`), as written (seed 0).

    `is_tried`: it was composed before, so that the words of its house are known to be heard.

    Raises FileProblems if the text is not a stored exercise of this version.
    """
    global _latest
    built, parts = _from_document(_document(text), frozenset(), {}, is_tried)
    _latest = (built.digest, parts)
    return built


def from_document(document: dict[str, Any], dropped: frozenset[str] = frozenset()) -> Exercise:
    """The exercise of a plain document; `dropped`: events that do not happen."""
    return _from_document(document, dropped, {}, is_tried=False)[0]


def varied(exercise: Exercise, document: dict[str, Any], dropped: frozenset[str]) -> Exercise:
    """`exercise` with what `document` (its own, with other values in the exercise) says.

    The stored form stays. The other parts are not read again if it was composed just now.
    """
    global _latest
    digest, parts = _latest
    _latest = ("", {})  # once: whoever flies it would keep them in memory
    known = parts if digest == exercise.digest else {}
    return _from_document(document, dropped, known, "house" in known, exercise.canonical)[0]


def _from_document(
    document: dict[str, Any],
    dropped: frozenset[str],
    known: dict[str, Fields],
    is_tried: bool,
    canonical: str = "",
) -> tuple[Exercise, dict[str, Fields]]:
    """The exercise of a plain document and its parts; those `known` are not read again."""
    try:
        name = document["name"]
        plain = {kind: document[kind] for kind in (*PARTS, "exercise") if kind not in known}
    except (KeyError, TypeError):
        raise _unreadable("not a stored exercise") from None
    roots = {kind: nodes.from_plain(part, _STORED) for kind, part in plain.items()}
    for kind, root in roots.items():
        if not isinstance(root, Mapping):
            raise _unreadable(f"the {kind} of the stored exercise is no mapping")
    reading = Reading()
    exercise = read(roots.pop("exercise"), "exercise", reading)
    assert exercise is not None
    parts = {kind: fields for kind, root in roots.items() if (fields := read(root, kind, reading))}
    parts = {**known, **parts}
    return _build(str(name), exercise, parts, dropped, None, reading, is_tried, canonical), parts


def _document(text: str) -> dict[str, Any]:
    try:
        document = json.loads(text)
    except (ValueError, RecursionError):
        raise _unreadable("not readable as JSON") from None
    if not isinstance(document, dict):
        raise _unreadable("not a stored exercise")
    return document


def _unreadable(message: str) -> FileProblems:
    return FileProblems([_STORED.problem(0, 0, 1, message)])


def document_of(exercise: Exercise) -> dict[str, Any]:
    """The plain document an exercise was composed from (a fresh copy)."""
    return _document(exercise.canonical)


def _part(kind: str, exercise: Fields, found: library.Library, reading: Reading) -> Fields | None:
    name = exercise.text(kind)
    if not name:
        return None
    entry = found.find(kind, name)
    if entry is None:
        missing = f"there is no {kind} {quoted(name)} in {KINDS[kind]}/"
        reading.refuse(exercise.at(kind), f"{missing}{hint(name, found.names(kind))}")
        return None
    try:
        node: Node | None = library.parse_file(entry.path)
        if kind == "flow" and node is not None:
            node = based_flows.whole(node, found, reading)
    except FileProblems as error:
        for problem in error.problems:
            reading.note(problem)
        return None
    return None if node is None else read(node, kind, reading)


def _check_size(node: Node, parts: dict[str, Fields], reading: Reading) -> None:
    sources = [node.source]
    for part in parts.values():  # a flow may hold lists of another file
        for _, value in part.node.pairs:
            if value.source not in sources:
                sources.append(value.source)
    size = sum(len(line) + 1 for source in sources for line in source.lines)
    if size > nodes.COMPOSED_BYTES:
        reading.refuse(
            node,
            f"the exercise and its parts hold {size:,} characters; at most "
            f"{nodes.COMPOSED_BYTES:,} are read",
        )


@dataclass(slots=True)
class _Values:
    """What an exercise is made of, each None where it was not read soundly.

    `clear` is the type as it flies without ice, `aircraft` as it flies in this exercise.
    """

    weather: Weather | None = None
    clear: AircraftType | None = None
    aircraft: AircraftType | None = None
    place: tuple[Airport, Approach] | None = None
    words: House | None = None
    flow: Flow | None = None
    start: Start | None = None
    events: tuple[Event, ...] = ()
    variations: tuple[Vary | Choose, ...] = ()
    traps: tuple[Trap, ...] = ()
    slips: tuple[Slip, ...] = ()


def _build(
    name: str,
    exercise: Fields,
    parts: dict[str, Fields],
    dropped: frozenset[str],
    strict: Source | None,
    reading: Reading,
    is_tried: bool,
    canonical: str = "",
) -> Exercise:
    """The exercise called `name` from what was read; raises everything wrong with it at once.

    `reading` may hold problems already. Each check is made as far as what it needs was read.
    `is_tried`: the words of the house are known to be heard. `canonical`: the stored form, "" for
    that of what was read.
    """
    made = _Values(lessons.weather(exercise.record("weather"), exercise.node, reading))
    _take_aircraft(made, exercise, sound(parts.get("aircraft")), dropped, reading)
    made.place = _place(exercise, sound(parts.get("airport")), reading)
    if (house := sound(parts.get("house"))) is not None:
        made.words = lessons.house(exercise.text("house"), house, reading, is_tried=is_tried)
    flow = parts.get("flow")
    kept, filtered = ([], []) if flow is None else listing.listed(flow, made.aircraft)
    names = _names(exercise, flow, kept, filtered, made.aircraft, made.place, made.words)
    names.strict = strict
    if flow is not None:
        if made.aircraft is not None:
            listing.check_unique(kept, reading)
            checks.check_family(flow, made.aircraft, exercise.at("flow"), reading)
        made.flow = flows.FlowBuilder(flow, names, reading).build(exercise.text("flow"), kept)
    made.events, items = _happened(exercise, made.place, names, dropped, reading)
    if (start := exercise.record("start")) is not None:
        approach = None if made.place is None else made.place[1]
        made.start = lessons.start(start, approach, made.aircraft, made.weather, names, reading)
    if made.flow is not None:
        made.flow = techniques.chosen(made.flow, exercise, reading)
    made.variations = variation.variations(exercise, reading)
    made.traps = slips.traps(exercise, names, reading)
    made.slips = slips.slips(exercise, names, reading)
    for change in exercise.records("changes"):
        names.check(change.mentions, reading)
    if flow is not None and made.flow is not None and made.aircraft is not None:
        made.flow = replace(made.flow, items=(*made.flow.items, *items))
        checks.check_names(flow, exercise.records("events"), kept, names, reading)
        checks.check_windows(
            made.flow, made.events, _fixed_figures(made.place, made.aircraft), flow,
            exercise.records("events"), reading,
        )  # fmt: skip
    reading.problems.raise_if_any()
    canonical = canonical or nodes.canonical(_canonical_document(name, exercise, parts))
    return _exercise(name, exercise, canonical, made)


def _take_aircraft(
    made: _Values, exercise: Fields, file: Fields | None, dropped: frozenset[str], reading: Reading
) -> None:
    """Add the type, fitted as the exercise says, and as it flies where there is ice."""
    if file is None:
        return
    aircraft = aircraft_types.build(exercise.text("aircraft"), file, reading)
    if aircraft is None:
        return
    made.clear = made.aircraft = aircraft = _fitted(aircraft, exercise, reading)
    if made.weather is not None and (made.weather.is_icing or _meets_ice(exercise, dropped)):
        made.aircraft = aircraft.in_icing()


def _exercise(name: str, exercise: Fields, canonical: str, made: _Values) -> Exercise:
    """The exercise of values that were all read soundly."""
    weather, clear, aircraft, words = made.weather, made.clear, made.aircraft, made.words
    flow, start = made.flow, made.start
    assert weather is not None
    assert aircraft is not None
    assert clear is not None
    assert made.place is not None
    assert words is not None
    assert flow is not None
    assert start is not None
    airport, approach = made.place
    course_deg = approach.runway.course_deg
    speeds, before_ice = lessons.speeds(aircraft, start.mass_t, weather, course_deg), None
    if aircraft is not clear and not weather.is_icing:
        before_ice = lessons.speeds(clear, start.mass_t, weather, course_deg)
    return Exercise(
        name=name,
        title=exercise.text("title"),
        lesson=exercise.text("lesson"),
        level=int(exercise.number("level")),
        brief=exercise.text("brief"),
        callsign=exercise.text("callsign"),
        airport=airport,
        approach=_with_add_on(approach, flow.add_on_ft),
        aircraft=aircraft,
        flow=flow,
        house=words,
        start=start,
        weather=weather,
        events=made.events,
        variations=made.variations,
        traps=made.traps,
        slips=made.slips,
        pass_points=exercise.number("pass"),
        reference_kt=speeds.reference_kt,
        final_kt=speeds.final_kt,
        before_ice=before_ice,
        digest=hashlib.sha256(canonical.encode("ascii")).hexdigest(),
        canonical=canonical,
    )


def _meets_ice(exercise: Fields, dropped: frozenset[str]) -> bool:
    """Whether an event that happens meets ice."""
    changes = (
        event.record("weather")
        for event in exercise.records("events")
        if event.text("event") not in dropped
    )
    return any(change is not None and change.text("icing") == "yes" for change in changes)


def _place(
    exercise: Fields, airport: Fields | None, reading: Reading
) -> tuple[Airport, Approach] | None:
    """Airport and approach, or None where they, or what names them, cannot be used."""
    if airport is None or "approach" not in exercise:
        return None
    approach = airports.select_approach(
        airport, exercise.text("approach"), exercise.at("approach"), reading
    )
    if approach is None:
        return None
    start = exercise.record("start")
    before = "" if start is None else start.text("before")
    arrival = (exercise.text("arrival"), exercise.at("arrival"))
    return airports.build(exercise.text("airport"), airport, approach, arrival, before, reading)


def _fixed_figures(
    place: tuple[Airport, Approach] | None, aircraft: AircraftType
) -> dict[str, float]:
    """Named distances and heights that no weather and no mass changes."""
    figures = {
        "alert height": aircraft.guidance.alert_height_ft,
        "decision height": aircraft.guidance.decision_height_ft,
    }
    if place is not None:
        figures["final fix distance"] = place[1].final_fix.distance_nm
    return figures


def _with_add_on(approach: Approach, add_on_ft: float) -> Approach:
    """The approach as it is flown: a minimum descent altitude becomes a decision altitude."""
    final = approach.rnp
    if final is not None and final.descent_minimum_ft is not None:
        final = replace(final, minimums_ft=final.descent_minimum_ft + add_on_ft)
        approach = replace(approach, rnp=final)
    if approach.descent_minimum_ft is None:
        return approach
    return replace(approach, minimums_ft=approach.descent_minimum_ft + add_on_ft)


def _names(
    exercise: Fields,
    flow: Fields | None,
    kept: list[listing.Listed],
    filtered: list[listing.Listed],
    aircraft: AircraftType | None,
    place: tuple[Airport, Approach] | None,
    words: House | None,
) -> Names:
    """Every name of the exercise; kinds of which some could not be read are open."""
    events = exercise.records("events")
    whole = {
        "fix": place is not None,
        "intent": words is not None,
        "event": listing.is_complete(exercise, "events", "event"),
        "item": flow is not None and all(one.names for one in (*kept, *filtered)),
        "gate": flow is not None and listing.is_complete(flow, "gates", "gate"),
        "checklist": flow is not None and ("checklists" in flow) == flow.is_written("checklists"),
    }
    if flow is not None and whole["item"]:
        lists = ("items", "go around")
        whole["item"] = all(listing.is_complete(flow, key, "item") for key in lists)
    derived = [name for event in events for name in happenings.derived_names(event)]
    return Names(
        aircraft=aircraft,
        fixes=() if place is None else tuple(fix.name for fix in place[0].fixes),
        events=tuple(event.text("event") for event in events),
        items=(*(name for one in kept for name in one.names), *derived),
        recurring=tuple(one.fields.text("item") for one in kept if one.fields.is_written("each")),
        filtered=tuple(name for one in filtered for name in one.names),
        gates=() if flow is None else tuple(one.text("gate") for one in flow.records("gates")),
        intents=() if words is None else tuple(intent for intent, _ in words.words),
        checklists=() if flow is None else tuple(flow.named("checklists")),
        final_fix="" if place is None else place[1].final_fix.name,
        threshold="" if place is None else f"RW{place[1].runway.name}",
        open_kinds=frozenset(kind for kind, is_whole in whole.items() if not is_whole),
    )


def _happened(
    exercise: Fields,
    place: tuple[Airport, Approach] | None,
    names: Names,
    dropped: frozenset[str],
    reading: Reading,
) -> tuple[tuple[Event, ...], tuple[Item, ...]]:
    """Events that were read soundly, and the items their clearances create."""
    where = ("", "", "")
    if place is not None:
        where = (place[0].name, place[1].name, place[1].runway.name)
    surrounding = happenings.Surrounding(exercise.text("callsign"), *where)
    happened: list[Event] = []
    items: list[Item] = []
    for fields in exercise.records("events"):
        event = happenings.build(fields, surrounding, names, reading)
        if event is not None and event.name not in dropped:
            happened.append(event)
            items += happenings.derived_items(event, fields.text("items") != "none")
    return tuple(happened), tuple(items)


def _canonical_document(name: str, exercise: Fields, parts: dict[str, Fields]) -> dict[str, Any]:
    document: dict[str, Any] = {"format": 1, "name": name}
    for kind, fields in (*parts.items(), ("exercise", exercise)):
        plain = nodes.plain(fields.node)
        for key in _DROPPED.get(kind, _DROPPED_ELSEWHERE):
            plain.pop(key, None)
        document[kind] = plain
    return document
