"""The command `new`: a file of each kind that is valid as it stands and harms no other."""

from __future__ import annotations

import json
import os
import pty
import re
import subprocess
from pathlib import Path

import pytest

from tests.project.command import COMMAND, run
from tests.scenario.test_schema import errors
from trainer import paths
from trainer.crew.fly import fly_crew
from trainer.scenario import compose, drafts, library, nodes
from trainer.scenario.crew_files import CrewFile
from trainer.scenario.vocabulary.tables import KINDS
from trainer.text import NOTICE

pytestmark = pytest.mark.usefixtures("empty_home")
BUILT_IN = library.Library((paths.built_in_scenarios(),))


def flown_flows() -> list[str]:
    """Every flow that an exercise flies."""
    found = set()
    for one in BUILT_IN.exercises():
        node = library.parse_file(one.path)
        assert isinstance(node, nodes.Mapping)
        found.add(nodes.plain(node)["flow"])
    return sorted(found)


@pytest.mark.parametrize("kind", KINDS)
def test_a_new_file_is_valid_as_it_stands_and_explains_itself(kind: str) -> None:
    done = run("new", kind, "first-try")
    assert (done.returncode, done.stdout) == (0, ""), done.stderr
    path = paths.user_scenarios() / KINDS[kind] / "first-try.yaml"
    text = path.read_text(encoding="utf-8")
    assert NOTICE in re.sub(r"\s+#? ?", " ", text)
    assert "# version of the format" in text
    assert errors(kind, text) == []
    header = re.match(r"# yaml-language-server: \$schema=(\S+)\n", text)
    assert header is not None
    beside = json.loads((path.parent / header[1]).read_text(encoding="utf-8"))
    assert beside["title"] == f"Approach Drill: {kind} file"
    if kind != "exercise":
        checked = run("check", str(path))
        assert checked.returncode == 0, checked.stderr
        assert f"a valid {kind}" in checked.stdout
        assert json.loads(run("check", str(path), "--json").stdout)["results"][0]["valid"]


def test_files_of_ones_own_fit_together(empty_home: Path) -> None:
    parts = [word for kind in ("airport", "aircraft", "flow", "house")
             for word in (f"--{kind}", f"my-{kind}")]  # fmt: skip
    for kind in ("airport", "aircraft", "flow", "house"):
        assert run("new", kind, f"my-{kind}").returncode == 0
    done = run("new", "exercise", "mine", *parts, "--set", "weather.wind.1.speed=11 kt")
    assert done.returncode == 0, done.stderr
    exercise = compose.load("mine", library.default_library())
    assert exercise.flow.name == "my-flow"
    assert exercise.house.name == "my-house"
    assert exercise.weather.wind[0].speed_kt == 11.0
    assert "mine" in run("list").stdout
    assert empty_home in paths.user_scenarios().parents


@pytest.mark.parametrize("flow", flown_flows())
def test_a_new_exercise_of_each_flow_is_flown_with_100_points(flow: str) -> None:
    wish = drafts.Wish("exercise", "fresh", "Fresh", values={"flow": flow, "lesson": "One thing."})
    text = drafts.draft(wish, BUILT_IN)
    exercise = compose.compose(nodes.parse(text, "fresh.yaml"), "fresh", BUILT_IN)
    assert exercise.flow.name == flow
    _, judgement = fly_crew(exercise, CrewFile("perfect", (), ()))
    assert judgement.points == 100.0


def test_a_file_that_stands_there_is_left_unless_forced(tmp_path: Path) -> None:
    path = tmp_path / "own.yaml"
    assert run("new", "exercise", "--output", str(path)).returncode == 0
    before = path.read_bytes()
    done = run("new", "exercise", "--output", str(path), "--title", "Other")
    assert done.returncode == 2
    assert "exists already" in done.stderr
    assert path.read_bytes() == before
    assert (
        run("new", "exercise", "--output", str(path), "--title", "Other", "--force").returncode == 0
    )
    assert b"title: Other" in path.read_bytes()
    assert sorted(one.name for one in tmp_path.iterdir()) == ["own.yaml", "schemas"]


