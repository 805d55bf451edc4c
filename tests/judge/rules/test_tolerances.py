"""Tolerances: what is dialled is right within what is published for its selector.

Speed within 2 kt, and the final approach speed with any legal additive; minimums up to 20 ft
above and never below; heading within 2 degrees; altitude, course and altimeter setting exact.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.builders import book, exercise, row
from tests.crew.crews import exercise as drill
from tests.judge.small import NOW, Deed, judge, only, speed, turn
from trainer.flight.acts import Act, Fact
from trainer.flight.moments import Evaluator
from trainer.judge.hands import Hands
from trainer.scenario.book import book_of
from trainer.scenario.exercise import Act as Expected
from trainer.scenario.moments import Figure


def test_a_value_within_two_knots_is_right() -> None:
    assert only(judge([speed()], 200, [turn(30, "162")], extra=[NOW])).verdict == "on time"


def hands(exercise_name: str = "straight-in") -> Hands:
    found = drill(exercise_name)
    return Hands(found, Evaluator(found, book_of(found)))


def named(control: str, figure: str) -> Expected:
    return Expected("set", control, figure=Figure(0.0, figure))


@pytest.mark.parametrize(
    ("control", "figure", "right", "wrong"),
    [
        # The jet of straight-in at 58 t: reference 131.8 kt, final 136.8 kt; additive up to 20 kt.
        ("speed", "final approach speed", (135.0, 137.0, 152.0, 153.0), (134.0, 154.0)),
        ("course", "final course", (140.0, 140.4), (139.0, 141.0)),
        ("altitude", "missed approach altitude", (4000.0,), (3900.0, 4100.0)),
        ("altimeter", "altimeter setting", (1012.0,), (1011.0, 1013.0)),
    ],
)
def test_a_dialled_value_is_right_within_its_tolerance(
    control: str, figure: str, right: tuple[float, ...], wrong: tuple[float, ...]
) -> None:
    expected = named(control, figure)
    judged = hands()
    assert all(judged.is_value(expected, value) for value in right)
    assert not any(judged.is_value(expected, value) for value in wrong)


def test_minimums_may_stand_twenty_feet_above_and_never_below() -> None:
    judged = hands()
    expected = named("minimums", "minimums")
    lowest = judged.value(expected)
    assert lowest is not None
    assert judged.is_value(expected, lowest)
    assert judged.is_value(expected, lowest + 20.0)
    assert not judged.is_value(expected, lowest - 1.0)
    assert not judged.is_value(expected, lowest + 22.0)


@pytest.mark.parametrize(("heading", "is_right"), [(358.0, True), (2.0, True), (3.0, False)])
def test_a_heading_is_right_within_two_degrees_across_north_too(
    heading: float, is_right: bool
) -> None:
    expected = Expected("set", "heading", figure=Figure(0.0))
    assert hands().is_value(expected, heading) == is_right


@pytest.mark.parametrize(
    ("standing_kt", "deeds", "verdict"),
    [(152.0, [], "missed"), (145.0, [], "on time"), (210.0, [turn(30, "152")], "on time")],
)
def test_a_speed_left_over_from_before_is_no_final_speed_though_a_chosen_one_may_be_as_fast(
    standing_kt: float, deeds: list[Deed], verdict: str
) -> None:
    # Reference 132 kt, final 137 kt: up to 152 kt may be chosen, and the gate passes up to 147 kt.
    item = replace(
        speed(), act=Expected("set", "speed", figure=Figure(0.0, "final approach speed"))
    )
    stands = row().selectors._replace(speed_kt=standing_kt)
    found = judge([item], 200, deeds, changes={0: {"selectors": stands}}, extra=[NOW])
    assert only(found).verdict == verdict


@pytest.mark.parametrize(
    ("speed_kt", "sink_fpm", "above_ft", "rate_fpm"),
    [
        # 3.00° path: 216 kt = 364.6 ft/s; times tan 3° is 1146 ft/min, to the next 50.
        (216.0, 0.0, 900.0, -1150.0),
        (120.0, 0.0, 0.0, -650.0),
        # Once descending, 100 ft at 120 kt are brought back within a mile, half a minute.
        (120.0, -600.0, 60.0, -750.0),
        (120.0, -600.0, -60.0, -500.0),
        # At most 200 ft/min of change, and never for less than 60 kt.
        (120.0, -600.0, 900.0, -850.0),
        (120.0, -600.0, -900.0, -450.0),
        (10.0, 0.0, 0.0, -300.0),
        # By hand: 60 kt on the path are 318 ft/min, and 56 ft in a minute make 374.
        (10.0, -600.0, 56.0, -350.0),
        (10.0, -600.0, 56.6, -400.0),
        # A hair below the middle of two steps of fifty: nothing is added, and 200 at most.
        (117.68, 0.0, 0.0, -600.0),
        (117.68, -600.0, 900.0, -800.0),
        # Descending from more than 300 ft/min on.
        (120.0, -300.0, 60.0, -650.0),
        (120.0, -301.0, 60.0, -750.0),
    ],
)
def test_the_rate_of_a_descent_is_that_of_the_path_and_back_to_it(
    speed_kt: float, sink_fpm: float, above_ft: float, rate_fpm: float
) -> None:
    found = exercise()
    evaluator = Evaluator(found, book())
    judged = Hands(found, evaluator)
    evaluator.context.row = row(
        0, ground_speed_kt=speed_kt, vertical_speed_fpm=sink_fpm, path_error_ft=above_ft
    )
    assert judged.value(named("vertical speed", "descent rate")) == rate_fpm
    steeper = Expected("set", "vertical speed", figure=Figure(-100.0, "descent rate"))
    assert judged.value(steeper) == rate_fpm - 100.0


@pytest.mark.parametrize(
    ("control", "wanted", "right", "wrong"),
    [
        # Beyond the tolerance a value is right to the next whole unit, which no selector shows.
        ("speed", 160.0, (157.5, 162.5), (157.4, 162.6)),
        ("heading", 359.0, (356.5, 1.5), (356.4, 1.6)),
        ("course", 140.0, (139.5, 140.5), (139.4, 140.6)),
        ("altitude", 4000.0, (3999.5, 4000.5), (3999.4, 4000.6)),
        ("minimums", 230.0, (230.0, 251.0), (229.9, 251.1)),
        ("frequency", 110.35, (110.347, 110.353), (110.345, 110.355)),
    ],
)
def test_where_a_tolerance_ends(
    control: str, wanted: float, right: tuple[float, ...], wrong: tuple[float, ...]
) -> None:
    found = exercise()
    judged = Hands(found, Evaluator(found, book()))
    expected = Expected("set", control, figure=Figure(wanted))
    assert all(judged.is_value(expected, value) for value in right)
    assert not any(judged.is_value(expected, value) for value in wrong)


@pytest.mark.parametrize(
    ("reference_kt", "right", "wrong"),
    [
        # Final speed 137 kt within 2 kt, and the reference speed with the largest additive, 20 kt.
        (132.0, (135.0, 154.0), (134.9, 154.1)),
        (100.0, (135.0, 139.0), (134.9, 139.1)),
    ],
)
def test_a_final_speed_may_carry_the_largest_additive_and_is_right_in_itself(
    reference_kt: float, right: tuple[float, ...], wrong: tuple[float, ...]
) -> None:
    found = exercise(reference_kt=reference_kt)
    judged = Hands(found, Evaluator(found, book()))
    expected = named("speed", "final approach speed")
    assert all(judged.is_value(expected, value) for value in right)
    assert not any(judged.is_value(expected, value) for value in wrong)


@pytest.mark.parametrize(("standing_kt", "holds"), [(147.0, True), (147.1, False)])
def test_a_final_speed_that_stands_is_one_up_to_what_the_gate_passes(
    standing_kt: float, holds: bool
) -> None:
    found = exercise()
    judged = Hands(found, Evaluator(found, book()))
    stands = row(selectors=row().selectors._replace(speed_kt=standing_kt))
    assert judged.holds(named("speed", "final approach speed"), stands) is holds


def test_a_named_value_may_carry_an_offset() -> None:
    found = exercise()
    judged = Hands(found, Evaluator(found, book()))
    above = Expected("set", "speed", figure=Figure(20.0, "final approach speed"))
    assert judged.value(above) == 157.0


def test_a_course_holds_only_while_both_sides_show_it() -> None:
    found = exercise()
    judged, course = Hands(found, Evaluator(found, book())), named("course", "final course")
    assert judged.holds(course, row())
    for name, kind, is_right in (
        ("course 2", "read", True), ("receiver 1", "fault", True), ("course 2", "fault", False),
        ("heading", "acted", False), ("course", "refused", False), ("course", "acted", True),
        ("receiver 1", "fault", True),
    ):  # fmt: skip
        judged.take([Fact(9, kind, name)])
        assert judged.holds(course, row()) is is_right, (kind, name)
        assert judged.holds(named("heading", "final course"), row()), "another selector"


def test_where_nothing_is_assigned_no_value_is_right() -> None:
    found = exercise()
    judged = Hands(found, Evaluator(found, book()))
    expected = named("speed", "assigned speed")
    assert judged.value(expected) is None
    assert not judged.is_value(expected, 160.0)


def test_only_flaps_are_moved_through_places_on_the_way() -> None:
    found = exercise()
    judged = Hands(found, Evaluator(found, book()))
    names = [stage.name for stage in found.aircraft.flaps]

    def is_passed(control: str, position: str, through: str, *, start: int = 0) -> bool:
        moving = Act(0, 1, "pilot", "move", control, through)
        return judged.is_on_the_way(
            Expected("do", control, position), moving, row(0, flap_lever=start)
        )

    assert is_passed("flaps", names[3], names[1])
    assert is_passed("flaps", names[3], names[3])
    assert not is_passed("flaps", names[1], names[3])
    assert not is_passed("flaps", names[3], names[1], start=2)
    assert is_passed("flaps", names[0], names[1], start=2)
    assert not is_passed("gear", "down", "up")
