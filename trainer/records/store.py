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
from dataclasses import dataclass
from pathlib import Path
from types import TracebackType
from typing import Any, Self

from trainer.errors import UserError
from trainer.flight.acts import Act
from trainer.records import process
from trainer.records.journal import Attempt, Entry, Statement, effective_acts
from trainer.records.schema import Opened, in_memory, open_file


class NoSuchAttempt(UserError):
    """There is no attempt of that number, or none at all."""


@dataclass(frozen=True, slots=True)
class Stored:
    """One attempt as kept. `outcome`, `judgement`, `facts` and `digest` are None until it ended.

    `canonical` is the composed exercise; `beat` the last step known to have been flown; `facts`
    the packed flight (see `packing`).
    """

    number: int
    exercise: str
    exercise_digest: str
    canonical: str
    level: str
    seat: str
    seed: int
    engine: int
    started: str
    beat: int
    entries: tuple[Entry, ...]
    outcome: str | None
    points: float | None
    judgement: dict[str, Any] | None
    facts: bytes | None
    digest: str | None

    @property
    def acts(self) -> tuple[Act, ...]:
        """The acts that count, after rewinds."""
        return effective_acts(self.entries)

    @property
    def interrupted(self) -> int:
        """How often the flight stood still."""
        return sum(entry.kind == "interrupted" for entry in self.entries)


class Records:
    """The records in the file at `path`; in memory only if `path` is None or cannot be used."""

    def __init__(self, path: Path | None) -> None:
        self.messages: list[str] = []
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
    ) -> Attempt:
        """Begin an attempt at an exercise; `digest` is that of `exercise_canonical`."""
        values = (digest, name, level, seat, str(seed), engine, started_utc, process.token())
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

    def reopen(self, number: int) -> Attempt:
        """Go on with an unfinished attempt of a process that no longer runs."""
        stored = self.load(number)
        if stored.outcome is not None:
            raise NoSuchAttempt(f"attempt {number} has ended")
        token = process.token()
        values = (
            stored.exercise_digest, stored.exercise, stored.level, stored.seat,
            str(stored.seed), stored.engine, stored.started, token,
        )  # fmt: skip
        header = _header(number, stored.canonical, values)
        attempt = Attempt(self, number, header, stored.entries)
        if not self._is_writable:
            _run(self._in_memory(), attempt.everything())
        self.write(attempt, [("UPDATE attempts SET process=? WHERE number=?", (token, number))])
        attempt.beat(stored.beat)
        return attempt

    def write(self, attempt: Attempt, statements: Iterable[Statement]) -> None:
        """Keep `statements` of `attempt`; if the file fails, move the attempt into memory."""
        todo = list(statements)
        if self._file is not None and self._is_writable:
            try:
                _run(self._file, todo)
                return
            except sqlite3.Error as error:
                self._give_up_file(error)
        memory = self._in_memory()
        held = memory.execute("SELECT 1 FROM attempts WHERE number=?", (attempt.number,))
        if held.fetchone() is None:
            _run(memory, attempt.everything())
        _run(memory, todo)

    def _give_up_file(self, error: sqlite3.Error) -> None:
        self._is_writable = False
        self.messages.append(
            f"records cannot be written any more ({error}); the attempt goes on, "
            "and is lost when the program ends unless you export it"
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

    def history(self, is_alive: Callable[[str], bool] = process.is_alive) -> list[dict[str, Any]]:
        """All attempts, oldest first, each as an entry of the `history` JSON.

        `outcome` and `points` are None for an attempt that has not ended; `counts` is true for a
        Check that ended without interruption. `state` is "ended", or what is known of one without
        an end: "left" by its pilot, "flying" while the process that writes it runs, or "killed".
        """
        rows: dict[int, dict[str, Any]] = {}
        for connection in reversed(self._connections()):
            for row in self._rows(connection, _HISTORY):
                (
                    number, name, level, seat, seed, started, outcome, points, token,
                    interrupted, last,
                ) = row  # fmt: skip
                state = "ended"
                if outcome is None:
                    state = "left" if last == "left" else "flying" if is_alive(token) else "killed"
                rows[number] = {
                    "attempt": number,
                    "exercise": name,
                    "level": level,
                    "seat": seat,
                    "started": started,
                    "outcome": outcome,
                    "points": points,
                    "counts": level == "check" and outcome is not None and interrupted == 0,
                    "interrupted": interrupted,
                    "seed": int(seed),
                    "state": state,
                }
        return [rows[number] for number in sorted(rows)]

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
        ended = [row["attempt"] for row in self.history() if row["outcome"] is not None]
        if not ended:
            raise NoSuchAttempt("no attempt has been flown to its end yet")
        return int(ended[-1])

    def unfinished(self, is_alive: Callable[[str], bool] = process.is_alive) -> int | None:
        """The newest attempt without an end that no living process is flying."""
        for connection in self._connections():
            for number, token in self._rows(connection, _UNFINISHED):
                if not is_alive(token):
                    return int(number)
        return None


_HISTORY = """
    SELECT number, exercise, level, seat, seed, started, outcome, points, process,
        (SELECT count(*) FROM entries WHERE attempt=number AND kind='interrupted'),
        (SELECT kind FROM entries WHERE attempt=number ORDER BY place DESC LIMIT 1)
    FROM attempts ORDER BY number
"""
_LOAD = """
    SELECT number, exercise, exercise_digest, canonical, level, seat, seed, engine, started, beat,
        outcome, points, judgement, facts, attempts.digest
    FROM attempts JOIN exercises ON exercises.digest = exercise_digest
        LEFT JOIN results ON results.attempt = number
    WHERE number = ?
"""
_ENTRIES = "SELECT kind, step, body FROM entries WHERE attempt=? ORDER BY place"
_UNFINISHED = "SELECT number, process FROM attempts WHERE outcome IS NULL ORDER BY number DESC"


def _number(attempt: int | str) -> int:
    text = str(attempt)
    if not (text.isascii() and text.isdecimal() and len(text) <= 15):
        raise NoSuchAttempt(f"an attempt is a number of `history` or `last`, not {text[:40]!r}")
    return int(text)


def _stored(row: tuple[Any, ...], log: list[tuple[Any, ...]]) -> Stored:
    (
        number, name, exercise_digest, canonical, level, seat, seed, engine, started, beat,
        outcome, points, judgement, facts, digest,
    ) = row  # fmt: skip
    entries = tuple(Entry(kind, step, tuple(json.loads(body))) for kind, step, body in log)
    return Stored(
        number, name, exercise_digest, canonical, level, seat, int(seed), engine, started, beat,
        entries, outcome, points, None if judgement is None else json.loads(judgement), facts,
        digest,
    )  # fmt: skip


def _header(number: int, canonical: str, values: tuple[Any, ...]) -> tuple[Statement, ...]:
    return (
        ("INSERT OR IGNORE INTO exercises(digest, canonical) VALUES(?, ?)", (values[0], canonical)),
        (
            "INSERT INTO attempts(number, exercise_digest, exercise, level, seat, seed, engine, "
            "started, process) VALUES(?, ?, ?, ?, ?, ?, ?, ?, ?)",
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
