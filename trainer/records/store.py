"""All attempts of one user: begin one, list them, load one.

Owns what is asked of the records and what a new attempt holds; which database answers is known to
`databases`. It reads no clock; whoever calls gives the time as text.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Callable
from pathlib import Path
from types import TracebackType
from typing import Any, Self

from trainer.errors import UserError
from trainer.records import process
from trainer.records.databases import Databases
from trainer.records.history import (
    HISTORY,
    LAST_RESULTS,
    LINES,
    REPETITIONS,
    TREND,
    history_entry,
    state_of,
)
from trainer.records.journal import WHOLE, Attempt, Entry, Segment, Statement
from trainer.records.stored import STATES, Stored


class NoSuchAttempt(UserError):
    """There is no attempt of that number, or none at all."""


class Records:
    """The records in the file at `path`; in memory only if `path` is None or cannot be used."""

    def __init__(self, path: Path | None) -> None:
        self._databases = Databases(path)
        self.messages = self._databases.messages

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    @property
    def is_kept(self) -> bool:
        """Whether what is written now outlives the program."""
        return self._databases.is_writable

    def close(self) -> None:
        """Let go of the file; nothing may be written afterwards."""
        self._databases.close()

    # Writing ------------------------------------------------------------------------------------

    def begin(
        self,
        exercise_canonical: str,
        digest: str,
        name: str,
        level: str,
        seat: str,
        seed: int,
        engine: int,
        started_utc: str,
        segment: Segment = WHOLE,
    ) -> Attempt:
        """Begin an attempt at an exercise; `digest` is that of `exercise_canonical`."""
        token = process.token()
        values = (
            digest, name, level, seat, str(seed), engine, started_utc, token, *segment,
        )  # fmt: skip
        number = self._databases.begin(lambda number: _header(number, exercise_canonical, values))
        header = _header(number, exercise_canonical, values)
        return Attempt(self._databases, number, header)

    def reopen(self, number: int, is_alive: Callable[[str], bool] = process.is_alive) -> Attempt:
        """Go on with an unfinished attempt that no living process flies.

        Raises:
            NoSuchAttempt: it has ended, or a program that runs is flying it.
        """
        stored = self.load(number)
        if stored.outcome is not None:
            raise NoSuchAttempt(f"attempt {number} has ended")
        token = process.token()
        values = (
            stored.exercise_digest, stored.exercise, stored.level, stored.seat, str(stored.seed),
            stored.engine, stored.started, token, *stored.segment,
        )  # fmt: skip
        header = _header(number, stored.canonical, values)
        attempt = Attempt(self._databases, number, header, stored.entries, stored.beat)
        if self._databases.is_writable:
            self._claim(number, token, is_alive)
        else:
            self._databases.keep_in_memory(attempt)
        attempt.resumed(stored.steps or 0)
        return attempt

    def _claim(self, number: int, token: str, is_alive: Callable[[str], bool]) -> None:
        """Make the attempt this process's own, unless another one was faster."""
        file = self._databases.file
        assert file is not None
        before, is_left = file.execute(
            "SELECT process, is_left FROM attempts WHERE number=?", (number,)
        ).fetchone()
        if before != token and not is_left and is_alive(before):
            raise NoSuchAttempt(f"attempt {number} is being flown by a program that runs")
        try:
            claimed = file.execute(
                "UPDATE attempts SET process=?, is_left=0 "
                "WHERE number=? AND process=? AND is_left=? AND outcome IS NULL",
                (token, number, before, is_left),
            ).rowcount
        except sqlite3.Error:
            return  # the first write of the attempt finds the same trouble, and deals with it
        if not claimed:
            raise NoSuchAttempt(f"attempt {number} was taken up by another program just now")

    # Reading ------------------------------------------------------------------------------------

    def history(
        self, is_alive: Callable[[str], bool] = process.is_alive, most: int | None = None
    ) -> list[dict[str, Any]]:
        """The attempts, oldest first, each as an entry of the `history` JSON; the newest `most`.

        `outcome` and `points` are None for an attempt that has not ended; `counts` is true for a
        Check that ended without interruption. `state` is "ended", or what is known of one without
        an end: "left" by its pilot, "flying" while the process that writes it runs, or "killed".
        """
        rows: dict[int, dict[str, Any]] = {}
        limit = -1 if most is None else most
        for connection in reversed(self._databases.connections()):
            for row in self._databases.rows(connection, HISTORY, (limit,)):
                entry = history_entry(row, is_alive)
                rows[entry["attempt"]] = entry
        numbers = sorted(rows)
        return [rows[number] for number in (numbers if most is None else numbers[-most:])]

    def lines(self, is_alive: Callable[[str], bool] = process.is_alive) -> list[str]:
        """The attempts, oldest first, each as a line of text."""

        def state(token: str, is_left: int) -> str:
            return STATES[state_of(token, bool(is_left), is_alive)]

        parts: list[list[str]] = []
        for connection in self._databases.connections():
            connection.create_function("state", 2, state)
            for (text,) in self._databases.rows(connection, LINES):
                parts.append(text.split("\n") if text else [])
        if len(parts) == 1:
            return parts[0]
        lines = {int(line.split()[0]): line for part in reversed(parts) for line in part}
        return [lines[number] for number in sorted(lines)]

    def count(self) -> int:
        """How many attempts there are."""
        numbers = {
            number
            for connection in self._databases.connections()
            for (number,) in self._databases.rows(connection, "SELECT number FROM attempts")
        }
        return len(numbers)

    def last_results(self) -> dict[str, dict[str, Any]]:
        """The newest attempt that ended of each exercise, by the exercise's name."""
        last: dict[str, dict[str, Any]] = {}
        for connection in self._databases.connections():
            for row in self._databases.rows(connection, LAST_RESULTS):
                entry = history_entry(row, process.is_alive)
                known = last.get(entry["exercise"])
                if known is None or known["attempt"] < entry["attempt"]:
                    last[entry["exercise"]] = entry
        return last

    def trend(self, exercise: str, since: str, until: str, most: int = 10) -> list[float]:
        """Points of the newest `most` attempts at that segment of an exercise, the newest last."""
        found: dict[int, float] = {}
        for connection in self._databases.connections():
            found.update(self._databases.rows(connection, TREND, (exercise, since, until, most)))
        return [found[number] for number in sorted(found)[-most:]]

    def repetitions(
        self, levels: tuple[str, ...], most: int = 40
    ) -> list[tuple[str, str, str, float | None]]:
        """Exercise, start (UTC), outcome and points of whole flights that ended, oldest first.

        Only those flown at one of `levels`, and of each exercise the newest `most`.
        """
        found: dict[int, tuple[str, str, str, float | None]] = {}
        for connection in self._databases.connections():
            for number, *rest in self._databases.rows(
                connection, REPETITIONS, (json.dumps(levels), most)
            ):
                found[number] = (rest[0], rest[1], rest[2], rest[3])
        return [found[number] for number in sorted(found)]

    def load(self, attempt: int | str = "last") -> Stored:
        """The attempt of that number; "last" is the newest one that ended.

        Raises:
            NoSuchAttempt: there is none.
        """
        number = self._last() if attempt == "last" else _number(attempt)
        for connection in self._databases.connections():
            for row in self._databases.rows(connection, _LOAD, (number,)):
                return _stored(row, self._databases.rows(connection, _ENTRIES, (number,)))
        raise NoSuchAttempt(f"there is no attempt {number}; `history` lists those there are")

    def _last(self) -> int:
        newest = "SELECT max(number) FROM attempts WHERE outcome IS NOT NULL"
        found = [
            self._databases.rows(connection, newest) for connection in self._databases.connections()
        ]
        last = max((rows[0][0] or 0 for rows in found if rows), default=0)
        if not last:
            raise NoSuchAttempt("no attempt has been flown to its end yet")
        return int(last)

    def unfinished(self, is_alive: Callable[[str], bool] = process.is_alive) -> int | None:
        """The newest attempt without an end that was left, or that no living process is flying."""
        for connection in self._databases.connections():
            for number, token, is_left in self._databases.rows(connection, _UNFINISHED):
                if is_left or not is_alive(token):
                    return int(number)
        return None


