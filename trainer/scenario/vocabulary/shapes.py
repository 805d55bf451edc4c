"""What a key of the format may hold: the vocabulary's own types, from which tables are made.

Owns the forms of value (a quantity in a unit with bounds, a choice, a moment, …) and the records
made of them. Knows no key; the neighbouring tables do. Surprising rule: a default is written as an
author would write it and is read like any other text, so that the docs can show it.
"""

from __future__ import annotations

import math

from trainer.values import dataclass


@dataclass(frozen=True, slots=True)
class Shape:
    """The form of one value.

    kind: text, prose, capitals, stem, choice, choices, texts, flag, integer, number, quantity,
    position, record, records, named records, named record, named texts, named text, moment,
    moments, each, when, figure, lever. `unit`, `low`, `high`: for numbers (bounds in `unit`), for
    capitals the length. `choices`: for choice(s). `record`: name of the record. `most`: longest
    list, or longest text.
    """

    kind: str
    unit: str = ""
    low: float = -math.inf
    high: float = math.inf
    choices: tuple[str, ...] = ()
    record: str = ""
    most: int = 0
    subject: str = ""


@dataclass(frozen=True, slots=True)
class Key:
    """One key of a record: its shape, whether it must stand, its default as text, its meaning."""

    name: str
    shape: Shape
    help: str
    required: bool = False
    default: str = ""


@dataclass(frozen=True, slots=True)
class Record:
    """A mapping with known keys. Of each group in `one_of` exactly one key must stand; of each in
    `at_most_one` none or one."""

    name: str
    help: str
    keys: tuple[Key, ...]
    one_of: tuple[tuple[str, ...], ...] = ()
    at_most_one: tuple[tuple[str, ...], ...] = ()

    def names(self) -> list[str]:
        """All key names in the order of the table."""
        return [key.name for key in self.keys]


TEXT = Shape("text", most=200)
"""One line of text."""
MAY_BE_EMPTY = "may be empty"
"""Subject of a text that may also be nothing in quotes."""
ANSWER = Shape("text", most=200, subject=MAY_BE_EMPTY)
"""One line of text, or nothing in quotes."""
PROSE = Shape("prose", most=4000)
"""Text that may have several lines."""
FORMAT = "format"
"""Subject of the number that says by which version of the format a file was written."""
VERSION = Shape("integer", low=1, high=1, subject=FORMAT)
"""The versions of the format that are read."""
STEM = Shape("stem")
"""Name of another file."""
FLAG = Shape("flag")
"""true or false."""
MOMENT = Shape("moment")
"""When something is so."""
WHEN = Shape("when", unit="s", low=0.0, high=2700.0)
"""A duration since opening, or a moment."""
EACH = Shape("each")
"""A recurring moment."""


def capitals_pattern(shape: Shape) -> str:
    """The pattern of such a name."""
    return f"[A-Z][A-Z0-9]{{{int(shape.low) - 1},{int(shape.high) - 1}}}"


def capitals(least: int, most: int) -> Shape:
    """A name of so many capital letters and digits, which begins with a letter."""
    return Shape("capitals", low=least, high=most)


def choice(*words: str) -> Shape:
    """One of `words`."""
    return Shape("choice", choices=words)


def choices(*words: str) -> Shape:
    """One or several of `words`."""
    return Shape("choices", choices=words, most=60)


def texts(most: int = 60) -> Shape:
    """A list of at most `most` texts."""
    return Shape("texts", most=most)


def quantity(unit: str, low: float, high: float) -> Shape:
    """A quantity in `unit` between `low` and `high`."""
    return Shape("quantity", unit=unit, low=low, high=high)


def number(low: float, high: float) -> Shape:
    """A plain number between `low` and `high`."""
    return Shape("number", low=low, high=high)


def integer(low: int, high: int) -> Shape:
    """A whole number between `low` and `high`."""
    return Shape("integer", low=low, high=high)


def record(name: str) -> Shape:
    """A mapping of the record `name`."""
    return Shape("record", record=name)


def records(name: str, most: int) -> Shape:
    """A list of at most `most` mappings of the record `name`."""
    return Shape("records", record=name, most=most)


def named_records(name: str, most: int) -> Shape:
    """A mapping of free names to lists of the record `name`."""
    return Shape("named records", record=name, most=most)


def named_record(name: str) -> Shape:
    """A mapping of free names to mappings of the record `name`."""
    return Shape("named record", record=name, most=60)


def figure(subject: str, unit: str, low: float, high: float) -> Shape:
    """A quantity, or a named value of `subject` with an optional offset."""
    return Shape("figure", subject=subject, unit=unit, low=low, high=high)
