"""Killed, shared, damaged, empty, of the future, read only: what becomes of the records file."""

from __future__ import annotations

import os
import shutil
import signal
import sqlite3
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.records.test_store import ACTS, FACTS, JUDGEMENT, begin
from trainer.records import process, schema
from trainer.records.journal import Segment
from trainer.records.schema import MIGRATIONS, Opened, open_file
from trainer.records.store import NoSuchAttempt, Records

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "attempts.sqlite3"


def start_writer(path: Path, count: int) -> subprocess.Popen[str]:
    return subprocess.Popen(
        [sys.executable, "-m", "tests.records.writer", str(path), str(count)],
        cwd=ROOT,
        stdout=subprocess.PIPE,
        text=True,
    )


def integrity(path: Path) -> str:
    connection = sqlite3.connect(path)
    try:
        return str(connection.execute("PRAGMA integrity_check").fetchone()[0])
    finally:
        connection.close()


# Killed -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("lines", [1, 2, 40, 700, 1500])
def test_a_killed_program_loses_no_act_that_was_acknowledged(path: Path, lines: int) -> None:
    writer = start_writer(path, 0)
    assert writer.stdout is not None
    said = [writer.stdout.readline() for _ in range(lines)]
    os.kill(writer.pid, signal.SIGKILL)
    said += writer.stdout.readlines()
    writer.stdout.close()
    assert writer.wait() == -signal.SIGKILL
    acknowledged = [int(line) for line in said if line.strip().isdigit() and line.endswith("\n")]
    with Records(path) as records:
        assert records.messages == []
        kept = [act.serial for act in records.load(1).acts]
        assert kept[: len(acknowledged)] == acknowledged
        assert kept == list(range(len(kept)))  # nothing torn, nothing out of order
        assert len(kept) <= len(acknowledged) + 1
        assert records.unfinished() == 1
    assert integrity(path) == "ok"


# Shared -----------------------------------------------------------------------------------------


def test_two_programs_write_at_once_and_both_keep_everything(path: Path) -> None:
    writers = [start_writer(path, 400) for _ in range(2)]
    outputs = [writer.communicate()[0].split() for writer in writers]
    assert [writer.returncode for writer in writers] == [0, 0]
    assert all("message" not in output for output in outputs)
    numbers = sorted(int(output[1]) for output in outputs)
    assert numbers == [1, 2]
    with Records(path) as records:
        for number in numbers:
            assert [act.serial for act in records.load(number).acts] == list(range(400))
        assert len(records.history()) == 2
    assert integrity(path) == "ok"


