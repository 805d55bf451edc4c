"""Human windows run in real time; what happens to the program never costs the pilot anything.

While a call is open time runs as it is, whatever factor is chosen. A pause, a program that was
suspended, a screen too small to show the flight: none of them makes anything late.
"""

from __future__ import annotations

from collections.abc import Callable

import pytest

from tests.judge.driven import Pilot
from trainer.app.driver import Driver

pytestmark = pytest.mark.dear

TYPING_S = 2.0
"""How long a line is open, s: no longer than words take to say, which anybody has to wait for."""
EVERY_S = 31.0
"""How often something happens to the program in these flights, s of real time."""


def every(seconds: float, happens: Callable[[Driver, float], float]) -> Callable[..., float]:
    """`happens`, once in so many seconds of real time, beginning in the middle of a call."""
    last_s = -seconds

    def meanwhile(driver: Driver, now_s: float) -> float:
        nonlocal last_s
        if not driver.is_line_open or now_s - last_s < seconds:
            return 0.0
        passed_s = happens(driver, now_s)
        last_s = now_s + passed_s
        return passed_s

    return meanwhile


def assert_nothing_lost(pilot: Pilot) -> None:
    judgement = pilot.flown()
    assert judgement.primary() == set()
    assert (judgement.outcome, judgement.points) == ("passed", 100.0)


def test_a_call_that_is_typed_slowly_in_fast_time_is_as_good_as_a_quick_one() -> None:
    speeds: set[tuple[bool, int]] = set()

    def note(driver: Driver, _now_s: float) -> float:
        speeds.add((driver.is_line_open, driver.speed))
        return 0.0

    assert_nothing_lost(Pilot("coached", typing_s=TYPING_S, factor=8, meanwhile=note))
    assert {speed for is_open, speed in speeds if is_open} == {1}
    assert 8 in {speed for is_open, speed in speeds if not is_open}


def test_a_pause_in_the_middle_of_a_call_costs_nothing() -> None:
    paused: list[int] = []

    def pause(driver: Driver, now_s: float) -> float:
        paused.append(driver.row.step)
        driver.pause()
        for second in range(90):
            driver.advance(now_s + second)
        assert driver.row.step == paused[-1]
        return 90.0

    pilot = Pilot("coached", typing_s=1.0, meanwhile=every(EVERY_S, pause))
    assert_nothing_lost(pilot)
    assert len(paused) > 5


@pytest.mark.parametrize("is_shown", [True, False], ids=["suspended", "too small"])
def test_a_check_that_stood_still_costs_nothing_and_says_so(is_shown: bool) -> None:
    def away(driver: Driver, now_s: float) -> float:
        for second in () if is_shown else range(60):
            driver.stand_still(now_s + second)
        return 60.0

    pilot = Pilot("check", typing_s=1.0, meanwhile=every(EVERY_S, away))
    assert_nothing_lost(pilot)
    assert len(pilot.driver.interruptions) > 5


def test_how_fast_a_pilot_types_is_never_judged() -> None:
    assert_nothing_lost(Pilot("check", typing_s=TYPING_S))
