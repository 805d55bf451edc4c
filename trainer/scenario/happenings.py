"""Events of an exercise as values, and the items that clearances create.

Owns what a clearance must be read back with and what is then set. Names in braces in a
transmission are filled in from a closed list by our own rule, never by format strings. Surprising
rule: an event that the seed dropped is gone with its items, but may still be mentioned.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from trainer.errors import did_you_mean, sentence_of
from trainer.scenario.answers import ANSWER_ACTS, answer_item, answer_name
from trainer.scenario.exercise import Act, Event, Fault, Item, ShearEvent, WeatherChange
from trainer.scenario.moments import Figure, Happened
from trainer.scenario.quantities import plain_number
from trainer.scenario.vocabulary import words
from trainer.text import quoted
from trainer.values import dataclass

if TYPE_CHECKING:  # the judge reads no files
    from trainer.scenario.fields import Fields
    from trainer.scenario.reading import Reading
    from trainer.scenario.references import Names

READ_BACK_SOURCE = "PANS-ATM (ICAO Doc 4444), 4.5.7.5: items that are always read back"
"""Where the list of what is always read back is published."""

_BRACES = re.compile(r"\{([^{}]*)\}")


@dataclass(frozen=True, slots=True)
class Surrounding:
    """What a transmission may name besides the values of its event."""

    callsign: str
    airport: str
    approach: str
    runway: str


def build(fields: Fields, place: Surrounding, names: Names, reading: Reading) -> Event | None:
    """The event in `fields`, or None if it was not read soundly; problems go to `reading`."""
    names.check(fields.mentions, reading)
    grants = fields.text("grants")
    values = _values(fields)
    needed = words.GRANT_NEEDS.get(grants)
    if needed is not None and needed not in values and not _is_unread(fields, needed):
        reading.refuse(
            fields.at("grants"),
            f"grants: {grants} without its value; expected assigns: {{{needed}: …}}",
        )
    slots = dict(values)
    if grants in words.GRANTS_WITH_RUNWAY:
        slots = {"runway": place.runway, **values}
    fault = _fault(fields, names, reading)
    atc = _filled(fields, {**_named(place), **values}, reading)
    if not fields.is_sound:
        return None
    when = fields.moment("when")
    assert when is not None
    return Event(
        name=fields.text("event"),
        when=names.resolve(when),
        atc=atc,
        grants=grants,
        slots=tuple(slots.items()),
        fault=fault,
        answers=fields.texts("answers"),
        shear=_shear(fields, reading),
        weather=_weather(fields, reading),
    )


def _is_unread(fields: Fields, value: str) -> bool:
    """Whether `value` may stand under assigns: where it could not be read."""
    assigned = fields.record("assigns")
    if assigned is None:
        return fields.is_written("assigns")
    return not assigned.is_sound and value not in assigned


def _values(fields: Fields) -> dict[str, str]:
    assigned = fields.record("assigns")
    if assigned is None:
        return {}
    found: dict[str, str] = {}
    for key in ("altitude", "heading", "speed", "setting", "distance"):
        value = assigned.maybe(key)
        if value is None:
            continue
        found[key] = f"{value:03.0f}" if key == "heading" else plain_number(value)
    return found


def _named(place: Surrounding) -> dict[str, str]:
    return {
        "callsign": place.callsign,
        "airport": place.airport,
        "approach": place.approach,
        "runway": place.runway,
    }


def _filled(fields: Fields, values: dict[str, str], reading: Reading) -> str:
    text = fields.text("atc")
    at = fields.at("atc")

    def fill(match: re.Match[str]) -> str:
        name = match.group(1)
        if name in values:
            return values[name]
        if name in words.ATC_NAMES:
            if not _is_unread(fields, name):
                reading.refuse(at, f"{{{name}}} has no value here; expected assigns: {{{name}: …}}")
        else:
            reading.refuse(
                at,
                f"{{{name}}} is no name of a transmission; known are "
                f"{sentence_of(words.ATC_NAMES)}{did_you_mean(name, words.ATC_NAMES)}",
            )
        return ""

    filled = _BRACES.sub(fill, text)
    if "{" in _BRACES.sub("", text) or "}" in _BRACES.sub("", text):
        reading.refuse(at, f"a lone brace in {quoted(text)}; expected {{NAME}}")
    return filled


def _weather(fields: Fields, reading: Reading) -> WeatherChange | None:
    change = fields.record("weather")
    if change is None:
        return None
    if not change.node.pairs:
        reading.refuse(change.node, "a change of nothing; expected what is different")
    ranges = change.record("visual range")
    return WeatherChange(
        ceiling_ft=change.maybe("ceiling"),
        visibility_m=change.maybe("visibility"),
        lights_on=change.text("lights") == "on" if "lights" in change else None,
        runway_ranges_m=None if ranges is None else visual_ranges(ranges),
        is_icing=change.text("icing") == "yes",
    )


def visual_ranges(fields: Fields | None) -> tuple[float | None, float | None, float | None]:
    """Runway visual range (m) at touchdown, midpoint and stop end; None where none is written."""
    if fields is None:
        return (None, None, None)
    return (fields.maybe("touchdown"), fields.maybe("midpoint"), fields.maybe("stop end"))


def _shear(fields: Fields, reading: Reading) -> ShearEvent | None:
    shear = fields.record("shear")
    if shear is None:
        return None
    bottom_ft, top_ft = shear.number("bottom"), shear.number("top")
    if top_ft <= bottom_ft:
        reading.refuse(shear.at("top"), "the shear ends where it begins; expected top above bottom")
    return ShearEvent(
        from_deg=shear.number("from"),
        speed_kt=shear.number("speed"),
        bottom_ft=bottom_ft,
        top_ft=top_ft,
        rise_s=shear.number("rise"),
        hold_s=shear.number("for"),
    )


def _check_bend(fault: Fields, reading: Reading) -> None:
    if fault.text("signal") != "localizer":
        reading.refuse(fault.at("becomes"), "only a localizer is bent; expected signal: localizer")
    if not fault.number("for"):
        reading.refuse(
            fault.at("becomes"), "a bend without an end; expected how long, such as for: 40 s"
        )


def _fault(fields: Fields, names: Names, reading: Reading) -> Fault | None:
    fault = fields.record("fault")
    if fault is None:
        if fields.is_written("answers") and not fields.is_written("fault"):
            reading.refuse(
                fields.node.key_node("answers"), "answers: without fault:; expected both"
            )
        return None
    if not fields.is_written("answers"):
        reading.refuse(
            fields.node.key_node("fault"),
            f"a fault without answers:; expected what is accepted, of {sentence_of(words.ANSWERS)}",
        )
    _check_answers(fields, names, reading)
    if not fault.is_sound:
        return None
    system, becomes = fault.text("system"), fault.text("becomes")
    wanted: tuple[str, ...] = ("failed",) if system else words.SIGNAL_FAULTS
    if fault.text("signal") == "position":
        wanted = words.POSITION_FAULTS
        if fault.is_written("for"):
            reading.refuse(
                fault.node.key_node("for"),
                "a level of service that is lost does not come back on the same approach",
            )
    if system == words.OTHER_COURSE:
        wanted = ("turned",)
    if becomes not in wanted:
        told = f"{system or fault.text('signal')} {becomes}"
        reading.refuse(
            fault.at("becomes"), f"{quoted(told)} is no fault; expected {sentence_of(wanted)}"
        )
    elif becomes == "bent":
        _check_bend(fault, reading)
    if system and fault.is_written("for"):
        reading.refuse(
            fault.node.key_node("for"), "a system stays as it is; for: belongs to a signal"
        )
    kind, _, number = system.rpartition(" ")
    aircraft = names.aircraft
    if kind == "autopilot" and aircraft and int(number) > aircraft.guidance.autopilots:
        fitted = aircraft.guidance.autopilots
        reading.refuse(
            fault.at("system"), f"{aircraft.title} has no {system}; autopilots fitted: {fitted}"
        )
    return Fault(fault.text("signal"), becomes, fault.number("for"), system)


def _check_answers(fields: Fields, names: Names, reading: Reading) -> None:
    """Note a problem for each answer that this type or this house has no way to give."""
    for place, answer in enumerate(fields.texts("answers")):
        act = ANSWER_ACTS[answer]
        kind, name = ("intent", act.intent) if act.kind == "say" else ("control", act.control)
        if not names.has(kind, name):
            what = "call in the house words" if kind == "intent" else "control of the type"
            reading.refuse(
                fields.entry("answers", place),
                f"{quoted(answer)} cannot be given: there is no {what} {quoted(name)}",
            )


def derived_items(event: Event, wants_items: bool) -> tuple[Item, ...]:
    """Items that an event creates: the answer to a fault; a clearance read back, then its values
    set."""
    answer = answer_item(event)
    if not wants_items or not (event.grants or event.slots):
        return () if answer is None else (answer,)
    opens = Happened("event", event.name)
    items = [] if answer is None else [answer]
    items += [
        Item(
            name=f"read back {event.name}",
            act=Act("read back", event=event.name),
            role="monitoring",
            opens=opens,
            due=12.0,
            closes=25.0,
            weight=2.0,
            area="communication",
            why="A clearance counts once it is read back with its values and found right.",
            source=READ_BACK_SOURCE,
        )
    ]
    for slot, text in event.slots:
        control = words.ASSIGNED_CONTROLS.get(slot)
        if control is None:
            continue
        items.append(
            Item(
                name=_set_name(control, event.name),
                act=Act("set", control=control, figure=Figure(float(text))),
                role="flying",
                opens=opens,
                due=15.0,
                closes=40.0,
                weight=2.0,
                area="clearances",
                why="A value that was assigned is set at once and exactly, while it is fresh.",
                source="common practice",
            )
        )
    return tuple(items)


def derived_names(fields: Fields) -> tuple[str, ...]:
    """Names of the items that the event in `fields` creates; of an unsound one all it might."""
    name = fields.text("event")
    if not name:
        return ()
    answers = (answer_name(name),) if fields.is_written("answers") else ()
    if fields.text("items") == "none":
        return answers
    values = tuple(_values(fields)) if fields.is_sound else tuple(words.ASSIGNED_CONTROLS)
    if not values and not fields.text("grants"):
        return answers
    controls = [words.ASSIGNED_CONTROLS[slot] for slot in values if slot in words.ASSIGNED_CONTROLS]
    return (*answers, f"read back {name}", *(_set_name(control, name) for control in controls))


def _set_name(control: str, event: str) -> str:
    # Brackets and no comma, so that it may be written in a crew file between braces.
    return f"set {control} ({event})"
