"""Rows and facts of a flight as bytes, and back, without losing a bit.

Owns the form in which a flight is kept so that it can be judged again without being flown. It
knows no database. Surprising rule: values are kept column by column (a column resembles itself,
so it packs better), and floats as the shortest text that reads back to the same float.
"""

from __future__ import annotations

import json
import zlib
from collections.abc import Iterable, Sequence
from typing import Any

from trainer.flight.acts import Fact
from trainer.flight.row import Row
from trainer.guidance.modes import Modes, Selectors

FORMAT = 1
"""Version of the packed form."""
MOST_BYTES = 256 * 1024 * 1024
"""Most that a packed flight may unpack to; 45 simulated minutes need about a tenth of it."""


class PackingError(ValueError):
    """The bytes are not a packed flight; the text says why."""


def pack(rows: Sequence[Row], facts: Iterable[Fact]) -> bytes:
    """`rows` and `facts` as bytes; `unpack` gives back equal values."""
    plain = [
        (*row[:_SELECTORS], tuple(row.selectors), tuple(row.modes), *row[_MODES + 1 :])
        for row in rows
    ]
    document = {
        "format": FORMAT,
        "fields": Row._fields,
        "columns": [list(column) for column in zip(*plain, strict=True)],
        "facts": [tuple(fact) for fact in facts],
    }
    text = json.dumps(document, separators=(",", ":"), allow_nan=False)
    return zlib.compress(text.encode(), 6)


def unpack(packed: bytes, most_bytes: int = MOST_BYTES) -> tuple[list[Row], list[Fact]]:
    """Rows and facts of a packed flight.

    Raises:
        PackingError: the bytes are damaged, too large when unpacked, or of another version.
    """
    unpacker = zlib.decompressobj()
    try:
        raw = unpacker.decompress(packed, most_bytes)
    except zlib.error as error:
        raise PackingError(f"the stored flight is damaged ({error})") from error
    if not unpacker.eof:
        raise PackingError("the stored flight is cut short or too large")
    try:
        document = json.loads(raw)
        if document["format"] != FORMAT or document["fields"] != list(Row._fields):
            raise PackingError("the stored flight was written by another version")
        rows = [_row(values) for values in zip(*document["columns"], strict=True)]
        facts = [Fact(*fact) for fact in document["facts"]]
    except (ValueError, KeyError, TypeError, RecursionError) as error:
        if isinstance(error, PackingError):
            raise
        raise PackingError("the stored flight is damaged") from error
    return rows, facts


_SELECTORS = Row._fields.index("selectors")
_MODES = Row._fields.index("modes")
assert _MODES == _SELECTORS + 1


def _row(values: Sequence[Any]) -> Row:
    modes = values[_MODES]
    return Row._make(
        (
            *values[:_SELECTORS],
            Selectors(*values[_SELECTORS]),
            Modes(modes[0], modes[1], tuple(modes[2]), tuple(modes[3]), *modes[4:]),
            *values[_MODES + 1 :],
        )
    )
