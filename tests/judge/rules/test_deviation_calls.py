"""Deviation calls: due at the house's call thresholds, which are not the limits of a gate.

A deviation is called when it has lasted 3 s and does not shrink; one call covers its parameter
for 15 s. What is back inside before the call was due was put right and asks for nothing.
Needles count from ten seconds after their capture, speed, sink and bank below the main gate.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from tests import builders
from tests.builders import WORDS, modes, say
from tests.crew.crews import exercise
from tests.judge.fold import Deed, fold
from tests.judge.rules.test_gates import CRITERIA
from trainer.judge.judgement import Judgement
from trainer.scenario.exercise import Gate, House

LIMITS = (("localizer", 0.5), ("sink rate", 1000.0), ("speed above", 10.0))
WORDED = House("house", tuple(WORDS.items()), (), LIMITS)
ON_LOC: dict[str, Any] = {"phase": "final", "modes": modes(lateral="LOC"), "localizer_dots": 0.0}
GATE = (Gate("stable", 1000.0, CRITERIA, True),)


def flown(changes: dict[int, dict[str, Any]], deeds: tuple[Deed, ...] = ()) -> Judgement:
    return fold(440, {0: ON_LOC, **changes}, deeds, house=WORDED, gates=GATE)


def asked(judgement: Judgement) -> list[tuple[str, str]]:
    return [(one.item, one.verdict) for one in judgement.items]


def test_calls_come_before_the_limits_of_the_gate() -> None:
    """Two columns: FSF stabilised-approach callouts for calls, the flow's gate for going around."""
    shipped = exercise("straight-in")
    calls = dict(shipped.house.limits)
    assert (calls["localizer"], calls["glideslope"]) == (0.5, 0.5)
    assert (calls["speed above"], calls["speed below"]) == (10.0, 5.0)
    assert (calls["sink rate"], calls["bank"]) == (1000.0, 7.0)
    gate = {one.name: one.limit for one in shipped.flow.gates[0].criteria}
    assert (gate["localizer"], gate["glideslope"]) == (1.0, 1.0)
    for name in ("localizer", "glideslope", "speed above"):
        assert calls[name] <= gate[name], name


OUT = {150: {"localizer_dots": 0.6}}


def test_half_a_dot_for_three_seconds_is_called() -> None:
    assert asked(flown(OUT)) == [
        ("deviation call: localizer 1", "missed"),
        ("deviation call: localizer 2", "missed"),
    ]
    first = flown(OUT).items[0]
    assert (first.opened, first.due) == (180, 230)


def test_less_than_the_threshold_is_not() -> None:
    assert asked(flown({150: {"localizer_dots": 0.5}})) == []


def test_what_is_back_inside_before_the_call_is_due_asks_for_nothing() -> None:
    judgement = flown({**OUT, 220: {"localizer_dots": 0.2}})
    assert asked(judgement) == [("deviation call: localizer 1", "not reached")]


def test_a_deviation_that_shrinks_asks_for_nothing() -> None:
    shrinking = {150 + step: {"localizer_dots": 0.9 - step * 0.002} for step in range(260)}
    assert asked(flown(shrinking)) == []


def test_the_swing_after_a_capture_asks_for_nothing() -> None:
    captured_late = {0: {**ON_LOC, "modes": modes()}, 100: ON_LOC}
    swing = {110: {"localizer_dots": 0.7}, 190: {"localizer_dots": 0.2}}
    assert asked(flown({**captured_late, **swing})) == []


def test_speed_and_sink_count_below_the_main_gate_only() -> None:
    fast = {"cas_kt": 155.0, "vertical_speed_fpm": -1200.0}
    assert asked(flown({150: fast})) == []
    below = flown({150: {**fast, "height_ft": 900.0}, 210: {"phase": "go-around"}})
    assert sorted(asked(below)) == [
        ("deviation call: sink rate 1", "not reached"),
        ("deviation call: speed 1", "not reached"),
    ]


def test_one_call_covers_fifteen_seconds() -> None:
    # Due from 13.1 s (ten after the capture, three beyond); said at 14.0 s; again from 29.1 s on.
    judgement = flown({1: {"localizer_dots": 0.6}}, (say(140, "localizer"),))
    assert [(one.item, one.verdict, one.opened) for one in judgement.items] == [
        ("deviation call: localizer 1", "on time", 131),
        ("deviation call: localizer 2", "missed", 292),
    ]


def test_a_call_made_before_it_was_due_covers_it_as_well() -> None:
    swing = {150: {"localizer_dots": 0.6}, 300: {"localizer_dots": 0.1}}
    judgement = flown(swing, (say(165, "localizer"),))
    assert asked(judgement) == []


def test_one_pilot_alone_has_nobody_who_calls() -> None:
    flow = replace(builders.exercise(gates=GATE).flow, pilots=1)
    assert asked(fold(440, {0: ON_LOC, **OUT}, house=WORDED, flow=flow)) == []
