"""The tables of the records file, and how a file is opened, brought up to date or set aside.

Owns the schema and its version (`user_version`). It knows no flight and no judge: exercises,
judgements and facts are text and bytes here. Surprising rule: a file that cannot be used is never
overwritten; a damaged one is renamed and stays beside the new one, a newer one is only read.
"""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

from trainer.text import shown

BUSY_MS = 5000
"""How long a write waits for another program's write, ms."""
LOCK_TRIES = 20
"""How often an opening that found the file locked is tried again."""
SUFFIXES = ("", "-wal", "-shm")
"""The files that together are one database."""

MIGRATIONS: tuple[tuple[str, ...], ...] = (
    (
        """CREATE TABLE exercises(
            digest TEXT PRIMARY KEY,
            canonical TEXT NOT NULL
        ) WITHOUT ROWID""",
        """CREATE TABLE attempts(
            number INTEGER PRIMARY KEY,
            exercise_digest TEXT NOT NULL REFERENCES exercises(digest),
            exercise TEXT NOT NULL,
            level TEXT NOT NULL,
            seat TEXT NOT NULL,
            seed TEXT NOT NULL,
            engine INTEGER NOT NULL,
            started TEXT NOT NULL,
            process TEXT NOT NULL,
            beat INTEGER NOT NULL DEFAULT 0,
            outcome TEXT,
            points REAL,
            digest TEXT
        )""",
        """CREATE TABLE entries(
            attempt INTEGER NOT NULL REFERENCES attempts(number),
            place INTEGER NOT NULL,
            kind TEXT NOT NULL,
            step INTEGER NOT NULL,
            body TEXT NOT NULL,
            PRIMARY KEY(attempt, place)
        ) WITHOUT ROWID""",
        """CREATE TABLE results(
            attempt INTEGER PRIMARY KEY REFERENCES attempts(number),
            judgement TEXT NOT NULL,
            facts BLOB NOT NULL
        )""",
    ),
    (
        # What the history shows of an attempt stands with it: it is not counted in the log.
        "ALTER TABLE attempts ADD COLUMN interrupted INTEGER NOT NULL DEFAULT 0",
        "ALTER TABLE attempts ADD COLUMN is_left INTEGER NOT NULL DEFAULT 0",
        # A segment says at which level it is flown, and the moment that ends it.
        "ALTER TABLE attempts ADD COLUMN flown_as TEXT NOT NULL DEFAULT ''",
        "ALTER TABLE attempts ADD COLUMN until TEXT NOT NULL DEFAULT ''",
        """UPDATE attempts SET
            interrupted = (SELECT count(*) FROM entries
                WHERE attempt = number AND kind = 'interrupted'),
            is_left = coalesce((SELECT kind = 'left' FROM entries
                WHERE attempt = number ORDER BY place DESC LIMIT 1), 0)""",
        # Version 1 did not note the last step of a flight that ended: it is flown to its end.
        "UPDATE attempts SET beat = -1 WHERE outcome IS NOT NULL",
    ),
    ("ALTER TABLE attempts ADD COLUMN since TEXT NOT NULL DEFAULT ''",),
)
"""The statements that lead from each version to the next; the version is their number."""


_LAST_COLUMN = "since"
"""At the end of a row, so that all of the row is read."""


class NewerVersion(Exception):
    """The file was written by a newer program; `version` is what it says."""

    def __init__(self, version: int) -> None:
        super().__init__(f"records version {version}")
        self.version = version


class Damaged(Exception):
    """The file is no database, a broken one, or holds other tables than ours."""


class Opened(NamedTuple):
    """A database ready for use: whether it may be written, and what a person should be told."""

    connection: sqlite3.Connection
    is_writable: bool
    message: str


def in_memory(migrations: Sequence[Sequence[str]] = MIGRATIONS) -> sqlite3.Connection:
    """An empty database that lives as long as the program."""
    connection = sqlite3.connect(":memory:", isolation_level=None)
    _bring_up_to_date(connection, migrations)
    return connection


def open_file(path: Path, migrations: Sequence[Sequence[str]] = MIGRATIONS) -> Opened | str:
    """The records file at `path`, created or brought up to date where needed.

    A damaged file is set aside and a new one begun. A file of a newer version, or one that may
    not be written, is opened for reading. The result is a text, saying why, if there is nothing
    that could be opened.
    """
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        return Opened(_open_for_writing(path, migrations), True, "")
    except NewerVersion as newer:
        return _open_for_reading(
            path,
            f"{shown(str(path))}: written by a newer version of this program (records version "
            f"{newer.version}, this one knows {len(migrations)}); it is only read",
            migrations,
        )
    except Damaged:
        return begin_anew(path, migrations)
    except sqlite3.Error as error:
        if is_damage(error):
            return begin_anew(path, migrations)
        return _open_for_reading(
            path, f"{shown(str(path))}: it cannot be written ({error})", migrations
        )
    except OSError as error:
        return f"{shown(str(path))}: no records can be kept there ({error.strerror})"


