"""An RNP final flown: which level of service is in use, and where its path lies over the ground.

A barometric path is the altimeter: cold air and a wrong setting move it, and it agrees with itself.
A path of the satellites is geometry, and neither moves it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import pytest

from tests.crew.crews import exercise
from tests.world.types import turboprop, twin_jet
from trainer.flight.flight import Flight
from trainer.flight.navigation import Navigation
from trainer.flight.row import Row
from trainer.scenario.book import book_of
from trainer.scenario.exercise import Exercise, Fault
from trainer.units import DEG, FT, NM
from trainer.world.aircraft import AircraftType

FIELD_ISA_C = 15.0 - 1.98 * 5.42
"""Standard temperature at 5,420 ft (2 °C each 1,000 ft, to 0.02)."""


def drill(
    temperature_c: float = FIELD_ISA_C,
    service: str = "LNAV/VNAV",
    kind: AircraftType | None = None,
    altimeter_hpa: float = 1019.0,
) -> Exercise:
    """The exercise in calm air, begun on the final in NAV with the path armed."""
    written = exercise("cold-path")
    assert written.approach.rnp is not None
    final = replace(written.approach.rnp, service=service)
    course_rad = written.approach.localizer.course_deg * DEG
    before_m = 11.0 * NM
    return replace(
        written,
        approach=replace(written.approach, rnp=final),
        aircraft=kind or written.aircraft,
        weather=replace(written.weather, temperature_c=temperature_c, wind=(), turbulence_kt=0.0),
        events=(),
        start=replace(
            written.start,
            x_m=-before_m * math.sin(course_rad),
            y_m=-before_m * math.cos(course_rad),
            heading_deg=written.approach.localizer.course_deg,
            next_fix="MESKO",
            speed_kt=160.0,
            flaps="12",
            gear="down",
            altimeter_hpa=altimeter_hpa,
        ),
    )


def flown(written: Exercise) -> Sequence[Row]:
    """The rows of a flight in approach mode, down to 800 ft above the threshold."""
    flight = Flight(written, book_of(written))
    sensed, selectors = flight.instruments.sensed, flight.cockpit.selectors
    flight.guidance.press("approach mode", sensed, selectors)
    while flight.row.radio_ft > 800.0 and flight.row.step < 6000:
        flight.step()
    return flight.rows


def on_path(rows: Sequence[Row]) -> Sequence[Row]:
    """Those on which the path is settled."""
    found = [row for row in rows if row.modes.vertical == "PATH"]
    return found[300:]


@pytest.mark.parametrize(
    ("kind", "published", "used"),
    [
        (twin_jet(), "LNAV/VNAV", "LNAV/VNAV"),
        (twin_jet(), "LPV", "LNAV/VNAV"),
        (turboprop(), "LPV", "LPV"),
        (turboprop(), "LNAV", "LNAV"),
    ],
)
def test_the_level_of_service_is_the_lower_of_type_and_approach(
    kind: AircraftType, published: str, used: str
) -> None:
    assert Navigation(drill(service=published, kind=kind)).service == used


@pytest.mark.parametrize(("temperature_c", "used"), [(-30.0, "LNAV/VNAV"), (-30.5, "LNAV")])
def test_colder_than_published_there_is_no_barometric_path(temperature_c: float, used: str) -> None:
    assert Navigation(drill(temperature_c)).service == used


def test_cold_does_not_take_a_path_of_the_satellites_away() -> None:
    assert Navigation(drill(-40.0, "LPV", turboprop())).service == "LPV"


@pytest.mark.parametrize(
    ("becomes", "track", "used"), [("flagged", "flagged", ""), ("no path", "received", "LNAV")]
)
@pytest.mark.parametrize("service", ["LPV", "LNAV/VNAV"])
def test_a_fault_takes_the_position_or_the_path(
    service: str, becomes: str, track: str, used: str
) -> None:
    navigation = Navigation(drill(service=service, kind=turboprop() if service == "LPV" else None))
    navigation.fail(Fault("position", becomes, 0.0))
    assert (navigation.track, navigation.service) == (track, used)


def test_a_lost_level_of_service_does_not_come_back() -> None:
    """FAA AIM 1-1-18: not before the next approach."""
    navigation = Navigation(drill())
    navigation.fail(Fault("position", "flagged", 0.0))
    navigation.fail(Fault("position", "no path", 0.0))
    assert (navigation.track, navigation.service) == ("flagged", "")


@pytest.mark.parametrize("below_standard_k", [0.0, 15.0, 20.0, 30.0])
def test_a_barometric_path_is_as_much_shallower_as_the_air_is_colder(
    below_standard_k: float,
) -> None:
    """tan θ · T / T standard (reference table of cold paths): 3.08° becomes 2.84° at ISA −20."""
    rows = on_path(flown(drill(FIELD_ISA_C - below_standard_k)))
    assert max(abs(row.path_error_ft) for row in rows) < 5.0
    first, last = rows[0], rows[-1]
    fallen_m = first.height_m - last.height_m
    flown_m = (first.along_nm - last.along_nm) * NM
    angle_deg = math.degrees(math.atan(fallen_m / flown_m))
    standard_k = 273.15 + FIELD_ISA_C - 3.0
    expected = math.tan(3.08 * DEG) * (standard_k - below_standard_k) / standard_k
    assert angle_deg == pytest.approx(math.degrees(math.atan(expected)), abs=0.02)


def test_ten_hectopascals_move_the_path_by_270_ft_and_the_needle_shows_nothing() -> None:
    """27 ft a hectopascal near the sea (EASA SIB 2023-03), 28 ft to 32 ft at this height."""
    right, wrong = (on_path(flown(drill(altimeter_hpa=hpa))) for hpa in (1019.0, 1029.0))
    lower_ft = height_at(right, 4.0) - height_at(wrong, 4.0)
    assert 260.0 < lower_ft < 330.0
    assert max(abs(row.path_error_ft) for row in wrong) < 5.0


def test_no_setting_moves_a_path_of_the_satellites() -> None:
    kind = replace(twin_jet(), guidance=replace(twin_jet().guidance, service="LPV"))
    right, wrong = (
        on_path(flown(drill(-25.0, "LPV", kind, altimeter_hpa=hpa))) for hpa in (1019.0, 1029.0)
    )
    assert abs(height_at(right, 4.0) - height_at(wrong, 4.0)) < 2.0
    first, last = right[0], right[-1]
    slope = (first.radio_ft - last.radio_ft) * FT / ((first.along_nm - last.along_nm) * NM)
    # Above the curved earth a straight path is steeper by d/R (R = 6,371 km).
    middle_m = 0.5 * (first.along_nm + last.along_nm) * NM
    assert slope == pytest.approx(math.tan(3.08 * DEG) + middle_m / 6_371_000.0, abs=0.0003)


def height_at(rows: Sequence[Row], before_nm: float) -> float:
    return min(rows, key=lambda row: abs(row.along_nm - before_nm)).radio_ft