_LOAD = """
    SELECT number, exercise, exercise_digest, canonical, level, seat, seed, engine, started, beat,
        outcome, points, judgement, facts, attempts.digest, flown_as, since, until
    FROM attempts JOIN exercises ON exercises.digest = exercise_digest
        LEFT JOIN results ON results.attempt = number
    WHERE number = ?
"""
_ENTRIES = "SELECT kind, step, body FROM entries WHERE attempt=? ORDER BY place"
_UNFINISHED = (
    "SELECT number, process, is_left FROM attempts WHERE outcome IS NULL ORDER BY number DESC"
)


def _number(attempt: int | str) -> int:
    text = str(attempt)
    if not (text.isascii() and text.isdecimal() and len(text) <= 15):
        raise NoSuchAttempt(f"an attempt is a number of `history` or `last`, not {text[:40]!r}")
    return int(text)


def _stored(row: tuple[Any, ...], log: list[tuple[Any, ...]]) -> Stored:
    *head, judgement, facts, digest, flown_as, since, until = row
    (
        number, name, exercise_digest, canonical, level, seat, seed, engine, started, beat,
        outcome, points,
    ) = head  # fmt: skip
    entries = tuple(Entry(kind, step, tuple(json.loads(body))) for kind, step, body in log)
    return Stored(
        number, name, exercise_digest, canonical, level, seat, int(seed), engine, started, beat,
        entries, outcome, points, None if judgement is None else json.loads(judgement), facts,
        digest, Segment(flown_as, since, until),
    )  # fmt: skip


def _header(number: int, canonical: str, values: tuple[Any, ...]) -> tuple[Statement, ...]:
    return (
        ("INSERT OR IGNORE INTO exercises(digest, canonical) VALUES(?, ?)", (values[0], canonical)),
        (
            "INSERT INTO attempts(number, exercise_digest, exercise, level, seat, seed, engine, "
            "started, process, flown_as, since, until) VALUES(?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
            (number, *values),
        ),
    )
