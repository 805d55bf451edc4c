"""The one table of keys: what each key does, its name and its help.

Derived from the closed table of controls, plus the keys of the app itself. The key router, the
help panel, `list --keys` and the docs read this table and nothing else. Surprising rule: Escape
is not in it, because terminals report it late; `-` is only the sign of a number.
"""

from __future__ import annotations

from dataclasses import dataclass

from trainer.scenario.controls import CONTROLS, Control

SPACE = "space"
ENTER = "enter"
BACKSPACE = "backspace"


@dataclass(frozen=True, slots=True)
class Binding:
    """What one key does in the knob state.

    key: a printable character, or a name such as "space" or "f2". With a number typed before it
    the key turns `selector` (or moves `lever` to that stage); alone it presses `button`, or moves
    `lever` by `gesture` ("toggle", "next" or "previous"). `ask` is a wish to the app itself.
    """

    key: str
    name: str
    help: str
    button: str = ""
    selector: str = ""
    lever: str = ""
    gesture: str = ""
    ask: str = ""
    example: str = ""

    @property
    def takes_number(self) -> bool:
        """Whether a number may be typed before this key."""
        return bool(self.selector) or self.lever == "flaps" or self.ask == "checklist"


_EXAMPLES = {
    "speed": "160s", "heading": "143h", "altitude": "3000a", "vertical speed": "-700v",
    "course": "143c", "frequency": "110.35t", "altimeter": "1009q", "minimums": "225m",
    "final speed": "137e", "direct to": "2o",
}  # fmt: skip

_GESTURES = {
    "flaps": ("next", "next stage out; 22f goes to stage 22"),
    "gear": ("toggle", "landing gear down or up"),
    "speedbrake": ("toggle", "speedbrake out or in"),
    "spoilers": ("toggle", "ground spoilers armed or disarmed"),
    "autobrake": ("next", "autobrake to its next level"),
    "reverse": ("toggle", "reverse thrust selected or stowed"),
}

_APP = (
    Binding("F", "flaps in", "flap lever one stage in", lever="flaps", gesture="previous"),
    Binding("j", "checklist", "begin the next checklist; 2j the second", ask="checklist"),
    Binding("R", "read back", "open a read-back while a checklist is being read", ask="read back"),
    Binding(SPACE, "say", "open the line for a call; Enter sends it, empty it cancels"),
    Binding(
        ENTER, "enter", "send the line, or confirm a checklist line, or open a read-back"
    ),
    Binding(BACKSPACE, "backspace", "take back the last character"),
    Binding("?", "help", "show or hide the keys; time runs on", ask="help"),
    Binding("f2", "pause", "pause (not in a check)", ask="pause"),
    Binding("f3", "skip", "go on without the step asked for (guided only)", ask="skip"),
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
            example=_EXAMPLES[control.name],
        )  # fmt: skip
    gesture, text = _GESTURES[control.name]
    return Binding(control.key, control.name, text, lever=control.name, gesture=gesture)


ROWS: tuple[Binding, ...] = (*(_from_control(one) for one in CONTROLS.values()), *_APP)
"""Every row shown to people: a selector that shares a key with a button has its own row."""


def _merged(rows: tuple[Binding, ...]) -> dict[str, Binding]:
    """One binding a key: a button and the selector on the same key become one."""
    merged: dict[str, Binding] = {}
    for row in rows:
        known = merged.get(row.key)
        if known is None:
            merged[row.key] = row
            continue
        is_pair = bool(known.button and row.selector)
        assert is_pair, f"two meanings for the key {row.key}"
        merged[row.key] = Binding(
            row.key, known.name, known.help, button=known.button, selector=row.selector,
            example=row.example,
        )  # fmt: skip
    return merged


BINDINGS: dict[str, Binding] = _merged(ROWS)
"""The binding of each key."""

_SHOWN = {
    SPACE: "Space", ENTER: "Enter", BACKSPACE: "Backspace", "f2": "F2", "f3": "F3", "f10": "F10",
}  # fmt: skip


def shown_key(binding: Binding) -> str:
    """The key as shown to people; a selector with an example number: `143h`."""
    return binding.example or _SHOWN.get(binding.key, binding.key)


def keys_table() -> list[tuple[str, str, str]]:
    """Every row as (key, name, help), in the order shown to people."""
    return [(shown_key(row), row.name, row.help) for row in ROWS]


def key_of_control(control: str) -> str:
    """The key of a control by its name. Raises KeyError if there is none."""
    return CONTROLS[control].key
