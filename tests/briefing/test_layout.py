"""Lines fit, columns line up, and nothing reaches the terminal as a command."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.briefing.layout import table, wrap
from trainer.text import is_refused, width

TEXTS = st.text(max_size=200)


@given(TEXTS, st.integers(20, 120))
def test_wrapped_lines_fit_and_hold_nothing_a_terminal_obeys(text: str, cells: int) -> None:
    for line in wrap(text, cells):
        assert width(line) <= cells
        assert not any(is_refused(character) for character in line)


@given(st.lists(st.sampled_from(["gear", "down", "日本", "x" * 50, "a"]), max_size=30))
def test_wrapping_loses_no_character_and_keeps_the_order(words: list[str]) -> None:
    joined = "".join(wrap(" ".join(words), 30)).replace(" ", "")
    assert joined == "".join(words)


def test_lines_of_the_text_stay_and_later_lines_are_indented() -> None:
    assert wrap("one two three four five six\nseven", 20, "    ") == [
        "one two three four",
        "    five six",
        "    seven",
    ]
    assert wrap("  label: a b c d e f g h", 20, "      ") == ["  label: a b c d e f", "      g h"]


def test_columns_are_aligned_and_numbers_flush_right() -> None:
    assert table(("step", "NM"), [["gear", "9.1"], ["flap 36", "10.25"]], 40, "lr") == [
        "step        NM",
        "-------  -----",
        "gear       9.1",
        "flap 36  10.25",
    ]


def test_wide_characters_take_two_cells_in_a_column() -> None:
    lines = table(("a", "b"), [["日本", "x"], ["abcd", "y"]], 40)
    assert lines[2:] == ["日本  x", "abcd  y"]


@given(st.lists(st.lists(TEXTS, min_size=3, max_size=3), max_size=5), st.integers(30, 100))
def test_a_table_fits_whatever_stands_in_it(rows: list[list[str]], cells: int) -> None:
    for line in table(("one", "two", "three"), rows, cells, "lrl"):
        assert width(line) <= cells


@pytest.mark.parametrize("cells", [0, -5, 1])
def test_a_page_too_narrow_is_laid_out_at_the_least_width(cells: int) -> None:
    assert max(width(line) for line in wrap("word " * 20, cells)) <= 20
