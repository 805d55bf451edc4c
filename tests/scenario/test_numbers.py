"""Spoken and typed numbers.

Ways of saying numbers: ICAO Annex 10 Vol II, 5.2.1.4.1.2 and 5.2.1.4.1.3 (from memory: altitudes
and whole hundreds and thousands with HUNDRED and THOUSAND, all other numbers digit by digit,
DECIMAL for the point).
"""

from __future__ import annotations

import pytest

from trainer.scenario.numbers import read_number


@pytest.mark.parametrize(
    ("said", "meant"),
    [
        ("one zero zero nine", "1009"),
        ("one zero zero niner", "1009"),
        ("niner four zero", "940"),
        ("tree fife", "35"),
        ("zero five zero", "050"),
        ("fourteen", "14"),
        ("one four", "14"),
        ("twenty two", "22"),
        ("thirty", "30"),
        ("one thirty seven", "137"),
        ("one forty", "140"),
        ("one hundred", "100"),
        ("five hundred", "500"),
        ("thousand", "1000"),
        ("one thousand", "1000"),
        ("one zero thousand", "10000"),
        ("three thousand four hundred", "3400"),
        ("two thousand five hundred", "2500"),
        ("one two thousand five hundred", "12500"),
        ("two thousand four hundred sixty", "2460"),
        ("1 thousand 5 hundred", "1500"),
        ("one one zero decimal three five", "110.35"),
        ("one one zero point three", "110.3"),
        ("29 decimal 92", "29.92"),
        ("1 0 0 9", "1009"),
        ("3 000", "3000"),
        ("5.5", "5.5"),
        ("110.35", "110.35"),
        ("14l", "14l"),
    ],
)
def test_a_number_is_read_in_any_usual_form(said: str, meant: str) -> None:
    words = said.split()
    assert read_number(words, 0) == (meant, len(words))


@pytest.mark.parametrize(
    ("said", "first", "used"),
    [
        ("22 155", "22", 1),
        ("one thousand stable", "1000", 2),
        ("twenty two set", "22", 2),
        ("one decimal", "1", 1),
        ("14l 22", "14l", 1),
    ],
)
def test_a_number_ends_where_another_begins_or_a_word_follows(
    said: str, first: str, used: int
) -> None:
    assert read_number(said.split(), 0) == (first, used)


@pytest.mark.parametrize("said", ["stable", "decimal", "point five", "", "to"])
def test_no_number_is_read_where_none_begins(said: str) -> None:
    assert read_number(said.split(), 0) == ("", 0)
