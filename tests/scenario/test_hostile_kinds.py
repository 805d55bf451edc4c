"""Files that want to do harm: refused soon, in little memory and with one line, or not found.

Each is read by the program itself in a process of its own whose memory and processor time are
limited; that no code ran and no other file was read is looked at from outside.
"""

from __future__ import annotations

import json
import os
import resource
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from tests.scenario import corpus
from trainer.cli.main import run
from trainer.errors import FileProblems
from trainer.scenario import compose, library, nodes

pytestmark = pytest.mark.dear

GOOD = (corpus.ROOT / "good" / "everything.yaml").read_text(encoding="utf-8")
SHORT = (corpus.ROOT / "good" / "smallest.yaml").read_text(encoding="utf-8")
MEGABYTE = 1024 * 1024
MEMORY_MB = 100
"""What a refusal may add to a process that has read a good file, MB."""
SECONDS = 1.0
"""Processor time that a refusal may take."""

READER = """
import resource, sys, time
from pathlib import Path
from trainer.cli.main import run
from trainer.errors import FileProblems
from trainer.scenario import compose, library, crew_files
found = library.default_library()
compose.load("straight-in", found)
before = resource.getrusage(resource.RUSAGE_SELF)
begun = time.process_time()
try:
    compose.load(Path(sys.argv[1]), found)
    print("composed")
except FileProblems as error:
    print(len(error.problems), error.problems[0].headline())
spent = time.process_time() - begun
grown = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before.ru_maxrss
print(f"{spent:.3f} {grown / 1024:.1f}")
"""


def bomb() -> bytes:
    """Nine lists of nine references each to the one before: 9^9 values when walked."""
    lines = ["a0: &a0 [x, x, x, x, x, x, x, x, x]"]
    for level in range(1, 10):
        refs = ", ".join([f"*a{level - 1}"] * 9)
        lines.append(f"a{level}: &a{level} [{refs}]")
    return "\n".join(lines).encode()


HOSTILE: dict[str, Callable[[], bytes]] = {
    "alias bomb": bomb,
    "aliases in a circle": lambda: b"a: &a [*a]\n",
    "merge bomb": lambda: b"a: &a {x: 1}\nb: {<<: [*a, *a, *a]}\n",
    "brackets nested 100,000 deep": lambda: b"a: " + b"[" * 100_000,
    "mappings nested 20,000 deep": lambda: b"{a: " * 20_000,
    "indented 500 deep": lambda: b"\n".join(b" " * n + b"a:" for n in range(500)),
    "50 MB of text": lambda: b"title: " + b"x" * (50 * MEGABYTE),
    "50 MB of keys": lambda: b"".join(b"key%d: 1\n" % n for n in range(4 * MEGABYTE)),
    "as many keys as fit": lambda: b"".join(b"k%d: 1\n" % n for n in range(22_000)),
    "as many empty lists as fit": lambda: b"a: [" + b"[]," * 80_000 + b"]",
    "one key of 250 kB": lambda: b"k" * 250_000 + b": 1\n",
    "one line of quotes": lambda: b'"' * 200_000,
    "NUL": lambda: SHORT.replace("Ten", "T\0n").encode(),
    "NUL, escaped": lambda: SHORT.replace("Ten lines", '"T\\0n"').encode(),
    "an escape sequence": lambda: SHORT.replace("Ten", "\x1b[31mTen").encode(),
    "an escape sequence, escaped": lambda: SHORT.replace("Ten lines", '"\\e[31mTen"').encode(),
    "a title for the terminal": lambda: SHORT.replace("Ten lines", '"\\e]0;mine\\a"').encode(),
    "eight-bit controls": lambda: SHORT.replace("Ten", "\x9b31mTen").encode(),
    "right-to-left override": lambda: SHORT.replace("Ten", "\u202eneT").encode(),
    "right-to-left isolate, escaped": lambda: SHORT.replace("Ten lines", '"\\u2067x"').encode(),
    "zero-width joiner": lambda: SHORT.replace("Ten", "T\u200den").encode(),
    "half a surrogate": lambda: SHORT.replace("Ten lines", '"\\ud800"').encode(),
    "bytes that are no text": lambda: b"title: \xff\xfe\xfa\n",
    "another encoding": lambda: SHORT.encode("utf-16"),
    "a python object": lambda: b"!!python/object/apply:os.system ['touch harm']\n",
    "a python name": lambda: SHORT.replace("Ten lines", "!!python/name:os.system").encode(),
    "a python module": lambda: SHORT.replace("Ten lines", "!!python/module:antigravity").encode(),
    "a tag of its own": lambda: SHORT.replace("Ten lines", "!exec 'touch harm'").encode(),
    "a tag handle": lambda: b"%TAG ! tag:yaml.org,2002:python/\n---\n" + SHORT.encode(),
    "an absolute reference": lambda: SHORT.replace("qxma", "/etc/passwd").encode(),
    "a reference upwards": lambda: SHORT.replace("qxma", "../../../etc/passwd").encode(),
    "a reference with a drive": lambda: SHORT.replace("qxma", "C:\\\\x").encode(),
    "a reference with a shell": lambda: SHORT.replace("qxma", "'$(touch harm)'").encode(),
    "a template that reaches for attributes": lambda: GOOD.replace(
        "{callsign}", "{callsign.__class__.__init__.__globals__}"
    ).encode(),
    "a second document": lambda: SHORT.encode() + b"---\n" + SHORT.encode(),
    "a number of 5,000 digits": lambda: SHORT.replace("3000 ft", "9" * 5000 + " ft").encode(),
    "nothing": lambda: b"",
    "only comments": lambda: b"# nothing\n" * 1000,
}  # fmt: skip


