"""Killed at random moments of a flight in a terminal: what is lost, and what is not.

Each trial flies the program on a terminal of its own, types keys, and ends it without warning. What
the program had really flown by then is known from a diary that it keeps beside its records.
"""

from __future__ import annotations

import os
import random
import signal
import sqlite3
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import NamedTuple

import pytest

from tests.benchmarks.ratios import Screen, drain, on_terminal, read_until
from trainer.app.driver import Driver
from trainer.app.resumed import flight_of
from trainer.crew.perfect import PerfectCrew
from trainer.crew.session import Session
from trainer.flight.acts import Act, by_step
from trainer.flight.replay import digest
from trainer.paths import records_file
from trainer.records.store import Records
from trainer.report.closing import close
from trainer.scenario.exercise import Exercise
from trainer.units import STEPS_PER_S

KEYS = {"i": "identify", "b": "speedbrake", "k": "autobrake", "D": "flight director"}
"""Keys that are typed, and the control that each one works: none spoils the approach."""
ORDINARY = 2
MANY = 200


class Killed(NamedTuple):
    """What is known from outside of a flight that was killed: typed keys, acts and steps flown."""

    typed: list[str]
    acts: list[str]
    steps: int


def fly_and_kill(chance: random.Random, folder: Path) -> Killed:
    """Fly from a random place in the approach, type, and kill at a random moment."""
    diary = folder / "diary"
    level = chance.choice(("coached", "check"))
    place = f"distance: below {chance.uniform(2.0, 14.5):.1f} NM"
    screen = on_terminal(
        [sys.executable, "-m", "tests.records.program", str(diary), "fly", "straight-in",
         "--level", level, "--from", place]
    )  # fmt: skip
    typed: list[str] = []
    try:
        if chance.random() < 0.1:
            drain(
                screen, chance.uniform(0.0, 2.0)
            )  # killed before there is a screen, or soon after
        else:
            read_until(screen, "LATERAL", 120.0)
            typed = type_keys(screen, chance)
        os.kill(screen.process.pid, signal.SIGKILL)
        screen.process.wait()
    finally:
        if screen.process.poll() is None:
            screen.process.kill()
            screen.process.wait()
        os.close(screen.end)
    lines = diary.read_text(encoding="utf-8").splitlines() if diary.exists() else []
    steps = [int(line.split()[1]) for line in lines if line.startswith("step ")]
    acts = [line.removeprefix("act ") for line in lines if line.startswith("act ")]
    return Killed(typed, acts, max(steps, default=0))


def type_keys(screen: Screen, chance: random.Random) -> list[str]:
    typed = []
    for _ in range(chance.randint(0, 12)):
        key = chance.choice(list(KEYS))
        os.write(screen.end, key.encode())
        typed.append(KEYS[key])
        drain(screen, chance.expovariate(5.0))
    drain(screen, chance.choice((0.0, chance.uniform(0.0, 1.5))))
    return typed


def fly_on(session: Session, step: Callable[[list[Act]], object], lost: Sequence[str]) -> None:
    """Enter what was lost again, one act every two steps, then fly on as a perfect crew does."""
    first = session.row.step
    crew = PerfectCrew(session.tracker)
    again = {
        first + 2 * place: Act(0, 0, "pilot", "press", control)
        for place, control in enumerate(lost)
        if control in ("identify", "flight director")
    }
    while not session.is_over:
        row = session.row
        acts = [again[row.step]._replace(step=row.step)] if row.step in again else []
        step([*acts, *crew.acts(row)])


def uninterrupted(exercise: Exercise, acts: Sequence[Act], steps: int, lost: Sequence[str]) -> str:
    """The digest of a flight in which nothing was cut off."""
    session = Session(exercise)
    due = by_step(acts)
    while session.row.step < steps and not session.is_over:
        session.step(due.get(session.row.step, []))
    fly_on(session, session.step, lost)
    flight = session.flight
    return digest(exercise, flight.acts, flight.rows, flight.facts)


def resumed(records: Records, number: int, lost: Sequence[str]) -> None:
    """Take up attempt `number` as the program does, and fly it to its end."""
    exercise, level, until, before = flight_of(records.load(number))
    attempt = records.reopen(number)
    driver = Driver(
        Session(exercise), level, until=until, before=before, on_act=attempt.act,
        on_beat=attempt.beat, on_interruption=lambda step: attempt.interrupted(step, "killed"),
    )  # fmt: skip

    def step(acts: list[Act]) -> None:
        driver._pending += acts
        driver._fly()

    fly_on(driver.session, step, lost)
    close(attempt, driver.session, driver.session.judgement())


def trial(number: int, folder: Path) -> int:
    """One kill; returns how many steps of the flight were lost."""
    killed = fly_and_kill(random.Random(number), folder)
    path = records_file()
    if not path.exists():
        assert killed.steps == 0
        return 0
    connection = sqlite3.connect(path)
    assert connection.execute("PRAGMA integrity_check").fetchone()[0] == "ok"
    connection.close()
    with Records(path) as records:
        assert records.messages == []
        found = records.history()
        if not found:
            assert killed.steps == 0
            return 0
        assert [one["state"] for one in found] == ["killed"]
        assert records.unfinished() == 1
        stored = records.load(1)
        kept = [f"{act.step} {act.act} {act.control}" for act in stored.acts]
        # Everything that was flown is kept; what was kept and not yet flown is of one step.
        assert kept[: len(killed.acts)] == killed.acts
        assert all(act.step >= killed.steps - 1 for act in stored.acts[len(killed.acts) :])
        assert stored.steps is not None
        lost_steps = killed.steps - stored.steps
        assert lost_steps <= STEPS_PER_S
        pressed = [act.control for act in stored.acts if act.by == "pilot"]
        assert pressed == killed.typed[: len(pressed)]
        lost = killed.typed[len(pressed) :]
        exercise, _, _, before = flight_of(stored)
        whole = uninterrupted(exercise, before.acts, before.steps, lost)
        resumed(records, 1, lost)
        assert records.load(1).digest == whole
        assert records.history()[0]["state"] == "ended"
    return max(0, lost_steps)


@pytest.mark.skipif(sys.platform != "linux", reason="a pseudo-terminal, and process times")
@pytest.mark.usefixtures("empty_home")
@pytest.mark.parametrize("number", range(ORDINARY))
def test_a_flight_that_is_killed_loses_at_most_its_last_second(number: int, tmp_path: Path) -> None:
    trial(number, tmp_path)


@pytest.mark.long
@pytest.mark.skipif(sys.platform != "linux", reason="a pseudo-terminal, and process times")
@pytest.mark.parametrize("number", range(ORDINARY, MANY))
@pytest.mark.usefixtures("empty_home")
def test_however_often_it_is_killed(number: int, tmp_path: Path) -> None:
    lost = trial(number, tmp_path)
    print(f"\nkill {number}: {lost} steps lost")
