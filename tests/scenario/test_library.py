"""Which files there are: the first root wins, and nothing leads out of a root."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.scenario import corpus
from trainer.errors import FileProblems
from trainer.scenario import compose, library
from trainer.scenario.library import Library


def write(root: Path, folder: str, name: str, text: str = "format: 1\n") -> Path:
    (root / folder).mkdir(parents=True, exist_ok=True)
    path = root / folder / name
    path.write_text(text, encoding="utf-8")
    return path


def test_a_users_file_hides_the_built_in_one_and_says_so(tmp_path: Path) -> None:
    own, built_in = tmp_path / "own", tmp_path / "built-in"
    write(own, "exercises", "first.yaml", "title: Mine\n")
    write(built_in, "exercises", "first.yaml", "title: Built in\n")
    write(built_in, "exercises", "second.yaml", "title: Other\n")
    found = Library((own, built_in))
    assert [(one.name, one.title, one.is_hiding) for one in found.exercises()] == [
        ("first", "Mine", True),
        ("second", "Other", False),
    ]


def test_only_small_plain_names_with_the_ending_are_files(tmp_path: Path) -> None:
    for name in ("Upper.yaml", "a b.yaml", "-x.yaml", "x.yml", "x.yaml.bak", ".hidden.yaml"):
        write(tmp_path, "flows", name)
    write(tmp_path, "flows", "good-1.yaml")
    (tmp_path / "flows" / "folder.yaml").mkdir()
    assert Library((tmp_path,)).names("flow") == ["good-1"]


def test_a_link_out_of_the_root_is_no_file(tmp_path: Path) -> None:
    outside = write(tmp_path, "outside", "secret.yaml")
    inside = write(tmp_path / "root", "flows", "real.yaml")
    (tmp_path / "root" / "flows" / "away.yaml").symlink_to(outside)
    (tmp_path / "root" / "flows" / "near.yaml").symlink_to(inside)
    (tmp_path / "root" / "flows" / "nowhere.yaml").symlink_to(tmp_path / "none")
    (tmp_path / "root" / "flows" / "circle.yaml").symlink_to(
        tmp_path / "root" / "flows" / "circle.yaml"
    )
    assert Library((tmp_path / "root",)).names("flow") == ["near", "real"]


@pytest.mark.parametrize("trailing", ["", "/"])
def test_a_folder_is_called_one_and_the_exercises_in_it_are_named(
    trailing: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    exercise = corpus.GOOD[-1].read_text(encoding="utf-8")
    write(tmp_path, "drills", "tailwind.yaml", exercise)
    write(tmp_path, "drills", "crosswind.yaml", exercise)
    write(tmp_path, "drills", "crew.yaml", "crew: 1\n")
    write(tmp_path, "drills", "notes.txt", exercise)
    with pytest.raises(FileProblems) as caught:
        compose.load(f"drills{trailing}", corpus.corpus_library())
    assert str(caught.value) == (
        'drills: "drills" is a folder; expected one exercise; '
        "its exercises are drills/crosswind.yaml or drills/tailwind.yaml"
    )


def test_a_scenario_folder_names_the_exercises_below_it_and_an_empty_one_says_so(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    write(tmp_path, "own/exercises", "first.yaml", corpus.GOOD[-1].read_text(encoding="utf-8"))
    (tmp_path / "bare").mkdir()
    for folder, expected in (
        ("own", "its exercises are own/exercises/first.yaml"),
        ("bare", "there is no exercise in it"),
    ):
        with pytest.raises(FileProblems, match=expected):
            compose.load(Path(folder), corpus.corpus_library())


def test_a_root_that_is_not_there_holds_nothing(tmp_path: Path) -> None:
    assert Library((tmp_path / "none",)).exercises() == []


def test_a_listing_survives_a_broken_file(tmp_path: Path) -> None:
    write(tmp_path, "exercises", "broken.yaml", "a: [\n")
    write(tmp_path, "exercises", "list.yaml", "- a\n")
    write(tmp_path, "exercises", "good.yaml", "title: Good\nlevel: 3\nlesson: Yes\n")
    listings = {one.name: one for one in Library((tmp_path,)).exercises()}
    assert "breaks off" in listings["broken"].problem
    assert listings["list"].problem
    assert (listings["good"].title, listings["good"].level, listings["good"].problem) == (
        "Good", 3, "",
    )  # fmt: skip


def test_a_changed_file_is_read_again(tmp_path: Path) -> None:
    path = write(tmp_path, "exercises", "x.yaml", "title: One\n")
    found = Library((tmp_path,))
    assert found.exercises()[0].title == "One"
    path.write_text("title: Another\n", encoding="utf-8")
    assert found.exercises()[0].title == "Another"


def test_the_built_in_exercises_are_listed_with_what_they_need() -> None:
    listings = {one.name: one for one in library.Library(corpus.roots()).exercises()}
    first = listings["straight-in"]
    assert (first.airport, first.approach, first.aircraft, first.level) == (
        "qxma", "ILS 14", "twin-jet", 1,
    )  # fmt: skip


def test_a_file_that_cannot_be_read_is_a_problem_and_no_crash(tmp_path: Path) -> None:
    for path in (tmp_path / "none.yaml", tmp_path, tmp_path / ("x" * 300 + ".yaml")):
        with pytest.raises(FileProblems):
            library.parse_file(path)
