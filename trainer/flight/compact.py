"""Rows kept small: a list of rows that puts away what is not new any more as columns.

For a flight that stays in memory while it is looked at (nine thousand rows to an approach, a
kilobyte each). Owns nothing but memory: rows come out equal to those that went in, bit by bit and
type by type. The surprising rule: a row that comes out is made anew each time, so no row may be
known by its identity; crews and proofs, which read every row many times, keep plain lists.
"""

from __future__ import annotations

from array import array
from collections.abc import Iterator, Sequence
from functools import partial
from itertools import chain, repeat
from typing import Any, overload

from trainer.flight.row import Row
from trainer.values import made

PACKED = 128
"""So many rows are put away together, and at least as many, the newest, are not (13 s)."""

_Column = Sequence[Any] | None
_row = partial(made, Row)


class CompactRows(Sequence[Row]):
    """Rows in the order in which they were appended."""

    def __init__(self) -> None:
        self._packs: list[tuple[Row, tuple[_Column, ...]]] = []
        self._newest: list[Row] = []
        self._place = -1
        self._unpacked: list[Row] = []

    def append(self, row: Row) -> None:
        """Add the newest row."""
        newest = self._newest
        newest.append(row)
        if len(newest) == 2 * PACKED:
            columns = zip(*newest[:PACKED], strict=True)
            self._packs.append((newest[0], tuple(map(_packed, columns))))
            del newest[:PACKED]

    def __len__(self) -> int:
        return len(self._packs) * PACKED + len(self._newest)

    @overload
    def __getitem__(self, place: int) -> Row: ...

    @overload
    def __getitem__(self, place: slice) -> list[Row]: ...

    def __getitem__(self, place: int | slice) -> Row | list[Row]:
        if isinstance(place, slice):
            return [self[one] for one in range(*place.indices(len(self)))]
        at = place + len(self) if place < 0 else place
        if not 0 <= at < len(self):
            raise IndexError(place)
        pack, within = divmod(at, PACKED)
        if pack >= len(self._packs):
            return self._newest[at - len(self._packs) * PACKED]
        if pack != self._place:
            # Who reads one row reads its neighbours next.
            self._place, self._unpacked = pack, list(_unpacked(*self._packs[pack]))
        return self._unpacked[within]

    def __iter__(self) -> Iterator[Row]:
        packs = (_unpacked(first, columns) for first, columns in self._packs)
        return chain(chain.from_iterable(packs), self._newest)


def _packed(column: tuple[Any, ...]) -> _Column:
    """The values of one field; None where all are the one that the first row has."""
    first = column[0]
    kinds = {*map(type, column)}
    if kinds == {float}:
        numbers = array("d", column)
        # Compared as bytes: 0.0 and -0.0 are two values.
        one = numbers[:1].tobytes()
        return None if numbers.tobytes() == one * len(column) else numbers
    if all(value is first for value in column):
        return None
    if kinds == {int}:
        return array("q", column)
    return column


def _unpacked(first: Row, columns: tuple[_Column, ...]) -> Iterator[Row]:
    """The rows that were packed together."""
    full = (
        repeat(value, PACKED) if column is None else column
        for value, column in zip(first, columns, strict=True)
    )
    return map(_row, zip(*full, strict=True))
