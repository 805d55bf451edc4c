"""Every file of the corpus: good ones compose, bad ones get exactly the report beside them.

Adding a file here is adding a test. A bad file is written for one mistake; its report was read by
a person before it was stored.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.scenario import corpus
from trainer.scenario import compose, library, nodes


@pytest.fixture
def pure_loader(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(nodes, "_FastLoader", None)
    library.parsed.cache_clear()


@pytest.mark.parametrize("path", corpus.GOOD, ids=lambda path: path.stem)
def test_a_good_file_composes_and_its_stored_form_gives_the_same_exercise(path: Path) -> None:
    exercise = compose.load(path, corpus.corpus_library())
    assert exercise.name == path.stem
    assert compose.from_canonical(exercise.canonical) == exercise


@pytest.mark.parametrize("path", corpus.BAD, ids=lambda path: path.stem)
def test_a_bad_file_gets_the_report_beside_it(path: Path) -> None:
    assert corpus.report_of(path) == path.with_suffix(".txt").read_text(encoding="utf-8")


@pytest.mark.usefixtures("pure_loader")
@pytest.mark.parametrize("path", corpus.BAD, ids=lambda path: path.stem)
def test_the_parser_in_python_reports_the_same(path: Path) -> None:
    assert corpus.report_of(path) == path.with_suffix(".txt").read_text(encoding="utf-8")


def test_every_report_belongs_to_a_file_and_says_something() -> None:
    reports = sorted((corpus.ROOT / "bad").glob("*.txt"))
    assert [path.stem for path in reports] == [path.stem for path in corpus.BAD]
    assert all(path.read_text(encoding="utf-8").strip() for path in reports)


def test_each_report_starts_with_a_position_and_shows_the_line() -> None:
    for path in corpus.BAD:
        first = path.with_suffix(".txt").read_text(encoding="utf-8").split("\n")[0]
        assert ".yaml:" in first, path.stem


def test_the_exercises_that_come_with_the_program_compose() -> None:
    built_in = library.Library(corpus.roots()[1:])
    names = built_in.names("exercise")
    assert "straight-in" in names
    for name in names:
        exercise = compose.load(name, built_in)
        assert compose.from_canonical(exercise.canonical) == exercise
