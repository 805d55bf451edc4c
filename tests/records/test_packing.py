"""A stored flight comes back bit for bit, and damage is noticed."""

from __future__ import annotations

import json
import zlib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.report.sample import MODES, row
from trainer.flight.acts import Fact
from trainer.records.packing import PackingError, pack, unpack

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
    rows, _ = unpack(pack([row(0, cas_kt=one, height_m=two)], []))
    assert (rows[0].cas_kt, rows[0].height_m) == (one, two)


def test_what_is_not_a_number_is_refused_at_once() -> None:
    with pytest.raises(ValueError, match="JSON compliant"):
        pack([row(0, cas_kt=float("nan"))], [])


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


def test_another_version_is_named_as_such() -> None:
    document = json.loads(zlib.decompress(pack([row(0)], [])))
    document["format"] = 99
    with pytest.raises(PackingError, match="another version"):
        unpack(zlib.compress(json.dumps(document).encode()))


def test_a_small_blob_that_unpacks_to_a_huge_one_is_refused() -> None:
    with pytest.raises(PackingError, match="too large"):
        unpack(zlib.compress(b" " * 1_000_000), most_bytes=100_000)
