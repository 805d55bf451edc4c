"""The page of what the exercises cover: complete, and honest about what is asked for too seldom.

The page itself is flown again with `-m long`.
"""

from __future__ import annotations

import re

import pytest

from tests.crew.coverage import LAWS, PAGE, breaking, flows, page, told
from tests.crew.crews import flown
from tests.guidance.page import option_rows, types
from trainer.scenario.library import default_library

ROW = re.compile(r"^\| (?P<name>[^|]+) \| (?P<count>\d+) \|", re.MULTILINE)

GUIDANCE = "## Laws of the guidance"
"""Where the part of the page begins that tells of the guidance, not of the flows."""


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


def test_every_item_and_watch_is_exercised_by_two_exercises() -> None:
    counts: dict[str, int] = {}
    for found in ROW.finditer(written().partition(GUIDANCE)[0]):
        counts[found["name"]] = max(int(found["count"]), counts.get(found["name"], 0))
    assert {name for name, count in counts.items() if count < 2} == set()


def test_every_watch_is_broken_by_a_crew() -> None:
    watches = {watch.name for flow in flows() for watch in flow.watches}
    assert watches - breaking().keys() == set()


def test_every_law_is_exercised() -> None:
    counts = {one["name"]: int(one["count"]) for one in ROW.finditer(guidance_part()[0])}
    assert counts.keys() == LAWS.keys()
    assert all(counts.values())


def test_every_choice_of_every_type_is_flown() -> None:
    counts = {one["name"]: int(one["count"]) for one in ROW.finditer(guidance_part()[1])}
    for option in option_rows(types()):
        for value in option.values:
            assert counts[f"{option.name}: {value}"] > 0, (option.name, value)


def guidance_part() -> list[str]:
    """The two tables of laws and choices."""
    return written().partition(GUIDANCE)[2].split("## ")


def test_a_selector_turned_in_altitude_capture_is_told_with_what_became_of_it() -> None:
    facts = flown("stolen-level-off")[0].flight.facts
    lines = list(told(facts))
    assert "mode vertical: DESCEND to ALT CAP; selected altitude captured" in lines
    assert "turned altitude: kept" in lines


def test_the_exercises_named_exist() -> None:
    known = set(default_library().names("exercise"))
    for line in written().splitlines():
        cells = [cell.strip() for cell in line.strip("|").split("|")]
        if len(cells) == 3 and cells[1].isdecimal() and "/" not in cells[2] and cells[2] != "–":
            assert set(cells[2].split(", ")) <= known, line


@pytest.mark.long
def test_the_page_is_what_is_flown() -> None:
    assert written() == page(), "run: python -m tests.crew.coverage"
