"""Torque by hand: what levers, propellers and the go-around button do, and where the speed goes."""

from __future__ import annotations

import pytest

from tests.crew.crews import exercise
from trainer.app.hands import act_from
from trainer.app.router import Draft
from trainer.flight.acts import Act
from trainer.flight.flight import Flight
from trainer.flight.levers import PowerLevers, SpeedTrend
from trainer.scenario.book import book_of


def flight() -> Flight:
    """The turboprop, level at 200 kt."""
    drill = exercise("turboprop-ils")
    return Flight(drill, book_of(drill))


def fly(one: Flight, seconds: float, *acts: Act) -> None:
    one.step(acts)
    for _ in range(round(10.0 * seconds) - 1):
        one.step()


def act(what: str, control: str, value: str = "") -> Act:
    return Act(0, 0, "pilot", what, control, value)


def test_levers_travel_at_the_rate_of_the_hand() -> None:
    # The type file: 0.15 of the travel in a second, so 30 % takes two.
    levers = PowerLevers(0.15, 0.60)
    travelled = [levers.towards(30.0) for _ in range(30)]
    assert travelled[9] == pytest.approx(0.45)
    assert travelled[19] == pytest.approx(0.30)
    assert travelled[-1] == pytest.approx(0.30)


def test_a_flight_begins_with_the_torque_that_holds_its_speed() -> None:
    # 65 % at 18 °C; power goes with true airspeed: at 3 °C the root of 276.15/291.15 of it, 63.3 %.
    one = flight()
    assert one.row.selectors.torque_percent == 63.0
    fly(one, 20.0)
    assert one.row.cas_kt == pytest.approx(200.0, abs=1.5)


def test_torque_set_is_torque_flown_and_a_go_around_without_it_goes_down() -> None:
    one = flight()
    fly(one, 15.0, act("set", "torque", "40"), act("press", "go-around"))
    assert one.row.power == pytest.approx(0.40, abs=0.005)
    assert one.row.modes.vertical == "GA"
    assert one.row.vertical_speed_fpm < -300.0


def test_high_propellers_give_more_of_the_same_torque() -> None:
    # By hand: full thrust at 200 kt, 3,000 ft is 21.6 kN at cruise speed and 0.15/0.85 more of it,
    # 3.8 kN, at high speed; 65 % of that on 18.2 t is 0.136 m/s2 or 2.6 kt in 10 s, less drag.
    speeds = []
    for setting in ("cruise", "high"):
        one = flight()
        fly(one, 10.0, act("move", "propellers", setting))
        assert one.row.propellers == setting
        speeds.append(one.row.cas_kt)
    assert speeds[1] - speeds[0] == pytest.approx(2.4, abs=0.3)


def trend(speeds: list[float], selected_kt: float, torque: list[float]) -> SpeedTrend:
    found = SpeedTrend()
    for cas_kt, percent in zip(speeds, torque, strict=True):
        found.look(cas_kt, selected_kt, percent)
    return found


def test_a_steady_loss_of_speed_is_seen_six_seconds_ahead() -> None:
    # By hand: 1 kt/s for 30 s from 200 kt gives 170 kt, and 164 kt six seconds on.
    speeds = [200.0 - 0.1 * step for step in range(301)]
    found = trend(speeds, 168.0, [10.0] * 301)
    assert found.rate_kt_s == pytest.approx(-1.0, abs=0.01)
    assert found.astray_kt == pytest.approx(164.0 - 168.0, abs=0.1)


def test_a_speed_on_its_way_back_is_not_astray() -> None:
    speeds = [200.0 - 0.1 * step for step in range(201)]
    assert trend(speeds, 165.0, [10.0] * 201).astray_kt == 0.0
    standing = trend([180.0] * 201, 165.0, [10.0] * 201)
    assert standing.astray_kt == pytest.approx(15.0)


def test_a_new_torque_has_eight_seconds_to_show() -> None:
    torque = [40.0] * 100 + [30.0] * 79
    assert trend([180.0] * 179, 165.0, torque).astray_kt == 0.0
    assert trend([180.0] * 180, 165.0, [*torque, 30.0]).astray_kt == pytest.approx(15.0)


def test_what_a_type_does_not_have_is_refused() -> None:
    drill = exercise("straight-in")
    one = Flight(drill, book_of(drill))
    _, facts = one.step([act("set", "torque", "40"), act("move", "propellers", "high")])
    assert [(fact.kind, fact.reason) for fact in facts[:2]] == [
        ("refused", "this type has no torque"), ("refused", "this type has no propellers"),
    ]  # fmt: skip
    turboprop = flight()
    _, facts = turboprop.step([act("move", "speedbrake", "out")])
    assert (facts[0].kind, facts[0].reason) == ("refused", "this type has no speedbrake")


def test_level_at_idle_the_clean_type_loses_what_the_flow_says() -> None:
    # By hand at 185 kt, 3,000 ft: drag 12.4 kN and idle thrust -1.7 kN on 18.2 t are 0.77 m/s2 of
    # true speed, 14 kt in ten seconds; the levers take some of it. The flow says about thirteen.
    one = flight()
    fly(one, 10.0, act("set", "torque", "0"))
    before_kt = one.row.cas_kt
    fly(one, 10.0)
    assert before_kt - one.row.cas_kt == pytest.approx(13.5, abs=1.0)


def test_the_lever_keys_take_propellers_and_ice_protection_there_and_back() -> None:
    drill = exercise("turboprop-ils")
    one = Flight(drill, book_of(drill))
    for control, out, back in (("propellers", "high", "cruise"), ("ice protection", "on", "off")):
        for position in (out, back):
            made = act_from(Draft("move", control, "toggle"), one.row, drill, ())
            assert isinstance(made, Act)
            assert made.value == position
            fly(one, 0.1, made)
