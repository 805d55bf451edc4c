"""Rows kept small come out as they went in, and a flight that keeps them so is the same flight."""

from __future__ import annotations

import tracemalloc
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.builders import row
from tests.crew.crews import flown
from trainer.crew.session import Session
from trainer.flight.acts import by_step
from trainer.flight.compact import PACKED, CompactRows
from trainer.flight.replay import digest
from trainer.flight.row import Row

SLIPS = (
    "{crew: 1, base: perfect}",
    "{crew: 1, base: perfect, edits: [{omit: gear down}]}",
    "{crew: 1, base: perfect, acts: [{at: 20 s, say: path captured}]}",
)

odd = st.one_of(
    st.floats(allow_nan=False),
    st.sampled_from([0.0, -0.0, 0, 1, True, False, None, 10**30, "", "a"]),
)
"""Values that are equal to one another and not the same, and kinds that a field never holds."""


def compact(rows: list[Row]) -> CompactRows:
    """`rows` appended one after the other."""
    kept = CompactRows()
    for one in rows:
        kept.append(one)
    return kept


def written(rows: Any) -> list[str]:
    """Rows to the last bit and with their types: 0, 0.0, -0.0 and False are four texts."""
    return [repr(one) for one in rows]


@settings(max_examples=60, deadline=None)
@given(st.lists(odd, min_size=1, max_size=7), st.integers(0, 5 * PACKED), st.data())
def test_rows_come_out_as_they_went_in(values: list[Any], count: int, data: st.DataObject) -> None:
    rows = [
        row(step, power=values[step % len(values)], dme_nm=values[step // PACKED % len(values)])
        for step in range(count)
    ]
    kept = compact(rows)
    assert len(kept) == count
    assert written(kept) == written(rows)
    assert all(type(one) is Row for one in kept)
    bound = st.none() | st.integers(-count - 2, count + 2)
    cut = slice(data.draw(bound), data.draw(bound), data.draw(st.sampled_from([None, 1, 7, -1])))
    assert written(kept[cut]) == written(rows[cut])
    for place in (0, count // 2, count - 1, -1, -count):
        if count:
            assert repr(kept[place]) == repr(rows[place])
    for place in (count, -count - 1):
        with pytest.raises(IndexError):
            kept[place]


@pytest.mark.parametrize("crew", SLIPS)
def test_a_flight_with_compact_rows_is_the_same_flight_and_judged_the_same(crew: str) -> None:
    session, judgement = flown("straight-in", crew)
    flight = session.flight
    again = Session(session.exercise, session.book, CompactRows())
    due = by_step(flight.acts)
    while not again.is_over:
        again.step(due.get(again.row.step, ()))
        if again.row.step % 2000 == 0:
            again.judgement()  # judging in between changes nothing
    assert again.judgement() == judgement
    assert written(again.flight.rows) == written(flight.rows)
    assert digest(again.exercise, again.flight.acts, again.flight.rows, again.flight.facts) == (
        digest(session.exercise, flight.acts, flight.rows, flight.facts)
    )
    assert again.tracker.rows is again.flight.rows


def test_compact_rows_take_a_quarter_of_the_memory() -> None:
    kept = compact(list(flown("straight-in")[0].flight.rows))
    sizes = []
    tracemalloc.start()
    try:
        sizes.append(tracemalloc.get_traced_memory()[0])
        plain = list(kept)
        sizes.append(tracemalloc.get_traced_memory()[0])
        again = compact(plain)
        del plain
        sizes.append(tracemalloc.get_traced_memory()[0])
    finally:
        tracemalloc.stop()
    before, whole, small = sizes
    assert len(again) == len(kept)
    assert small - before < (whole - before) / 4
