"""What `check` prints: nothing in it may read as a fault that is none."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.scenario import corpus
from trainer.proof.checking import check_command


def test_mutations_without_a_meaning_are_said_to_be_that(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert check_command(["straight-in"], is_json=False, jobs=1, limit=1) == 1
    printed = capsys.readouterr().out
    assert "mutations have no meaning here (for example a wrong value of a button)" in printed
    assert "listed with --json" in printed
    assert "do not apply" not in printed


def test_a_folder_is_refused_with_the_names_of_its_exercises(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "drills").mkdir()
    text = (corpus.ROOT / "good" / "smallest.yaml").read_text(encoding="utf-8")
    (tmp_path / "drills" / "first.yaml").write_text(text, encoding="utf-8")
    assert check_command(["drills"], is_json=False, jobs=1, limit=1) == 2
    captured = capsys.readouterr()
    assert "drills/first.yaml" in captured.out + captured.err
