"""Rows and facts of a flight as bytes, and back, without losing a bit.

Owns the form in which a flight is kept so that it can be judged again without being flown. It
knows no database. Surprising rules: values are kept column by column, floats as their eight bytes,
everything else as runs of one value; and columns are read by name, so that a flight
of last year is still readable when rows have learnt something: what was not recorded then reads as
nothing (None where the row allows it, else "", 0 or False). The first form, in which every value
is written out, is read too.
"""

from __future__ import annotations

import json
import math
import sys
import zlib
from array import array
from collections.abc import Callable, Iterable, Mapping, Sequence
from itertools import chain, groupby, repeat
from types import NoneType, UnionType
from typing import Any, get_args, get_type_hints

from trainer.flight.acts import Fact
from trainer.flight.row import Row
from trainer.guidance.modes import Modes, Selectors
from trainer.units import steps_for
from trainer.values import made

FORMAT = 2
"""Version of the packed form."""
WRITTEN_OUT = 1
"""The version in which a column is a list of all its values."""
MOST_BYTES = 256 * 1024 * 1024
"""Most that a packed flight may unpack to; 45 simulated minutes need about a tenth of it."""
MOST_ROWS = 2 * steps_for(45 * 60)
"""Most rows of a flight that is read, twice as many as one may have."""
FLOATS = "floats"
"""Stands for a column of floats, which follow the document in the order of the columns."""


class PackingError(ValueError):
    """The bytes are not a packed flight; the text says why."""


def pack(rows: Sequence[Row], facts: Iterable[Fact]) -> bytes:
    """`rows` and `facts` as bytes; `unpack` gives back equal values.

    Raises ValueError if a row holds a float that is no number.
    """
    columns: list[Any] = []
    floats: list[bytes] = []
    for column in zip(*rows, strict=True):
        if {*map(type, column)} <= {float, NoneType}:
            columns.append(FLOATS)
            floats.append(_packed(column))
        else:
            columns.append(_runs(column))
    document = {
        "format": FORMAT,
        "fields": Row._fields,
        "selectors": Selectors._fields,
        "modes": Modes._fields,
        "rows": len(rows),
        "columns": columns,
        "facts": [tuple(fact) for fact in facts],
    }
    text = json.dumps(document, separators=(",", ":"), allow_nan=False)
    return zlib.compress(b"".join([text.encode(), b"\n", *floats]), 6)


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
    text, _, floats = raw.partition(b"\n")
    try:
        document = json.loads(text)
        if document["format"] not in (FORMAT, WRITTEN_OUT):
            raise PackingError("the stored flight was written by another version")
        rows = _rows(document, memoryview(floats))
        facts = [Fact(*fact) for fact in document["facts"]]
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError) as error:
        if isinstance(error, PackingError):
            raise
        raise PackingError("the stored flight is damaged") from error
    if any(not isinstance(fact.step, int) for fact in facts):
        raise PackingError("the stored flight is damaged")
    return rows, facts


def _runs(column: Iterable[Any]) -> list[tuple[int, Any]]:
    """Each value with how often it stands in a row, known by identity: 0.0 equals -0.0."""
    runs = ([*run] for _, run in groupby(column, key=id))
    return [(len(run), run[0]) for run in runs]


def _written_out(runs: Iterable[tuple[int, Any]]) -> list[Any]:
    return [*chain.from_iterable(repeat(value, many) for many, value in runs)]


def _packed(column: Sequence[float | None]) -> bytes:
    """A column of floats: the first byte of each, then the second of each; NaN for None.

    Bytes of one significance resemble each other, so they pack better side by side.
    """
    if not all(map(math.isfinite, filter(None, column))):
        raise ValueError("a float of the flight is no number")
    values = array("d", [math.nan if value is None else value for value in column])
    if sys.byteorder == "big":
        values.byteswap()
    plain = values.tobytes()
    return b"".join(plain[place::8] for place in range(8))


def _floats(packed: memoryview, count: int) -> list[float | None]:
    """The column of `count` values that `_packed` made these bytes of."""
    plain = bytearray(8 * count)
    for place in range(8):
        plain[place::8] = packed[place * count : (place + 1) * count]
    values = array("d", bytes(plain))
    if sys.byteorder == "big":
        values.byteswap()
    return [None if value != value else value for value in values]


def _columns(document: dict[str, Any], floats: memoryview) -> list[Sequence[Any]]:
    """The columns of a document, each with one value for every row."""
    if document["format"] == WRITTEN_OUT:
        columns: list[Sequence[Any]] = document["columns"]
        return columns
    count = document["rows"]
    if not 0 <= count <= MOST_ROWS:
        raise PackingError("the stored flight is too long")
    columns = []
    for column in document["columns"]:
        if column == FLOATS:
            columns.append(_floats(floats[: 8 * count], count))
            floats = floats[8 * count :]
        elif sum(many for many, _ in column) == count and all(many > 0 for many, _ in column):
            columns.append(_written_out(column))
        else:
            raise PackingError("the stored flight is damaged")
    return columns


def _rows(document: dict[str, Any], floats: memoryview) -> list[Row]:
    """The rows of a document, its columns found by their names."""
    fields = document["fields"]
    stored = _columns(document, floats) or [[] for _ in fields]
    columns = dict(zip(fields, stored, strict=True))
    count = len(columns["step"])
    columns["selectors"] = _tuples(Selectors, columns["selectors"], document.get("selectors"))
    columns["modes"] = _tuples(Modes, columns["modes"], document.get("modes"))
    return [made(Row, values) for values in zip(*_ordered(Row, columns, count), strict=True)]


def _tuples(kind: type[Any], stored: Sequence[Any], names: list[str] | None) -> list[Any]:
    """Named tuples of `kind` from lists whose places are named by `names` (None: as today).

    What stays as it is comes back as one value, which spares a judge a look at each.
    """
    runs = _runs(stored)
    fields: list[str] = list(kind._fields) if names is None else names
    transposed = zip(*(values for _, values in runs), strict=True) if runs else ([] for _ in fields)
    columns: dict[str, Any] = dict(zip(fields, transposed, strict=True))
    for name in ("lateral_armed", "vertical_armed"):
        if name in columns:
            columns[name] = [tuple(words) for words in columns[name]]
    tuples = (kind(*values) for values in zip(*_ordered(kind, columns, len(runs)), strict=True))
    return _written_out(zip((many for many, _ in runs), tuples, strict=True))


def _ordered(kind: type[Any], columns: Mapping[str, Any], count: int) -> list[Sequence[Any]]:
    """The columns in the order of the fields of `kind`, checked; filled where there is none."""
    ordered: list[Sequence[Any]] = []
    for name, allowed in _allowed(kind).items():
        column = columns.get(name)
        if column is None:
            column = [_nothing(allowed)] * count
        elif len(column) != count or not {*map(type, column)} <= {*allowed, int}:
            raise PackingError(f"the stored flight is damaged (at {name.replace('_', ' ')})")
        ordered.append(column)
    return ordered


def _allowed(kind: Callable[..., Any]) -> dict[str, tuple[type, ...]]:
    """The types that each field of a named tuple may hold."""
    found: dict[str, tuple[type, ...]] = {}
    for name, hint in get_type_hints(kind).items():
        kinds = get_args(hint) if isinstance(hint, UnionType) else (hint,)
        found[name] = tuple(getattr(one, "__origin__", one) for one in kinds)
    return found


def _nothing(allowed: tuple[type, ...]) -> Any:
    """What a field holds that was not recorded."""
    if type(None) in allowed:
        return None
    return allowed[0]()
