"""A house on its own: which flows it has words for."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.project.sources import ROOT
from tests.scenario import corpus
from trainer.proof.checking import check_command
from trainer.scenario import alone
from trainer.scenario.library import Library

STANDARD = ROOT / "scenarios" / "houses" / "standard.yaml"


def test_the_standard_house_has_words_for_every_shipped_flow() -> None:
    assert alone.unsaid(STANDARD, Library(corpus.roots()[1:])) == {}


def test_a_call_that_was_given_another_name_is_told_with_the_flows_that_say_it(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "houses" / "standard.yaml"
    path.parent.mkdir()
    text = STANDARD.read_text(encoding="utf-8")
    assert "\n  glide alive: [glide alive]\n" in text
    path.write_text(text.replace("  glide alive: [", "  glide is alive: ["), encoding="utf-8")
    missing = alone.unsaid(path, Library(corpus.roots()[1:]))
    assert missing["jet-ils"] == ["glide alive"]
    assert "jet-loc" not in missing
    assert check_command([str(path)], is_json=False, jobs=1, limit=0) == 0
    assert 'no words for "glide alive", which the flow jet-ils says' in capsys.readouterr().out
