"""Deviation calls: due at the house's call thresholds, which are not the limits of a gate.

A deviation is called when it has lasted 3 s and does not shrink; one call covers its parameter
for 15 s. What is back inside before the call was due was put right and asks for nothing; what
comes up in the middle of a sentence waits for its end.
Needles count from ten seconds after their capture, speed, sink and bank below the main gate.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from tests import builders
from tests.builders import WORDS, modes, say
from tests.crew.crews import exercise
from tests.judge.fold import Deed, fold
from tests.judge.rules.test_gates import CRITERIA
from tests.judge.small import judge
from trainer.judge.deviations import PARAMETERS
from trainer.judge.judgement import Judgement
from trainer.scenario.exercise import Gate, House
from trainer.scenario.lessons import LIMIT_UNITS

LIMITS = (("localizer", 0.5), ("sink rate", 1000.0), ("speed above", 10.0))
WORDED = House("house", tuple(WORDS.items()), (), LIMITS)
ON_LOC: dict[str, Any] = {"phase": "final", "modes": modes(lateral="LOC"), "localizer_dots": 0.0}
GATE = (Gate("stable", 1000.0, CRITERIA, True),)


def flown(changes: dict[int, dict[str, Any]], deeds: tuple[Deed, ...] = ()) -> Judgement:
    return fold(440, {0: ON_LOC, **changes}, deeds, house=WORDED, gates=GATE)


def asked(judgement: Judgement) -> list[tuple[str, str]]:
    return [(one.item, one.verdict) for one in judgement.items]


def test_every_threshold_that_a_house_may_set_has_its_parameter() -> None:
    assert PARAMETERS.keys() == LIMIT_UNITS.keys()


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
    first, second = flown(OUT).items
    assert (first.opened, first.due, first.closed) == (180, 230, 300)
    assert second.opened == 331, "once asked for, it is not asked for again for fifteen seconds"


@pytest.mark.parametrize(
    ("said", "due"),
    [
        (say(178, "x" * 24), 230 + 58),  # six seconds of speech; two steps had gone by
        (say(179, "x" * 24), 230 + 59),
        (say(180, "x" * 24), 230 + 60),
        (say(181, "x" * 24), 230),
        (say(200, "x", began=179), 230 + 20),  # typed for longer than it takes to say
        (say(180, "x", began=150), 230),
    ],
)
def test_a_call_that_comes_up_in_the_middle_of_a_sentence_waits_for_its_end(
    said: Deed, due: int
) -> None:
    first = flown(OUT, (said,)).items[0]
    assert (first.opened, first.due, first.closed) == (180, due, due + 70)


def test_less_than_the_threshold_is_not() -> None:
    assert asked(flown({150: {"localizer_dots": 0.5}})) == []


@pytest.mark.parametrize(("inside", "verdict"), [(229, "not reached"), (230, "missed")])
def test_what_is_back_inside_before_the_call_is_due_asks_for_nothing(
    inside: int, verdict: str
) -> None:
    judgement = flown({**OUT, inside: {"localizer_dots": 0.2}})
    assert asked(judgement) == [("deviation call: localizer 1", verdict)]


def test_what_was_called_and_put_right_at_once_was_called() -> None:
    judgement = flown({**OUT, 200: {"localizer_dots": 0.2}}, (say(185, "localizer"),))
    assert asked(judgement) == [("deviation call: localizer 1", "on time")]


def test_a_deviation_that_shrinks_asks_for_nothing() -> None:
    shrinking = {150 + step: {"localizer_dots": 0.9 - step * 0.002} for step in range(260)}
    assert asked(flown(shrinking)) == []
    # It grows again from row 251 on; at 257 it is no smaller than a second before.
    growing = {251 + step: {"localizer_dots": 0.7 + step * 0.0012} for step in range(100)}
    falling = {150 + step: {"localizer_dots": 0.9 - step * 0.002} for step in range(101)}
    assert [one.opened for one in flown({**falling, **growing}).items][:1] == [257]


def test_the_swing_after_a_capture_asks_for_nothing() -> None:
    captured_late = {0: {**ON_LOC, "modes": modes()}, 100: ON_LOC}
    swing = {110: {"localizer_dots": 0.7}, 190: {"localizer_dots": 0.2}}
    assert asked(flown({**captured_late, **swing})) == []


def test_speed_and_sink_count_below_the_main_gate_only() -> None:
    fast = {"cas_kt": 155.0, "vertical_speed_fpm": -1200.0}
    assert asked(flown({150: fast})) == []
    low = {0: ON_LOC, 150: {**fast, "height_ft": 0.9}}
    assert asked(fold(440, low, house=WORDED)) == [], "and nowhere without a gate"
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


MORE = {intent: (intent,) for intent in ("bank", "glide", "track", "path")}
SPOKEN = House("house", (*WORDS.items(), *MORE.items()), (), ())
NORMAL: dict[str, Any] = {
    "phase": "final", "height_ft": 999.9, "cas_kt": 137.0, "vertical_speed_fpm": -700.0,
    "bank_deg": 0.0, "localizer_dots": 0.0, "glide_dots": 0.0, "track_dots": 0.0,
    "path_error_ft": 0.0,
}  # fmt: skip


def opened(limit: tuple[str, float], shown: dict[str, Any]) -> list[int | None]:
    """When calls open where `shown` is so from row 150 on; its modes were captured long before."""
    modes_before = {name: shown[name] for name in ("modes", "track") if name in shown}
    house = replace(SPOKEN, limits=(limit,))
    changes = {0: NORMAL | modes_before, 150: shown}
    judgement = judge((), 190, (), changes, words=MORE, house=house, gates=GATE)
    return [one.opened for one in judgement.items]


LOC, GLIDE, NAV, PATH = (
    {"modes": modes(**{axis: word})}
    for axis, word in (("lateral", "LOC"), ("vertical", "GLIDE"), ("lateral", "NAV"),
                       ("vertical", "PATH"))
)  # fmt: skip
RNP = {"track": "received"}


@pytest.mark.parametrize(
    ("limit", "within", "beyond"),
    [
        (("speed above", 10.0), {"cas_kt": 147.0}, {"cas_kt": 147.1}),
        (("speed below", 5.0), {"cas_kt": 132.0}, {"cas_kt": 131.9}),
        (("sink rate", 1000.0), {"vertical_speed_fpm": -1000.0}, {"vertical_speed_fpm": -1001.0}),
        (("bank", 7.0), {"bank_deg": 7.0}, {"bank_deg": -7.1}),
        (("localizer", 0.5), {**LOC, "localizer_dots": 0.5}, {**LOC, "localizer_dots": -0.51}),
        (("localizer", 0.5), {**LOC, "localizer_dots": None}, {**LOC, "localizer_dots": 0.51}),
        (("localizer", 0.5), {**NAV, "localizer_dots": 0.9}, {**LOC, "localizer_dots": 0.9}),
        (("glideslope", 0.5), {**GLIDE, "glide_dots": -0.5}, {**GLIDE, "glide_dots": -0.51}),
        (("track", 0.5), {**NAV, "track_dots": 0.5}, {**NAV, "track_dots": -0.51}),
        (("path", 75.0), {**PATH, **RNP, "path_error_ft": 75.0},
         {**PATH, **RNP, "path_error_ft": -75.1}),
        (("path", 75.0), {**PATH, "track": "none", "path_error_ft": 90.0},
         {**PATH, **RNP, "path_error_ft": 90.0}),
    ],
)  # fmt: skip
def test_a_call_is_due_three_seconds_beyond_the_threshold_of_its_parameter(
    limit: tuple[str, float], within: dict[str, Any], beyond: dict[str, Any]
) -> None:
    assert opened(limit, within) == []
    assert opened(limit, beyond) == [180]


FAST = {"cas_kt": 160.0}


@pytest.mark.parametrize(
    ("shown", "is_asked"),
    [
        ({"height_ft": 999.9}, True),
        ({"height_ft": 1000.0}, False),
        ({"phase": "minimums"}, True),
        ({"phase": "intercept"}, False),
        ({"phase": "go-around"}, False),
    ],
)
def test_speed_is_called_below_the_main_gate_on_final_and_at_minimums(
    shown: dict[str, Any], is_asked: bool
) -> None:
    assert bool(opened(("speed above", 10.0), {**FAST, **shown})) == is_asked


def test_a_parameter_for_which_the_house_has_no_words_is_not_asked_for() -> None:
    mute = replace(WORDED, words=(), limits=(("localizer", 0.5),))
    judgement = fold(440, {0: ON_LOC, **OUT}, house=mute, gates=GATE)
    assert judgement.items == ()


def test_a_needle_that_was_lost_must_settle_again() -> None:
    # Captured anew at row 201, settled at row 301, and called three seconds later.
    lost: dict[int, dict[str, Any]] = {
        200: {"modes": modes()}, 201: {"modes": modes(lateral="LOC"), "localizer_dots": 0.6}
    }  # fmt: skip
    assert [one.opened for one in flown(lost).items][:1] == [331]
    kept = {201: {"localizer_dots": 0.6}}
    assert [one.opened for one in flown(kept).items][:1] == [231]
