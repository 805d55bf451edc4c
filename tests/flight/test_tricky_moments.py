"""The moments that instructors ask for and that are easily got wrong, from their text to the step.

Each is written as an author would write it and followed over a few steps by hand.
"""

from __future__ import annotations

from collections.abc import Sequence

from tests.builders import book, exercise, modes, row, say
from trainer.flight.acts import Act, Fact
from trainer.flight.moments import Evaluator
from trainer.flight.row import Row
from trainer.judge.judgement import Judgement
from trainer.judge.tracker import Tracker
from trainer.judge.verdicts import conclude
from trainer.scenario import nodes
from trainer.scenario.exercise import Act as Expected
from trainer.scenario.exercise import Item
from trainer.scenario.moment_parser import parse_moment
from trainer.scenario.moments import Moment
from trainer.scenario.reading import Reading

Facts = dict[int, list[Fact]]
GLIDE = {"modes": modes(vertical="GLIDE")}


def moment(text: str, *, recurs: bool = False) -> Moment:
    reading = Reading()
    found = parse_moment(nodes.parse(text, "moment"), reading, is_recurring=recurs)
    reading.problems.raise_if_any()
    assert found is not None
    return found


def truth(text: str, rows: Sequence[Row], facts: Facts | None = None) -> str:
    """One letter a row: "x" where the moment is true, "." elsewhere."""
    evaluator = Evaluator(exercise(), book())
    observer = evaluator.watch(moment(text))
    letters = ""
    for number, one in enumerate(rows):
        evaluator.observe(one, (facts or {}).get(number, ()))
        letters += "x" if observer.now else "."
    return letters


def test_between_two_places_after_a_fix_but_not_before_the_clearance() -> None:
    # 0.006 NM are flown in a step: 0.02 NM are passed in the fourth step, 0.04 NM in the seventh.
    text = (
        "all: [{passed: TULEP, plus: 0.02 NM}, {not: {passed: TULEP, plus: 0.04 NM}},\n"
        "      {granted: approach}]"
    )
    rows = [row(n) for n in range(10)]
    passed = Fact(0, "passed", "TULEP")
    early = {0: [Fact(0, "granted", "approach", "cleared")], 1: [passed]}
    late = {1: [passed], 6: [Fact(5, "granted", "approach", "cleared")]}
    never = {1: [passed]}
    assert truth(text, rows, early) == ".....xxx.."
    assert truth(text, rows, late) == "......xx.."
    assert truth(text, rows, never) == ".........."


def test_within_ten_seconds_of_a_capture_unless_going_around() -> None:
    text = (
        "all: [{mode: {vertical: GLIDE}}, {not: {mode: {vertical: GLIDE}, plus: 0.3 s}},\n"
        "      {not: {phase: go-around}}]"
    )
    captured = [row(0), *(row(n, **GLIDE) for n in range(1, 7))]
    assert truth(text, captured) == ".xxx..."
    around = [row(0), row(1, **GLIDE), row(2, phase="go-around", **GLIDE), row(3, **GLIDE)]
    assert truth(text, around) == ".x.x"


def test_whichever_comes_first() -> None:
    text = "any: [{distance: below 11.5 NM}, {altitude: falling through 2950 ft}]"
    miles = [row(n, distance_nm=12.0 - 0.3 * n) for n in range(4)]
    assert truth(text, miles) == "..xx"
    feet = [row(n, altitude_ft=3000.0 - 40.0 * n) for n in range(4)]
    assert truth(text, feet) == "..xx"


def test_the_later_of_two_and_a_pause() -> None:
    text = "{all: [{event: cleared}, {signal: {glideslope: received}}], plus: 0.2 s}"
    facts = {1: [Fact(0, "event", "cleared")]}
    rows = [row(n, glide="received" if n >= 3 else "none") for n in range(7)]
    assert truth(text, rows, facts) == ".....xx"
    rows = [row(n, glide="received") for n in range(7)]
    assert truth(text, rows, {4: facts[1]}) == "......x"


