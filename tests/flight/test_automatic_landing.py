"""Automatic landings in wind, flown by the whole engine: where they touch, and the ways out."""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from tests.flight.landings import Landing, Wind, act, exercise, land, on_path
from trainer.flight.flight import Flight
from trainer.scenario import aircraft_types, library
from trainer.scenario.fields import read
from trainer.scenario.reading import Reading

ZONE_M = (250.0, 600.0)
"""Touchdown zone of the types that land automatically (from memory: touchdown in the first 600 m
and not before 250 m, where the lights of the zone begin)."""
OFFSET_M = 8.0
CALM_FPS, GUST_FPS = 6.0, 8.0
CALM = Wind(0.0, 0.0, 0.0)


def capable() -> list[str]:
    """The shipped types that can land automatically."""
    found = library.default_library()
    names = []
    for name in found.names("aircraft"):
        entry = found.find("aircraft", name)
        assert entry is not None
        fields = read(library.parse_file(entry.path), "aircraft", Reading())
        assert fields is not None
        kind = aircraft_types.build(name, fields, Reading())
        assert kind is not None
        if kind.guidance.capability_ft > 0.0:
            names.append(name)
    return names


def faults(landing: Landing) -> list[str]:
    """What is wrong with a landing."""
    gust = landing.wind.gusts_kt > 0.0
    tests = {
        "did not stop on the runway": landing.reason == "stopped on the runway",
        "outside the zone": ZONE_M[0] <= landing.touchdown_m <= ZONE_M[1],
        "beside the centre line": abs(landing.offset_m) <= OFFSET_M,
        "rolled beside the centre line": landing.worst_roll_m <= OFFSET_M,
        "hard": landing.sink_fps <= (GUST_FPS if gust else CALM_FPS),
        "one autopilot left": landing.flight.row.modes.engagement == "AP BOTH",
    }
    return [told for told, is_so in tests.items() if not is_so]


def distribution(landings: Sequence[Landing]) -> str:
    """Least, mean and most of each figure, as a table."""
    lines = [f"{'':24}{'least':>9}{'mean':>9}{'most':>9}"]
    for name, values in (
        ("touchdown, m", [one.touchdown_m for one in landings]),
        ("beside the line, m", [abs(one.offset_m) for one in landings]),
        ("rolled beside it, m", [one.worst_roll_m for one in landings]),
        ("sink, ft/s", [one.sink_fps for one in landings]),
    ):
        mean = sum(values) / len(values)
        lines.append(f"{name:24}{min(values):9.1f}{mean:9.1f}{max(values):9.1f}")
    return "\n".join(lines)


def test_at_least_one_type_lands_automatically() -> None:
    assert capable() == ["twin-jet"]


@pytest.mark.parametrize("seed", [0, 3, 4, 5, 6, 52])
def test_a_landing_in_wind_within_limits_touches_in_the_zone_and_stays_on_the_line(
    seed: int,
) -> None:
    for aircraft in capable():
        assert faults(land(aircraft, seed)) == []


@pytest.mark.long
@pytest.mark.parametrize("aircraft", capable())
def test_two_hundred_landings_in_wind_within_limits(aircraft: str) -> None:
    landings = [land(aircraft, seed) for seed in range(200)]
    print(f"\n{aircraft}, {len(landings)} automatic landings\n{distribution(landings)}")
    bad = {seed: found for seed, one in enumerate(landings) if (found := faults(one))}
    assert bad == {}


# The order of the steps -----------------------------------------------------------------------


def fly(flight: Flight, until: str, above: float = -1.0) -> None:
    """Fly on until the radio height falls below `above` ft, or a fact of kind `until`."""
    while not flight.is_over and flight.row.step < 4000:
        row, facts = flight.step()
        if any(fact.kind == until for fact in facts) or row.radio_ft < above:
            return
    raise AssertionError(f"no {until}")


def story(flight: Flight, since: int = 0) -> list[str]:
    """Modes shown, touchdown, levers and phases, in order."""
    told = []
    for fact in flight.facts:
        if fact.step < since:
            continue
        if fact.kind == "mode":
            told.append(f"{fact.name} {fact.detail or 'nothing'}")
        elif fact.kind in ("touchdown", "phase"):
            told.append(f"{fact.kind} {fact.name}" if fact.kind == "phase" else fact.kind)
        elif fact.kind in ("acted", "refused"):
            told.append(f"{fact.kind} {fact.name} {fact.detail}".strip())
    return told