def test_a_file_held_by_another_writer_for_too_long_means_memory(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(schema, "BUSY_MS", 0)
    with Records(path) as records:
        attempt = begin(records)
        other = sqlite3.connect(path, isolation_level=None)
        other.execute("BEGIN IMMEDIATE")
        attempt.act(ACTS[0])
        other.execute("ROLLBACK")
        other.close()
        assert "locked" in records.messages[0]
        assert records.load(1).acts == ACTS[:1]


# Damaged ----------------------------------------------------------------------------------------


def damaged_files() -> Iterator[tuple[str, bytes]]:
    yield "text", b"this is no database\n" * 100
    yield "header only", b"SQLite format 3\x00" + b"\xff" * 2000


@pytest.mark.parametrize(
    "content", [pytest.param(content, id=name) for name, content in damaged_files()]
)
def test_a_damaged_file_is_set_aside_whole_and_a_new_one_begun(path: Path, content: bytes) -> None:
    path.write_bytes(content)
    with Records(path) as records:
        assert records.is_kept
        assert "was damaged; it is kept as attempts.damaged-1.sqlite3" in records.messages[0]
        begin(records).finish(JUDGEMENT, FACTS, "f00d")
    assert path.with_name("attempts.damaged-1.sqlite3").read_bytes() == content
    with Records(path) as records:
        assert records.messages == []
        assert len(records.history()) == 1


def test_pages_that_were_overwritten_are_noticed_at_opening(path: Path) -> None:
    with Records(path) as records:
        for number in range(200):
            attempt = begin(records, name=f"exercise {number}" * 8)
            attempt.act(ACTS[0])
    size = path.stat().st_size
    with path.open("r+b") as file:
        file.seek(4096)
        file.write(b"\xa5" * (size - 4096))
    with Records(path) as records:
        assert records.is_kept
        assert "was damaged" in records.messages[0]
        assert records.history() == []


def test_a_second_damaged_file_does_not_replace_the_first(path: Path) -> None:
    for number in (1, 2):
        path.write_bytes(b"broken %d, and long enough to be looked at" % number)
        with Records(path) as records:
            assert f"damaged-{number}" in records.messages[0]
    assert b"broken 1" in path.with_name("attempts.damaged-1.sqlite3").read_bytes()


def test_a_database_with_other_tables_is_set_aside_and_not_written_into(path: Path) -> None:
    other = sqlite3.connect(path)
    other.execute("CREATE TABLE attempts(recipe TEXT)")
    other.execute("INSERT INTO attempts VALUES('soup')")
    other.commit()
    other.close()
    with Records(path) as records:
        assert "damaged-1" in records.messages[0]
        assert records.history() == []
    kept = sqlite3.connect(path.with_name("attempts.damaged-1.sqlite3"))
    assert kept.execute("SELECT recipe FROM attempts").fetchone() == ("soup",)
    kept.close()


def test_an_empty_file_is_a_new_one(path: Path) -> None:
    path.write_bytes(b"")
    with Records(path) as records:
        assert records.messages == []
        begin(records)
        assert len(records.history()) == 1


# Versions ---------------------------------------------------------------------------------------


def test_a_new_file_carries_the_version(path: Path) -> None:
    Records(path).close()
    connection = sqlite3.connect(path)
    assert connection.execute("PRAGMA user_version").fetchone()[0] == len(MIGRATIONS)
    assert connection.execute("PRAGMA journal_mode").fetchone()[0] == "wal"
    connection.close()


def test_a_migration_keeps_what_is_there(path: Path) -> None:
    with Records(path) as records:
        begin(records).finish(JUDGEMENT, FACTS, "f00d")
    longer = (*MIGRATIONS, ("ALTER TABLE attempts ADD COLUMN remark TEXT",))
    opened = open_file(path, longer)
    assert isinstance(opened, Opened)
    found = opened.connection.execute("SELECT outcome, remark FROM attempts").fetchall()
    assert found == [("passed", None)]
    assert opened.connection.execute("PRAGMA user_version").fetchone()[0] == len(longer)
    opened.connection.close()


def test_a_migration_that_fails_changes_nothing_and_the_file_is_only_read(path: Path) -> None:
    with Records(path) as records:
        begin(records).finish(JUDGEMENT, FACTS, "f00d")
    broken = (*MIGRATIONS, ("CREATE TABLE extra(a TEXT)", "CREATE TABLE entries(b TEXT)"))
    opened = open_file(path, broken)
    assert isinstance(opened, Opened)
    assert not opened.is_writable
    assert "already exists" in opened.message
    assert opened.connection.execute("PRAGMA user_version").fetchone()[0] == len(MIGRATIONS)
    tables = opened.connection.execute("SELECT count(*) FROM sqlite_master WHERE name='extra'")
    assert tables.fetchone()[0] == 0
    assert opened.connection.execute("SELECT outcome FROM attempts").fetchone() == ("passed",)
    opened.connection.close()


def test_a_file_of_our_version_that_lacks_a_table_is_set_aside(path: Path) -> None:
    connection = sqlite3.connect(path)
    connection.execute(f"PRAGMA user_version={len(MIGRATIONS)}")
    connection.close()
    with Records(path) as records:
        assert "was damaged" in records.messages[0]
        begin(records)


def test_a_file_of_the_future_is_read_and_never_changed(path: Path) -> None:
    with Records(path) as records:
        begin(records).finish(JUDGEMENT, FACTS, "f00d")
    connection = sqlite3.connect(path)
    connection.execute("PRAGMA user_version=99")
    connection.close()
    with Records(path) as records:
        assert "newer version" in records.messages[0]
        assert not records.is_kept
        assert records.load("last").judgement == JUDGEMENT
        attempt = begin(records)
        attempt.act(ACTS[0])
        assert attempt.number == 2
        assert records.load(2).acts == ACTS[:1]
        assert [one["attempt"] for one in records.history()] == [1, 2]
    connection = sqlite3.connect(path)
    assert connection.execute("PRAGMA user_version").fetchone()[0] == 99
    assert connection.execute("SELECT count(*) FROM attempts").fetchone()[0] == 1
    connection.close()


# Read only --------------------------------------------------------------------------------------


@pytest.fixture
def public_folder() -> Iterator[Path]:
    """A folder that another user can reach, unlike pytest's own."""
    folder = Path(tempfile.mkdtemp(prefix="records-"))
    folder.chmod(0o755)
    yield folder
    shutil.rmtree(folder)


LOOKS = """
import os, sys
from pathlib import Path
sys.path.insert(0, sys.argv[2])
from trainer.records.store import NoSuchAttempt, Records
if os.getuid() == 0:
    os.setuid(65534)  # permissions mean nothing to the superuser
with Records(Path(sys.argv[1])) as records:
    print(records.is_kept, len(records.history()))
    attempt = records.begin("{}", "d2", "second", "check", "solo", 0, 1, "")
    print(attempt.number, len(records.history()))
    print(records.messages[0])
"""


@pytest.mark.skipif(os.name != "posix", reason="permissions of this kind are POSIX")
@pytest.mark.parametrize("has_file", [True, False])
def test_a_read_only_folder_is_read_and_the_session_stays_in_memory(
    public_folder: Path, has_file: bool
) -> None:
    path = public_folder / "attempts.sqlite3"
    if has_file:
        with Records(path) as records:
            begin(records).finish(JUDGEMENT, FACTS, "f00d")
        path.chmod(0o444)
    public_folder.chmod(0o555)
    done = subprocess.run(
        [sys.executable, "-c", LOOKS, str(path), str(ROOT)],
        cwd="/",
        capture_output=True,
        text=True,
        check=True,
    )
    public_folder.chmod(0o755)
    lines = done.stdout.splitlines()
    before = 1 if has_file else 0
    assert lines[0] == f"False {before}"
    assert lines[1] == f"{before + 1} {before + 1}"
    assert str(path) in lines[2]
    assert ("cannot be written" if has_file else "no records can be kept there") in lines[2]


# Processes --------------------------------------------------------------------------------------


def test_a_process_token_tells_the_living_from_the_dead() -> None:
    child = subprocess.Popen([sys.executable, "-c", "input()"], stdin=subprocess.PIPE)
    written = process.token_of(child.pid)
    assert process.is_alive(written)
    child.communicate(b"\n")
    assert not process.is_alive(written)
    assert process.is_alive(process.token())


@pytest.mark.skipif(sys.platform != "linux", reason="only there the state is known")
def test_a_process_that_was_killed_is_dead_before_its_parent_has_taken_note() -> None:
    child = subprocess.Popen([sys.executable, "-c", "input()"], stdin=subprocess.PIPE)
    written = process.token_of(child.pid)
    child.kill()
    os.waitid(os.P_PID, child.pid, os.WEXITED | os.WNOWAIT)  # it has ended, and is still listed
    assert not process.is_alive(written)
    child.communicate()


@pytest.mark.parametrize("nonsense", ["", ":", "x:1", "-1:", "1e3:5", f"{os.getpid()}:0"])
def test_a_token_that_is_none_belongs_to_nobody_alive(nonsense: str) -> None:
    assert not process.is_alive(nonsense)


# The first version --------------------------------------------------------------------------------


def version_one(path: Path) -> None:
    """A file as the first version of the tables left it: ended, left, cut off, interrupted."""
    connection = sqlite3.connect(path)
    for statement in MIGRATIONS[0]:
        connection.execute(statement)
    connection.execute("PRAGMA user_version=1")
    connection.execute("INSERT INTO exercises VALUES('d1', '{}')")
    for number, outcome in ((1, "passed"), (2, None), (3, None)):
        connection.execute(
            "INSERT INTO attempts VALUES(?, 'd1', 'first', 'check', 'solo', '7', 1, '2031', '1:1', "
            "40, ?, NULL, NULL)",
            (number, outcome),
        )
    log = ((1, 0, "interrupted", '["a gap"]'), (1, 1, "interrupted", '["a gap"]'),
           (2, 0, "left", "[]"))  # fmt: skip
    for attempt, place, kind, body in log:
        connection.execute(
            "INSERT INTO entries VALUES(?, ?, ?, 5, ?)", (attempt, place, kind, body)
        )
    connection.commit()
    connection.close()


def test_a_file_of_the_first_version_is_brought_up_to_date(path: Path) -> None:
    version_one(path)
    with Records(path) as records:
        assert records.messages == []
        found = [(one["state"], one["interrupted"]) for one in records.history()]
        assert found == [("ended", 2), ("left", 0), ("killed", 0)]
        assert records.load(1).steps is None  # not noted then: flown to its end
        assert records.load(3).steps == 40
        segment = Segment("coached", "", "distance: below 3 NM")
        begin(records, segment=segment)
        assert records.load(4).segment == segment


def test_a_file_of_the_first_version_that_may_only_be_read_is_read(path: Path) -> None:
    version_one(path)
    opened = schema._open_for_reading(path, "read only", MIGRATIONS)
    assert isinstance(opened, Opened)
    assert opened.connection.execute("SELECT interrupted FROM attempts").fetchone() == (2,)
    opened.connection.close()
    connection = sqlite3.connect(path)
    assert connection.execute("PRAGMA user_version").fetchone()[0] == 1
    connection.close()


# Damage in mid-flight ---------------------------------------------------------------------------


def test_a_file_that_turns_out_to_be_damaged_in_mid_flight_is_set_aside(path: Path) -> None:
    with Records(path) as records:
        for _ in range(40):
            attempt = begin(records)
            for serial in range(40):
                attempt.act(ACTS[0]._replace(serial=serial))
    connection = sqlite3.connect(path)
    page = connection.execute("SELECT rootpage FROM sqlite_master WHERE name='entries'").fetchone()
    size = connection.execute("PRAGMA page_size").fetchone()[0]
    connection.close()
    with Records(path) as records:
        attempt = begin(records)
        attempt.act(ACTS[0])
        with path.open("r+b") as file:  # the root of the log, behind the program's back
            file.seek((page[0] - 1) * size)
            file.write(b"\xa5" * size)
        assert records._databases.file is not None
        records._databases.file.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        with path.open("r+b") as file:
            file.seek((page[0] - 1) * size)
            file.write(b"\xa5" * size)
        records._databases.file.execute("PRAGMA shrink_memory")
        attempt.act(ACTS[1])
        attempt.finish(JUDGEMENT, FACTS, "f00d")
        assert records.is_kept
        assert "was damaged; it is kept as attempts.damaged-1.sqlite3" in records.messages[0]
    with Records(path) as records:
        assert records.load(attempt.number).acts == ACTS[:2]
        assert records.load(attempt.number).outcome == "passed"
    assert path.with_name("attempts.damaged-1.sqlite3").stat().st_size > size


def test_two_programs_do_not_take_up_the_same_attempt(path: Path) -> None:
    with Records(path) as records:
        begin(records).act(ACTS[0])
    with Records(path) as one, Records(path) as other:
        connection = sqlite3.connect(path)
        connection.execute("UPDATE attempts SET process='1:1'")
        connection.commit()

        def dead(_token: str) -> bool:
            # Between the look and the claim another program is faster.
            connection.execute("UPDATE attempts SET process='2:2'")
            connection.commit()
            return False

        with pytest.raises(NoSuchAttempt, match="by another program just now"):
            one.reopen(1, is_alive=dead)
        connection.close()
        other.reopen(1, is_alive=lambda _token: False)
        other.reopen(1)  # its own is not taken from itself
        connection = sqlite3.connect(path)
        connection.execute("UPDATE attempts SET process='3:3'")
        connection.commit()
        connection.close()
        with pytest.raises(NoSuchAttempt, match="a program that runs"):
            one.reopen(1, is_alive=lambda token: token == "3:3")
