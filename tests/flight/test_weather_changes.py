"""What can be seen changes with an event, and the crew acts on what it sees."""

from __future__ import annotations

from dataclasses import replace

from tests.crew.crews import exercise
from trainer.proof.prove import fly_perfect
from trainer.scenario.book import book_of
from trainer.scenario.exercise import Event, Exercise, WeatherChange
from trainer.scenario.moments import Compare, Figure


def changing(change: WeatherChange, below_ft: float) -> Exercise:
    """Straight in, with this change of weather at a height."""
    written = exercise("straight-in")
    event = Event("fog", Compare("height", "below", Figure(below_ft)), weather=change)
    return replace(written, events=(*written.events, event))


def test_fog_before_minimums_sends_the_crew_around() -> None:
    found = changing(WeatherChange(visibility_m=150.0), 400.0)
    session, judgement = fly_perfect(found, book_of(found))
    rows = session.flight.rows
    # The runway was in sight from below the cloud (600 ft); at minimums (200 ft) it is not, only a
    # light of the approach lights that is overflown.
    final = [row for row in rows if row.phase in ("final", "minimums")]
    assert any(row.sees == "runway" for row in final if row.height_ft > 400.0)
    assert not any(row.sees == "runway" for row in final if row.height_ft < 399.0)
    assert judgement.reason == "level after the missed approach"
    assert judgement.points == 100.0


def test_what_a_change_leaves_out_stays_as_it_was() -> None:
    written = exercise("straight-in").weather
    changed = written.after(WeatherChange(ceiling_ft=300.0))
    assert changed == replace(written, ceiling_ft=300.0)
    dark = written.after(WeatherChange(lights_on=False, runway_ranges_m=(400.0, None, None)))
    assert dark == replace(written, lights_on=False, runway_ranges_m=(400.0, None, None))
    assert written.after(WeatherChange()) == written


def test_a_lower_cloud_hides_the_runway_for_longer() -> None:
    def first_seen_ft(found: Exercise) -> float:
        session, _ = fly_perfect(found, book_of(found))
        return max(row.height_ft for row in session.flight.rows if row.sees)

    before = first_seen_ft(exercise("straight-in"))
    low = first_seen_ft(changing(WeatherChange(ceiling_ft=300.0), 900.0))
    assert low < 305.0 < before
