"""Nothing from a file reaches a terminal as a command."""

from __future__ import annotations

import unicodedata

from hypothesis import given
from hypothesis import strategies as st

from trainer import text


def test_an_escape_sequence_is_shown_by_its_code() -> None:
    assert text.shown("a\x1b[31mb") == "a<U+001B>[31mb"


def test_a_bidirectional_override_is_shown_by_its_code() -> None:
    assert text.shown("a\u202eb") == "a<U+202E>b"


def test_ordinary_text_stays_as_it_is() -> None:
    for sample in ("flaps [22]", "[red]x[/]", "Überflug 3°", "日本", "a=b"):
        assert text.shown(sample) == sample


def test_a_block_keeps_its_lines_and_nothing_else() -> None:
    assert text.shown_block("a\r\nb\tc") == "a\nb<U+0009>c"


@given(st.text(max_size=200))
def test_shown_text_never_holds_a_refused_character(sample: str) -> None:
    shown = text.shown(sample)
    assert all(unicodedata.category(c) not in text.REFUSED for c in shown)
    assert text.first_refused(shown) == -1


@given(st.text(max_size=200))
def test_shown_is_the_same_when_shown_again(sample: str) -> None:
    assert text.shown(text.shown(sample)) == text.shown(sample)


def test_a_long_value_is_cut_in_quotes() -> None:
    assert text.quoted("x" * 100, most=10) == '"xxxxxxxxx…"'


def test_the_caret_stands_under_the_span() -> None:
    assert text.excerpt("speed: 200", 8, 8, 3) == "    8 | speed: 200\n      |        ^^^"


def test_the_caret_stands_under_the_span_after_wide_characters() -> None:
    first, second = text.excerpt("日本: x", 1, 5, 1).split("\n")
    assert text.width(first[: first.index("x")]) == second.index("^")


def test_a_long_line_is_cut_around_the_span() -> None:
    line = "a" * 300 + "HERE" + "b" * 300
    first, second = text.excerpt(line, 1, 301, 4).split("\n")
    assert "HERE" in first
    assert first[second.index("^") : second.index("^") + 4] == "HERE"
    assert len(first) < 110


def test_the_caret_marks_one_place_past_the_end() -> None:
    assert text.excerpt("ab", 1, 3, 1).endswith("|   ^")
