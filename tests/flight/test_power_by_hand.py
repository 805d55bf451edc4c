"""Autothrust off: the hand takes the levers where they stand, until something takes them back."""

from __future__ import annotations

from itertools import pairwise

import pytest

from tests.crew.crews import exercise
from trainer.flight.acts import Act
from trainer.flight.flight import Flight
from trainer.scenario.book import book_of


def begun() -> Flight:
    """The shipped twin jet, level at 210 kt, some seconds on its way."""
    made = exercise("straight-in")
    flight = Flight(made, book_of(made))
    fly(flight, 5.0)
    return flight


def press(flight: Flight, control: str) -> None:
    """Press a button."""
    flight.step([Act(flight.row.step, 0, "pilot", "press", control, "")])


def fly(flight: Flight, seconds: float) -> None:
    """Fly on."""
    for _ in range(round(seconds * 10.0)):
        flight.step()


def test_the_hand_holds_the_selected_speed_in_steps_of_power() -> None:
    flight = begun()
    before = flight.row
    press(flight, "autothrust off")
    assert flight.row.modes.thrust == "OFF"
    assert flight.row.power == pytest.approx(before.power, abs=0.03)
    flight.step([Act(flight.row.step, 0, "pilot", "set", "speed", "220")])
    since = len(flight.rows)
    fly(flight, 90.0)
    assert flight.row.cas_kt == pytest.approx(220.0, abs=4.0)
    # A hand looks every two seconds; in between the levers stand, which autothrust's never do.
    moved = [abs(b.power - a.power) for a, b in pairwise(flight.rows[since:])]
    assert sum(power < 1e-4 for power in moved) > 0.3 * len(moved)


def test_speed_mode_takes_the_levers_back() -> None:
    flight = begun()
    press(flight, "autothrust off")
    fly(flight, 10.0)
    press(flight, "speed mode")
    assert flight.row.modes.thrust == "SPEED"
    fly(flight, 30.0)
    assert flight.row.cas_kt == pytest.approx(210.0, abs=1.0)


def test_a_go_around_takes_autothrust_up_again() -> None:
    flight = begun()
    press(flight, "autothrust off")
    fly(flight, 5.0)
    press(flight, "go-around")
    assert flight.row.modes.thrust == "GA"
