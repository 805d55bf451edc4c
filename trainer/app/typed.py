"""Lines typed in plain words or in keys, as what they ask for: `gear down`, `143h`, `say …`.

Owns the little language of the plain way of flying, in both directions: `typed` reads a line,
`to_type` writes the line that makes an act. It knows no flight beyond the names of its stages and
checklists. Surprising rule: what is no word of this language is tried as keys, and only then
refused; a call is never guessed, it begins with `say`.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import NamedTuple

from trainer.app.keymap import Binding, Keymap
from trainer.app.router import Ask, Draft, Note, Router
from trainer.errors import did_you_mean
from trainer.flight.acts import Act
from trainer.scenario.briefed import slots
from trainer.scenario.controls import CONTROLS, Control
from trainer.scenario.exercise import Exercise
from trainer.text import quoted


class Opened(NamedTuple):
    """A call ("say") or a read-back begins now; its words are the next line."""

    kind: str


class Wait(NamedTuple):
    """No further line is taken until so many seconds of flight have passed."""

    seconds: float


class Tell(NamedTuple):
    """A question: "status", "modes", "step", "help", or the name of a control."""

    what: str


class GoOn(NamedTuple):
    """An empty line: whatever waits goes on."""


Typed = Draft | Ask | Note | Opened | Wait | Tell | GoOn

WORDS = (
    ("say WORDS", "make a call; `say` alone begins it, the next line is what is said"),
    ("read back WORDS", "read a clearance back, with all its values; alone as `say`"),
    ("CONTROL", "press it, or move it on: `approach mode`, `flaps`, `gear`"),
    ("CONTROL VALUE", "set or move it: `heading 143`, `flaps 22`, `gear down`"),
    ("checklist", "begin the next checklist, `checklist 2` the second"),
    ("confirm", "answer the checklist line as challenged (so does an empty line)"),
    ("brief NAME NUMBER", "state a number of the briefing: `brief minimum 225`"),
    ("status", "speed, altitude, direction, needles and configuration now"),
    ("modes", "what the annunciator shows now"),
    ("step", "the step that is asked for or due, again (not in a check)"),
    ("go on", "an empty line does it too: guided flies to the next step, a pause ends"),
    ("wait 20", "take the next line only after 20 seconds of flight"),
    ("skip", "go on without the step asked for (guided only)"),
    ("pause", "stand still (not in a check)"),
    ("rewind", "back by 30 seconds (not in a check)"),
    ("faster, real time", "time ×2, ×4, ×8, and as it is (coached)"),
    ("leave", "leave the flight; the attempt stays unfinished"),
    ("keys", "keys do as well, in one word each: `143h p`; this lists them"),
    ("? CONTROL", "what a control is for"),
)
"""Every word of the language, with what it does."""

_ASKS = ("pause", "skip", "rewind", "faster", "real time", "leave")
_TELLS = ("status", "modes", "step", "help", "keys")
_KEYS = re.compile(r"(-?\d*\.?\d*)(\S)")


def typed(line: str, step: int, exercise: Exercise, keymap: Keymap) -> list[Typed]:
    """What `line` asks for at `step`; a Note says why where it asks for nothing."""
    text = " ".join(line.split())
    word = text.casefold()
    if word in ("", "go on"):
        return [GoOn()]
    for kind in ("say", "read back"):
        if word == kind:
            return [Opened(kind)]
        if word.startswith(f"{kind} "):
            return [Draft(kind, text=text[len(kind) + 1 :].strip('"'), began=step)]
    if word in _ASKS:
        return [Ask(word)]
    if word in _TELLS or word == "?":
        return [Tell("help" if word == "?" else word)]
    if word.startswith("? "):
        return [Tell(word[2:])]
    first, _, rest = word.partition(" ")
    if first == "wait":
        return [_wait(rest)]
    if first == "confirm":
        return [Draft("line", value=text[8:])]
    if first == "checklist":
        return [_checklist(rest, exercise)]
    if first == "brief":
        return [_briefed(rest, exercise)]
    control = _control(word)
    if control is not None:
        return [_worked(control, word.removeprefix(control.name).strip(), exercise)]
    return _keys(text, step, keymap) or [
        Note(f"{quoted(text)} is no word or key here{_meant(word)} (? lists the words)")
    ]


def to_type(act: Act) -> str:
    """The line that makes `act`."""
    match act.act:
        case "press":
            return act.control
        case "say" | "read back":
            return f"{act.act} {act.text}"
        case "checklist":
            return f"checklist {act.control}"
        case "line":
            return "confirm"
        case "brief":
            return f"brief {act.control} {act.value}"
    return f"{act.control} {act.value}"


def _control(word: str) -> Control | None:
    """The control whose name begins `word`; of several, the longest."""
    found = [one for one in CONTROLS.values() if f"{word} ".startswith(f"{one.name} ")]
    return max(found, key=lambda one: len(one.name), default=None)


def _worked(control: Control, value: str, exercise: Exercise) -> Draft | Note:
    if control.kind == "button":
        if value:
            return Note(f"{control.name} takes no value; it is pressed by its name alone")
        return Draft("press", control.name)
    if control.kind == "selector":
        number = value.removesuffix(control.unit.casefold()).strip()
        if not re.fullmatch(r"-?\d+(\.\d+)?", number):
            return Note(f"{control.name} needs a number, as in {_example(control)}")
        return Draft("set", control.name, number)
    if control.name == "flaps":
        positions: Sequence[str] = [stage.name for stage in exercise.aircraft.flaps]
    else:
        positions = control.positions
    if value in ("", "next", "previous"):
        gesture = value or ("next" if control.is_numbered else "toggle")
        return Draft("move", control.name, gesture)
    known = {position.casefold(): position for position in positions}
    if value not in known:
        return Note(
            f"{control.name} has no position {quoted(value)}; it has {', '.join(positions)}"
        )
    return Draft("move", control.name, known[value])


def _example(control: Control) -> str:
    middle = control.low if control.unit == "fix" else (control.low + control.high) / 2.0
    return f"`{control.name} {middle:.0f}`"


def _wait(seconds: str) -> Wait | Note:
    number = seconds.removesuffix("s").strip()
    if not re.fullmatch(r"\d{1,4}(\.\d+)?", number):
        return Note("wait needs seconds of flight, as in `wait 20`")
    return Wait(float(number))


def _checklist(which: str, exercise: Exercise) -> Draft | Note:
    names = [checklist.name for checklist in exercise.flow.checklists]
    folded = [name.casefold() for name in names]
    if which in folded:
        return Draft("checklist", value=str(folded.index(which) + 1))
    if which and not which.isdigit():
        return Note(f"no checklist {quoted(which)}; there is {', '.join(names) or 'none'}")
    return Draft("checklist", value=which)


def _briefed(rest: str, exercise: Exercise) -> Draft | Note:
    """A number of the approach briefing, as in `brief minimum 225`."""
    names = [slot.name for slot in slots(exercise)]
    name, _, number = rest.rpartition(" ")
    if name not in names:
        return Note(f"no number of the briefing is called {quoted(name)}; {', '.join(names)}")
    if not re.fullmatch(r"\d+(\.\d+)?", number):
        return Note(f"brief needs a number, as in `brief {name} 100`")
    return Draft("brief", name, number)


def _keys(text: str, step: int, keymap: Keymap) -> list[Typed]:
    """The line as keys, a word each; nothing if one of the words is none."""
    made: list[Typed] = []
    for word in text.split():
        match = _KEYS.fullmatch(word)
        binding = keymap.bindings.get(match.group(2)) if match else None
        if match is None or binding is None:
            return []
        if binding.ask:
            made.append(_asked(binding, match.group(1)))
            continue
        router = Router(keymap)
        for character in word:
            fed = router.feed(character, character, step)
            made += [one for one in fed if isinstance(one, Draft | Note)]
    return made


def _asked(binding: Binding, number: str) -> Typed:
    match binding.ask:
        case "checklist":
            return Draft("checklist", value=number)
        case "read back":
            return Opened("read back")
        case "help":
            return Tell("help")
    return Ask(binding.ask)


def _meant(word: str) -> str:
    words = ("say", "read back", "confirm", "checklist", "brief", "wait")
    names = [*CONTROLS, *_ASKS, *_TELLS, *words]
    first = word.partition(" ")[0]
    meant = did_you_mean(word, names) or did_you_mean(first, names)
    return meant or "; a call begins with `say`"
