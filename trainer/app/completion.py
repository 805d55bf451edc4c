"""The calls that a half-typed line may be completed to, out of the house's phrase book.

Only levels that help are given them. It knows nothing of what is due, so that it never tells what
to say now.
"""

from __future__ import annotations

from trainer.scenario.phrases import PhraseBook


def calls_of(book: PhraseBook) -> tuple[str, ...]:
    """Every phrase of `book` in the order of the alphabet; a value ends it, to be typed."""
    found = set()
    for intent in book.intents:
        for phrase in book.phrases(intent):
            fixed, brace, _ = phrase.partition("{")
            if fixed:
                found.add(fixed.casefold() if brace else phrase.casefold())
    return tuple(sorted(found))
