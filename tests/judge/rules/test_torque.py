"""Torque is judged by its effect: what brings the speed to the bug, or holds it there."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache

import pytest

from tests.crew.crews import exercise
from tests.judge.small import judge
from tests.project.sources import ROOT
from trainer.crew.session import Session
from trainer.flight.moments import Evaluator
from trainer.flight.row import Row
from trainer.judge.hands import TORQUE, Hands
from trainer.judge.torque import TorqueByHeart
from trainer.scenario.book import book_of
from trainer.scenario.exercise import Act, Item
from trainer.scenario.moments import Compare, Figure
from trainer.units import FT, KT
from trainer.world.air import Air, tas_from_cas

PATH_FT = {133.0: 2000.0, 111.0: 1000.0}
"""Where the table of the pilots' page takes its settings on the path, by speed."""


@cache
def still_air() -> tuple[TorqueByHeart, Row]:
    """What the crew of the turboprop knows without wind, and a row level at 3,000 ft."""
    shipped = exercise("turboprop-ils")
    weather = replace(shipped.weather, wind=(), qnh_hpa=1013.25, temperature_c=15.0)
    drill = replace(shipped, weather=weather)
    return TorqueByHeart(drill), Session(drill).row


def seen(cas_kt: float, bug_kt: float | None = None, **changes: object) -> Row:
    """A row at a steady speed, with the bug there unless another is given."""
    row = still_air()[1]
    bug = row.selectors._replace(speed_kt=cas_kt if bug_kt is None else bug_kt)
    values: dict[str, object] = {"cas_kt": cas_kt, "selectors": bug, "speed_trend_kt_s": 0.0}
    return row._replace(**(values | changes))  # type: ignore[arg-type]


def test_the_holding_torque_is_the_balance_of_forces() -> None:
    # By hand, from the force balance in docs/checks.md (second implementation): 165 kt, flap 10,
    # 3,000 ft, level: drag 14,453 N, idle thrust -1,299 N. Full thrust is power over true speed:
    # 0.85 x 2 x 0.82 x 1,660 kW / 88.7 m/s = 26,090 N.
    # (14,453 + 1,299) / (26,090 + 1,299) = 57.5 %.
    row = seen(165.0, flap_lever=1, height_m=3000.0 * FT)
    assert still_air()[0].holding_percent(row) == pytest.approx(57.5, abs=0.3)


def test_the_settings_of_the_pilots_page_are_those_of_the_program() -> None:
    page = (ROOT / "docs" / "for-pilots.md").read_text(encoding="utf-8")
    row = r"\| (\d+) kt \| (\d+), (up|down), (cruise|high) \| (level|path) \| (\d+) % \|"
    table = re.findall(row, page)
    assert len(table) == 6
    air = Air(0.0, 1013.25, 0.0)
    for speed, flap, gear, propellers, where, percent in table:
        cas_kt = float(speed)
        height_ft = 3000.0 if where == "level" else PATH_FT[cas_kt]
        modes = still_air()[1].modes._replace(vertical="ALT" if where == "level" else "GLIDE")
        made = seen(
            cas_kt, modes=modes, gear_lever=gear, propellers=propellers, height_m=height_ft * FT,
            flap_lever=exercise("turboprop-ils").aircraft.stage_index(flap),
            ground_speed_kt=tas_from_cas(cas_kt * KT, air.state(height_ft * FT)) / KT,
        )  # fmt: skip
        assert round(still_air()[0].holding_percent(made)) == int(percent), speed


def test_on_the_path_it_holds_the_selected_speed_and_not_the_present_one() -> None:
    known, modes = still_air()[0], still_air()[1].modes._replace(vertical="GLIDE")
    there = seen(133.0, modes=modes, ground_speed_kt=138.0)
    faster = seen(153.0, 133.0, modes=modes, ground_speed_kt=158.0)
    assert known.holding_percent(faster) == known.holding_percent(there)


def test_in_any_other_mode_it_holds_the_speed_at_the_present_rate() -> None:
    known, modes = still_air()[0], still_air()[1].modes
    on_path = seen(133.0, modes=modes._replace(vertical="GLIDE"), ground_speed_kt=138.0)
    # 138 kt down a path of 3 degrees: 138 x 101.27 ft/min x tan 3 degrees.
    sinking = seen(133.0, modes=modes._replace(vertical="VS"), vertical_speed_fpm=-732.4)
    assert known.holding_percent(sinking) == pytest.approx(known.holding_percent(on_path), abs=0.01)


@pytest.mark.parametrize(("cas_kt", "trend_kt_s", "right", "wrong"), [
    (200.0, 0.0, (0.0, 30.0, 50.0), (60.0, 100.0)),   # too fast: anything up to the holding torque
    (150.0, 0.0, (45.0, 70.0, 100.0), (0.0, 35.0)),   # too slow: anything from it on
    (166.0, 0.0, (42.0, 46.0, 51.0), (30.0, 60.0)),   # there: about the holding torque
    (172.0, -2.0, (42.0, 46.0, 51.0), (10.0, 65.0)),  # too fast, but on the way through it
])  # fmt: skip
def test_right_is_what_brings_the_speed_to_the_bug(
    cas_kt: float, trend_kt_s: float, right: tuple[float, ...], wrong: tuple[float, ...]
) -> None:
    # The torque that holds 165 kt clean and level is 46 % (the table above).
    known, row = still_air()[0], seen(cas_kt, 165.0, speed_trend_kt_s=trend_kt_s)
    assert [one for one in (*right, *wrong) if known.brings(row, one)] == list(right)


