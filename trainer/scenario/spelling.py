"""Words as typed, turned into the words of a call: cleaning, one wrong letter, aliases, numbers.

Owns: `Lexicon`, the words a phrase book knows, and the tokens it makes of a text. Refuses to
know: phrases and intents. The surprising rule: a word that is one letter away from two known
words of different meaning is not corrected at all, because a guess there could turn a call into
its opposite ("nstable").
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Mapping, Sequence
from functools import cached_property
from typing import NamedTuple

from trainer.scenario.numbers import NUMBER_WORDS, is_digits, is_number_word, read_number
from trainer.scenario.words import AHEAD, ALIASES, FILLERS, UNITS, UNREAL

_PIECES = re.compile(r"[0-9]+(?:\.[0-9]+)?(?:[lrc](?![^\W\d]))?|[^\W\d_]+|[,;:.!?]|[^\W_]")
_THOUSANDS = re.compile(r"(?<=[0-9]),(?=[0-9]{3}(?![0-9]))")
_SIDES = {"left": "l", "right": "r", "center": "c"}
_MAX_ALIAS = max(len(written) for written in ALIASES)
SEPARATOR = ","
QUESTION = "?"


class Token(NamedTuple):
    """One piece of meaning.

    kind: "word", "number", "name" (a fix, ident, callsign …), "unknown".
    slots: for a name, the slots it can fill. gap: what stood before it: "", "," or "and".
    """

    kind: str
    text: str
    slots: tuple[str, ...] = ()
    gap: str = ""


def split_words(text: str) -> list[str]:
    """Lower-case words, typed numbers, "," for any stop and "?" of a text as typed."""
    plain = text.casefold()
    if not plain.isascii():
        plain = unicodedata.normalize("NFKD", plain)
        plain = "".join(letter for letter in plain if not unicodedata.combining(letter))
    plain = plain.replace("'", "").replace("’", "").replace("v/s", "vs")
    plain = _THOUSANDS.sub("", plain) if "," in plain else plain
    return [piece if piece not in ";:.!" else SEPARATOR for piece in _PIECES.findall(plain)]


def one_letter_apart(first: str, second: str) -> bool:
    """Tell whether one substitution, omission, insertion or neighbouring swap makes them equal."""
    if first == second:
        return True
    short, long = sorted((first, second), key=len)
    if len(long) - len(short) > 1:
        return False
    at = 0
    while at < len(short) and short[at] == long[at]:
        at += 1
    if len(long) > len(short):
        return short[at:] == long[at + 1 :]
    if short[at + 1 :] == long[at + 1 :]:
        return True
    return (
        at + 1 < len(short)
        and short[at] == long[at + 1]
        and short[at + 1] == long[at]
        and short[at + 2 :] == long[at + 2 :]
    )


def _shortened(word: str) -> list[str]:
    return [word[:at] + word[at + 1 :] for at in range(len(word))]


class Lexicon:
    """The words one phrase book knows, with an index of their one-letter neighbours."""

    def __init__(
        self,
        words: Iterable[str],
        short: Mapping[str, Sequence[str]],
        names: Mapping[str, Iterable[str]],
    ) -> None:
        """Index `words` (of phrases), `short` forms (already split) and `names` by slot."""
        self._short = {key: tuple(value) for key, value in short.items()}
        self._names: dict[tuple[str, ...], tuple[str, ...]] = {}
        for slot, spellings in names.items():
            for spelling in spellings:
                key = tuple(word for word in split_words(spelling) if word != SEPARATOR)
                if key and slot not in self._names.get(key, ()):
                    self._names[key] = (*self._names.get(key, ()), slot)
        self._max_name = max((len(key) for key in self._names), default=0)
        known: dict[str, None] = dict.fromkeys(words)
        for written, meant in ALIASES.items():
            known.update(dict.fromkeys((*written, *meant)))
        for group in (NUMBER_WORDS, sorted(FILLERS), sorted(UNITS), UNREAL, ("and",)):
            known.update(dict.fromkeys(group))
        for marker in AHEAD:
            known.update(dict.fromkeys(marker))
        for key in self._names:
            known.update(dict.fromkeys(word for word in key if not is_digits(word)))
        self.words = tuple(known)
        self._known = known

    @cached_property
    def _near(self) -> dict[str, list[str]]:
        """Every word under each form with a letter less; made for the first strange word."""
        near: dict[str, list[str]] = {}
        for word in self.words:
            for shorter in _shortened(word):
                near.setdefault(shorter, []).append(word)
        return near

    def nearest(self, word: str) -> str:
        """Return `word` if known, else the one known word one letter away, else "".

        The known word must have five letters or more, and every known word that near must mean
        the same.
        """
        if word in self._known:
            return word
        if len(word) < 4 or is_digits(word):
            return ""
        near: dict[str, None] = dict.fromkeys(self._near.get(word, ()))
        for shorter in _shortened(word):
            if shorter in self._known:
                near[shorter] = None
            for other in self._near.get(shorter, ()):
                if one_letter_apart(word, other):
                    near[other] = None
        long = [other for other in near if len(other) >= 5]
        if not long or any(self._meaning(other) != self._meaning(long[0]) for other in near):
            return ""
        return long[0]

    def _meaning(self, word: str) -> tuple[str, ...]:
        if word in NUMBER_WORDS:
            return (NUMBER_WORDS[word],)
        return ALIASES.get((word,), (word,))

    def corrected(self, pieces: Sequence[str]) -> list[str]:
        """Correct single wrong letters and expand short forms; unknown words stay as they are.

        Short forms count only where a clause holds nothing else but values, so that a slip in a
        spelled-out call never becomes one.
        """
        words: list[str] = []
        clause: list[str] = []
        for piece in (*pieces, SEPARATOR):
            if piece not in (SEPARATOR, QUESTION):
                clause.append(piece)
                continue
            if all(word in self._short or is_number_word(word) for word in clause):
                for word in clause:
                    words.extend(self._short.get(word, (word,)))
            else:
                words.extend(self.nearest(word) or word for word in clause)
            words.append(piece)
            clause = []
        return words[:-1]

    def tokens(self, words: Sequence[str]) -> list[Token]:
        """Turn corrected words into tokens; fillers and unit words vanish."""
        found: list[Token] = []
        gap, at = "", 0
        flat = self._aliased(words)
        while at < len(flat):
            word = flat[at]
            name, after = self._name(flat, at)
            if name:
                found.append(Token("name", name, self._names[tuple(flat[at:after])], gap))
                gap, at = "", after
                continue
            if is_number_word(word):
                number, at = read_number(flat, at)
                if at < len(flat) and flat[at] in _SIDES and len(number) <= 2:
                    number += _SIDES[flat[at]]
                    at += 1
                found.append(Token("number", number, (), gap))
                gap = ""
                if at < len(flat) and flat[at] in UNITS:
                    at += 1
                continue
            at += 1
            if word in (SEPARATOR, "and"):
                gap = gap if gap == SEPARATOR else word
            elif word == "runway" and at < len(flat) and is_number_word(flat[at]):
                continue
            elif word not in FILLERS:
                kind = "word" if word in self._known else "unknown"
                found.append(Token(kind, word, (), gap))
                gap = ""
        return found

    def _name(self, words: Sequence[str], at: int) -> tuple[str, int]:
        for length in range(min(self._max_name, len(words) - at), 0, -1):
            if tuple(words[at : at + length]) in self._names:
                return " ".join(words[at : at + length]), at + length
        return "", at

    def _aliased(self, words: Sequence[str]) -> list[str]:
        flat: list[str] = []
        at = 0
        while at < len(words):
            for length in range(min(_MAX_ALIAS, len(words) - at), 0, -1):
                meant = ALIASES.get(tuple(words[at : at + length]))
                if meant is not None:
                    flat.extend(meant)
                    at += length
                    break
            else:
                flat.append(words[at])
                at += 1
        return flat
