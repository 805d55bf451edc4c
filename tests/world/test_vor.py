"""VOR bearings, deviation and cone against the published scale and hand geometry."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.units import DEG, FT, NM
from trainer.world.receiver import HOLD_STEPS, Receiver
from trainer.world.reception import Reception
from trainer.world.vor import VorStation, ambiguity

STATION = VorStation(0.0, 0.0)


def seen_from(radial_deg: float, distance_nm: float, course_deg: float) -> Reception:
    """What a course shows on a radial at 5 000 ft."""
    x_m = distance_nm * NM * math.sin(radial_deg * DEG)
    y_m = distance_nm * NM * math.cos(radial_deg * DEG)
    return STATION.course(course_deg * DEG).receive(x_m, y_m, 5000 * FT)


@given(st.floats(0.0, 359.9), st.floats(1.0, 100.0))
def test_the_radial_is_the_bearing_from_the_station(radial_deg: float, distance_nm: float) -> None:
    x_m = distance_nm * NM * math.sin(radial_deg * DEG)
    y_m = distance_nm * NM * math.cos(radial_deg * DEG)
    found_rad = VorStation(300.0, -500.0).radial_rad(300.0 + x_m, -500.0 + y_m)
    assert math.remainder(found_rad - radial_deg * DEG, 2 * math.pi) == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize(
    ("radial_deg", "course_deg", "dots", "word"),
    [
        (90, 90, 0.0, "FROM"),
        (95, 90, 1.0, "FROM"),  # clockwise of the course outbound is right of it
        (100, 90, 2.0, "FROM"),
        (80, 90, -2.0, "FROM"),
        (270, 90, 0.0, "TO"),
        (275, 90, -1.0, "TO"),  # north of it, inbound east: left
        (265, 90, 1.0, "TO"),
        (2, 357, 1.0, "FROM"),
        (90, 50, 2.5, "FROM"),
    ],
)
def test_two_dots_are_ten_degrees(
    radial_deg: float, course_deg: float, dots: float, word: str
) -> None:
    # Full scale 10° either side: common practice (the FAA handbook has 12° or more).
    seen = seen_from(radial_deg, 10.0, course_deg)
    assert seen.dots == pytest.approx(dots, abs=1e-6)
    assert ambiguity(seen) == word


def test_one_dot_is_nearly_a_mile_at_ten_miles() -> None:
    # 60-to-1: 5° at 10 NM is 0.87 NM.
    assert seen_from(5, 10.0, 0).offset_m / NM == pytest.approx(0.87, abs=0.005)


def test_the_word_turns_abeam() -> None:
    assert ambiguity(seen_from(179, 8.0, 90)) == "FROM"
    assert ambiguity(seen_from(181, 8.0, 90)) == "TO"


def test_distance_along_the_course_is_signed_like_a_final() -> None:
    assert seen_from(270, 10.0, 90).distance_m == pytest.approx(10 * NM)
    assert seen_from(90, 10.0, 90).distance_m == pytest.approx(-10 * NM)


def test_in_the_cone_above_the_station_the_flag_shows() -> None:
    # 50° from the vertical: at 5 000 ft the cone is 5 959 ft in radius.
    course = STATION.course(0.0)
    assert course.receive(0.0, -5_900 * FT, 5000 * FT).state == "flagged"
    assert ambiguity(course.receive(0.0, -5_900 * FT, 5000 * FT)) == ""
    assert course.receive(0.0, -6_000 * FT, 5000 * FT).state == "covered"
    assert course.receive(0.0, -6_000 * FT, 6000 * FT).state == "flagged"


def test_the_flag_of_the_cone_comes_and_goes_a_second_late() -> None:
    receiver, course = Receiver(), STATION.course(0.0)
    states, words, step_m = [], [], 9.0  # 90 m/s northbound, passing overhead at 3 000 ft
    for step in range(400):
        seen = receiver.receive(course, 0.0, -1800.0 + step_m * step, 3000 * FT)
        states.append(seen.state)
        words.append(ambiguity(seen))
    radius_m = 3000 * FT * math.tan(50 * DEG)
    enters = math.ceil((1800.0 - radius_m) / step_m)
    leaves = math.ceil((1800.0 + radius_m) / step_m)
    assert states.index("flagged") == enters + HOLD_STEPS - 1
    assert states.index("covered", states.index("flagged")) == leaves + HOLD_STEPS - 1
    assert words[0] == "TO"
    assert words[-1] == "FROM"
    assert "" in words


def test_a_station_is_guaranteed_to_forty_miles_and_received_to_the_horizon() -> None:
    course = STATION.course(0.0)
    assert course.receive(0.0, -39 * NM, 5000 * FT).state == "covered"
    assert course.receive(0.0, -41 * NM, 5000 * FT).state == "received"
    # 1.23·(√15 + √5 000) = 91.7 NM.
    assert course.receive(0.0, -91 * NM, 5000 * FT).state == "received"
    assert course.receive(0.0, -92.5 * NM, 5000 * FT).state == "none"


def test_a_station_out_of_alignment_turns_every_line_flown_on_it() -> None:
    crooked = VorStation(0.0, 0.0, alignment_rad=2 * DEG)
    # The radial received as 090 is true 088.
    x_m, y_m = 10 * NM * math.sin(88 * DEG), 10 * NM * math.cos(88 * DEG)
    assert crooked.radial_rad(x_m, y_m) == pytest.approx(90 * DEG)
    assert crooked.course(90 * DEG).receive(x_m, y_m, 1500.0).dots == pytest.approx(0.0, abs=1e-9)