def limited() -> None:
    """Limits of the reading process: processor time, address space, no core file."""
    resource.setrlimit(resource.RLIMIT_CPU, (20, 20))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    resource.setrlimit(resource.RLIMIT_AS, (600 * MEGABYTE, 600 * MEGABYTE))


@pytest.mark.skipif(sys.platform != "linux", reason="limits of Linux")
@pytest.mark.parametrize("kind", HOSTILE)
def test_a_hostile_file_is_refused_soon_and_in_little_memory(kind: str, tmp_path: Path) -> None:
    path = tmp_path / "hostile.yaml"
    path.write_bytes(HOSTILE[kind]())
    done = subprocess.run(
        [sys.executable, "-c", READER, str(path)],
        capture_output=True, text=True, cwd=tmp_path, preexec_fn=limited,
        env={**os.environ, "PYTHONPATH": str(Path(__file__).resolve().parents[2])},
    )  # fmt: skip
    assert done.returncode == 0, done.stderr[-500:]
    said, figures = done.stdout.rsplit("\n", 2)[:2]
    assert said != "composed"
    assert "hostile.yaml" in said
    assert said.isprintable(), "one line, and nothing a terminal would obey"
    spent_s, grown_mb = (float(figure) for figure in figures.split())
    assert spent_s < SECONDS
    assert grown_mb < MEMORY_MB
    assert sorted(entry.name for entry in tmp_path.iterdir()) == ["hostile.yaml"], "nothing ran"
    assert "root:" not in done.stdout, "no other file was read"


# What is no plain file --------------------------------------------------------------------------


def refused(path: Path) -> str:
    with pytest.raises(FileProblems) as caught:
        compose.load(path, corpus.corpus_library())
    return caught.value.problems[0].message


def test_a_pipe_is_not_waited_for(tmp_path: Path) -> None:
    path = tmp_path / "pipe.yaml"
    os.mkfifo(path)
    assert "is no plain file" in refused(path)


def test_a_device_is_not_read(tmp_path: Path) -> None:
    path = tmp_path / "endless.yaml"
    path.symlink_to("/dev/zero")
    assert "is no plain file" in refused(path)


def test_a_folder_named_like_a_file_is_no_file(tmp_path: Path) -> None:
    path = tmp_path / "folder.yaml"
    path.mkdir()
    assert "is a folder" in refused(path)


def test_a_link_to_nowhere_and_one_in_a_circle_do_not_exist(tmp_path: Path) -> None:
    nowhere, circle = tmp_path / "nowhere.yaml", tmp_path / "circle.yaml"
    nowhere.symlink_to(tmp_path / "gone.yaml")
    circle.symlink_to(circle)
    assert "does not exist" in refused(nowhere)
    assert "does not exist" in refused(circle)
    assert run(["check", str(circle)]) == 2


@pytest.mark.skipif(os.geteuid() == 0, reason="root may read everything")
def test_a_file_that_may_not_be_read_says_so(tmp_path: Path) -> None:
    path = tmp_path / "secret.yaml"
    path.write_text(SHORT, encoding="utf-8")
    path.chmod(0)
    assert "cannot be read" in refused(path)


def test_the_size_of_a_file_is_told_as_it_is(tmp_path: Path) -> None:
    path = tmp_path / "big.yaml"
    path.write_bytes(b"x" * 3_000_000)
    assert refused(path).startswith("3,000,000 bytes are too many; at most 262,144 are read")