def _open_for_writing(path: Path, migrations: Sequence[Sequence[str]]) -> sqlite3.Connection:
    connection = sqlite3.connect(path, timeout=BUSY_MS / 1000.0, isolation_level=None)
    try:
        # Turning a new file into WAL mode does not wait for others as writing does, so two
        # programs that begin the file together must be allowed a few tries.
        for left in range(LOCK_TRIES - 1, -1, -1):
            try:
                connection.execute("PRAGMA journal_mode=WAL").fetchone()
                break
            except sqlite3.OperationalError as error:
                if error.sqlite_errorcode != sqlite3.SQLITE_BUSY or left == 0:
                    raise
                connection.execute("BEGIN IMMEDIATE")
                connection.execute("ROLLBACK")
        connection.execute("PRAGMA synchronous=NORMAL")
        connection.execute("PRAGMA foreign_keys=ON")
        _bring_up_to_date(connection, migrations)
        try:
            _read_through(connection)
        except sqlite3.OperationalError as error:
            if error.sqlite_errorcode == sqlite3.SQLITE_ERROR:  # a table or a column is missing
                raise Damaged from error
            raise
    except BaseException:
        connection.close()
        raise
    return connection


def _bring_up_to_date(connection: sqlite3.Connection, migrations: Sequence[Sequence[str]]) -> None:
    """Run the missing migrations, all in one transaction that no second program can enter."""
    connection.execute("BEGIN IMMEDIATE")
    try:
        version = int(connection.execute("PRAGMA user_version").fetchone()[0])
        if version > len(migrations):
            raise NewerVersion(version)
        if version == 0 and connection.execute("SELECT 1 FROM sqlite_master").fetchone():
            raise Damaged
        for statements in migrations[version:]:
            for statement in statements:
                connection.execute(statement)
        connection.execute(f"PRAGMA user_version={len(migrations):d}")
        connection.execute("COMMIT")
    except BaseException:
        if connection.in_transaction:
            connection.execute("ROLLBACK")
        raise


def _read_through(connection: sqlite3.Connection) -> None:
    """Read what the history shows of every attempt, and the ends of the large tables.

    Most damage shows here and not in the middle of a flight. The log of every attempt is not read:
    after years of flying it would hold up every command.
    """
    connection.execute(f"SELECT max(length({_LAST_COLUMN})) FROM attempts").fetchone()
    for table in ("entries", "results"):
        connection.execute(f"SELECT * FROM {table} ORDER BY attempt DESC LIMIT 1").fetchone()
    connection.execute("SELECT * FROM exercises LIMIT 1").fetchone()


def _open_for_reading(
    path: Path, message: str, migrations: Sequence[Sequence[str]]
) -> Opened | str:
    address = f"{path.absolute().as_uri()}?mode=ro"
    addresses = [address]
    if not os.path.lexists(f"{path}-wal"):
        # A file in WAL mode needs companions beside it even for reading; where none can be made
        # and none is there, nobody can be writing, and the file may be read as it stands.
        addresses.append(f"{address}&immutable=1")
    trouble = ""
    for address in addresses:
        connection: sqlite3.Connection | None = None
        try:
            connection = sqlite3.connect(address, uri=True, isolation_level=None)
            connection = _copied_if_older(connection, migrations)
            _read_through(connection)
        except sqlite3.Error as error:
            trouble = str(error)
            if connection is not None:
                connection.close()
            continue
        return Opened(connection, False, message)
    return f"{message}; nothing can be read there and no records can be kept there ({trouble})"


def _copied_if_older(
    connection: sqlite3.Connection, migrations: Sequence[Sequence[str]]
) -> sqlite3.Connection:
    """`connection`, or a copy in memory brought up to date if the file is of an older version."""
    version = int(connection.execute("PRAGMA user_version").fetchone()[0])
    if not 0 < version < len(migrations):
        return connection
    copy = sqlite3.connect(":memory:", isolation_level=None)
    try:
        connection.backup(copy)
        _bring_up_to_date(copy, migrations)
    except sqlite3.Error:
        copy.close()
        return connection  # what it shows may still be readable as it stands
    connection.close()
    return copy


def is_damage(error: sqlite3.Error) -> bool:
    """Whether `error` says that the file itself is broken, not that it cannot be used now."""
    code = getattr(error, "sqlite_errorcode", 0) & 0xFF
    return code in (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB)


def begin_anew(path: Path, migrations: Sequence[Sequence[str]] = MIGRATIONS) -> Opened | str:
    """Set the damaged file at `path` aside and begin a new one in its place."""
    try:
        aside = _set_aside(path)
        connection = _open_for_writing(path, migrations)
    except (sqlite3.Error, OSError, Damaged) as error:
        return f"{shown(str(path))}: damaged, and it could not be set aside ({error})"
    return Opened(
        connection,
        True,
        f"{shown(str(path))} was damaged; it is kept as {shown(aside.name)}, a new one was begun",
    )


def _set_aside(path: Path) -> Path:
    """Rename the file and its companions to the first free name; returns the new name."""
    number = 1
    while True:
        aside = path.with_name(f"{path.stem}.damaged-{number}{path.suffix}")
        if not any(os.path.lexists(f"{aside}{suffix}") for suffix in SUFFIXES):
            break
        number += 1
    for suffix in SUFFIXES:
        if os.path.lexists(f"{path}{suffix}"):
            os.replace(f"{path}{suffix}", f"{aside}{suffix}")
    return aside
