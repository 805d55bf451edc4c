"""What is wrong with a house's words, all of it in one run.

Owns: `phrase_problems`. Refuses to know: files and positions; a problem names its place as a
path ("words.glide alive.2") and the loader turns that into a line. The surprising rule: a phrase
is only right if the book *hears* it as its own intent, so a phrase that holds "next" is refused.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import NamedTuple

from trainer.scenario.numbers import NUMBER_WORDS
from trainer.scenario.patterns import SLOT, PatternIndex, PhraseError, read_pattern
from trainer.scenario.phrases import PhraseBook
from trainer.scenario.spelling import Lexicon, split_words
from trainer.scenario.words import ALIASES, FILLERS, SLOTS

SAMPLES: dict[str, str] = {
    "runway": "14", "altitude": "4000", "heading": "050", "speed": "160", "setting": "1009",
    "distance": "5", "stage": "22", "course": "143", "frequency": "110.35", "minimums": "340",
    "fuel": "2.4",
    "fix": "TULEP", "ident": "QXM", "mode": "GLIDE PATH MODE", "clearance": "EXAMPLE CLEARANCE",
    "callsign": "QUILL 21",
}  # fmt: skip
"""A value for each slot, for checks and for the documentation."""

SAMPLE_NAMES: dict[str, tuple[str, ...]] = {
    slot: (SAMPLES[slot],) for slot, shape in SLOTS.items() if not shape
}
"""The sample values that are names, as a book takes them."""


class PhraseProblem(NamedTuple):
    """Something wrong in a house file: `where` is a path such as "words.glide alive.2"."""

    where: str
    message: str


def sample(phrase: str) -> str:
    """Return `phrase` with a sample value in each slot."""
    return SLOT.sub(lambda found: SAMPLES[found.group(1)], phrase)


def phrase_problems(
    words: Mapping[str, Sequence[str]], short: Mapping[str, str]
) -> tuple[PhraseProblem, ...]:
    """Check a house's words and short forms; every problem found, none raised.

    A phrase must have a meaning, belong to one intent and be heard as that; a short form must
    have two letters, stand for a phrase of the book, and not be a word in use already.
    """
    sound, problems = _sound_phrases(words)
    book = PhraseBook(sound, {}, SAMPLE_NAMES)
    for intent, phrases in words.items():
        for number, phrase in enumerate(phrases, start=1):
            if phrase not in sound[intent]:
                continue
            heard = book.hear(sample(phrase))
            if [call.intent for call in heard.calls] != [intent] or heard.unknown:
                message = f"{phrase!r} is not heard as {intent!r}"
                problems.append(PhraseProblem(f"words.{intent}.{number}", message))
    used = {word for phrases in words.values() for text in phrases for word in split_words(text)}
    for key, phrase in short.items():
        message = ""
        if not re.fullmatch("[a-z]{2}", key):
            message = f"{key!r} is not two letters a to z"
        elif key in used or (key,) in ALIASES or key in FILLERS or key in NUMBER_WORDS:
            message = f"{key!r} is a word already"
        elif not book.intent_of(phrase):
            message = f"{phrase!r} is no phrase of this house"
        if message:
            problems.append(PhraseProblem(f"short.{key}", message))
    return tuple(problems)


def _sound_phrases(
    words: Mapping[str, Sequence[str]],
) -> tuple[dict[str, list[str]], list[PhraseProblem]]:
    """Keep the phrases that a book accepts, and say what is wrong with the others."""
    problems: list[PhraseProblem] = []
    sound: dict[str, list[str]] = {}
    index = PatternIndex(())
    every = [text for phrases in words.values() for text in phrases]
    lexicon = Lexicon(
        [word for text in every for word in split_words(SLOT.sub(" ", text)) if word.isalpha()],
        {},
        {},
    )
    for intent, phrases in words.items():
        sound[intent] = []
        for number, phrase in enumerate(phrases, start=1):
            try:
                index.add(read_pattern(intent, phrase, lexicon))
            except PhraseError as error:
                problems.append(PhraseProblem(f"words.{intent}.{number}", str(error)))
            else:
                sound[intent].append(phrase)
    return sound, problems
