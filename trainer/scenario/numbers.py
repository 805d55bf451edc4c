"""Numbers as they are spoken or typed, turned into digits.

Owns: digits, single spoken digits ("one zero zero nine"), cardinals ("three thousand four
hundred"), mixtures of both and the decimal point. Refuses to know: what a number means, its unit
or its bounds. The surprising rule: the digits are kept as they were said, so "zero five zero" is
"050" and never 50; comparing values is the judge's business.

Source: ways of saying numbers, ICAO Annex 10 Vol II, 5.2.1.4.1 (digit by digit, "thousand" and
"hundred", "decimal", the spellings tree, fife and niner).
"""

from __future__ import annotations

from collections.abc import Sequence

_DIGITS = {
    "zero": "0", "one": "1", "two": "2", "three": "3", "tree": "3", "four": "4", "five": "5",
    "fife": "5", "six": "6", "seven": "7", "eight": "8", "nine": "9", "niner": "9",
}  # fmt: skip
_TEENS = {
    "ten": "10", "eleven": "11", "twelve": "12", "thirteen": "13", "fourteen": "14",
    "fifteen": "15", "sixteen": "16", "seventeen": "17", "eighteen": "18", "nineteen": "19",
}  # fmt: skip
_TENS = {
    "twenty": "2", "thirty": "3", "forty": "4", "fifty": "5", "sixty": "6", "seventy": "7",
    "eighty": "8", "ninety": "9",
}  # fmt: skip
_SCALES = ("hundred", "thousand")
_POINTS = ("decimal", "point")

NUMBER_WORDS: dict[str, str] = {
    **_DIGITS,
    **_TEENS,
    **{word: ten + "0" for word, ten in _TENS.items()},
    "hundred": "hundred",
    "thousand": "thousand",
    "decimal": "decimal",
    "point": "decimal",
}
"""Every word that can be part of a number, with what it stands for; equal values, equal words."""


def is_digits(word: str) -> bool:
    """Tell whether `word` begins with an ASCII digit, as a typed number does."""
    return word[:1] in "0123456789" and word != ""


def is_number_word(word: str) -> bool:
    """Tell whether a number can begin with `word` ("4000", "four", "forty", "thousand")."""
    return is_digits(word) or (word in NUMBER_WORDS and word not in _POINTS)


def read_number(words: Sequence[str], start: int) -> tuple[str, int]:
    """Read the longest number that begins at `start`.

    Args:
        words: lower-case words and typed numbers.
        start: index of the first word of the number.

    Returns:
        The number as digits (with "." for a decimal) and the index after it; ("", start) where
        no number begins.
    """
    if start >= len(words) or not is_number_word(words[start]):
        return "", start
    if is_digits(words[start]) and not words[start].isdigit():
        return words[start], start + 1  # "5.5" and "14l" stand alone
    text, here = _group(words, start)
    if here < len(words) and words[here] in _SCALES:
        return _cardinal(words, text, here)
    if here + 1 < len(words) and words[here] in _POINTS:
        fraction, after = _group(words, here + 1)
        if fraction:
            return f"{text}.{fraction}", after
    return text, here


def _cardinal(words: Sequence[str], text: str, here: int) -> tuple[str, int]:
    """Read "thousand" and "hundred" after the digits `text` ("" means one)."""
    value = int(text or "1")
    if words[here] == "thousand":
        value *= 1000
        text, here = _group(words, here + 1)
        if here < len(words) and words[here] == "hundred" and len(text) == 1:
            value += int(text) * 100
            text, here = _group(words, here + 1)
    else:
        value *= 100
        text, here = _group(words, here + 1)
        if here < len(words) and words[here] == "thousand" and not text:
            return _cardinal(words, str(value), here)
    return str(value + int(text or "0")), here


def _group(words: Sequence[str], start: int) -> tuple[str, int]:
    """Join digits, teens and tens; a typed number of two digits or more begins a new number."""
    text = ""
    here = start
    while here < len(words):
        word = words[here]
        if word in _DIGITS:
            text += _DIGITS[word]
        elif word in _TEENS:
            text += _TEENS[word]
        elif word in _TENS:
            following = _DIGITS.get(words[here + 1], "0") if here + 1 < len(words) else "0"
            if following == "0":
                text += _TENS[word] + "0"
            else:
                text += _TENS[word] + following
                here += 1
        elif word.isdigit() and is_digits(word):
            if text and len(word) > 1 and word.strip("0"):
                break
            text += word
        else:
            break
        here += 1
    return text, here
