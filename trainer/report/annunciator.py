"""The annunciator's history against what was said of it: each state, the call, how long it took.

Owns the pairing of states and calls. It judges nothing: the reaction is read from the item that
the change opened, and the time of difference begins with a watch that found it.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from trainer.judge.judgement import ItemVerdict, Judgement
from trainer.judge.truth import MODE_CLAIMS
from trainer.report.notes import clock, modes_text, verdict_of
from trainer.scenario.phrases import PhraseBook
from trainer.units import STEPS_PER_S

HEADERS = ("time", "shown", "said", "after", "verdict")
"""Headers of `shown_rows`."""
NEAR_STEPS = 1
"""An item opens at most this long after the change that opens it."""


class Shown(NamedTuple):
    """One state of the annunciator: from which step, its words, what was said of it.

    `after_s`: from the change to the call that was due for it, s; None without such a call.
    `verdict`: of that call, "" where no call was due.
    """

    step: int
    words: str
    said: str
    after_s: float | None
    verdict: str


def shown_and_said(judgement: Judgement, book: PhraseBook) -> tuple[Shown, ...]:
    """Every state of the annunciator with what was said of it, by the words in `book`.

    Words that name no mode are left out: they were said of something else.
    """
    calls = [item for item in judgement.items if item.area == "modes"]
    found = []
    for mode in judgement.modes:
        words = [text for text in (mode.said or "").split("; ") if _is_of_modes(text, book)]
        call = _call_at(mode.step, calls)
        found.append(_shown(mode.step, modes_text(mode), "; ".join(words), call))
    return tuple(found)


def _is_of_modes(text: str, book: PhraseBook) -> bool:
    return any(call.intent in MODE_CLAIMS for call in book.hear(text).calls)


def shown_rows(shown: Sequence[Shown]) -> list[list[str]]:
    """The rows of the table, in the order of `HEADERS`."""
    return [
        [
            clock(one.step),
            one.words,
            one.said,
            "" if one.after_s is None else f"{one.after_s:.1f} s",
            one.verdict,
        ]
        for one in shown
    ]


def difference_text(judgement: Judgement, mismatches: Sequence[str], end: int) -> str:
    """For how long what was said and what was shown differed; `mismatches` are those watches.

    A false call stands until the annunciator changes or a call of what is shown puts it right, at
    the latest until step `end`.
    """
    starts = [watch.start for watch in judgement.watches if watch.watch in mismatches]
    if not starts:
        return "What was said was never other than what was shown."
    stops = [mode.step for mode in judgement.modes]
    stops += [
        item.done
        for item in judgement.items
        if item.area == "modes" and item.done is not None and item.verdict != "wrong"
    ]
    steps = 0
    until = 0
    for start in sorted(starts):
        stop = min([one for one in stops if one > start], default=max(start, end))
        steps += max(0, stop - max(start, until))
        until = max(until, stop)
    return f"What was said and what was shown differed for {steps / STEPS_PER_S:.1f} s."


def _call_at(step: int, calls: Sequence[ItemVerdict]) -> ItemVerdict | None:
    for item in calls:
        if item.opened is not None and 0 <= item.opened - step <= NEAR_STEPS:
            return item
    return None


def _shown(step: int, words: str, said: str, call: ItemVerdict | None) -> Shown:
    if call is None:
        return Shown(step, words, said, None, "")
    after_s = None if call.done is None else (call.done - step) / STEPS_PER_S
    return Shown(step, words, said, after_s, verdict_of(call))