@pytest.mark.parametrize(("cas_kt", "trend_kt_s", "percent", "is_right"), [
    # Bug 165 kt; 46 % hold it. More than 4 kt above, and in six seconds not below: less will do.
    (169.1, 0.0, 30.0, True), (169.0, 0.0, 30.0, False), (169.1, 0.0, 60.0, False),
    (170.0, -0.75, 30.0, True), (170.0, -0.9, 30.0, False), (163.0, 0.6, 30.0, False),
    # More than 4 kt below, and in six seconds not above: more will do.
    (160.9, 0.0, 100.0, True), (161.0, 0.0, 100.0, False), (160.9, 0.0, 30.0, False),
    (160.0, 0.75, 100.0, True), (160.0, 0.9, 100.0, False), (163.0, 0.0, 100.0, False),
])  # fmt: skip
def test_where_the_speed_is_on_its_way_and_where_it_must_be_held(
    cas_kt: float, trend_kt_s: float, percent: float, is_right: bool
) -> None:
    row = seen(cas_kt, 165.0, speed_trend_kt_s=trend_kt_s)
    assert still_air()[0].brings(row, percent) is is_right


@pytest.mark.parametrize(("cas_kt", "trend_kt_s", "stands", "percent"), [
    # The law of the type's hand, by hand: 1.2 % per knot that is missing in four seconds, in steps
    # of 2 %; beyond 8 kt, or beyond 2 kt where what is known by heart (46.3 %) stands already.
    (173.2, 0.0, 0.0, 36.0),   # 8.2 kt too fast: 46.3 - 9.8
    (173.0, 0.0, 0.0, 46.0),
    (170.0, 1.0, 0.0, 36.0),   # 5 kt and growing: 9 kt in four seconds
    (170.0, -1.0, 0.0, 46.0),  # and going: 1 kt
    (156.8, 0.0, 0.0, 56.0),   # 8.2 kt too slow
    (168.0, 0.0, 46.0, 42.0),  # 3 kt too fast with it standing: 46.3 - 3.6
    (168.0, 0.0, 50.0, 42.0), (168.0, 0.0, 43.0, 42.0),  # within two steps it stands
    (168.0, 0.0, 50.5, 46.0), (168.0, 0.0, 42.0, 46.0),
    (166.9, 0.0, 46.0, 46.0),
    (134.5, 0.0, 0.0, 82.0),   # 30.5 kt: 46.3 + 36.6
    (100.0, 0.0, 0.0, 100.0), (240.0, 0.0, 0.0, 0.0),
])  # fmt: skip
def test_what_a_good_crew_sets_follows_the_law_of_the_hand(
    cas_kt: float, trend_kt_s: float, stands: float, percent: float
) -> None:
    row = seen(cas_kt, 165.0, speed_trend_kt_s=trend_kt_s)
    row = row._replace(selectors=row.selectors._replace(torque_percent=stands))
    assert still_air()[0].set_percent(row) == percent


def test_a_good_crew_sets_less_on_the_way_down_and_the_known_torque_once_there() -> None:
    known = still_air()[0]
    assert known.set_percent(seen(200.0, 165.0)) < 10.0
    assert known.set_percent(seen(168.0, 165.0, speed_trend_kt_s=-1.0)) == 46.0


def too_fast(**changes: object) -> Item:
    values: dict[str, object] = {
        "name": "slow down",
        "act": Act("set", "speed", figure=Figure(160.0)),
        "each": Compare("speed", "above", Figure(220.0)),
        "due": 5.0,
        "closes": 10.0,
    }
    return Item(**(values | changes))  # type: ignore[arg-type]


def test_a_state_that_lasts_is_asked_for_again_once_nobody_answered_in_time() -> None:
    fast = {"cas_kt": 230.0}
    judgement = judge([too_fast()], 150, changes={20: fast})
    assert [(one.item, one.verdict) for one in judgement.items] == [
        ("slow down 1", "missed"), ("slow down 2", "not reached"),
    ]  # fmt: skip


def test_a_state_that_is_over_is_not_asked_for_again() -> None:
    judgement = judge([too_fast()], 200, changes={20: {"cas_kt": 230.0}, 60: {"cas_kt": 200.0}})
    assert [(one.item, one.verdict) for one in judgement.items] == [("slow down 1", "missed")]


def test_of_a_torque_that_is_set_its_effect_is_judged_and_not_its_value() -> None:
    drill = exercise("turboprop-ils")
    evaluator = Evaluator(drill, book_of(drill))
    evaluator.context.row = seen(200.0, 165.0)
    asked = Act("set", "torque", figure=Figure(0.0, TORQUE))
    # Too fast: anything up to the holding torque brings the speed to the bug.
    hands = Hands(drill, evaluator)
    assert [hands.is_value(asked, percent) for percent in (0.0, 30.0, 100.0)] == [True, True, False]
