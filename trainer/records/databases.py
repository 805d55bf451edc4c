"""The databases of one user's attempts: the file, or memory when the file cannot be used.

Owns which one is written, and what happens when the disk fails; knows no question that is asked of
them. Surprising rule: a failure of the disk reaches nobody. It becomes a line in `messages`, and
what was to be kept is kept in memory until the program ends.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from trainer.records.journal import Attempt, Statement
from trainer.records.schema import Opened, begin_anew, in_memory, is_damage, open_file


class Databases:
    """The file at `path` and a database in memory; memory only if the file cannot be used.

    `file` is None without one; `is_writable`: whether what is written now outlives the program.
    """

    def __init__(self, path: Path | None) -> None:
        self.messages: list[str] = []
        self._path = path
        self.file: sqlite3.Connection | None = None
        self.is_writable = False
        self._memory: sqlite3.Connection | None = None
        opened = "no place is known where records could be kept" if path is None else None
        if path is not None:
            result = open_file(path)
            if isinstance(result, Opened):
                self.file, self.is_writable = result.connection, result.is_writable
                opened = result.message or None
            else:
                opened = result
        if opened is not None:
            self.messages.append(opened)
        if not self.is_writable:
            self.messages.append("attempts are lost when the program ends")

    def close(self) -> None:
        """Let go of the file; nothing may be written afterwards."""
        for connection in (self.file, self._memory):
            if connection is not None:
                connection.close()
        self.file = self._memory = None

    def connections(self) -> list[sqlite3.Connection]:
        """Memory first: an attempt that moved there goes on there."""
        return [one for one in (self._memory, self.file) if one is not None]

    def rows(
        self, connection: sqlite3.Connection, sql: str, values: tuple[Any, ...] = ()
    ) -> list[Any]:
        """What a question brings; nothing, and a message, if the file can no longer be read."""
        try:
            return connection.execute(sql, values).fetchall()
        except sqlite3.Error as error:
            if connection is not self.file:
                raise
            self.messages.append(f"records cannot be read any more ({error})")
            self.file.close()
            self.file, self.is_writable = None, False
            return []

    # Writing ------------------------------------------------------------------------------------

    def begin(self, header: Callable[[int], Sequence[Statement]]) -> int:
        """Keep the header of a new attempt under the next number, which is returned."""
        if self.file is not None and self.is_writable:
            try:
                with _transaction(self.file):
                    number = self._next_number()
                    for sql, given in header(number):
                        self.file.execute(sql, given)
                return number
            except sqlite3.Error as error:
                self._give_up_file(error)
        number = self._next_number()
        _run(self._in_memory(), header(number))
        return number

    def keep_in_memory(self, attempt: Attempt) -> None:
        """Keep all of `attempt` in memory, where a file cannot be written."""
        _run(self._in_memory(), attempt.everything())

    def write(self, attempt: Attempt, statements: Iterable[Statement]) -> None:
        """Keep `statements` of `attempt`; if the file fails, move the attempt into memory."""
        todo = list(statements)
        if self.file is not None and self.is_writable:
            try:
                _run(self.file, todo)
                return
            except sqlite3.Error as error:
                self._give_up_file(error)
                if self.is_writable and self._moved(attempt, todo):
                    return
        memory = self._in_memory()
        held = memory.execute("SELECT 1 FROM attempts WHERE number=?", (attempt.number,))
        if held.fetchone() is None:
            _run(memory, attempt.everything())
        _run(memory, todo)

    def _moved(self, attempt: Attempt, todo: list[Statement]) -> bool:
        """Write all of `attempt` into a file that was begun anew; whether that worked."""
        assert self.file is not None
        try:
            _run(self.file, [*attempt.everything(), *todo])
        except sqlite3.Error as error:
            self.is_writable = False
            self.messages.append(f"the new records cannot be written either ({error})")
            return False
        return True

    def _give_up_file(self, error: sqlite3.Error) -> None:
        """Write no more into the file; one that turned out to be broken is set aside at once."""
        self.is_writable = False
        if is_damage(error) and self._path is not None and self.file is not None:
            self.file.close()
            self.file = None
            result = begin_anew(self._path)
            if isinstance(result, Opened):
                self.file, self.is_writable = result.connection, True
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
        for connection in self.connections():
            for (found,) in self.rows(connection, "SELECT max(number) FROM attempts"):
                highest = max(highest, found or 0)
        return highest + 1


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


def _run(connection: sqlite3.Connection, statements: Sequence[Statement]) -> None:
    """Run `statements`, all or none; a single one is a transaction of its own."""
    if len(statements) == 1:
        connection.execute(*statements[0])
        return
    with _transaction(connection):
        for sql, values in statements:
            connection.execute(sql, values)
