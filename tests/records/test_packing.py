"""A stored flight comes back bit for bit, and damage is noticed."""

from __future__ import annotations

import json
import zlib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.report.sample import MODES, row
from trainer.flight.acts import Fact
from trainer.flight.row import Row
from trainer.guidance.modes import Modes, Selectors
from trainer.records.packing import MOST_ROWS, PackingError, pack, unpack

FACTS = [
    Fact(3, "acted", "gear", "down"),
    Fact(9, "mode", "vertical", "GLIDE", "ALT", "captured", "automatic"),
    Fact(12, "said", "", "glide ⟨armed⟩ \x1b[31m"),
]


def test_rows_and_facts_come_back_equal() -> None:
    rows = [row(step, modes=MODES._replace(lateral_armed=("ALIGN", "NAV"))) for step in range(50)]
    assert unpack(pack(rows, FACTS)) == (rows, FACTS)


def test_the_types_come_back_too() -> None:
    rows, facts = unpack(pack([row(0, localizer_dots=None)], FACTS))
    assert rows[0].localizer_dots is None
    assert rows[0].selectors.frequency == "110.35"
    assert rows[0].modes.vertical_armed == ("FLARE",)
    assert type(rows[0].modes) is type(MODES)
    assert facts[1].tag == "automatic"


def test_a_flight_without_a_row_comes_back_empty() -> None:
    assert unpack(pack([], [])) == ([], [])


@given(st.floats(allow_nan=False, allow_infinity=False), st.floats(min_value=1e-300, max_value=1e9))
def test_every_float_comes_back_to_the_last_bit(one: float, two: float) -> None:
    flown = [row(0, cas_kt=one, height_m=two), row(1, cas_kt=two, height_m=-0.0)]
    rows, _ = unpack(pack(flown, []))
    assert repr(rows) == repr(flown)


def test_a_float_that_comes_and_goes_comes_back_so() -> None:
    dots = [None, 0.5, 0.5, None, -0.0, 0]
    rows, _ = unpack(pack([row(step, localizer_dots=one) for step, one in enumerate(dots)], []))
    assert repr([one.localizer_dots for one in rows]) == repr(dots)


@pytest.mark.parametrize("value", [float("nan"), float("inf")])
def test_what_is_not_a_number_is_refused_at_once(value: float) -> None:
    with pytest.raises(ValueError, match="no number"):
        pack([row(0, cas_kt=value)], [])


def test_what_stays_as_it_is_comes_back_as_one_value() -> None:
    other = MODES._replace(lateral="NAV")
    rows, _ = unpack(pack([row(0), row(1), row(2, modes=other), row(3)], []))
    assert rows[0].modes is rows[1].modes
    assert rows[1].modes is not rows[3].modes
    assert rows[1].modes == rows[3].modes == MODES


def test_the_first_form_with_every_value_written_out_is_still_read() -> None:
    rows = [row(0, localizer_dots=None), row(1)]
    columns = [list(column) for column in zip(*rows, strict=True)]
    document = {
        "format": 1,
        "fields": Row._fields,
        "selectors": Selectors._fields,
        "modes": Modes._fields,
        "columns": columns,
        "facts": FACTS,
    }
    assert unpack(zlib.compress(json.dumps(document).encode())) == (rows, FACTS)


def test_damage_is_noticed() -> None:
    packed = pack([row(0), row(1)], FACTS)
    with pytest.raises(PackingError, match="damaged"):
        unpack(b"nonsense")
    with pytest.raises(PackingError, match="cut short"):
        unpack(packed[:-8])
    with pytest.raises(PackingError, match="damaged"):
        unpack(zlib.compress(b'{"format": 1'))
    with pytest.raises(PackingError, match="damaged"):
        unpack(zlib.compress(b"[" * 100_000))


def changed(**keys: object) -> bytes:
    """A packed flight of two rows in whose document some keys are others."""
    text, floats = zlib.decompress(pack([row(0), row(1)], FACTS)).split(b"\n", 1)
    return zlib.compress(json.dumps({**json.loads(text), **keys}).encode() + b"\n" + floats)


def test_another_version_is_named_as_such() -> None:
    with pytest.raises(PackingError, match="another version"):
        unpack(changed(format=99))


@pytest.mark.parametrize(
    ("runs", "expected"),
    [
        ([[2, 0]], None),
        ([[1, 0], [1, 1]], None),
        ([[3, 0]], "damaged"),
        ([[3, 0], [-1, 0]], "damaged"),
        ([[0, 0], [2, 0]], "damaged"),
        ([[1, 0]], "damaged"),
        ([[2]], "damaged"),
        ("floats", "damaged"),
        ("other", "damaged"),
        (None, "damaged"),
    ],
)
def test_runs_fill_their_column_or_are_refused(runs: object, expected: str | None) -> None:
    columns = json.loads(zlib.decompress(pack([row(0), row(1)], [])).split(b"\n")[0])["columns"]
    packed = changed(columns=[runs, *columns[1:]])
    if expected is None:
        assert len(unpack(packed)[0]) == 2
    else:
        with pytest.raises(PackingError, match=expected):
            unpack(packed)


def test_more_rows_than_any_flight_has_are_refused_before_they_are_made() -> None:
    columns = [[[MOST_ROWS + 1, 0]]] * len(Row._fields)
    with pytest.raises(PackingError, match="too long"):
        unpack(changed(rows=MOST_ROWS + 1, columns=columns))


def test_floats_that_are_cut_short_are_noticed() -> None:
    raw = zlib.decompress(pack([row(0), row(1)], FACTS))
    with pytest.raises(PackingError, match="damaged"):
        unpack(zlib.compress(raw[:-1]))


def test_a_small_blob_that_unpacks_to_a_huge_one_is_refused() -> None:
    with pytest.raises(PackingError, match="too large"):
        unpack(zlib.compress(b" " * 1_000_000), most_bytes=100_000)
