"""The page of checks is made of the checks; its computed column may differ in the last digit."""

from __future__ import annotations

from tests.published.page import PAGE, page
from tests.published.test_published import ALL


def columns(text: str) -> list[list[str]]:
    """The page without its computed column."""
    rows = [line.split(" | ") for line in text.splitlines() if line.startswith("| ")]
    return [row[:4] + row[5:] for row in rows]


def test_the_page_of_checks_is_current() -> None:
    kept = PAGE.read_text(encoding="utf-8")
    assert columns(kept) == columns(page()), "write it again: python -m tests.published.page"


def test_there_are_enough_independent_check_values() -> None:
    assert len(ALL) >= 250
    assert len([check for _, check in ALL if check.kind in ("published", "library")]) >= 250
