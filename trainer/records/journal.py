"""One attempt being written, an entry at a time, and what its entries amount to.

Owns the append-only log of an attempt: acts, interruptions, rewinds, leaving. It knows neither
flight nor judge, and no clock: steps and times come from the caller. Surprising rule: writing never
fails for the caller. If the disk does, the attempt goes on in memory and `Records` says so once.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from typing import Any, NamedTuple, Protocol

from trainer.flight.acts import Act

ENTRY_KINDS = ("act", "interrupted", "rewound", "left", "resumed")
"""What an entry of the log may be."""

Statement = tuple[str, tuple[Any, ...]]

_BEAT = "UPDATE attempts SET beat=? WHERE number=?"

_ENTRY = "INSERT INTO entries(attempt, place, kind, step, body) VALUES(?, ?, ?, ?, ?)"


class Entry(NamedTuple):
    """One entry of the log: its kind, the step it was written at, and what it holds."""

    kind: str
    step: int
    body: tuple[Any, ...]


class Segment(NamedTuple):
    """What makes an attempt a segment: the level of its hints, and the moments at its two ends.

    Moments as they were typed; all three "" for a whole flight.
    """

    flown_as: str = ""
    since: str = ""
    until: str = ""


WHOLE = Segment()
"""No segment."""


class Keeper(Protocol):
    """What an attempt writes to."""

    def write(self, attempt: Attempt, statements: Iterable[Statement]) -> None:
        """Keep `statements` for good, all or none."""


class Attempt:
    """An attempt that is being flown. `number` names it in the history."""

    def __init__(
        self,
        keeper: Keeper,
        number: int,
        header: tuple[Statement, ...],
        entries: Iterable[Entry] = (),
        beat: int = 0,
    ) -> None:
        self.number = number
        self._keeper = keeper
        self._header = header
        self._entries = list(entries)
        self._beat = beat

    def act(self, act: Act) -> None:
        """Log `act`; once this returns, a killed program does not lose it."""
        self._add(Entry("act", act.step, tuple(act)))

    def beat(self, step: int) -> None:
        """Note that the flight has come to `step` (call it about once a second)."""
        self._beat = step
        self._keeper.write(self, [(_BEAT, (step, self.number))])

    def interrupted(self, step: int, reason: str) -> None:
        """Log that the flight stood still at `step`, and why; such a Check does not count."""
        self._add(
            Entry("interrupted", step, (reason,)),
            "UPDATE attempts SET interrupted=interrupted+1 WHERE number=?",
        )

    def rewound(self, step: int, to_step: int) -> None:
        """Log that at `step` the flight was taken back to `to_step`."""
        self._add(Entry("rewound", step, (to_step,)))

    def left(self, step: int) -> None:
        """Log that the pilot left the flight at `step`; it can still be taken up again."""
        self._add(Entry("left", step, ()), "UPDATE attempts SET is_left=1 WHERE number=?")

    def resumed(self, step: int) -> None:
        """Log that the attempt was taken up again at `step`."""
        self._add(Entry("resumed", step, ()), "UPDATE attempts SET is_left=0 WHERE number=?")

    def finish(self, judgement: Mapping[str, Any], facts: bytes, digest: str) -> None:
        """Close the attempt with its judgement (a JSON document), packed flight and digest.

        `outcome` and `points` of the judgement are what the history shows.
        """
        text = json.dumps(judgement, ensure_ascii=False, allow_nan=False)
        points = judgement["points"]
        self._keeper.write(
            self,
            [
                (
                    "INSERT OR REPLACE INTO results(attempt, judgement, facts) VALUES(?, ?, ?)",
                    (self.number, text, facts),
                ),
                (
                    "UPDATE attempts SET outcome=?, points=?, digest=? WHERE number=?",
                    (judgement["outcome"], points, digest, self.number),
                ),
            ],
        )

    def everything(self) -> list[Statement]:
        """All statements that build this attempt from nothing, for another database."""
        statements = list(self._header)
        for place, entry in enumerate(self._entries):
            statements.append(_entry_statement(self.number, place, entry))
        interrupted = len(interruptions(self._entries))
        is_left = bool(self._entries) and self._entries[-1].kind == "left"
        statements.append(
            (
                "UPDATE attempts SET beat=?, interrupted=?, is_left=? WHERE number=?",
                (self._beat, interrupted, is_left, self.number),
            )
        )
        return statements

    def _add(self, entry: Entry, update: str = "") -> None:
        """Write `entry`, together with `update` of the attempt's own row where one is given."""
        statements = [_entry_statement(self.number, len(self._entries), entry)]
        if update:
            statements.append((update, (self.number,)))
        self._keeper.write(self, statements)
        self._entries.append(entry)


def _entry_statement(number: int, place: int, entry: Entry) -> Statement:
    body = json.dumps(entry.body, ensure_ascii=True, separators=(",", ":"))
    return _ENTRY, (number, place, entry.kind, entry.step, body)


def effective_acts(entries: Iterable[Entry]) -> tuple[Act, ...]:
    """The acts that count: those at or after the step of a later rewind are gone."""
    acts: list[Act] = []
    for entry in entries:
        if entry.kind == "act":
            acts.append(Act(*entry.body))
        elif entry.kind == "rewound":
            acts = [act for act in acts if act.step < entry.body[0]]
    return tuple(acts)


def interruptions(entries: Iterable[Entry]) -> tuple[tuple[int, str], ...]:
    """Step and reason of each interruption."""
    return tuple(
        (entry.step, str(entry.body[0])) for entry in entries if entry.kind == "interrupted"
    )
