"""From an expected act to an act: which value to set, which words to say, with what in them."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping

from trainer.flight import acts
from trainer.flight.row import Row
from trainer.judge.tracker import Tracker
from trainer.judge.tracks import Track
from trainer.judge.truth import family, is_shown, mode_phrase, shown_word
from trainer.scenario.exercise import Act, Event, Exercise
from trainer.scenario.phrases import PhraseBook
from trainer.scenario.vocabulary import words


def act_of(
    expected: Act, row: Row, tracker: Tracker, by: str, track: Track | None = None
) -> acts.Act:
    """The act at `row` that does what `expected` asks for.

    `track` is the item it is done for: a mode call names what its change shows.
    """
    step = row.step
    match expected.kind:
        case "do" if expected.position:
            return acts.Act(step, 0, by, "move", expected.control, expected.position)
        case "do":
            return acts.Act(step, 0, by, "press", expected.control)
        case "set":
            text = dialled(expected.control, tracker.hands.value(expected))
            return acts.Act(step, 0, by, "set", expected.control, text)
        case "checklist":
            return acts.Act(step, 0, by, "checklist", expected.checklist)
        case "line":
            return acts.Act(step, 0, by, "line", expected.checklist, expected.challenge)
        case "read back":
            event = event_named(tracker.exercise, expected.event)
            text = expected.text or read_back_text(tracker.book, event)
            return acts.Act(step, 0, by, "read back", event.name, text=text, began=step)
        case "say":
            text = expected.text or _spoken(expected, row, tracker, track)
            return acts.Act(step, 0, by, "say", text=text, began=step)
    raise RuntimeError(f"unknown act kind {expected.kind}")


def _spoken(expected: Act, row: Row, tracker: Tracker, track: Track | None) -> str:
    if expected.intent == words.MODE_SHOWN and track is not None:
        return mode_call(tracker.book, track, row)
    return call_text(tracker, expected.intent, row)


def dialled(control: str, value: float | None) -> str:
    """A value as it is dialled: frequencies to the channel, minimums up, else whole units."""
    if value is None:
        return "0"
    if control == "frequency":
        return f"{value:.2f}"
    return f"{math.ceil(value - 1e-6)}" if control == "minimums" else f"{value:.0f}"


def event_named(exercise: Exercise, name: str) -> Event:
    """The event called `name`; RuntimeError if there is none."""
    for event in exercise.events:
        if event.name == name:
            return event
    raise RuntimeError(f"no event {name}")


def read_back_text(book: PhraseBook, event: Event, instead: Mapping[str, str] | None = None) -> str:
    """The read-back of `event` with all its slots, some of them replaced by `instead`."""
    slots = dict(event.slots)
    slots.update(instead or {})
    if event.grants:
        text = book.read_back_text(event.grants, slots, event.atc)
        return ", ".join((text, *_further(book, text, slots)))
    return ", ".join(f"{name} {value}" for name, value in slots.items())


def _further(book: PhraseBook, text: str, slots: Mapping[str, str]) -> Iterator[str]:
    """What is read back besides `text`, which carries only some values of a clearance."""
    said = {slot for call in book.hear(text).calls for slot, _ in call.slots}
    rest = {slot: value for slot, value in slots.items() if slot not in said}
    for clearance, needed in words.GRANT_NEEDS.items():
        if needed in rest and clearance != "discontinue":
            yield book.read_back_text(clearance, rest)


def mode_call(book: PhraseBook, track: Track, row: Row) -> str:
    """The call for the change that opened `track`: its words, or what has replaced them since."""
    fact = track.fact
    assert fact is not None
    before = fact.before.split(", ")
    shown = [
        (fact.name, word)
        for word in fact.detail.split(", ")
        if word not in before and is_shown(fact.name, word, row)
    ]
    if not shown:
        axis = family(fact.name)
        shown = [(axis, shown_word(axis, row))]
    intents = [mode_phrase(column, word) for column, word in shown]
    return ", ".join(book.spoken_form(intent) for intent in intents if intent in book.intents)


def call_text(tracker: Tracker, intent: str, row: Row) -> str:
    """The shortest accepted form of `intent` with the true numbers and names in it."""
    exercise = tracker.exercise
    values = {
        "stage": exercise.aircraft.flaps[row.flap_lever].name,
        "ident": exercise.approach.localizer.ident,
        "fix": exercise.approach.final_fix.name,
        "course": f"{exercise.approach.localizer.course_deg:.0f}",
        "setting": f"{row.selectors.altimeter_hpa:.0f}",
        "speed": f"{row.selectors.speed_kt:.0f}",
        "minimums": dialled("minimums", exercise.approach.minimums_in_use_ft(row.modes.capability)),
        "heading": f"{row.selectors.heading_deg:03.0f}",
        "frequency": row.selectors.frequency,
        "runway": exercise.approach.runway.name,
        "distance": f"{_distance_nm(intent, row):.0f}",
        "callsign": exercise.callsign,
        "altitude": f"{_altitude_ft(intent, row, exercise):.0f}",
    }
    if exercise.start.leaving_fuel_t > 0.0:
        values["fuel"] = f"{exercise.start.leaving_fuel_t:.1f}"
    wanted = {slot: values[slot] for slot in tracker.book.slots_of(intent) if slot in values}
    return tracker.book.spoken_form(intent, wanted)


def _distance_nm(intent: str, row: Row) -> float:
    if intent == "distance check" and row.dme_nm is not None:
        return row.dme_nm
    return row.distance_nm


def _altitude_ft(intent: str, row: Row, exercise: Exercise) -> float:
    if intent.startswith("missed approach"):
        return exercise.approach.missed_altitude_ft
    if intent.startswith("altitude set"):
        return row.selectors.altitude_ft
    return round(row.altitude_ft, -2)
