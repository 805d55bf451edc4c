"""Recognition of spoken calls by intent and slots, and the shortest way to say one.

Owns: `PhraseBook`, which turns what was typed into calls of a house's intents. Refuses to know:
whether a call was right; that is the judge's business. The surprising rule: no measure of how
alike two texts are is used anywhere. The *set* of meaning words must equal a phrase's set, since
likeness takes "path armed" for "glide armed" and "unstable" for "stable".

How an utterance is cut into calls: every word must belong to one; fewest stops inside a call,
then fewest calls, then the order of words in the phrase. Two equally good readings, like one
unknown word, mean "say again". A stop separates; "and" shares a state between nouns ("localizer
and glide captured"). A question, or a clause with a word such as "next", claims nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import NamedTuple

from trainer.scenario.patterns import SLOT, Call, Pattern, PatternIndex, PhraseError, read_pattern
from trainer.scenario.spelling import QUESTION, SEPARATOR, Lexicon, Token, split_words
from trainer.scenario.words import AHEAD, NEGATIONS, READ_BACKS, SHARED, UNREAL
from trainer.values import dataclass

__all__ = ["Call", "PhraseBook", "PhraseError", "Utterance"]

_MAX_LETTERS = 400
_MAX_TOKENS = 40
_MEMO = 4096
_Cost = tuple[int, int, int, int, int]
_FREE: _Cost = (0, 0, 0, 0, 0)


@dataclass(frozen=True, slots=True)
class Utterance:
    """What was heard: calls made, words not understood ("say again"), and mere expectations."""

    calls: tuple[Call, ...] = ()
    unknown: tuple[str, ...] = ()
    expectations: tuple[Call, ...] = ()

    @property
    def is_clear(self) -> bool:
        """Whether all of it was understood: nothing is asked for again."""
        return not self.unknown and bool(self.calls or self.expectations)


class _Reading(NamedTuple):
    """One way of cutting up the tokens so far: cost, the calls, and the words left out."""

    cost: _Cost
    calls: tuple[Call, ...]
    skipped: tuple[Token, ...]


class PhraseBook:
    """The calls of one house, as heard and as said. Fixed once built; `hear` remembers."""

    def __init__(
        self,
        words: Mapping[str, Sequence[str]],
        short: Mapping[str, str],
        names: Mapping[str, Iterable[str]] | None = None,
    ) -> None:
        """Build the book.

        Args:
            words: the phrases of each intent, with slots in braces from the closed list.
            short: two-letter forms and the phrase each stands for; slots are said after it.
            names: the names an exercise knows for slots that take one: "fix", "ident",
                "callsign", "mode", "clearance". While "fix" or "ident" is not listed here it
                takes any word of two to five letters, in a phrase that has words of its own.

        Raises:
            PhraseError: a phrase is empty, has an unknown slot, or belongs to two intents.
        """
        names = {} if names is None else names
        self._words = {intent: tuple(phrases) for intent, phrases in words.items()}
        every = [phrase for phrases in self._words.values() for phrase in phrases]
        self._lexicon = Lexicon(
            [word for phrase in every for word in _bare(phrase) if word.isalpha()],
            {key: _bare(phrase) for key, phrase in short.items()},
            names,
        )
        self._index = PatternIndex(slot for slot in ("fix", "ident") if slot not in names)
        self._patterns: dict[str, list[Pattern]] = {}
        for intent, phrases in self._words.items():
            self._patterns[intent] = [read_pattern(intent, p, self._lexicon) for p in phrases]
            for pattern in self._patterns[intent]:
                self._index.add(pattern)
        self._heard: dict[str, Utterance] = {}

    @property
    def intents(self) -> tuple[str, ...]:
        """Every intent, in the order of the house file."""
        return tuple(self._words)

    @property
    def vocabulary(self) -> tuple[str, ...]:
        """Every word this book knows."""
        return self._lexicon.words

    def phrases(self, intent: str) -> tuple[str, ...]:
        """Return the accepted phrases of `intent` as written in the house file."""
        return self._words[intent]

    def slots_of(self, intent: str) -> tuple[str, ...]:
        """Return every slot that some phrase of `intent` holds, in order of first mention."""
        return tuple(dict.fromkeys(s for p in self._patterns[intent] for s in p.slots))

    def intent_of(self, text: str) -> str:
        """Return the intent with this name or with this phrase (slots in braces), else ""."""
        if text in self._words:
            return text
        try:
            return self._index.intent_of(read_pattern("", text, self._lexicon))
        except PhraseError:
            return ""

    def nearest(self, word: str) -> str:
        """Return the known word that `word` is taken for, "" if it is not understood."""
        return self._lexicon.nearest(word)

    def spoken_form(
        self,
        intent: str,
        slots: Mapping[str, str] | Iterable[tuple[str, str]] = (),
        heard: str = "",
    ) -> str:
        """Say `intent` in its shortest phrase that holds as many of `slots` as any does.

        Of these, the one with the fewest words that were not `heard` (any, if nothing was).

        Args:
            intent: an intent of this book.
            slots: values by slot name, as text.

        Raises:
            KeyError: no such intent.
            ValueError: every phrase needs a slot that is not given.
        """
        values = dict(slots)
        usable = [p for p in self._patterns[intent] if set(p.slots) <= set(values)]
        if not usable:
            raise ValueError(f"{intent}: cannot be said without {', '.join(self.slots_of(intent))}")
        most = max(len(p.slots) for p in usable)
        forms = [_fill(p.text, values) for p in usable if len(p.slots) == most]
        known = set(split_words(heard))
        return min(forms, key=lambda form: (_unheard(form, known), len(form), form))

    def read_back_text(self, clearance: str, slots: Mapping[str, str], heard: str = "") -> str:
        """Say the read-back of a clearance kind ("approach", "land" …) in the words `heard`."""
        return self.spoken_form(READ_BACKS[clearance], slots, heard)

    def hear(self, text: str) -> Utterance:
        """Understand `text` as typed; the same text always gives the same answer."""
        known = self._heard.get(text)
        if known is None:
            known = self._understand(text)
            if len(self._heard) >= _MEMO:
                self._heard.clear()
            self._heard[text] = known
        return known

    def _understand(self, text: str) -> Utterance:
        calls: list[Call] = []
        unknown: list[str] = []
        expectations: list[Call] = []
        pieces = split_words(text[:_MAX_LETTERS])
        if len(text) > _MAX_LETTERS or len(pieces) > _MAX_TOKENS:
            return Utterance((), tuple(pieces[:_MAX_TOKENS]))
        for is_claim, words in _clauses(self._lexicon.corrected(pieces)):
            made, missed = self._calls(self._lexicon.tokens(words))
            if is_claim:
                calls.extend(made)
                unknown.extend(missed)
            else:
                expectations.extend(made)
        return Utterance(
            tuple(dict.fromkeys(calls)), tuple(unknown), tuple(dict.fromkeys(expectations))
        )

    def _calls(self, tokens: Sequence[Token]) -> tuple[list[Call], list[str]]:
        """Return the calls of a run of tokens, and the words that stay without meaning."""
        readings = self._readings(tokens)
        if len(readings) == 1:
            if any(token.text in NEGATIONS for token in readings[0].skipped):
                return [], _blamed(tokens)
            return list(readings[0].calls), _blamed(readings[0].skipped)
        starts = [at for at, token in enumerate(tokens) if at == 0 or token.gap == SEPARATOR]
        if len(starts) < 2:
            return [], _blamed(tokens)
        calls: list[Call] = []
        missed: list[str] = []
        for start, end in zip(starts, [*starts[1:], len(tokens)], strict=True):
            part = [tokens[start]._replace(gap=""), *tokens[start + 1 : end]]
            made, words = self._calls(part)
            calls.extend(made)
            missed.extend(words)
        return calls, missed

    def _readings(self, tokens: Sequence[Token]) -> list[_Reading]:
        """Return the cheapest ways to cut `tokens` into calls; more than one is ambiguous.

        The cost is, in this order: words of clauses left out, stops inside a call, calls, calls
        whose words are out of the phrase's order, nouns not joined by "and".
        """
        best: list[list[_Reading]] = [[_Reading(_FREE, (), ())]]
        clause = 0
        for end in range(1, len(tokens) + 1):
            found: list[_Reading] = []
            for start in range(max(0, end - self._index.longest - 2), end):
                if best[start] and not _negates_what_stands_before(tokens, start):
                    for cost, calls in self._spans(tokens[start:end]):
                        _extend(found, best[start], cost, calls, ())
            if end == len(tokens) or tokens[end].gap == SEPARATOR:
                left = tuple(tokens[clause:end])
                _extend(found, best[clause], (len(left), 0, 0, 0, 0), (), left)
                clause = end
            best.append(found)
        return best[-1]

    def _spans(self, span: Sequence[Token]) -> Iterator[tuple[_Cost, tuple[Call, ...]]]:
        """Yield what a whole span can be: an address (no call), one call, or a shared state."""
        stops = _count(span, SEPARATOR)
        if len(span) == 1 and "callsign" in span[0].slots:
            yield (0, 0, 0, 0, 1), ()
        match = self._index.match(span)
        if match is not None:
            yield (0, stops, 1, match[1], 1), (match[0],)
        if len(span) > 2 and not stops and span[-1].text in SHARED:
            calls = self._shared(span[:-1], span[-1])
            if len(calls) > 1:
                apart = 0 if _count(span, "and") else len(calls)
                yield (0, 0, len(calls), 0, apart), calls

    def _shared(self, nouns: Sequence[Token], state: Token) -> tuple[Call, ...]:
        """Give `state` to each noun of a run; () where one of them cannot have it."""
        for length in range(1, len(nouns) + 1):
            match = self._index.match([*nouns[:length], state])
            if match is None:
                continue
            if length == len(nouns):
                return (match[0],)
            rest = self._shared(nouns[length:], state)
            if rest:
                return (match[0], *rest)
        return ()


def _bare(phrase: str) -> list[str]:
    return split_words(SLOT.sub(" ", phrase))


def _unheard(form: str, heard: set[str]) -> int:
    return len([word for word in split_words(form) if word not in heard]) if heard else 0


def _fill(text: str, values: Mapping[str, str]) -> str:
    return SLOT.sub(lambda found: values[found.group(1)], text)


def _count(span: Sequence[Token], gap: str) -> int:
    return [token.gap for token in span[1:]].count(gap)


def _negates_what_stands_before(tokens: Sequence[Token], start: int) -> bool:
    """A call may not begin with "not" in the middle of a clause: "lights | not in sight"."""
    return start > 0 and tokens[start].text in NEGATIONS and not tokens[start].gap


def _blamed(tokens: Sequence[Token]) -> list[str]:
    """Return the unknown words of what was not understood, or all of it if each word is known."""
    strange = [token.text for token in tokens if token.kind == "unknown"]
    return strange or [token.text for token in tokens]


def _extend(
    found: list[_Reading],
    before: Sequence[_Reading],
    cost: _Cost,
    calls: tuple[Call, ...],
    skipped: tuple[Token, ...],
) -> None:
    """Keep in `found` the cheapest readings only, at most two that differ."""
    for reading in before:
        was = reading.cost
        total = (
            was[0] + cost[0], was[1] + cost[1], was[2] + cost[2], was[3] + cost[3],
            was[4] + cost[4],
        )  # fmt: skip
        if found and total > found[0].cost:
            continue
        if found and total < found[0].cost:
            found.clear()
        made = reading.calls + calls
        if len(found) < 2 and all(other.calls != made for other in found):
            found.append(_Reading(total, made, reading.skipped + skipped))


def _clauses(words: Sequence[str]) -> list[tuple[bool, list[str]]]:
    """Cut corrected words into runs that claim something (True) and clauses that do not."""
    runs: list[tuple[bool, list[str]]] = []
    clause: list[str] = []
    for word in (*words, SEPARATOR):
        if word not in (SEPARATOR, QUESTION):
            clause.append(word)
            continue
        for is_claim, part in _split_expectation(clause, word == QUESTION):
            if is_claim and runs and runs[-1][0]:
                runs[-1][1].extend([SEPARATOR, *part])
            elif part:
                runs.append((is_claim, part))
        clause = []
    return runs


def _split_expectation(clause: list[str], is_question: bool) -> list[tuple[bool, list[str]]]:
    """Part a clause into what it claims and what it only expects or asks."""
    if is_question or any(word in UNREAL for word in clause):
        markers = (*UNREAL, *(word for marker in AHEAD for word in marker))
        return [(False, [word for word in clause if word not in markers])]
    for at in range(len(clause)):
        for marker in AHEAD:
            if tuple(clause[at : at + len(marker)]) == marker:
                return [(True, clause[:at]), (False, clause[at + len(marker) :])]
    return [(True, clause)]
