"""The key router: keys in; acts, wishes and notes out. A pure state machine without a screen.

Two states: *knob*, in which a number waits for the key it belongs to, and a line, *say* or
*read back*, which takes every character until Enter sends or Escape drops it. Knows no aircraft and
no clock: time is the step it is given. Surprising rules: a number never changes what a button does;
a call counts from the step at which its line was opened, also one that was recalled or completed.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from trainer.app.keymap import (
    BACKSPACE,
    DEFAULT,
    ENTER,
    ESCAPE,
    FUNCTION_KEYS,
    SPACE,
    Binding,
    Keymap,
    shown_key,
)
from trainer.units import steps_for

FADE = steps_for(8.0)
"""A number nobody used is forgotten after this many steps."""
NUMBER_MAX = 8
LINE_MAX = 120
SAID_MAX = 50
"""So many calls can be recalled."""


class Draft(NamedTuple):
    """An act about to be made: the fields of `flight.acts.Act` without step, serial and author.

    A lever moved by gesture has `value` "toggle", "next" or "previous"; whoever makes the act
    knows where the lever stands. `began` is -1 except for a line.
    """

    act: str
    control: str = ""
    value: str = ""
    text: str = ""
    began: int = -1


class Note(NamedTuple):
    """Something to tell the pilot at the entry line."""

    text: str


class Ask(NamedTuple):
    """A wish to the app: "help", "pause", "skip", "rewind", "faster", "real time", "leave"."""

    what: str


Output = Draft | Note | Ask


class Router:
    """Turns keys into outputs; `entry` and `state` are what the entry line shows.

    `phrases` are the calls that Tab completes to; none of them, no completion.
    """

    def __init__(self, keymap: Keymap = DEFAULT, phrases: Sequence[str] = ()) -> None:
        self._phrases = tuple(phrases)
        self._said: list[str] = []
        self._back = 0
        self._stem: str | None = None
        self._offered = 0
        self._bindings = keymap.bindings
        self._help = next((shown_key(row) for row in keymap.rows if row.ask == "help"), "?")
        self._number = ""
        self._typed_at = 0
        self._line: str | None = None
        self._kind = "say"
        self._began = -1

    @property
    def state(self) -> str:
        """ "knob", "say" or "read back"."""
        return "knob" if self._line is None else self._kind

    @property
    def entry(self) -> str:
        """What has been typed so far."""
        return self._number if self._line is None else self._line

    @property
    def is_line_open(self) -> bool:
        """Whether a call or a read-back is being typed."""
        return self._line is not None

    def feed(self, key: str, character: str | None, step: int, challenge: str = "") -> list[Output]:
        """Take one key at a step.

        Args:
            key: name of the key ("space", "f2", "enter"; anything for a printable one).
            character: the printable character, or None.
            step: the step of the flight.
            challenge: the challenge of the checklist line that waits, "" if none does.
        """
        if key in FUNCTION_KEYS:
            named = self._bindings.get(key)
            return [] if named is None else self._named(named, step)
        if self._line is not None:
            return self._in_line(key, character, step)
        return self._in_knob(key, character, step, challenge)

    def tick(self, step: int) -> bool:
        """Let a stale number fade; True if it did."""
        if self._number and step - self._typed_at >= FADE:
            self._number = ""
            return True
        return False

    def forget(self) -> None:
        """Drop what is typed."""
        self._number, self._line = "", None

    def paste(self) -> list[Output]:
        """A paste is ignored, and said to be."""
        return [Note("pasted text is ignored")]

    # The knob state -----------------------------------------------------------------------------

    def _in_knob(self, key: str, character: str | None, step: int, challenge: str) -> list[Output]:
        if key == SPACE:
            return self._open("say", step)
        if key == BACKSPACE:
            self._number = self._number[:-1]
            self._typed_at = step
            return []
        if key == ESCAPE:
            self._number = ""
            return []
        if key == ENTER:
            if not challenge:
                return self._open("read back", step)
            return [*self._dropped("Enter"), Draft("line")]
        if character is None or len(character) != 1 or not character.isprintable():
            return []
        if character in "0123456789.-":
            return self._digit(character, step)
        binding = self._bindings.get(character)
        if binding is None:
            return [Note(self._no_key(character))]
        return self._bound(binding, step)

    def _no_key(self, character: str) -> str:
        """A key that is none; the number stays, as the other case of it may be what was meant."""
        other = self._bindings.get(character.swapcase())
        meant = f"{other.key} is {other.name}; " if other is not None else ""
        return f"no key {character}; {meant}{self._help} shows the keys"

    def _named(self, binding: Binding, step: int) -> list[Output]:
        """A function key: what it asks of the app is asked in a line as well."""
        if self._line is None:
            return self._bound(binding, step)
        return self._wish(binding) if binding.ask in ("pause", "skip", "rewind", "leave") else []

    def _bound(self, binding: Binding, step: int) -> list[Output]:
        if binding.ask == "read back":
            return self._open("read back", step)
        if binding.ask == "checklist":
            number, self._number = self._number, ""
            return [Draft("checklist", value=number)]
        if binding.ask:
            return self._wish(binding)
        return self._control(binding)

    def _digit(self, character: str, step: int) -> list[Output]:
        number = self._number
        self._typed_at = step
        if character == "-" and number:
            return [Note("a minus sign comes first")]
        if character == "." and "." in number:
            return [Note("one decimal point is enough")]
        if len(number) >= NUMBER_MAX:
            return [Note("that number is long enough; Backspace takes it back")]
        self._number += character
        return []

    def _control(self, binding: Binding) -> list[Output]:
        number = self._number
        if number and binding.takes_number and any(one.isdigit() for one in number):
            self._number = ""
            if binding.lever:
                return [Draft("move", binding.lever, number)]
            return [Draft("set", binding.selector, number)]
        notes = self._dropped(binding.key)
        if binding.button:
            return [*notes, Draft("press", binding.button)]
        if binding.lever:
            return [*notes, Draft("move", binding.lever, binding.gesture)]
        return [*notes, Note(f"type the {binding.name} first, as in {binding.example}")]

    def _dropped(self, key: str) -> list[Output]:
        number, self._number = self._number, ""
        return [Note(f"{number} dropped: {key} takes no number")] if number else []

    def _wish(self, binding: Binding) -> list[Output]:
        if binding.ask == "help":
            self._number = ""
        return [Ask(binding.ask)]

    # The line -----------------------------------------------------------------------------------

    def _open(self, kind: str, step: int) -> list[Output]:
        self._number = ""
        self._line, self._kind, self._began = "", kind, step
        self._back, self._stem = 0, None
        return []

    def _in_line(self, key: str, character: str | None, step: int) -> list[Output]:
        assert self._line is not None
        if key == ENTER:
            return self._send()
        if key == ESCAPE:
            self._line = None
            return [Note("nothing said")]
        if key == "tab":
            return self._complete()
        self._stem = None
        if key in ("up", "down"):
            return self._recall(1 if key == "up" else -1)
        if key == BACKSPACE:
            self._line = self._line[:-1]
            return []
        if key == SPACE:
            character = " "
        if character is None or len(character) != 1 or not character.isprintable():
            return []
        if len(self._line) >= LINE_MAX:
            return [Note("the line is full")]
        if character == " " and not self._line:
            return []
        self._line += character
        return []

    def _send(self) -> list[Output]:
        assert self._line is not None
        text, self._line = self._line.strip(), None
        if not text:
            return [Note("nothing said")]
        if self._kind == "say" and self._said[-1:] != [text]:
            self._said.append(text)
            del self._said[:-SAID_MAX]
        return [Draft(self._kind, text=text, began=self._began)]

    def _recall(self, by: int) -> list[Output]:
        """An earlier call (`by` 1) or a later one; below the newest stands an empty line."""
        if self._kind != "say":
            return []
        self._back = min(max(0, self._back + by), len(self._said))
        self._line = self._said[-self._back] if self._back else ""
        return []

    def _complete(self) -> list[Output]:
        """The next phrase that begins with what was typed; after the last, what was typed."""
        if self._kind != "say" or not self._phrases:
            return []
        assert self._line is not None
        if self._stem is None:
            self._stem, self._offered = self._line, 0
        stem = self._stem
        found = [one for one in self._phrases if one.startswith(stem.casefold()) and one != stem]
        if not found:
            return [Note("no call begins so")]
        self._line = [*found, stem][self._offered % (len(found) + 1)]
        self._offered += 1
        left = len(found) - self._offered
        return [Note(f"Tab: {left} more")] if left > 0 else []
