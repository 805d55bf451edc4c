"""Ice that is met on the way: which speeds hold before it and behind it, for whom."""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from tests.crew.crews import edited, exercise, flown, item
from trainer.briefing.paper import sheet_text
from trainer.briefing.sheet import sheet
from trainer.flight.row import Row
from trainer.scenario import compose
from trainer.scenario.draw import corners
from trainer.scenario.exercise import Exercise

pytestmark = pytest.mark.dear

NAME = "turboprop-ice"
NORMAL_KT, ICED_KT = 111.2, 120.8
"""Final speeds by hand: 24.9 kt times the root of 18.2 t is 106.2 kt and 5 kt; 106.2 kt times 1.09
is 115.8 kt and 5 kt (type file: reference factor of flap 32, icing speed factor)."""


def corner(label: str) -> Exercise:
    return dict(corners(exercise(NAME)))[label]


def rows() -> Sequence[Row]:
    return flown(NAME)[0].flight.rows


def test_the_normal_speeds_hold_until_the_event_and_the_icing_speeds_behind_it() -> None:
    found = exercise(NAME)
    assert found.speeds_at(False).final_kt == pytest.approx(NORMAL_KT, abs=0.1)
    assert found.speeds_at(True).final_kt == pytest.approx(ICED_KT, abs=0.1)
    met = next(row for row in rows() if row.is_icing)
    assert met.distance_nm == pytest.approx(15.5, abs=0.02)
    assert compose.from_canonical(found.canonical).before_ice == found.before_ice


def test_a_flight_that_meets_no_ice_has_the_normal_speeds_alone() -> None:
    found = corner("with nothing")
    assert found.before_ice is None
    assert found.final_kt == pytest.approx(NORMAL_KT, abs=0.1)


def test_the_bug_is_set_twice_by_the_table_that_holds() -> None:
    acts = flown(NAME)[0].flight.acts
    bugs = [act.value for act in acts if act.act == "set" and act.control == "final speed"]
    assert bugs == ["111", "121"]


def test_the_gate_asks_for_the_icing_speed() -> None:
    # The usual number, 111 kt, is 10 kt below the icing final speed; the gate allows 5.
    judgement = edited(NAME, "{replace: final speed, with: {set: {speed: 111 kt}}}")
    assert [(one.criterion, one.limit) for one in judgement.gates[0].failed] == [("speed below", 5)]
    assert judgement.gates[0].because == "final speed"
    low = next(one for one in judgement.watches if one.watch == "below manoeuvring speed")
    assert low.because == "final speed"
    assert low.limit == pytest.approx(ICED_KT - 5.0, abs=0.1)


def test_a_bug_that_stays_is_missed_and_explains_nothing_else() -> None:
    judgement = edited(NAME, "{omit: icing speeds}")
    assert item(judgement, "icing speeds").verdict == "missed"
    assert judgement.primary() == {("icing speeds", "missed")}


def test_the_sheet_gives_both_speeds_and_tells_nothing_of_what_is_drawn() -> None:
    told = "Reference 106 kt, final approach 111 kt at 18.2 t (Turboprop). With ice: reference 116"
    for found in (exercise(NAME), corner("with nothing"), exercise("turboprop-ils")):
        assert told in " ".join(sheet_text(sheet(found)).split())
