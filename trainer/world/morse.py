"""Morse code and the rhythm of a station's identification.

Owns the code table and the timing of an ident. Refuses to know sound: it says when the tone is
on. Surprising rule: a hyphen written in an ident (I-QXA) is not sent, and a station under
maintenance sends no ident at all, which is how the pilot knows.

Sources: Recommendation ITU-R M.1677-1, annex 1 (table; dot 1, dash 3, gap inside a letter 1,
between letters 3, between words 7 units); ICAO Annex 10 Vol I, 3.1.3.9.4 (ident rhythm).
"""

from __future__ import annotations

import math
from typing import NamedTuple

from trainer.world.reception import TRANSMISSIONS

DOT_MIN_S = 0.1
"""Shortest dot of an ident, s."""
DOT_MAX_S = 0.160
"""Longest dot of an ident, s."""
IDENT_DOT_S = 0.125
"""Dot used here, s, inside those limits."""
IDENTS_PER_MINUTE = 6
"""An ident is sent at least this often, equally spaced."""
IDENT_PERIOD_S = 60.0 / IDENTS_PER_MINUTE
"""From the start of one ident to the next, s."""
IDENT_TONE_HZ = 1020
"""Tone of a localizer or VOR ident, Hz."""
DME_TONE_HZ = 1350
"""Tone of a DME ident, Hz; sent about every 30 s (FAA AIM 1-1-7)."""
DME_PERIOD_S = 30.0
"""From the start of one DME ident to the next, s."""

SLOT_S = 7.5
"""A localizer and the DME beside it share 30 s in four slots, so that they are not sent at once."""
SLOTS = 4
"""The last slot of the four is the DME's (FAA AIM 1-1-7: once for three or four of the other)."""

CODE: dict[str, str] = {
    "A": ".-", "B": "-...", "C": "-.-.", "D": "-..", "E": ".", "F": "..-.", "G": "--.",
    "H": "....", "I": "..", "J": ".---", "K": "-.-", "L": ".-..", "M": "--", "N": "-.",
    "O": "---", "P": ".--.", "Q": "--.-", "R": ".-.", "S": "...", "T": "-", "U": "..-",
    "V": "...-", "W": ".--", "X": "-..-", "Y": "-.--", "Z": "--..", "1": ".----", "2": "..---",
    "3": "...--", "4": "....-", "5": ".....", "6": "-....", "7": "--...", "8": "---..",
    "9": "----.", "0": "-----", ".": ".-.-.-", ",": "--..--", ":": "---...", "?": "..--..",
    "'": ".----.", "-": "-....-", "/": "-..-.", "(": "-.--.", ")": "-.--.-", '"': ".-..-.",
    "=": "-...-", "+": ".-.-.", "@": ".--.-.",
}  # fmt: skip
"""Letters, figures and signs. (The multiplication sign is left out: it is sent as X.)"""

_SIGNS = {code: sign for sign, code in CODE.items()}


class Element(NamedTuple):
    """A stretch of tone (`is_on`) or silence, with its length in s."""

    is_on: bool
    duration_s: float


def encode(text: str) -> str:
    """`text` as dots and dashes: a space between letters, " / " between words.

    Raises:
        ValueError: for a character that has no code.
    """
    words = []
    for word in text.upper().split():
        letters = []
        for sign in word:
            if sign not in CODE:
                raise ValueError(f"no morse code for {sign!r}")
            letters.append(CODE[sign])
        words.append(" ".join(letters))
    return " / ".join(words)


def decode(code: str) -> str:
    """The text, in capitals, of what `encode` writes.

    Raises:
        ValueError: for a group that is no letter, figure or sign.
    """
    words = []
    for word in code.split("/"):
        letters = []
        for group in word.split():
            if group not in _SIGNS:
                raise ValueError(f"no sign for morse group {group!r}")
            letters.append(_SIGNS[group])
        words.append("".join(letters))
    return " ".join(words)


def elements(text: str, dot_s: float = IDENT_DOT_S) -> tuple[Element, ...]:
    """`text` as tone and silence, beginning and ending with tone; empty for an empty text.

    Args:
        text: letters, figures, signs and spaces.
        dot_s: length of a dot, s (> 0).
    """
    timed: list[Element] = []
    gap = 0
    for word in encode(text).split(" / "):
        for letter in word.split():
            for mark in letter:
                if timed:
                    timed.append(Element(False, gap * dot_s))
                timed.append(Element(True, (1 if mark == "." else 3) * dot_s))
                gap = 1
            gap = 3
        gap = 7
    return tuple(timed)


def duration_s(timed: tuple[Element, ...]) -> float:
    """Length of a list of elements, s."""
    total = 0.0
    for element in timed:
        total += element.duration_s
    return total


def ident_elements(ident: str, dot_s: float = IDENT_DOT_S) -> tuple[Element, ...]:
    """An ident as tone and silence; the written hyphen is not sent."""
    return elements(ident.replace("-", ""), dot_s)


def sent_by(audible_from_s: float, ident: str, period_s: float) -> float:
    """When the first whole `ident` has been sent since its station became audible, s.

    One that was under way does not count: its first letters were not heard.

    Args:
        audible_from_s: after the first start of an ident, s.
        ident: as sent.
        period_s: from the start of one ident to the next, s.
    """
    starts_s = math.ceil(audible_from_s / period_s) * period_s
    return starts_s + duration_s(ident_elements(ident))


def sent_ident(ident: str, transmission: str) -> str:
    """The ident a station sends in this state of its transmitter; "" unless it is "normal".

    Source: ICAO Annex 10 Vol I, 3.1.3.9.4: suppressed while the signal is not available for use.

    Raises:
        ValueError: for a state that does not exist.
    """
    if transmission not in TRANSMISSIONS:
        raise ValueError(f"no state of a transmitter {transmission}")
    return ident if transmission == "normal" else ""


def sender_at(time_s: float) -> str:
    """Whose slot it is `time_s` after the first start: "localizer" three times, then "dme"."""
    return "dme" if int(time_s / SLOT_S) % SLOTS == SLOTS - 1 else "localizer"
