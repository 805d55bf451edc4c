"""The tracker takes a step of a flight: who is heard, what was refused, what the air did."""

from __future__ import annotations

from tests.builders import SELECTORS, book, exercise, move, row
from tests.judge.small import NOW, approach, call, gear, judge, only, speed, turn
from trainer.flight.acts import Act, Fact
from trainer.judge.batch import judge as judge_stored
from trainer.judge.tracker import Tracker
from trainer.scenario.exercise import Event, ShearEvent
from trainer.scenario.moments import Happened


def test_a_stored_flight_is_judged_as_it_was_flown() -> None:
    made = exercise((call(),))
    acts = [Act(30, 1, "pilot", "say", text="glide alive", began=30)]
    facts = [NOW, Fact(30, "said", "", "glide alive"), Fact(150, "end", "left"),
             Fact(160, "end", "left"), Fact(199, "end", "stopped on the runway")]  # fmt: skip
    rows = [row(step) for step in range(200)]
    judgement = judge_stored(made, book(), acts, facts, rows)
    assert (only(judgement).verdict, only(judgement).done) == ("on time", 30)
    assert (judgement.outcome, judgement.reason) == ("passed", "stopped on the runway")
    assert judge_stored(made, book(), acts, facts[:2], rows).outcome == "repeat", "no end"


def test_each_stored_row_is_the_one_its_step_led_to() -> None:
    made = exercise((call("distance check"),))
    rows = [row(step, altitude_ft=100.0 * step) for step in range(200)]
    found = only(judge_stored(made, book(), (), [NOW], rows))
    assert (found.opened, found.expected) == (20, 'call "DME 12 altitude 2000"')


def test_what_is_refused_hides_nothing_else_that_is_done_in_its_step() -> None:
    refused = (
        Act(30, 1, "pilot", "press", "approach mode"),
        Fact(30, "refused", "approach mode", reason="nothing is received"),
    )
    down = {31: {"gear_lever": "down"}}
    items = [approach(), gear()]
    found = judge(items, 200, [refused, move(30, "gear", "down")], down, [NOW])
    assert [one.verdict for one in found.items] == ["missed", "on time"]


def test_a_value_that_is_taken_in_the_step_in_which_it_was_refused_is_taken() -> None:
    act, taken = turn(30, "160")
    stuck = Fact(30, "refused", "speed", "160", reason="the selector is stuck")
    stands = {31: {"selectors": SELECTORS._replace(speed_kt=160.0)}}
    found = judge([speed()], 200, [(act, stuck), (act, taken)], stands, [NOW])
    assert only(found).verdict == "on time"


def test_only_an_event_that_changes_the_wind_upsets_the_air() -> None:
    front = Event(
        "front", Happened("event", "x"), shear=ShearEvent(140.0, 20.0, 0.0, 1500.0, 10.0, 0.0)
    )
    other = Event("now", Happened("event", "x"))
    tracker = Tracker(exercise(events=(front, other)), book())
    tracker.start(row(0))
    for step in range(40):
        facts = {19: [NOW], 29: [Fact(29, "event", "front")]}.get(step, [])
        tracker.advance((), facts, row(step + 1))
    assert tracker.upset == [(30, "front")]
