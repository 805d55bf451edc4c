"""The same acts give the same flight; the batch judge is a fold of the live one."""

from __future__ import annotations

import json
import os
import subprocess
import sys

from tests.crew.crews import exercise, flown
from trainer.flight.replay import digest, fly_again
from trainer.judge.batch import judge
from trainer.records.packing import pack, unpack
from trainer.scenario.book import book_of


def test_flying_the_log_again_gives_the_same_digest() -> None:
    session, _ = flown("straight-in")
    flight = session.flight
    again = fly_again(session.exercise, session.book, flight.acts)
    first = digest(session.exercise, flight.acts, flight.rows, flight.facts)
    second = digest(session.exercise, again.acts, again.rows, again.facts)
    assert first == second


def test_another_act_gives_another_digest() -> None:
    session, _ = flown("straight-in")
    flight = session.flight
    again = fly_again(session.exercise, session.book, flight.acts[:-1])
    assert again.rows[:100] == flight.rows[:100]
    assert digest(session.exercise, again.acts, again.rows, again.facts) != digest(
        session.exercise, flight.acts, flight.rows, flight.facts
    )


def test_judging_stored_facts_gives_what_the_live_judge_gave() -> None:
    session, live = flown("straight-in", "{crew: 1, base: perfect, edits: [{omit: gear down}]}")
    flight = session.flight
    rows, facts = unpack(pack(flight.rows, flight.facts))
    stored = judge(session.exercise, book_of(session.exercise), flight.acts, facts, rows)
    assert stored == live


def test_the_hash_seed_of_the_interpreter_changes_nothing() -> None:
    session, _ = flown("straight-in")
    flight = session.flight
    here = digest(session.exercise, flight.acts, flight.rows, flight.facts)
    arguments = ["fly", "straight-in", "--crew", "perfect", "--json"]
    program = f"from trainer.cli.main import run; run({arguments!r})"
    done = subprocess.run(
        [sys.executable, "-c", program],
        capture_output=True,
        check=True,
        text=True,
        env={
            **os.environ,
            "PYTHONHASHSEED": "1" if os.environ.get("PYTHONHASHSEED") != "1" else "2",
        },
    )
    assert json.loads(done.stdout)["digest"] == here


def test_seed_zero_flies_the_exercise_as_written() -> None:
    assert exercise("straight-in", 0).weather == exercise("straight-in").weather
    assert exercise("straight-in", 3).weather != exercise("straight-in").weather
