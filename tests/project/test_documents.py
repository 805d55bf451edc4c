"""Every JSON document has exactly the keys that `docs/documents.md` lists, whatever is in it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from tests.project.command import document
from tests.project.sources import ROOT
from trainer.text import NOTICE

_SECTION = re.compile(r"^## approach-drill/(\w+)\n(.*?)(?=^## |\Z)", re.M | re.S)
_KEY = re.compile(r"^\| `([^`]+)` \|", re.M)
_NAMED = ("areas", "ladders")
"""Mappings whose keys are names."""
CREW = """\
crew: 1
base: perfect
edits: [{omit: landing flap}, {omit: "go around, not stable"}]
"""


@cache
def listed() -> dict[str, set[str]]:
    """The keys of each document, as the page has them."""
    text = (ROOT / "docs" / "documents.md").read_text(encoding="utf-8")
    return {name: set(_KEY.findall(part)) for name, part in _SECTION.findall(text)}


def paths(value: Any, at: str = "") -> Iterator[str]:
    """The keys of a document as the page writes them; of lists of plain values, the list."""
    if isinstance(value, dict) and value:
        inside = at.rsplit(".", 1)[-1]
        for key, below in value.items():
            name = "NAME" if inside in _NAMED else key
            yield from paths(below, f"{at}.{name}" if at else name)
    elif isinstance(value, list) and value and isinstance(value[0], dict):
        for entry in value:
            yield from paths(entry, f"{at}[]")
    else:
        yield at


def check(name: str, *made: dict[str, Any]) -> None:
    """Together `made` have all keys of the page, and none of them another one."""
    found: set[str] = set()
    for one in made:
        assert one["format"] == f"approach-drill/{name}"
        assert one["version"] == 1
        assert one["notice"] == NOTICE
        found |= set(paths(one))
    # A list or mapping that is empty in one document may be full in another.
    known = listed()[name]
    containers = {
        key for key in found if any(text.startswith((f"{key}[", f"{key}.")) for text in known)
    }
    assert found - containers == known - unseen(name)


def unseen(name: str) -> set[str]:
    """Keys that only a broken exercise or a briefing could fill."""
    if name != "check":
        return set()
    found = {
        f"results[].imperfect[].{key}" for key in ("drawn", "points", "found", "due_before_open")
    }
    return found | {"results[].misjudged[].mutant", "results[].misjudged[].found"}


def test_list() -> None:
    check("list", document("list", "--json"))


def test_brief() -> None:
    check("brief", document("brief", "straight-in", "--json"))


def test_check(tmp_path: Path) -> None:
    bad = tmp_path / "bad.yaml"
    bad.write_text("format: 1\ntitle: Bad\n", encoding="utf-8")
    files = str(bad), "discontinued-high"
    check("check", document("check", *files, "--limit", "2", "--json", code=2))


@pytest.mark.usefixtures("empty_home")
def test_judgement_and_history(tmp_path: Path) -> None:
    crew = tmp_path / "crew.yaml"
    crew.write_text(CREW, encoding="utf-8")
    flown = document("fly", "straight-in", "--crew", str(crew), "--json", "--record", code=1)
    assert flown["watches"]
    check("judgement", {**flown, "briefing": [BRIEFED]})
    check("history", document("history", "--json"))


BRIEFED = {
    "heading": "", "number": "", "said": None, "expected": "", "unit": "", "verdict": "",
    "why": "", "source": "",
}  # fmt: skip
"""Only a briefing on the screen fills this list; tests of the debrief look at its keys."""
