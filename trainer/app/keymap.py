"""The one table of keys: what each key does, its name and its help.

Derived from the closed table of controls, plus the keys of the app itself. The key router, the
help panel, `list --keys`, the hints and the docs read a `Keymap` and nothing else; `DEFAULT` is the
one that nobody has changed. Surprising rule: Escape is not in it, because terminals report it late;
`-` is only the sign of a number.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import field, replace

from trainer.scenario.controls import CONTROLS, Control
from trainer.values import dataclass

SPACE = "space"
ENTER = "enter"
ESCAPE = "escape"
"""Drops what is typed. It arrives late (a tenth of a second), so nothing timed hangs on it."""
BACKSPACE = "backspace"


@dataclass(frozen=True, slots=True)
class Binding:
    """What one key does in the knob state.

    key: a printable character, or a name such as "space" or "f2". With a number typed before it
    the key turns `selector` (or moves `lever` to that stage); alone it presses `button`, or moves
    `lever` by `gesture` ("toggle", "next" or "previous"). `ask` is a wish to the app itself.
    `number` is an example for a selector.
    """

    key: str
    name: str
    help: str
    button: str = ""
    selector: str = ""
    lever: str = ""
    gesture: str = ""
    ask: str = ""
    number: str = ""

    @property
    def example(self) -> str:
        """A selector's key behind a number, "" for other keys."""
        return f"{self.number}{self.key}" if self.number else ""

    @property
    def takes_number(self) -> bool:
        """Whether a number may be typed before this key."""
        is_numbered = bool(self.lever) and CONTROLS[self.lever].is_numbered
        return bool(self.selector) or is_numbered or self.ask == "checklist"


_EXAMPLES = {
    "speed": "160", "heading": "143", "altitude": "3000", "vertical speed": "-700",
    "course": "143", "frequency": "110.35", "altimeter": "1009", "minimums": "225",
    "final speed": "137", "direct to": "2", "torque": "28",
}  # fmt: skip

_GESTURES = {
    "flaps": ("next", "next stage out; 22f goes to stage 22"),
    "gear": ("toggle", "landing gear down or up"),
    "speedbrake": ("toggle", "speedbrake out or in"),
    "spoilers": ("toggle", "ground spoilers armed or disarmed"),
    "autobrake": ("next", "autobrake to its next level; 0k off, 1k low, to 4k max"),
    "reverse": ("toggle", "reverse thrust selected or stowed"),
    "propellers": ("toggle", "propellers to high or to cruise speed"),
    "ice protection": ("toggle", "ice protection on or off"),
}

_APP = (
    Binding("F", "flaps in", "flap lever one stage in", lever="flaps", gesture="previous"),
    Binding("j", "checklist", "begin the next checklist; 2j the second", ask="checklist"),
    Binding("R", "read back", "open a read-back while a checklist is being read", ask="read back"),
    Binding(SPACE, "say", "open the line for a call; Enter sends it, Esc drops it"),
    Binding(
        ENTER, "enter", "send the line, or confirm a checklist line, or open a read-back"
    ),
    Binding(BACKSPACE, "backspace", "take back the last character"),
    Binding("?", "help", "show or hide the keys; time runs on", ask="help"),
    Binding("f2", "pause", "pause (not in a check)", ask="pause"),
    Binding("f3", "skip", "go on without the step asked for (guided only)", ask="skip"),
    Binding("f4", "rewind", "back by 30 seconds (not in a check)", ask="rewind"),
    Binding("+", "faster", "time twice as fast, up to eight times (not in a check)", ask="faster"),
    Binding("=", "real time", "time as it is", ask="real time"),
    Binding("f10", "leave", "leave the flight, after asking", ask="leave"),
)  # fmt: skip


def _from_control(control: Control) -> Binding:
    if control.kind == "button":
        return Binding(control.key, control.name, control.help, button=control.name)
    if control.kind == "selector":
        return Binding(
            control.key, control.name, control.help, selector=control.name,
            number=_EXAMPLES[control.name],
        )  # fmt: skip
    gesture, text = _GESTURES[control.name]
    return Binding(control.key, control.name, text, lever=control.name, gesture=gesture)


ROWS: tuple[Binding, ...] = (*(_from_control(one) for one in CONTROLS.values()), *_APP)
"""Every row shown to people: a selector that shares a key with a button has its own row."""


FIXED = ("say", "enter", "backspace")
"""Rows whose keys stay: what ends and mends a line must be where everybody expects it."""
FUNCTION_KEYS = tuple(f"f{number}" for number in range(1, 13))


class KeysClash(ValueError):
    """Two rows want one key, and no number tells them apart."""

    def __init__(self, first: Binding, second: Binding) -> None:
        super().__init__(f"{first.name} and {second.name} on {shown_key(first)}")
        self.first = first
        self.second = second


def _merged(rows: tuple[Binding, ...]) -> dict[str, Binding]:
    """One binding a key: a button and the selector on the same key become one."""
    merged: dict[str, Binding] = {}
    for row in rows:
        known = merged.get(row.key)
        if known is None:
            merged[row.key] = row
            continue
        if bool(known.button) == bool(row.button) or bool(known.selector) == bool(row.selector):
            raise KeysClash(known, row)
        button, selector = (known, row) if known.button else (row, known)
        merged[row.key] = replace(button, selector=selector.selector, number=selector.number)
    return merged


@dataclass(frozen=True, slots=True)
class Keymap:
    """Which key does what. `rows` is every row shown to people, `bindings` one binding a key.

    A selector that shares a key with a button has a row of its own. Raises KeysClash.
    """

    rows: tuple[Binding, ...] = ROWS
    bindings: dict[str, Binding] = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "bindings", _merged(self.rows))

    def changed(self, keys: Mapping[str, str]) -> Keymap:
        """This map with other keys for the rows named in `keys`. Raises KeysClash."""
        return Keymap(
            tuple(replace(row, key=keys.get(row.name, row.key)) for row in self.rows)
        )  # fmt: skip

    def fitted(self, controls: Collection[str]) -> Keymap:
        """This map without the rows of controls that a type does not have."""
        worked = {row: row.button or row.selector or row.lever for row in self.rows}
        return Keymap(tuple(row for row in self.rows if worked[row] in ("", *controls)))

    def table(self) -> list[tuple[str, str, str]]:
        """Every row as (key, name, help), in the order shown to people."""
        return [(shown_key(row), row.name, row.help) for row in self.rows]

    def shown(self, name: str) -> str:
        """The key of a row as shown to people, without an example number.

        Raises KeyError if there is none.
        """
        key = self.key_of(name)
        return key.upper() if key in FUNCTION_KEYS else _SHOWN.get(key, key)

    def key_of(self, name: str) -> str:
        """The key of a control by its name. Raises KeyError if there is none."""
        for row in self.rows:
            if row.name == name:
                return row.key
        raise KeyError(name)


_SHOWN = {SPACE: "Space", ENTER: "Enter", BACKSPACE: "Backspace"}


def shown_key(binding: Binding) -> str:
    """The key as shown to people; a selector with an example number: `143h`."""
    if binding.key in FUNCTION_KEYS:
        return binding.key.upper()
    return binding.example or _SHOWN.get(binding.key, binding.key)


DEFAULT = Keymap()
"""The keys as they are when nobody has changed them."""
