"""The guided tour: what it flies, and what it says at which moment.

Owns the texts. It draws nothing. First time stands still and one pane after the other is
explained in the order of a scan; then a minute and a half is flown in Guided, and each kind of
step is explained as it is asked for. Surprising rule: a tour is never kept, so that it neither
counts nor shows in a trend.
"""

from __future__ import annotations

from typing import NamedTuple

from trainer.app.keymap import Keymap, shown_key
from trainer.app.launch import Start
from trainer.app.prompting import Hint
from trainer.app.router import FADE
from trainer.units import STEPS_PER_S

TOUR = Start(
    "straight-in", "guided", 0, "distance: below 6.3 NM", "height: below 900 ft", is_tour=True
)
"""Landing flap, final speed, landing checklist and the gate, with everything before flown."""
_FADE_S = FADE // STEPS_PER_S


class Card(NamedTuple):
    """What is explained while time stands still: the id of the pane, "" for none, and the text."""

    pane: str
    text: str


CARDS: tuple[Card, ...] = (
    Card(
        "",
        "This is your seat. A crew has flown you down the ILS to six miles; the rest is yours. "
        "Time stands still for now: Enter goes on, {leave} leaves at any time.",
    ),
    Card(
        "modes",
        "A scan begins at the top. This strip says what guidance really does: LOC and GLIDE "
        "follow the beams. A button is only a wish; the answer stands here, new words marked > <.",
    ),
    Card(
        "energy",
        "Then speed, in large figures: what is set, the limit, and below it flaps and gear with "
        "the speed up to which the next flap may come. Surfaces take their time.",
    ),
    Card(
        "raw",
        "In the middle the beams themselves. The diamond is the path seen from the aircraft: fly "
        "towards it. Below, whose signal it is: only letters that were heard make it yours.",
    ),
    Card(
        "position",
        "At the right altitude, vertical speed, heading, and miles to the threshold. At the top "
        "again, the scan is complete; two seconds are enough for it.",
    ),
    Card(
        "strip",
        "The same from the side: you (◆), the path, the fixes. In Guided and Coached shades show "
        "where the glide path can be received.",
    ),
    Card(
        "hint",
        "Now you fly. In Guided time stops at each step; below this stands what to do, with which "
        "keys, and why. Enter: time runs.",
    ),
)
"""In the order of a scan. `{leave}` is the key that leaves."""

_KINDS = {
    "move": "A LEVER: its letter moves it on, a number before it goes straight there. No Enter, no "
    "mode to leave.",
    "set": "A KNOB: type the number, then the letter of the knob. What is typed so far stands in "
    "the last line; Backspace mends it, {fade} seconds forget it.",
    "press": "A BUTTON: its letter alone. Whether it worked, the annunciator says.",
    "say": "A CALL: {say} opens a line; type it as you would speak it, or in its two letters; "
    "Enter. It counts from the moment you open the line.",
    "read back": "A READ-BACK: Enter opens a line; the values are what matters.",
    "checklist": "A CHECKLIST: {checklist} begins the next one. It is read to you, line by line.",
    "line": "CHALLENGE AND RESPONSE: look at the panel whether it is so; then Enter.",
}
"""What each kind of step needs, said when it is asked for."""
_IDLE = (
    "Nothing to do: scan. {faster} runs time faster up to the next step. {help} lists all keys, "
    "and Tab there explains every pane and word."
)
_DONE = (
    "That was the tour; it is not kept. Below: what mattered, then every step.",
    "← → findings, ↑ ↓ scroll, Enter home. Fly the whole of it in Guided next.",
)


def card_text(place: int, keymap: Keymap) -> str:
    """The text of a card, with its keys as they are bound, and how far the tour has come."""
    return f"{place + 1}/{len(CARDS)}  {_with_keys(CARDS[place].text, keymap)}"


def step_text(hint: Hint | None, keymap: Keymap) -> str:
    """What is said while the tour flies: about the kind of step that is asked for."""
    kind = hint.act.act if hint is not None and hint.act is not None else ""
    return _with_keys(_KINDS.get(kind, _IDLE), keymap)


def debrief_notes() -> list[str]:
    """What is said above the debrief of a tour."""
    return list(_DONE)


def _with_keys(text: str, keymap: Keymap) -> str:
    keys = {row.ask: shown_key(row) for row in keymap.rows if row.ask}
    return text.format(
        leave=keys["leave"], faster=keys["faster"], help=keys["help"],
        checklist=keys["checklist"], say="Space", fade=_FADE_S,
    )  # fmt: skip


class Unkept:
    """A recorder for what is not to be kept."""

    def act(self, act: object) -> None:
        """Nothing."""

    def beat(self, step: int) -> None:
        """Nothing."""

    def interrupted(self, step: int) -> None:
        """Nothing."""

    def rewound(self, step: int, to_step: int) -> None:
        """Nothing."""

    def leave(self, step: int) -> str:
        """Says how to come back."""
        return "The tour was left; t begins it again"

    def finish(self, session: object, judgement: object) -> None:
        """Nothing."""

    def export(self) -> str:
        """Nothing is written."""
        return "a tour is not kept, so there is nothing to write"
