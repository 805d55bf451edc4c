"""One attempt as it was kept, and what became of it in words.

Owns the value that the records and the attempt file both give. It knows neither of them, and no
database. Surprising rule: its judgement is that of its day and is never believed.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from trainer.flight.acts import Act
from trainer.records.journal import WHOLE, Entry, Segment, effective_acts
from trainer.values import dataclass


@dataclass(frozen=True, slots=True)
class Stored:
    """One attempt as kept. `outcome`, `judgement`, `facts` and `digest` are None until it ended.

    `canonical` is the composed exercise; `beat` the last step known to have been flown, -1 if that
    was not noted of a flight that ended; `facts` the packed flight (see `packing`). `file` is
    the file it was read from, "" for an attempt of the records.
    """

    number: int
    exercise: str
    exercise_digest: str
    canonical: str
    level: str
    seat: str
    seed: int
    engine: int
    started: str
    beat: int
    entries: tuple[Entry, ...]
    outcome: str | None
    points: float | None
    judgement: dict[str, Any] | None
    facts: bytes | None
    digest: str | None
    segment: Segment = WHOLE
    file: str = ""

    @property
    def label(self) -> str:
        """What messages call it."""
        return self.file or f"attempt {self.number}"

    @property
    def steps(self) -> int | None:
        """How many steps were flown, as far as is known; None: up to the end of the flight."""
        if self.outcome is not None:
            return None if self.beat < 0 else self.beat
        return max(self.beat, *(act.step + 1 for act in self.acts), 0)

    @property
    def acts(self) -> tuple[Act, ...]:
        """The acts that count, after rewinds."""
        return effective_acts(self.entries)

    @property
    def interrupted(self) -> int:
        """How often the flight stood still."""
        return sum(entry.kind == "interrupted" for entry in self.entries)


STATES = {"flying": "being flown", "left": "left", "killed": "cut off"}
"""How an attempt without an end is spoken of, by its `state` in the history."""


def what_became(entry: Mapping[str, Any]) -> str:
    """What became of an attempt, in words: its state or its outcome; a segment has none."""
    told = "flown" if entry["level"] == "segment" else str(entry["outcome"])
    return STATES.get(entry["state"]) or told
