"""The list of keys: complete, grouped, nothing cut, in pages where it does not fit."""

from __future__ import annotations

import pytest

from tests.crew.crews import exercise
from trainer.app.keymap import DEFAULT, ROWS, shown_key
from trainer.app.widgets.keys import COLUMN, groups, key_lines, page_of
from trainer.app.widgets.lines import plain
from trainer.text import width as cells

SIZES = [(80, 8), (100, 13), (140, 13), (25, 4), (10, 1)]


def pages(width: int, height: int) -> list[str]:
    """The text of every page."""
    count = page_of(0, width, height).pages
    return [
        "\n".join(plain(line) for line in key_lines(page_of(number, width, height), width))
        for number in range(count)
    ]


@pytest.mark.parametrize(("width", "height"), SIZES)
def test_every_key_with_its_text_is_on_some_page_and_nothing_is_cut(
    width: int, height: int
) -> None:
    text = "\n".join(pages(width, height))
    assert "…" not in text
    for heading, entries in groups():
        assert heading in text
        for cell in entries:
            assert cell.shown in text
            assert f" {cell.text}" in text


def test_every_row_of_the_key_table_is_in_a_group() -> None:
    listed = {cell.shown for _, entries in groups() for cell in entries}
    assert listed == {shown_key(row) for row in ROWS if row.name != "help"}


def test_a_type_shows_the_keys_of_its_own_controls_only() -> None:
    jet, turboprop = (
        {cell.shown for _, cells in groups(DEFAULT.fitted(exercise(name).aircraft.controls))
         for cell in cells}
        for name in ("straight-in", "turboprop-ils")
    )  # fmt: skip
    assert turboprop - jet == {"28y", "P", "I"}
    assert jet - turboprop >= {"b", "B", "k", "x"}
    assert {"Space", "F2", "F"} <= jet & turboprop


def test_one_page_is_enough_at_the_size_the_screen_is_made_for_and_three_at_the_smallest() -> None:
    for name in ("straight-in", "turboprop-ils"):
        fitted = DEFAULT.fitted(exercise(name).aircraft.controls)
        assert page_of(0, 100, 13, fitted).pages == 1
    assert len(pages(80, 8)) == 3


@pytest.mark.parametrize(("width", "height"), SIZES)
def test_a_page_fits_its_panel_and_says_that_there_is_more(width: int, height: int) -> None:
    shown = pages(width, height)
    for number, text in enumerate(shown, 1):
        lines = text.split("\n")
        assert len(lines) <= max(height, 3)
        assert max(cells(line) for line in lines[1:]) <= max(width, COLUMN)
        assert (f"page {number} of {len(shown)}" in lines[0]) == (len(shown) > 1)


def test_entries_stand_apart_and_headings_never_stand_alone_at_the_foot() -> None:
    for height in range(3, 20):
        page = page_of(0, 1000, height)
        for column in page.columns:
            assert column[-1].key, height
    for line in pages(1000, 13)[0].split("\n")[1:]:
        padded = line.ljust(1000)
        assert all(padded[at - 1] == " " for at in range(COLUMN, 1000, COLUMN))


def test_pages_are_counted_round() -> None:
    last = page_of(-1, 80, 8)
    assert last == page_of(2, 80, 8)
    assert page_of(3, 80, 8) == page_of(0, 80, 8)


def test_a_place_on_the_page_is_its_key_and_a_heading_is_none() -> None:
    page = page_of(0, 100, 13)
    assert page.key_at(0, 3) is None
    binding = page.key_at(1, 3)
    assert binding is not None
    assert binding.key == "h"
    assert page.key_at(99, 3) is None
    assert page.key_at(1, 999) is None
    below = page.key_at(1, COLUMN + 3)
    assert below is not None
    assert below.key == page.columns[1][1].key
