"""Where on earth an exercise lies changes nothing that is flown.

The shipped airport is moved as a document, composed again and flown for a minute with the
localizer tuned and nothing else touched: the rows must be the same.
"""

from __future__ import annotations

import copy
import math
import re
from collections.abc import Callable
from functools import cache
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trainer.flight.acts import Act
from trainer.flight.flight import Flight
from trainer.flight.row import Row
from trainer.scenario.book import book_of
from trainer.scenario.compose import document_of, from_document, load
from trainer.scenario.library import default_library
from trainer.world.earth import Plane

STEPS = 600
FIGURES = (
    "x_m", "y_m", "height_m", "altitude_ft", "distance_nm", "dme_nm", "cas_kt",
    "vertical_speed_fpm", "heading_deg", "localizer_dots", "glide_dots",
)  # fmt: skip
_PLACE = re.compile(r"([\d.]+) ([NS]) ([\d.]+) ([EW])")


@cache
def shipped() -> dict[str, Any]:
    return document_of(load("straight-in", default_library()))


def read(position: str) -> tuple[float, float]:
    found = _PLACE.fullmatch(position)
    assert found is not None, position
    latitude, north, longitude, east = found.groups()
    return (
        float(latitude) * (1 if north == "N" else -1),
        float(longitude) * (1 if east == "E" else -1),
    )


def written(latitude_deg: float, longitude_deg: float, places: int = 5) -> str:
    longitude_deg = math.remainder(longitude_deg, 360.0)
    return (
        f"{abs(latitude_deg):.{places}f} {'N' if latitude_deg >= 0 else 'S'} "
        f"{abs(longitude_deg):.{places}f} {'E' if longitude_deg >= 0 else 'W'}"
    )


def moved(part: Any, move: Callable[[float, float], str]) -> Any:
    """A copy of a document with every position in it moved."""
    if isinstance(part, dict):
        return {key: moved(value, move) for key, value in part.items()}
    if isinstance(part, list):
        return [moved(value, move) for value in part]
    if isinstance(part, str) and _PLACE.fullmatch(part):
        return move(*read(part))
    return part


def flown(document: dict[str, Any]) -> list[Row]:
    """The first minute of an exercise, with the localizer tuned."""
    exercise = from_document(document)
    flight = Flight(exercise, book_of(exercise))
    tuned = Act(0, 0, "pilot", "set", "frequency", exercise.approach.localizer.frequency)
    first = flight.step((tuned,))[0]
    return [first, *(flight.step()[0] for _ in range(STEPS - 1))]


@cache
def at_home() -> list[Row]:
    return flown(shipped())


def differ(one: list[Row], other: list[Row]) -> dict[str, float]:
    """The largest difference of each figure over two flights; words must agree."""
    worst: dict[str, float] = {}
    for left, right in zip(one, other, strict=True):
        for name in FIGURES:
            a, b = getattr(left, name), getattr(right, name)
            assert (a is None) == (b is None), name
            if a is not None:
                gap = abs(a - b)
                if name == "heading_deg":
                    gap = abs(math.remainder(gap, 360.0))
                worst[name] = max(worst.get(name, 0.0), gap)
        assert (left.localizer, left.glide) == (right.localizer, right.glide)
        assert left.phase == right.phase
    return worst


@settings(max_examples=4, deadline=None)
@given(st.integers(-179, 180))
def test_turning_the_place_about_the_poles_changes_nothing(turn_deg: int) -> None:
    there = flown(moved(shipped(), lambda lat, lon: written(lat, lon + turn_deg)))
    assert max(differ(at_home(), there).values()) < 1e-6


@pytest.mark.parametrize("longitude_deg", [179.9999, 180.0, -179.93, 179.8])
def test_a_place_across_the_antimeridian_flies_as_any_other(longitude_deg: float) -> None:
    threshold = read(shipped()["airport"]["runways"][0]["threshold"])
    turn_deg = longitude_deg - threshold[1]
    document = moved(shipped(), lambda lat, lon: written(lat, lon + turn_deg))
    east = [read(fix["position"])[1] > 0 for fix in document["airport"]["fixes"]]
    if longitude_deg in (180.0, -179.93):
        assert any(east)
        assert not all(east)
    assert max(differ(at_home(), flown(document)).values()) < 1e-6


@pytest.mark.parametrize("latitude_deg", [0.0, 33.4126, 62.0, -71.0, 84.0])
def test_in_another_latitude_the_same_approach_is_the_same_within_two_metres(
    latitude_deg: float,
) -> None:
    # Each fix at its distance and direction from the threshold, written to 0.00001° (1.1 m) as a
    # chart would have it. What is left is that rounding.
    document = copy.deepcopy(shipped())
    home = Plane(*read(document["airport"]["runways"][0]["threshold"]), 0.0)
    away = Plane(latitude_deg, 20.0, 0.0)
    document = moved(document, lambda lat, lon: written(*away.place(*home.locate(lat, lon))))
    worst = differ(at_home(), flown(document))
    assert max(worst["x_m"], worst["y_m"], worst["height_m"]) < 2.0
    assert worst["localizer_dots"] < 0.01
    assert worst["glide_dots"] < 0.01
    assert max(worst["distance_nm"], worst["dme_nm"]) < 0.002


def test_mirrored_in_the_equator_north_and_south_change_places_and_nothing_else() -> None:
    plane = Plane(-33.4126, -117.2684, 19.0)
    mirror = Plane(33.4126, -117.2684, -19.0)
    for latitude_deg, longitude_deg in ((-33.1, -117.4), (-33.5522, -117.39665)):
        x_m, y_m = plane.locate(latitude_deg, longitude_deg)
        assert mirror.locate(-latitude_deg, longitude_deg) == pytest.approx((x_m, -y_m), abs=1e-6)
