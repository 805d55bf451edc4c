"""Rows and facts of a flight as bytes, and back, without losing a bit.

Owns the form in which a flight is kept so that it can be judged again without being flown. It
knows no database. Surprising rules: values are kept column by column (a column resembles itself,
so it packs better), floats as the shortest text that reads back to the same float; and columns
are read by name, so that a flight of last year is still readable when rows have learnt something:
what was not recorded then reads as nothing (None where the row allows it, else "", 0 or False).
"""

from __future__ import annotations

import json
import zlib
from collections.abc import Callable, Iterable, Sequence
from types import UnionType
from typing import Any, get_args, get_type_hints

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
        "selectors": Selectors._fields,
        "modes": Modes._fields,
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
        if document["format"] != FORMAT:
            raise PackingError("the stored flight was written by another version")
        rows = _rows(document)
        facts = [Fact(*fact) for fact in document["facts"]]
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError) as error:
        if isinstance(error, PackingError):
            raise
        raise PackingError("the stored flight is damaged") from error
    if any(not isinstance(fact.step, int) for fact in facts):
        raise PackingError("the stored flight is damaged")
    return rows, facts


_SELECTORS = Row._fields.index("selectors")
_MODES = Row._fields.index("modes")
assert _MODES == _SELECTORS + 1


def _rows(document: dict[str, Any]) -> list[Row]:
    """The rows of a document, its columns found by their names."""
    fields = document["fields"]
    columns = dict(zip(fields, document["columns"] or [[] for _ in fields], strict=True))
    count = len(columns["step"])
    selectors = _tuples(Selectors, columns.pop("selectors"), document.get("selectors"))
    modes = _tuples(Modes, columns.pop("modes"), document.get("modes"))
    columns = {**columns, "selectors": selectors, "modes": modes}
    ordered = _ordered(Row, columns, count)
    return [Row._make(values) for values in zip(*ordered, strict=True)]


def _tuples(kind: type[Any], stored: list[list[Any]], names: list[str] | None) -> list[Any]:
    """Named tuples of `kind` from lists whose places are named by `names` (None: as today)."""
    fields: list[str] = list(kind._fields) if names is None else names
    transposed = zip(*stored, strict=True) if stored else ([] for _ in fields)
    columns = dict(zip(fields, transposed, strict=True))
    for name in ("lateral_armed", "vertical_armed"):
        if name in columns:
            columns[name] = [tuple(words) for words in columns[name]]
    return [kind(*values) for values in zip(*_ordered(kind, columns, len(stored)), strict=True)]


def _ordered(kind: type[Any], columns: dict[str, Any], count: int) -> list[Sequence[Any]]:
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
