"""Marker beacons and locators against the published lights, rhythms and times."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest

from trainer.units import DEG, FT, KT, NM
from trainer.world.beacons import MARKERS, Locator, Marker
from trainer.world.morse import duration_s, is_tone_on


@pytest.mark.parametrize(
    ("kind", "colour", "tone_hz"),
    [("outer", "blue", 400), ("middle", "amber", 1300), ("inner", "white", 3000)],
)
def test_lights_and_tones_are_the_published_ones(kind: str, colour: str, tone_hz: int) -> None:
    # FAA Instrument Flying Handbook; ICAO Annex 10 Vol I, 3.1.7.
    assert MARKERS[kind].colour == colour
    assert MARKERS[kind].tone_hz == tone_hz


@pytest.mark.parametrize(
    ("kind", "height_ft", "seconds", "spread_s"),
    [("outer", 1400, 12, 4), ("middle", 200, 6, 2), ("inner", 100, 3, 1)],
)
def test_the_light_burns_as_long_as_published_at_96_knots(
    kind: str, height_ft: float, seconds: float, spread_s: float
) -> None:
    # ICAO Annex 10 (older edition): 12 ± 4, 6 ± 2 and 3 ± 1 s at 96 kt on the path.
    marker = Marker(kind, 0.0, -7000.0, 0.0)
    steps = [
        marker.is_received(0.0, -8000.0 + 96 * KT * 0.1 * step, height_ft * FT)
        for step in range(400)
    ]
    assert sum(steps) * 0.1 == pytest.approx(seconds, abs=spread_s)
    assert sum(steps) * 0.1 == pytest.approx(seconds, abs=0.3)


@pytest.mark.parametrize(("kind", "per_s"), [("outer", 2), ("inner", 6)])
def test_the_rhythm_is_dashes_or_dots(kind: str, per_s: int) -> None:
    elements = MARKERS[kind].elements
    assert duration_s(elements) == pytest.approx(1 / per_s)
    heard = [is_tone_on(elements, 0.001 * n, duration_s(elements)) for n in range(3000)]
    starts = sum(now and not before for before, now in pairwise(heard))
    assert starts + heard[0] == 3 * per_s


def test_the_middle_marker_alternates_dot_and_dash() -> None:
    on = [element.duration_s for element in MARKERS["middle"].elements if element.is_on]
    assert len(on) == 2
    assert on[0] < 0.5 * on[1]


def test_the_fan_lies_across_the_course_and_widens_with_height() -> None:
    east = Marker("outer", 0.0, 0.0, 90 * DEG)
    assert not east.is_received(320.0, 0.0, 1400 * FT)
    assert east.is_received(0.0, 320.0, 1400 * FT)
    assert east.is_received(320.0, 0.0, 1600 * FT)
    assert east.length_m(2800 * FT) == pytest.approx(1200.0)


def test_no_marker_is_received_on_the_ground_far_above_or_when_silent() -> None:
    marker = Marker("outer", 0.0, 0.0, 0.0)
    assert not marker.is_received(0.0, 0.0, 0.0)
    assert not marker.is_received(0.0, 0.0, 4100 * FT)
    assert not marker.is_received(0.0, 0.0, 1400 * FT, is_radiating=False)


def test_a_fourth_kind_is_refused() -> None:
    with pytest.raises(ValueError, match="back"):
        Marker("back", 0.0, 0.0, 0.0)


@pytest.mark.parametrize(
    ("x_m", "y_m", "bearing_deg"), [(0, -9000, 0), (-9000, 0, 90), (0, 9000, 180), (9000, 0, 270)]
)
def test_the_needle_points_to_the_locator(x_m: float, y_m: float, bearing_deg: float) -> None:
    seen = Locator(0.0, 0.0).receive(x_m, y_m, 600.0)
    assert seen.is_received
    assert seen.bearing_rad == pytest.approx(bearing_deg * DEG)


def test_relative_bearing_and_heading_make_the_bearing() -> None:
    # The rule of the trade: heading + relative bearing = bearing to the station.
    seen = Locator(0.0, 0.0).receive(-9000.0, -9000.0, 600.0)
    assert seen.relative_rad(350 * DEG) == pytest.approx(55 * DEG)
    assert seen.relative_rad(60 * DEG) == pytest.approx(345 * DEG)


def test_a_locator_has_a_range_and_a_silent_cone_overhead() -> None:
    beacon = Locator(0.0, 0.0, range_m=15 * NM)
    assert beacon.receive(0.0, -14.9 * NM, 900.0).is_received
    assert not beacon.receive(0.0, -15.1 * NM, 900.0).is_received
    assert not beacon.receive(0.0, -5 * NM, 900.0, is_radiating=False).is_received
    edge_m = 900.0 * math.tan(40 * DEG)
    assert beacon.receive(0.0, -edge_m - 1, 900.0).is_received
    assert not beacon.receive(0.0, -edge_m + 1, 900.0).is_received
