"""The page of what the exercises cover: complete, and honest about what is asked for too seldom.

The page itself is flown again with `-m long`.
"""

from __future__ import annotations

import re

import pytest

from tests.crew.coverage import PAGE, breaking, flows, page
from trainer.scenario.library import default_library

ROW = re.compile(r"^\| (?P<name>[^|]+) \| (?P<count>\d+) \|", re.MULTILINE)
SELDOM = {"LNAV minimum", "LNAV minimum, said"}
"""Items that fewer than two exercises ask for so far; this set may only shrink."""
UNBROKEN = {"speed limit"}
"""Watches that no crew of the corpus breaks so far (their rules have tests of their own)."""


def written() -> str:
    return PAGE.read_text(encoding="utf-8")


def test_every_item_and_watch_of_every_flow_stands_on_the_page() -> None:
    names = {found["name"] for found in ROW.finditer(written())}
    for flow in flows():
        assert f"(`{flow.name}`)" in written()
        own = [one.name for one in (*flow.items, *flow.go_around) if one.act.kind != "read back"]
        missing = {one for one in own if one not in names and not one.startswith("answer to ")}
        assert all("(" in one for one in missing), missing
        assert {watch.name for watch in flow.watches} <= names


def test_every_item_and_watch_is_exercised_by_two_exercises_but_for_those_named() -> None:
    counts: dict[str, int] = {}
    for found in ROW.finditer(written()):
        counts[found["name"]] = max(int(found["count"]), counts.get(found["name"], 0))
    assert {name for name, count in counts.items() if count < 2} == SELDOM


def test_every_watch_is_broken_by_a_crew_but_for_those_named() -> None:
    watches = {watch.name for flow in flows() for watch in flow.watches}
    assert {name for name in watches if name not in breaking()} == UNBROKEN


def test_the_exercises_named_exist() -> None:
    known = set(default_library().names("exercise"))
    for line in written().splitlines():
        cells = [cell.strip() for cell in line.strip("|").split("|")]
        if len(cells) == 3 and cells[1].isdecimal() and "/" not in cells[2] and cells[2] != "–":
            assert set(cells[2].split(", ")) <= known, line


@pytest.mark.long
def test_the_page_is_what_is_flown() -> None:
    assert written() == page(), "run: python -m tests.crew.coverage"
