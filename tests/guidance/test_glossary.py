"""Every word that the annunciator can show has its line in the glossary."""

from __future__ import annotations

from pathlib import Path

import pytest

from trainer.scenario.vocabulary import words

GLOSSARY = (Path(__file__).parents[2] / "docs" / "glossary.md").read_text(encoding="utf-8")
WORDS = sorted(
    {word for column in words.MODES.values() for word in column if word} | {"FLOW", "PROCEDURE"}
)


@pytest.mark.parametrize("word", WORDS)
def test_the_glossary_explains(word: str) -> None:
    assert f"- **{word}**: " in GLOSSARY