def test_the_story_of_an_automatic_landing_from_five_hundred_feet_to_the_stop() -> None:
    flight = on_path(exercise("twin-jet", CALM, 0))
    fly(flight, "", above=500.0)
    began = flight.row.step
    fly(flight, "touchdown")
    flight.step()
    flight.step([act(flight, "move", "reverse", "selected")])
    fly(flight, "end")
    assert story(flight, began) == [
        "phase minimums",
        "lateral ALIGN",
        "lateral armed ROLLOUT",
        "phase flare",
        "vertical FLARE",
        "vertical armed nothing",
        "thrust IDLE",
        "touchdown",
        "phase rollout",
        "lateral ROLLOUT",
        "lateral armed nothing",
        "acted reverse selected",
        "phase stopped",
    ]
    spoilers = [row.step for row in flight.rows if row.is_on_ground and row.speedbrake == 1.0]
    on_ground = next(row.step for row in flight.rows if row.is_on_ground)
    assert spoilers[0] - on_ground == pytest.approx(10, abs=1)  # 1 s after touchdown


# Ways out -------------------------------------------------------------------------------------


def go_around(flight: Flight) -> None:
    """Both presses, the stage of the type, gear with a positive climb; 40 s."""
    flight.step([act(flight, "set", "altitude", "4000")])
    flight.step([act(flight, "press", "go-around"), act(flight, "press", "go-around")])
    flight.step([act(flight, "move", "flaps", "22")])
    for _ in range(400):
        if flight.row.vertical_speed_fpm > 300.0 and flight.row.gear_lever == "down":
            flight.step([act(flight, "move", "gear", "up")])
        flight.step()


@pytest.mark.parametrize("height_ft", [140.0, 50.0])
def test_a_go_around_in_the_last_seconds_loses_little_and_climbs(height_ft: float) -> None:
    flight = on_path(exercise("twin-jet", Wind(-9.0, 14.0, 0.0), 0))
    fly(flight, "", above=height_ft)
    began = flight.row.step
    go_around(flight)
    lowest = min(row.radio_ft for row in flight.rows[began:])
    assert lowest > height_ft - 45.0
    assert flight.row.radio_ft > 700.0
    assert flight.row.phase == "go-around"
    assert flight.row.modes.engagement == "AP BOTH"
    assert abs(flight.row.cross_m) < 40.0


def test_a_go_around_after_touchdown_leaves_the_ground_again_and_climbs_away() -> None:
    flight = on_path(exercise("twin-jet", Wind(12.0, 10.0, 0.0), 0))
    fly(flight, "touchdown")
    for _ in range(15):  # spoilers and brakes have begun to work
        flight.step()
    began = flight.row.step
    go_around(flight)
    rolled = [row for row in flight.rows[began:] if row.is_on_ground]
    # Spool-up from idle takes some 5 s (14 CFR 33.73); until then it rolls on, unbraked.
    assert 20 < len(rolled) < 80
    assert all(row.speedbrake == 0.0 for row in rolled[3:])
    away = rolled[-1].step + 1
    told = story(flight, began)
    assert told.index("phase go-around") > told.index("vertical GA")
    assert "phase rollout" not in told
    # The velocity over the ground is the same before and after the wheels leave it.
    assert flight.rows[away].ground_speed_kt == pytest.approx(rolled[-1].ground_speed_kt, abs=1.0)
    assert flight.rows[away].track_deg == pytest.approx(rolled[-1].track_deg, abs=0.5)
    assert flight.row.radio_ft > 500.0
    assert flight.row.phase == "go-around"


def test_once_reverse_is_selected_the_go_around_is_refused() -> None:
    flight = on_path(exercise("twin-jet", CALM, 0))
    fly(flight, "touchdown")
    flight.step()
    flight.step([act(flight, "move", "reverse", "selected")])
    _, facts = flight.step([act(flight, "press", "go-around")])
    (refused,) = [fact for fact in facts if fact.kind == "refused"]
    assert refused.reason == ("go-around ignored: reverse thrust selected: committed to stop")
    fly(flight, "end")
    assert flight.reason == "stopped on the runway"


def test_a_crosswind_does_not_keep_a_rolling_aircraft_from_stopping() -> None:
    # Wheels do not drift: the ground speed of a roll is the speed along the runway.
    landing = land("twin-jet", 7)
    assert landing.wind.cross_kt == 14.0
    assert landing.reason == "stopped on the runway"
