"""When an exercise comes back; expected days from the published formulas of FSRS-6.

Source: the wiki page "The Algorithm" of the project open-spaced-repetition, part FSRS-6: the first
stability in days is the parameter of the rating (w0 = 0.212 again, w1 = 1.2931 hard, w2 = 2.3065
good), and with a retention of 0.9 the interval is the stability, rounded, at least one day.
"""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone

import pytest

from trainer.study.due import LEVELS, Repetition, days_until_due

NOW = datetime(2026, 3, 10, 12, 0, tzinfo=UTC)


def flown(outcome: str, points: float, days_ago: int = 0, name: str = "straight-in") -> Repetition:
    at = NOW - timedelta(days=days_ago)
    return Repetition(name, at.strftime("%Y-%m-%dT%H:%M:%SZ"), outcome, points)


@pytest.mark.parametrize(
    ("outcome", "points", "days"), [("repeat", 40.0, 1), ("passed", 82.0, 1), ("passed", 97.0, 2)]
)
def test_the_first_interval_is_the_published_one(outcome: str, points: float, days: int) -> None:
    assert days_until_due([flown(outcome, points)], NOW) == {"straight-in": days}


def test_what_was_remembered_comes_back_later_each_time_and_what_was_not_comes_back_soon() -> None:
    told, ago = [], 60
    history: list[Repetition] = []
    for _ in range(4):
        history.append(flown("passed", 96.0, ago))
        interval = days_until_due(history, NOW - timedelta(days=ago))["straight-in"]
        told.append(interval)
        ago -= interval
    assert told == sorted(set(told)), told
    history.append(flown("repeat", 30.0, ago))
    assert days_until_due(history, NOW - timedelta(days=ago))["straight-in"] < told[-1] / 2


def test_an_exercise_stays_due_until_it_is_flown_and_each_has_its_own_day() -> None:
    history = [flown("passed", 95.0, 9), flown("passed", 95.0, 0, "other")]
    assert days_until_due(history, NOW) == {"straight-in": -7, "other": 2}
    assert days_until_due([], NOW) == {}


def test_the_same_attempts_give_the_same_days_wherever_the_clock_stands() -> None:
    history = [flown("passed", 95.0, ago) for ago in range(90, 0, -9)]
    told = {days_until_due(history, NOW)["straight-in"] for _ in range(20)}
    east = NOW.astimezone(timezone(timedelta(hours=9)))
    assert told == {days_until_due(history, east)["straight-in"]}


def test_a_flight_that_told_each_step_is_no_repetition() -> None:
    assert "guided" not in LEVELS
