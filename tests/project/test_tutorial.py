"""The tutorial is walked in an empty folder: its commands in their order, its files, its report."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import pytest

from tests.project import command
from tests.project.test_docs import Block, blocks

PAGE = "tutorial.md"
EXERCISE = Path("exercises/tailwind.yaml")


def walked() -> list[Block]:
    return [block for block in blocks() if block.page.name == PAGE]


def only(kind: str) -> str:
    (text,) = [block.text for block in walked() if block.kind == kind]
    return text


def run(line: str, *more: str) -> tuple[int, str, str]:
    """Run a command of the page; its exit code and what it said."""
    words = shlex.split(line)
    assert words[0] == "approach-drill"
    done = command.run(*words[1:], *more)
    return done.returncode, done.stdout, done.stderr


def lines() -> list[str]:
    return [line for block in walked() if block.kind == "sh" for line in block.text.splitlines()]


@pytest.fixture
def folder(empty_home: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The folder `drills`, with the file that the page begins with."""
    made, entered, new = lines()[:3]
    assert (made, entered) == ("mkdir drills", "cd drills")
    place = empty_home / "drills"
    place.mkdir()
    monkeypatch.chdir(place)
    code, _, talk = run(new)
    assert code == 0, talk
    return place


def test_the_first_file_is_flown_with_100_points(folder: Path) -> None:
    code, said, _ = run(lines()[3])
    assert code == 0
    assert "100.0 points" in said
    assert sorted(one.name for one in folder.iterdir()) == ["exercises", "schemas"]


@pytest.mark.usefixtures("folder")
def test_the_mistakes_get_the_report_that_is_shown() -> None:
    text = EXERCISE.read_text(encoding="utf-8")
    broken = re.sub(r"(?ms)^weather:\n.*?(?=^# what happens)", lambda _: only("yaml broken"), text)
    assert broken != text
    EXERCISE.write_text(broken, encoding="utf-8")
    code, _, talk = run("approach-drill check exercises/tailwind.yaml")
    assert code == 2
    assert talk == only("text")


@pytest.mark.usefixtures("folder")
def test_the_exercise_is_flown_its_slip_is_found_and_its_proof_begins() -> None:
    EXERCISE.write_text(only("yaml exercise"), encoding="utf-8")
    Path("late.yaml").write_text(only("yaml crew"), encoding="utf-8")
    late, check, seed = lines()[4:]
    _, said, _ = run(late)
    findings = said[said.index("To work on") : said.index("Gates\n")]
    assert re.findall(r"(?m)^(\S.*): (?:late|missed|early|wrong)$", findings) == ["1. first flap"]
    assert "the stable gate not met" in said
    code, said, _ = run(seed)
    assert code == 0
    assert "100.0 points" in said
    assert run(check, "--limit", "2", "--jobs", "1")[0] == 1, "a part proves nothing"


@pytest.mark.long
@pytest.mark.usefixtures("folder")
def test_the_exercise_is_proved() -> None:
    EXERCISE.write_text(only("yaml exercise"), encoding="utf-8")
    code, said, _ = run(lines()[5])
    assert code == 0, said
    assert "precision 1.000, recall 1.000" in said
