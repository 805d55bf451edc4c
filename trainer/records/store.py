"""All attempts of one user: begin one, list them, load one.

Owns which database is written: the file, or memory when the file cannot be used. It reads no
clock; whoever calls gives the time as text. Surprising rule: no failure of the disk reaches a
flight. It becomes a line in `messages`, and the attempt is kept until the program ends.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from types import TracebackType
from typing import Any, Self

from trainer.errors import UserError
from trainer.records import process
from trainer.records.history import (
    HISTORY,
    LAST_RESULTS,
    LINES,
    REPETITIONS,
    TREND,
    history_entry,
    line_of,
)
from trainer.records.journal import WHOLE, Attempt, Entry, Segment, Statement
from trainer.records.schema import Opened, begin_anew, in_memory, is_damage, open_file
from trainer.records.stored import Stored


class NoSuchAttempt(UserError):
    """There is no attempt of that number, or none at all."""


class Records:
    """The records in the file at `path`; in memory only if `path` is None or cannot be used."""

    def __init__(self, path: Path | None) -> None:
        self.messages: list[str] = []
        self._path = path
        self._file: sqlite3.Connection | None = None
        self._is_writable = False
        self._memory: sqlite3.Connection | None = None
        opened = "no place is known where records could be kept" if path is None else None
        if path is not None:
            result = open_file(path)
            if isinstance(result, Opened):
                self._file, self._is_writable = result.connection, result.is_writable
                opened = result.message or None
            else:
                opened = result
        if opened is not None:
            self.messages.append(opened)
        if not self._is_writable:
            self.messages.append("attempts are lost when the program ends")

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
        return self._is_writable

    def close(self) -> None:
        """Let go of the file; nothing may be written afterwards."""
        for connection in (self._file, self._memory):
            if connection is not None:
                connection.close()
        self._file = self._memory = None

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
        file = self._file
        if file is not None and self._is_writable:
            try:
                with _transaction(file):
                    number = self._next_number()
                    for sql, given in _header(number, exercise_canonical, values):
                        file.execute(sql, given)
                return Attempt(self, number, _header(number, exercise_canonical, values))
            except sqlite3.Error as error:
                self._give_up_file(error)
        number = self._next_number()
        attempt = Attempt(self, number, _header(number, exercise_canonical, values))
        _run(self._in_memory(), attempt.everything())
        return attempt

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
        attempt = Attempt(self, number, header, stored.entries, stored.beat)
        if self._is_writable:
            self._claim(number, token, is_alive)
        else:
            _run(self._in_memory(), attempt.everything())
        attempt.resumed(stored.steps or 0)
        return attempt

    def _claim(self, number: int, token: str, is_alive: Callable[[str], bool]) -> None:
        """Make the attempt this process's own, unless another one was faster."""
        assert self._file is not None
        before, is_left = self._file.execute(
            "SELECT process, is_left FROM attempts WHERE number=?", (number,)
        ).fetchone()
        if before != token and not is_left and is_alive(before):
            raise NoSuchAttempt(f"attempt {number} is being flown by a program that runs")
        try:
            claimed = self._file.execute(
                "UPDATE attempts SET process=?, is_left=0 "
                "WHERE number=? AND process=? AND is_left=? AND outcome IS NULL",
                (token, number, before, is_left),
            ).rowcount
        except sqlite3.Error:
            return  # the first write of the attempt finds the same trouble, and deals with it
        if not claimed:
            raise NoSuchAttempt(f"attempt {number} was taken up by another program just now")

    def write(self, attempt: Attempt, statements: Iterable[Statement]) -> None:
        """Keep `statements` of `attempt`; if the file fails, move the attempt into memory."""
        todo = list(statements)
        if self._file is not None and self._is_writable:
            try:
                _run(self._file, todo)
                return
            except sqlite3.Error as error:
                self._give_up_file(error)
                if self._is_writable and self._moved(attempt, todo):
                    return
        memory = self._in_memory()
        held = memory.execute("SELECT 1 FROM attempts WHERE number=?", (attempt.number,))
        if held.fetchone() is None:
            _run(memory, attempt.everything())
        _run(memory, todo)

    def _moved(self, attempt: Attempt, todo: list[Statement]) -> bool:
        """Write all of `attempt` into a file that was begun anew; whether that worked."""
        assert self._file is not None
        try:
            _run(self._file, [*attempt.everything(), *todo])
        except sqlite3.Error as error:
            self._is_writable = False
            self.messages.append(f"the new records cannot be written either ({error})")
            return False
        return True

    def _give_up_file(self, error: sqlite3.Error) -> None:
        """Write no more into the file; one that turned out to be broken is set aside at once."""
        self._is_writable = False
        if is_damage(error) and self._path is not None and self._file is not None:
            self._file.close()
            self._file = None
            result = begin_anew(self._path)
            if isinstance(result, Opened):
                self._file, self._is_writable = result.connection, True
                self.messages.append(result.message)
                return
        self.messages.append(
            f"records cannot be written any more ({error}); the attempt goes on, "
            "and is lost when the program ends; F2 in its debrief writes it to a file"
        )

    def _in_memory(self) -> sqlite3.Connection:
        if self._memory is None:
            self._memory = in_memory()
        return self._memory

    def _next_number(self) -> int:
        highest = 0
        for connection in self._connections():
            for (found,) in self._rows(connection, "SELECT max(number) FROM attempts"):
                highest = max(highest, found or 0)
        return highest + 1

    # Reading ------------------------------------------------------------------------------------

    def _connections(self) -> list[sqlite3.Connection]:
        """Memory first: an attempt that moved there goes on there."""
        return [one for one in (self._memory, self._file) if one is not None]

    def _rows(
        self, connection: sqlite3.Connection, sql: str, values: tuple[Any, ...] = ()
    ) -> list[Any]:
        """What a question brings; nothing, and a message, if the file can no longer be read."""
        try:
            return connection.execute(sql, values).fetchall()
        except sqlite3.Error as error:
            if connection is not self._file:
                raise
            self.messages.append(f"records cannot be read any more ({error})")
            self._file.close()
            self._file, self._is_writable = None, False
            return []

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
        for connection in reversed(self._connections()):
            for row in self._rows(connection, HISTORY, (limit,)):
                entry = history_entry(row, is_alive)
                rows[entry["attempt"]] = entry
        numbers = sorted(rows)
        return [rows[number] for number in (numbers if most is None else numbers[-most:])]

    def lines(self, is_alive: Callable[[str], bool] = process.is_alive) -> list[str]:
        """The attempts, oldest first, each as a line of text."""
        lines: dict[int, str] = {}
        for connection in reversed(self._connections()):
            for number, text, token, is_left in self._rows(connection, LINES):
                ended = token is None
                lines[number] = text if ended else line_of(text, token, is_left, is_alive)
        return [lines[number] for number in sorted(lines)]

    def count(self) -> int:
        """How many attempts there are."""
        numbers = {
            number
            for connection in self._connections()
            for (number,) in self._rows(connection, "SELECT number FROM attempts")
        }
        return len(numbers)

    def last_results(self) -> dict[str, dict[str, Any]]:
        """The newest attempt that ended of each exercise, by the exercise's name."""
        last: dict[str, dict[str, Any]] = {}
        for connection in self._connections():
            for row in self._rows(connection, LAST_RESULTS):
                entry = history_entry(row, process.is_alive)
                known = last.get(entry["exercise"])
                if known is None or known["attempt"] < entry["attempt"]:
                    last[entry["exercise"]] = entry
        return last

    def trend(self, exercise: str, since: str, until: str, most: int = 10) -> list[float]:
        """Points of the newest `most` attempts at that segment of an exercise, the newest last."""
        found: dict[int, float] = {}
        for connection in self._connections():
            found.update(self._rows(connection, TREND, (exercise, since, until, most)))
        return [found[number] for number in sorted(found)[-most:]]

    def repetitions(
        self, levels: tuple[str, ...], most: int = 40
    ) -> list[tuple[str, str, str, float | None]]:
        """Exercise, start (UTC), outcome and points of whole flights that ended, oldest first.

        Only those flown at one of `levels`, and of each exercise the newest `most`.
        """
        found: dict[int, tuple[str, str, str, float | None]] = {}
        for connection in self._connections():
            for number, *rest in self._rows(connection, REPETITIONS, (json.dumps(levels), most)):
                found[number] = (rest[0], rest[1], rest[2], rest[3])
        return [found[number] for number in sorted(found)]

    def load(self, attempt: int | str = "last") -> Stored:
        """The attempt of that number; "last" is the newest one that ended.

        Raises:
            NoSuchAttempt: there is none.
        """
        number = self._last() if attempt == "last" else _number(attempt)
        for connection in self._connections():
            for row in self._rows(connection, _LOAD, (number,)):
                return _stored(row, self._rows(connection, _ENTRIES, (number,)))
        raise NoSuchAttempt(f"there is no attempt {number}; `history` lists those there are")

    def _last(self) -> int:
        newest = "SELECT max(number) FROM attempts WHERE outcome IS NOT NULL"
        found = [self._rows(connection, newest) for connection in self._connections()]
        last = max((rows[0][0] or 0 for rows in found if rows), default=0)
        if not last:
            raise NoSuchAttempt("no attempt has been flown to its end yet")
        return int(last)

    def unfinished(self, is_alive: Callable[[str], bool] = process.is_alive) -> int | None:
        """The newest attempt without an end that was left, or that no living process is flying."""
        for connection in self._connections():
            for number, token, is_left in self._rows(connection, _UNFINISHED):
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


@contextmanager
def _transaction(connection: sqlite3.Connection) -> Iterator[None]:
    """One transaction that takes the write lock at once: a lock taken later is not waited for."""
    connection.execute("BEGIN IMMEDIATE")
    try:
        yield
        connection.execute("COMMIT")
    except BaseException:
        if connection.in_transaction:
            connection.execute("ROLLBACK")
        raise


def _run(connection: sqlite3.Connection, statements: list[Statement]) -> None:
    """Run `statements`, all or none; a single one is a transaction of its own."""
    if len(statements) == 1:
        connection.execute(*statements[0])
        return
    with _transaction(connection):
        for sql, values in statements:
            connection.execute(sql, values)