def test_a_root_ignores_what_leads_out_of_it_and_what_is_no_plain_file(tmp_path: Path) -> None:
    outside = tmp_path / "outside.yaml"
    outside.write_text("format: 1\n", encoding="utf-8")
    folder = tmp_path / "root" / "airports"
    folder.mkdir(parents=True)
    (folder / "out.yaml").symlink_to(outside)
    (folder / "loop.yaml").symlink_to(folder / "loop.yaml")
    os.mkfifo(folder / "pipe.yaml")
    (folder / "zero.yaml").symlink_to("/dev/zero")
    (folder / "dir.yaml").mkdir()
    (folder / "UPPER.yaml").write_text("format: 1\n", encoding="utf-8")
    (folder / "in.yaml").write_text("format: 1\n", encoding="utf-8")
    (folder / "same.yaml").symlink_to(folder / "in.yaml")
    found = library.Library([tmp_path / "root"])
    assert found.names("airport") == ["in", "same"]


def test_a_folder_that_leads_out_of_its_root_holds_nothing(tmp_path: Path) -> None:
    away = tmp_path / "away"
    away.mkdir()
    (away / "in.yaml").write_text("format: 1\n", encoding="utf-8")
    root = tmp_path / "root"
    root.mkdir()
    (root / "airports").symlink_to(away)
    assert library.Library([root]).names("airport") == []


def test_of_a_folder_with_very_many_files_only_so_many_are_looked_at(tmp_path: Path) -> None:
    folder = tmp_path / "airports"
    folder.mkdir()
    for number in range(library.MOST_FILES + 50):
        (folder / f"a{number:05d}.yaml").touch()
    assert len(library.Library([tmp_path]).names("airport")) == library.MOST_FILES


# Text in every field ----------------------------------------------------------------------------

MARKUP = "[red]x[/] <b>&amp;</b> $(x) `x` %s {{x}} =1+1 @x ../x"


def scalars(plain: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """The places of all texts in a plain document."""
    if isinstance(plain, dict):
        return [one for key, value in plain.items() for one in scalars(value, (*path, key))]
    if isinstance(plain, list):
        return [one for place, value in enumerate(plain) for one in scalars(value, (*path, place))]
    return [path]


def replaced(plain: Any, path: tuple[Any, ...], text: str) -> bytes:
    """The document with one text replaced, written as JSON, which is YAML too."""
    document = json.loads(json.dumps(plain))
    holder = document
    for step in path[:-1]:
        holder = holder[step]
    holder[path[-1]] = text
    return json.dumps(document).encode()


def stripped(plain: Any) -> Any:
    """The document without line breaks, which only block text may hold."""
    if isinstance(plain, dict):
        return {key: stripped(value) for key, value in plain.items()}
    if isinstance(plain, list):
        return [stripped(value) for value in plain]
    return plain.replace("\n", " ").strip()


PLAIN = stripped(nodes.plain(nodes.parse(GOOD, "good")))
PLACES = scalars(PLAIN)


def test_the_document_whose_fields_are_replaced_is_good() -> None:
    text = json.dumps(PLAIN)
    assert compose.compose(nodes.parse(text, "t.yaml"), "t", corpus.corpus_library())


@pytest.mark.parametrize("text", ["\x1b[31mx", "\u202ex", "x\0", "x\x9b1m"], ids=ascii)
def test_what_a_terminal_would_obey_is_refused_in_every_field(text: str) -> None:
    found = corpus.corpus_library()
    assert len(PLACES) > 60
    for path in PLACES:
        with pytest.raises(FileProblems) as caught:
            compose.compose(nodes.parse(replaced(PLAIN, path, text), "t.yaml"), "t", found)
        report = str(caught.value)
        assert "control and format characters are refused" in report, path
        assert all(line.isprintable() for line in report.split("\n")), path


def test_markup_in_any_field_is_kept_as_it_is_or_refused_and_quoted_as_it_is() -> None:
    found = corpus.corpus_library()
    kept = 0
    for path in PLACES:
        node = nodes.parse(replaced(PLAIN, path, MARKUP), "t.yaml")
        report = ""
        try:
            exercise = compose.compose(node, "t", found)
            kept += 1
            is_remark = path[0] == "notes"  # kept for readers of the file, not of the exercise
            assert is_remark or json.dumps(MARKUP)[1:-1] in exercise.canonical, path
        except FileProblems as error:
            report = str(error)
        assert all(line.isprintable() for line in report.split("\n") if line), path
    assert kept >= 5
