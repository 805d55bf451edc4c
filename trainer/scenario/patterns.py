"""Phrases as patterns, and whether a run of tokens is exactly one of them.

Owns: `Call`, `Pattern` and `PatternIndex`. Refuses to know: how an utterance is cut into runs.
The surprising rule: order does not matter for a match, only for choosing between two ways of
cutting; numbers are bound to the slots of the phrase in the order in which they were said.
"""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from trainer.scenario.spelling import Lexicon, Token, split_words
from trainer.scenario.words import NUMERIC, SLOTS, UNITS
from trainer.values import dataclass

SLOT = re.compile(r"\{([^{}]*)\}")
_SHAPES = {slot: re.compile(shape) for slot, shape in SLOTS.items() if shape}
_Key = tuple[frozenset[str], tuple[str, ...]]


class PhraseError(ValueError):
    """A phrase cannot be part of a book; the text says which one and why."""


@dataclass(frozen=True, slots=True)
class Call:
    """One call: the intent, and its slots in the order of the phrase, as (slot, value) pairs."""

    intent: str
    slots: tuple[tuple[str, str], ...] = ()

    def slot(self, name: str) -> str:
        """Return the value said for `name`, "" if none was."""
        return dict(self.slots).get(name, "")


class Pattern(NamedTuple):
    """A phrase of an intent, ready to be matched.

    sequence: its words, "#1000" for a number of its own, "#" for a numeric slot and "{fix}" for
    a slot that takes a name.
    """

    intent: str
    text: str
    slots: tuple[str, ...]
    sequence: tuple[str, ...]

    @property
    def key(self) -> _Key:
        """What a run of tokens must equal: the words, and the kinds of its slots."""
        words = frozenset(word for word in self.sequence if word != "#" and word[0] != "{")
        return words, _kinds(self.slots)


def _kinds(slots: Iterable[str]) -> tuple[str, ...]:
    return tuple(sorted("#" if slot in NUMERIC else slot for slot in slots))


def read_pattern(intent: str, phrase: str, lexicon: Lexicon) -> Pattern:
    """Read a phrase as written in a house file.

    Raises:
        PhraseError: a slot is not in the closed list, or nothing with a meaning is left.
    """
    slots: list[str] = []
    sequence: list[str] = []
    for index, part in enumerate(SLOT.split(phrase)):
        if index % 2:
            if part not in SLOTS:
                raise PhraseError(f"{intent}: no slot {{{part}}} exists, in {phrase!r}")
            if part == "runway" and sequence and sequence[-1] == "runway":
                sequence.pop()
            slots.append(part)
            sequence.append("#" if part in NUMERIC else "{" + part + "}")
            continue
        for token in lexicon.tokens(lexicon.corrected(split_words(part))):
            if sequence and sequence[-1] == "#" and token.text in UNITS:
                continue
            sequence.append(("#" if token.kind == "number" else "") + token.text)
    if not sequence:
        raise PhraseError(f"{intent}: {phrase!r} holds no word with a meaning")
    return Pattern(intent, phrase, tuple(slots), tuple(sequence))


class PatternIndex:
    """Every phrase of a book by what must be said."""

    def __init__(self, open_slots: Iterable[str]) -> None:
        """Start empty; `open_slots` are name slots for which no names are listed."""
        self._open = tuple(open_slots)
        self._index: dict[_Key, list[Pattern]] = {}
        self._literals: dict[str, None] = {}
        self._word_sets: dict[frozenset[str], None] = {}
        self.longest = 1

    def add(self, pattern: Pattern) -> None:
        """Add a phrase.

        Raises:
            PhraseError: the same words and kinds of slots already mean another intent.
        """
        rivals = self._index.setdefault(pattern.key, [])
        if rivals and rivals[0].intent != pattern.intent:
            raise PhraseError(
                f"{pattern.intent}: {pattern.text!r} already means {rivals[0].intent!r}"
            )
        rivals.append(pattern)
        self._literals.update(dict.fromkeys(w for w in pattern.key[0] if w[0] == "#"))
        self._word_sets[frozenset(w for w in pattern.key[0] if w[0] != "#")] = None
        self.longest = max(self.longest, len(pattern.sequence))

    def intent_of(self, pattern: Pattern) -> str:
        """Return the intent that already has these words and slots, or ""."""
        found = self._index.get(pattern.key)
        return found[0].intent if found else ""

    def match(self, span: Sequence[Token]) -> tuple[Call, int] | None:
        """Return the call that exactly this run makes, and 1 if its order is not the phrase's."""
        words = [token.text for token in span if token.kind == "word"]
        said_words = frozenset(words)
        if len(said_words) < len(words) or said_words not in self._word_sets:
            return None
        choices = [self._options(token, bool(words)) for token in span]
        if not all(choices):
            return None
        for chosen in itertools.product(*choices):
            said = [pair for pair in chosen if pair != ("", "")]
            key = (
                frozenset(value for slot, value in said if not slot),
                tuple(sorted(slot for slot, _ in said if slot)),
            )
            for pattern in self._index.get(key, ()):
                slots = _bind(pattern.slots, said)
                if slots is not None:
                    order = tuple(_mark(slot, value) for slot, value in said)
                    orders = [rival.sequence for rival in self._index[key]]
                    return Call(pattern.intent, slots), int(order not in orders)
        return None

    def _options(self, token: Token, has_words: bool) -> list[tuple[str, str]]:
        """Return the (slot, value) readings of a token; slot "" is a word of the phrase."""
        if token.kind == "word":
            return [("", token.text)]
        if token.kind == "number":
            literal = "#" + token.text
            return [*([("", literal)] if literal in self._literals else []), ("#", token.text)]
        if token.kind == "name":
            named = [(slot, token.text) for slot in token.slots]
            return [*named, ("", "")] if "callsign" in token.slots else named
        if has_words and 2 <= len(token.text) <= 5 and token.text.isascii():
            return [(slot, token.text) for slot in self._open]
        return []


def _mark(slot: str, value: str) -> str:
    if not slot:
        return value
    return slot if slot == "#" else "{" + slot + "}"


def _bind(
    slots: tuple[str, ...], said: Sequence[tuple[str, str]]
) -> tuple[tuple[str, str], ...] | None:
    """Give numbers and names to the slots in order; None where one does not fit its shape."""
    left = list(said)
    bound: list[tuple[str, str]] = []
    for slot in slots:
        kind = "#" if slot in NUMERIC else slot
        pair = next(pair for pair in left if pair[0] == kind)
        left.remove(pair)
        if kind == "#" and not _SHAPES[slot].fullmatch(pair[1]):
            return None
        bound.append((slot, pair[1].upper()))
    return tuple(bound)
