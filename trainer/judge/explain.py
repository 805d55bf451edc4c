"""Sentences: what was expected, and what would have been accepted instead, and when.

Every verdict explains itself from the state and the rule; nothing here decides anything.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from trainer.flight.ending import DECISION
from trainer.flight.row import Row
from trainer.judge.hands import TORQUE
from trainer.judge.tracker import Tracker
from trainer.judge.tracks import Track
from trainer.judge.truth import mode_phrase, slot_truth
from trainer.scenario.controls import CONTROLS
from trainer.scenario.exercise import Act
from trainer.scenario.vocabulary.words import MODE_SHOWN

_SLOT = re.compile(r"\{(\w+)\}")


def expected_text(track: Track, tracker: Tracker) -> str:
    """What the item asks for, in the words of the flight deck."""
    if track.item.answers:
        return " or ".join(_act_text(act, track, tracker) for act in track.item.answers)
    return _act_text(track.item.act, track, tracker)


def _act_text(act: Act, track: Track, tracker: Tracker) -> str:
    match act.kind:
        case "do":
            return f"{act.control} {act.position}".strip()
        case "set":
            assert act.figure is not None
            if act.figure.name == "descent rate":
                return "the vertical speed of the published path, and back to it within a mile"
            if act.figure.name == TORQUE:
                return "a torque that holds the selected speed, or brings the aircraft to it"
            value = tracker.hands.value(act)
            if value is None:
                return f"{act.control} as assigned"
            if act.control == "frequency":
                return f"frequency {value:.2f} MHz"
            return f"{act.control} {value:.0f} {CONTROLS[act.control].unit}"
        case "read back":
            event = next(one for one in tracker.exercise.events if one.name == act.event)
            values = ", ".join(f"{name} {text}" for name, text in event.slots)
            return f"read back {event.grants or event.name}" + (f" with {values}" if values else "")
        case "checklist":
            return f"{act.checklist} checklist"
        case "line":
            return f'{act.checklist} checklist: "{act.challenge}"'
    if act.intent == MODE_SHOWN:
        assert track.fact is not None
        words = track.fact.detail.split(", ")
        before = track.fact.before.split(", ")
        intents = [mode_phrase(track.fact.name, word) for word in words if word not in before]
        book = tracker.book
        calls = [book.phrases(intent)[0] for intent in intents if intent in book.intents]
        return f'call "{", ".join(calls)}"'
    phrases = tracker.book.phrases(act.intent)
    if act.intent == DECISION:
        return "call " + " or ".join(f'"{phrase}"' for phrase in phrases if "{" not in phrase)
    return f'call "{_filled(phrases[0], act.intent, track, tracker)}"'


def _filled(phrase: str, intent: str, track: Track, tracker: Tracker) -> str:
    """`phrase` with what was so when the call opened in place of its slots."""
    row = None if track.opened is None else tracker.rows[track.opened]

    def fill(match: re.Match[str]) -> str:
        truth = None if row is None else slot_truth(intent, match[1], row, tracker.exercise)
        if truth is None:
            return match[1]
        if isinstance(truth, str):
            return truth
        value, _ = truth
        return f"{round(value, -2):.0f}" if match[1] == "altitude" else f"{value:.0f}"

    return _SLOT.sub(fill, phrase)


def place_text(row: Row) -> str:
    """Where and when a row is: time, distance, altitude, speed."""
    minutes, seconds = divmod(row.step / 10.0, 60.0)
    return (
        f"{minutes:.0f}:{seconds:04.1f}, {row.distance_nm:.1f} NM, "
        f"{row.altitude_ft:.0f} ft, {row.cas_kt:.0f} kt"
    )


def better_text(track: Track, tracker: Tracker, rows: Sequence[Row], verdict: str) -> str:
    """The moment that would have been right, in NM, seconds and feet; "" where all was well."""
    if verdict in ("on time", "not reached"):
        return ""
    if verdict == "early":
        return _better_early(track, rows)
    if track.opened is None:
        return ""
    text = f"right from {place_text(rows[track.opened])}"
    if track.due < len(rows):
        text += f", until {place_text(rows[track.due])}"
    if verdict == "wrong":
        text += f"; accepted: {expected_text(track, tracker)}"
    return text


def _better_early(track: Track, rows: Sequence[Row]) -> str:
    assert track.early is not None
    opened = track.opened
    if opened is None:
        usable = _first_usable(rows, track.early.step)
        return f"glide path first received at {place_text(usable)}" if usable is not None else ""
    seconds = (opened - track.early.step) / 10.0
    row, miles = rows[opened], rows[track.early.step].flown_nm
    return f"right from {place_text(row)}: {seconds:.0f} s and {row.flown_nm - miles:.1f} NM later"


def _first_usable(rows: Sequence[Row], since: int) -> Row | None:
    for row in rows[since:]:
        if row.glide in ("received", "covered"):
            return row
    return None
