"""What keeping attempts costs: `pytest -m long -s tests/benchmarks/test_records.py`.

On a quiet machine, as all benchmarks. The goals in seconds are shown beside what was measured; what
must hold are ratios, of processor time where no disk is involved.
"""

from __future__ import annotations

import resource
import sqlite3
import sys
import time
from collections.abc import Sequence
from pathlib import Path
from statistics import median
from typing import NamedTuple

import pytest

from tests.benchmarks.ratios import run_s, show
from tests.records.flown import kept
from trainer.flight.acts import Act
from trainer.paths import records_file
from trainer.records.schema import MIGRATIONS
from trainer.records.store import Records


class Cost(NamedTuple):
    """What a command cost: processor time and real time, s."""

    used_s: float
    real_s: float


pytestmark = pytest.mark.long

ATTEMPTS = 100_000
COMMAND = [sys.executable, "-m", "trainer"]
BARE = """
import sqlite3, sys
rows = sqlite3.connect(sys.argv[1]).execute(
    "SELECT number, started, exercise, level, outcome, points FROM attempts ORDER BY number")
print("\\n".join("%4d  %-20s  %-20s%-9s%-12s%4.0f" % row for row in rows))
"""
ROUNDS = 15
ACTS = 2000


def test_recording_an_act_costs_little_more_than_a_bare_insert(tmp_path: Path) -> None:
    with Records(tmp_path / "ours.sqlite3") as records:
        attempt = records.begin("{}", "d1", "first", "check", "solo", 7, 1, "2031-05-04T10:00:00Z")
        bare = bare_database(tmp_path / "bare.sqlite3")
        body = '[12,1,"pilot","set","heading","143","",-1]'
        places = iter(range(10**9))

        def ours() -> None:
            for step in range(ACTS):
                attempt.act(Act(step, 1, "pilot", "set", "heading", "143"))

        def theirs() -> None:
            for step in range(ACTS):
                bare.execute(
                    "INSERT INTO entries(attempt, place, kind, step, body) VALUES(?, ?, ?, ?, ?)",
                    (1, next(places), "act", step, body),
                )

        pairs = [(timed(ours), timed(theirs)) for _ in range(ROUNDS)]
        bare.close()
    ratio = median(one / other for one, other in pairs)
    each = median(one for one, _ in pairs) / ACTS * 1e6
    show("recording an act / bare insert", f"{each:.1f} us, ratio {ratio:.2f}", "at most 3")
    assert ratio <= 3.0


def bare_database(path: Path) -> sqlite3.Connection:
    """A database with our tables and pragmas and one attempt, in autocommit."""
    connection = sqlite3.connect(path, isolation_level=None)
    connection.execute("PRAGMA journal_mode=WAL")
    connection.execute("PRAGMA synchronous=NORMAL")
    connection.execute("PRAGMA foreign_keys=ON")
    for statements in MIGRATIONS:
        for statement in statements:
            connection.execute(statement)
    connection.execute("INSERT INTO exercises VALUES('d1', '{}')")
    connection.execute(
        "INSERT INTO attempts(number, exercise_digest, exercise, level, seat, seed, engine, "
        "started, process) VALUES(1, 'd1', 'first', 'check', 'solo', '7', 1, '', '')"
    )
    return connection


def timed(work: object) -> float:
    """Real time of `work`, s: writing to disk is not processor time."""
    assert callable(work)
    begun = time.perf_counter()
    work()
    return time.perf_counter() - begun


@pytest.mark.usefixtures("empty_home")
def test_years_of_attempts_do_not_slow_the_commands_down() -> None:
    """A hundred thousand attempts of fifty acts and more; the newest with its whole flight."""
    kept(records_file())
    few = {name: best_of([*COMMAND, name]) for name in ("history", "debrief")}
    fill(records_file())
    many = {name: best_of([*COMMAND, name]) for name in ("history", "debrief")}
    bare = best_of([sys.executable, "-c", BARE, str(records_file())])
    for name, goal_s in (("history", 0.3), ("debrief", 0.5)):
        show(
            f"{name}, {ATTEMPTS:,} attempts (one: {few[name].used_s:.2f} s)",
            f"{many[name].used_s:.2f} s of processor, {many[name].real_s:.2f} s",
            f"goal {goal_s} s",
        )
    ratio = many["history"].used_s / bare.used_s
    show("history / bare script that prints the rows", f"{ratio:.2f}", "at most 2")
    growth = many["debrief"].used_s / few["debrief"].used_s
    show("debrief of the newest / of the only attempt", f"{growth:.2f}", "at most 1.3")
    assert ratio <= 2.0
    assert growth <= 1.3


def fill(path: Path) -> None:
    """Copies of the one attempt that is there: every log, and the flight of the newest."""
    connection = sqlite3.connect(path)
    columns = (
        "exercise_digest, exercise, level, seat, seed, engine, started, process, beat, outcome, "
        "points, digest, interrupted, is_left"
    )
    connection.execute(
        f"""WITH RECURSIVE n(i) AS (SELECT 2 UNION ALL SELECT i + 1 FROM n WHERE i < {ATTEMPTS})
        INSERT INTO attempts(number, {columns}) SELECT i, {columns} FROM n, attempts"""
    )
    connection.execute(
        """INSERT INTO entries(attempt, place, kind, step, body)
        SELECT number, place, kind, step, body FROM attempts, entries
        WHERE attempt = 1 AND number > 1 ORDER BY number, place"""
    )
    connection.execute(
        f"INSERT INTO results SELECT {ATTEMPTS}, judgement, facts FROM results WHERE attempt = 1"
    )
    connection.commit()
    connection.close()


def best_of(command: Sequence[str], times: int = 7) -> Cost:
    """Least processor time and least real time of a command."""
    used: list[float] = []
    real: list[float] = []
    for _ in range(times):
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        real.append(run_s(command))
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        used.append(after.ru_utime - before.ru_utime + after.ru_stime - before.ru_stime)
    return Cost(min(used), min(real))
