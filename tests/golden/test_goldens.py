"""Golden replays: events exactly, numbers within a tolerance that libm may differ by."""

from __future__ import annotations

import json

import pytest

from tests.crew.crews import flown
from tests.golden.record import FLIGHTS, FOLDER, golden_of
from trainer import ENGINE


@pytest.mark.parametrize("name", FLIGHTS)
def test_a_flight_goes_as_it_went(name: str) -> None:
    kept = json.loads((FOLDER / f"{name}.json").read_text(encoding="utf-8"))
    exercise, crew = FLIGHTS[name]
    now = golden_of(flown(exercise, crew)[0])
    assert kept["engine"] == ENGINE
    assert now["events"] == kept["events"], "flights changed: raise ENGINE and record again"
    assert len(now["numbers"]) == len(kept["numbers"])
    for mine, theirs in zip(now["numbers"], kept["numbers"], strict=True):
        assert mine == pytest.approx(theirs, rel=1e-6, abs=1e-4)
