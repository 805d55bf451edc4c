"""Single values as text: one reader for each form, every one with its own words for a mistake.

Each takes a node and its shape from the vocabulary, and gives the value or notes a problem.
"""

from __future__ import annotations

import re

from trainer.errors import sentence_of
from trainer.scenario.figures import quantity
from trainer.scenario.nodes import GUESSED, Node, Scalar
from trainer.scenario.quantities import QuantityError, parse_number, plain_number
from trainer.scenario.reading import Reading, is_known
from trainer.scenario.vocabulary.shapes import FORMAT, MAY_BE_EMPTY, Shape, capitals_pattern
from trainer.text import quoted

STEM = re.compile(r"[a-z0-9][a-z0-9-]{0,63}")
"""What a file may be called, without its ending."""

_OPENING, _CLOSING = "“„”‘‚«»", "“”‘’«»"
"""Quotes as word processors write them."""
_INTEGER = re.compile(r"-?(?:0|[1-9][0-9]{0,5})")
_POSITION = re.compile(
    r"([0-9]{1,2}(?:\.[0-9]{1,7})?) ?([NS]),? ([0-9]{1,3}(?:\.[0-9]{1,7})?) ?([EW])"
)


def line_of(node: Node, shape: Shape, reading: Reading) -> str | None:
    """A text of one line (prose: of several), without blanks at its ends."""
    if not isinstance(node, Scalar):
        reading.refuse(node, f"found {node.described}; expected a text")
        return None
    most = shape.most or 200
    if shape.subject == MAY_BE_EMPTY and not node.text:  # in quotes: without them it has no value
        return ""
    if shape.kind != "prose" and "\n" in node.text.strip("\n"):
        reading.refuse(node, "a text of several lines; expected one line")
    elif len(node.text) > most:
        reading.refuse(node, f"a text of {len(node.text)} characters; at most {most} are allowed")
    elif not node.text.strip():
        reading.refuse(node, "an empty text; expected words")
    elif node.is_plain and node.text.lower() in GUESSED:
        reading.refuse(
            node,
            f"{node.text} without quotes means something else to many YAML readers; "
            f'write "{node.text}" if the word is meant',
        )
    elif node.is_plain and node.text[0] in _OPENING and node.text[-1] in _CLOSING:
        reading.refuse(
            node, 'these quotes are typographic and would be shown; expected straight ones, "…"'
        )
    else:
        return node.text.strip()
    return None


def capitals_of(node: Node, shape: Shape, reading: Reading) -> str | None:
    """A name of capital letters and digits, of a length within the bounds of its shape."""
    least, most = int(shape.low), int(shape.high)
    text = word_of(node, reading, f"{least} to {most} capital letters")
    if text is None or re.fullmatch(capitals_pattern(shape), text):
        return text
    meant = text.upper()
    is_case = re.fullmatch(capitals_pattern(shape), meant) is not None
    advice = f"; did you mean {quoted(meant)}?" if is_case else ""
    reading.refuse(
        node,
        f"{quoted(text)} is no such name; expected {least} to {most} capital letters and digits, "
        f"a letter first{advice}",
    )
    return None


def word_of(node: Node, reading: Reading, expected: str) -> str | None:
    """A text as it stands; `expected` is said where there is none."""
    if isinstance(node, Scalar) and node.text:
        return node.text
    reading.refuse(node, f"found {node.described}; expected {expected}")
    return None


def stem_of(node: Node, shape: Shape, reading: Reading) -> str | None:
    """The name of a file, without folder and ending."""
    text = word_of(node, reading, "the name of a file")
    if text is not None and not STEM.fullmatch(text):
        reading.refuse(
            node,
            f"{quoted(text)} is no name of a file; expected small letters, digits and hyphens, "
            f"without folder and ending{_as_stem(text)}",
        )
        return None
    return text


def _as_stem(text: str) -> str:
    meant = re.sub(r"[ _]+", "-", text.lower())
    return f"; did you mean {quoted(meant)}?" if STEM.fullmatch(meant) else ""


def choice_of(node: Node, shape: Shape, reading: Reading) -> str | None:
    """One of the words of a closed list."""
    text = word_of(node, reading, sentence_of(shape.choices, 24))
    return text if text is not None and is_known(text, shape.choices, node, reading) else None


def flag_of(node: Node, shape: Shape, reading: Reading) -> bool | None:
    """A truth value, written true or false."""
    if isinstance(node, Scalar) and node.text in ("true", "false"):
        return node.text == "true"
    reading.refuse(node, f"found {node.described}; expected true or false")
    return None


def integer_of(node: Node, shape: Shape, reading: Reading) -> int | None:
    """A whole number within the bounds of its shape."""
    text = word_of(node, reading, "a whole number")
    if text is None:
        return None
    bounds = f"{plain_number(shape.low)} to {plain_number(shape.high)}"
    if shape.low == shape.high:
        bounds = plain_number(shape.low)
    if not _INTEGER.fullmatch(text):
        reading.refuse(node, f"{quoted(text)} is not a whole number; expected {bounds}")
    elif shape.subject == FORMAT and int(text) > shape.high:
        reading.refuse(
            node,
            f"the file is written in format {text}, which a newer version of this program reads; "
            f"this one reads {bounds}: use the newer one, or a copy of the file in format {bounds}",
        )
    elif not shape.low <= int(text) <= shape.high:
        reading.refuse(node, f"{text} is out of bounds; expected {bounds}")
    else:
        return int(text)
    return None


def number_of(node: Node, shape: Shape, reading: Reading) -> float | None:
    """A plain number within the bounds of its shape."""
    text = word_of(node, reading, "a number")
    if text is None:
        return None
    try:
        value = parse_number(text)
    except QuantityError as error:
        reading.refuse(node, str(error))
        return None
    if not shape.low <= value <= shape.high:
        reading.refuse(
            node,
            f"{text} is out of bounds; expected {plain_number(shape.low)} to "
            f"{plain_number(shape.high)}",
        )
        return None
    return value


def quantity_of(node: Node, shape: Shape, reading: Reading) -> float | None:
    """A number with its unit, in the unit of its shape and within its bounds."""
    text = word_of(node, reading, f"a quantity such as 10 {shape.unit}")
    if text is None:
        return None
    return quantity(node, text, shape.unit, shape.low, shape.high, reading)


def position_of(node: Node, shape: Shape, reading: Reading) -> tuple[float, float] | None:
    """Latitude and longitude, degrees, north and east positive."""
    text = word_of(node, reading, "a position such as 33.51234 S 117.20417 W")
    match = _POSITION.fullmatch(text) if text is not None else None
    if text is None:
        return None
    if match is None:
        reading.refuse(
            node,
            f"{quoted(text)} is no position; expected degrees with decimals and a hemisphere, "
            "such as 33.51234 S 117.20417 W",
        )
        return None
    latitude, north, longitude, east = match.groups()
    if float(latitude) > 85 or float(longitude) > 180:
        reading.refuse(
            node, f"{quoted(text)} is out of bounds; expected at most 85 and 180 degrees"
        )
        return None
    return (
        float(latitude) * (1.0 if north == "N" else -1.0),
        float(longitude) * (1.0 if east == "E" else -1.0),
    )