def test_a_name_that_would_hide_another_file_is_refused() -> None:
    done = run("new", "exercise", "straight-in")
    assert done.returncode == 2
    assert "would hide" in done.stderr
    assert run("new", "exercise", "straight-in", "--force").returncode == 0


def test_a_schema_file_of_somebody_else_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "schemas").mkdir()
    own = tmp_path / "schemas" / "exercise.json"
    own.write_text("{}", encoding="utf-8")
    assert run("new", "exercise", "--output", str(tmp_path / "own.yaml")).returncode == 0
    assert own.read_text(encoding="utf-8") == "{}"


def test_a_folder_that_cannot_be_made_is_said(tmp_path: Path) -> None:
    (tmp_path / "plain").write_text("", encoding="utf-8")
    done = run("new", "house", "--output", str(tmp_path / "plain" / "ours.yaml"))
    assert done.returncode == 2
    assert "no folder for the new file" in done.stderr
    assert [one.name for one in tmp_path.iterdir()] == ["plain"]


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        ((), "a kind is missing; expected exercise, airport"),
        (("exercise",), "a name is missing"),
        (("exercise", "Big"), "is no name of a file"),
        (("exercise", "x", "--like", "strait-in"), 'did you mean "straight-in"?'),
        (("exercise", "x", "--set", "weather.wind.9.speed=3 kt"), "no entry"),
        (("exercise", "x", "--set", "title.en=X"), "stands below a value"),
        (("exercise", "x", "--set", "weather"), "expected PATH=VALUE"),
        (("exercise", "x", "--set", "weather.qnh=1012"), "has no unit"),
        (("exercise", "x", "--like", "straight-in", "--aircraft", "piston-single"), "is for a jet"),
        (("exercise", "x", "--output", "y.yaml"), "differ"),
        (("exercise", "x", "--output", "x.txt"), "ends in .yaml"),
        (("house", "x", "--lesson", "No."), "only for an exercise"),
    ],
    ids=str,
)
def test_what_cannot_be_made_is_said_and_nothing_is_written(
    arguments: tuple[str, ...], message: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    done = run("new", *arguments)
    assert done.returncode == 2
    assert message in done.stderr
    assert not list(tmp_path.rglob("*.yaml"))


def test_on_a_terminal_what_is_left_open_is_asked_for() -> None:
    done = on_terminal("Glide flag late\n\nThe path may go.\n\n", "new", "exercise")
    assert done.returncode == 0
    text = (paths.user_scenarios() / "exercises" / "glide-flag-late.yaml").read_text("utf-8")
    assert "title: Glide flag late  # name shown" in text
    assert "lesson: The path may go." in text


def test_an_answer_that_cannot_be_used_is_asked_for_again() -> None:
    typed = "exercises\nexercise\nSteep\nSteep!\nsteep\n\nstraight-on\n\n"
    done = on_terminal(typed, "new")
    assert done.returncode == 0
    assert (paths.user_scenarios() / "exercises" / "steep.yaml").exists()


def test_an_answer_that_does_not_come_leaves_nothing_behind() -> None:
    assert on_terminal("Half\n\x04", "new", "exercise").returncode == 130
    assert not paths.user_scenarios().exists()


def on_terminal(typed: str, *arguments: str) -> subprocess.CompletedProcess[bytes]:
    """The command with a terminal as its input and talk, after `typed`."""
    ours, theirs = pty.openpty()
    try:
        os.write(ours, typed.encode())
        return subprocess.run(
            [*COMMAND, *arguments], stdin=theirs, stderr=theirs, stdout=subprocess.PIPE, timeout=60
        )
    finally:
        os.close(ours)
        os.close(theirs)