def test_speed_below_a_limit_before_the_next_stage() -> None:
    text = "all: [{done: first flap}, {speed: below 209 kt}]"
    rows = [row(n, cas_kt=speed) for n, speed in enumerate([205.0, 212.0, 210.0, 208.0, 210.0])]
    assert truth(text, rows, {1: [Fact(0, "done", "first flap")]}) == "...x."
    assert truth(text, rows) == "....."


def test_radio_height_falling_through_counts_crossings_and_not_levels() -> None:
    rows = [row(n, radio_ft=feet) for n, feet in enumerate([90.0, 120.0, 101.0, 99.0, 130.0])]
    assert truth("radio height: falling through 100 ft", rows) == "...xx"


def test_only_after_a_mistake() -> None:
    text = "{mode: {vertical armed: PATH}, for: 0.2 s}"
    armed = {"modes": modes(vertical_armed=("PATH",))}
    rows = [row(0), row(1, **armed), row(2), row(3, **armed), row(4, **armed), row(5, **armed)]
    assert truth(text, rows) == ".....x"


def test_a_positive_climb_that_is_held_after_the_press() -> None:
    text = "then: [{acted: go-around}, {vertical speed: above 300 ft/min, for: 0.2 s}]"
    climbs = [400.0, 400.0, 400.0, 250.0, 400.0, 400.0, 400.0]
    rows = [row(n, vertical_speed_fpm=climb) for n, climb in enumerate(climbs)]
    assert truth(text, rows, {2: [Fact(1, "acted", "go-around")]}) == "......x"


# In an item -------------------------------------------------------------------------------------


def judge(
    item: Item,
    rows: Sequence[Row],
    deeds: Sequence[tuple[Act, Fact]] = (),
    extra: Facts | None = None,
) -> Judgement:
    tracker = Tracker(exercise((item,)), book())
    tracker.start(rows[0])
    for step, one in enumerate(rows[1:]):
        facts = [fact for _, fact in deeds if fact.step == step]
        facts += (extra or {}).get(step, [])
        tracker.advance([act for act, _ in deeds if act.step == step], facts, one)
    return conclude(tracker, rows, "stopped on the runway")


def test_every_mile_while_on_final_and_above_a_height() -> None:
    item = Item(
        name="checked",
        act=Expected("say", intent="checked"),
        each=moment("distance: every 1 NM", recurs=True),
        while_=moment("all: [{phase: final}, {height: above 1000 ft}]"),
        due=8.0,
        closes=12.0,
    )
    # A mile in 20 s, from 6.5 NM; on final from 5.5 NM, below 1000 ft from 3.3 NM on.
    rows = []
    for step in range(1000):
        miles = 6.502 - step * 0.005
        rows.append(
            row(
                step,
                distance_nm=miles,
                height_ft=1100.0 if miles > 3.3 else 900.0,
                phase="final" if miles < 5.5 else "intercept",
            )
        )
    deeds = [say(320, "checked")]
    found = judge(item, rows, deeds)
    # 6 NM is before final, 3 NM below 1000 ft: 5 NM (step 301) was called and 4 NM was not.
    assert [(one.item, one.opened, one.verdict) for one in found.items] == [
        ("checked 1", 301, "on time"),
        ("checked 2", 501, "missed"),
    ]


def test_void_when_a_fault_occurs() -> None:
    item = Item(
        name="glide captured",
        act=Expected("say", intent="glide captured"),
        opens=moment("event: now"),
        void=moment("event: gs-flag"),
        due=5.0,
        closes=10.0,
    )
    rows = [row(step) for step in range(200)]
    opened = {20: [Fact(20, "event", "now")]}
    assert [one.verdict for one in judge(item, rows, extra=opened).items] == ["missed"]
    faulted = {**opened, 40: [Fact(40, "event", "gs-flag")]}
    assert [one.verdict for one in judge(item, rows, extra=faulted).items] == ["not reached"]
