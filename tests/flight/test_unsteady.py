"""Turbulence and shear in flight: drawn from the seed, felt in the airspeed, flown out again."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import pytest

from tests.crew.crews import exercise
from trainer.flight.flight import Flight
from trainer.flight.row import Row
from trainer.proof.prove import fly_perfect
from trainer.scenario.book import book_of
from trainer.scenario.exercise import Event, Exercise, ShearEvent
from trainer.scenario.moments import Compare, Figure


def rough(kt: float, seed: int = 0) -> Exercise:
    written = exercise("straight-in")
    return replace(written, seed=seed, weather=replace(written.weather, turbulence_kt=kt))


def flown(found: Exercise, steps: int) -> Sequence[Row]:
    flight = Flight(found, book_of(found))
    for _ in range(steps):
        flight.step()
    return flight.rows


def test_turbulence_is_drawn_from_the_seed_and_replays() -> None:
    once, again = flown(rough(15.0, 3), 300), flown(rough(15.0, 3), 300)
    assert once == again
    assert flown(rough(15.0, 4), 300)[-1].cas_kt != once[-1].cas_kt


def test_stronger_turbulence_shakes_the_airspeed_more() -> None:
    def spread(kt: float) -> float:
        speeds = [row.cas_kt for row in flown(rough(kt, 1), 1200)[200:]]
        return max(speeds) - min(speeds)

    calm, light, moderate = spread(0.0), spread(15.0), spread(30.0)
    assert calm < 1.0 < light < moderate


def test_the_perfect_crew_lands_in_light_turbulence() -> None:
    found = rough(15.0, 2)
    session, judgement = fly_perfect(found, book_of(found))
    assert judgement.reason == "stopped on the runway"
    (touchdown,) = [fact for fact in session.flight.facts if fact.kind == "touchdown"]
    assert 150.0 <= float(touchdown.name) <= 750.0
    # At most 8 ft/s in gusts (from memory).
    assert float(touchdown.detail) <= 8.0


def test_a_shear_takes_the_airspeed_that_the_wind_loses() -> None:
    # 20 kt of headwind lost within 2 s: inertia keeps the ground speed, the airspeed drops.
    shear = ShearEvent(320.0, 20.0, 0.0, 6000.0, 2.0, 0.0)
    written = exercise("straight-in")
    event = Event("shear", Compare("distance", "below", Figure(20.0)), shear=shear)
    found = replace(written, events=(event,))
    rows = flown(found, 200)
    begun = next(row.step for row in rows if row.distance_nm <= 20.0)
    before, after = rows[begun], rows[begun + 25]
    assert after.cas_kt - before.cas_kt == pytest.approx(-17.5, abs=2.5)
    assert after.ground_speed_kt - before.ground_speed_kt == pytest.approx(0.0, abs=3.0)
