"""The fingerprint of a flight, and flying it again from its log.

Equal digest means the same flight: it covers the exercise, the seed, the engine, the effective
acts and every row and fact. Byte equality is promised for one engine version on one platform.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Sequence

from trainer import ENGINE
from trainer.flight.acts import Act, Fact, by_step
from trainer.flight.flight import Flight
from trainer.flight.row import Row
from trainer.garbage import collection_paused
from trainer.scenario.exercise import Exercise
from trainer.scenario.phrases import PhraseBook

PIECE = 512
"""So many rows are written out at a time for the digest."""


def digest(
    exercise: Exercise, acts: Sequence[Act], rows: Sequence[Row], facts: Sequence[Fact]
) -> str:
    """SHA-256 (hex) of the canonical JSON of exercise digest, seed, engine, acts and facts."""
    hasher = hashlib.sha256()
    head = {"engine": ENGINE, "exercise": exercise.digest, "seed": exercise.seed}
    hasher.update(json.dumps(head, sort_keys=True).encode())
    encode = json.JSONEncoder(separators=(",", ":"), ensure_ascii=True).encode
    for group in (acts, facts):
        hasher.update(encode(group).encode())
    # A piece at a time: the whole text would be the most memory that a flight ever takes.
    hasher.update(b"[")
    for at in range(0, len(rows), PIECE):
        piece = encode(list(rows[at : at + PIECE]))[1:-1]
        hasher.update(f",{piece}".encode() if at else piece.encode())
    hasher.update(b"]")
    return hasher.hexdigest()


def fly_again(
    exercise: Exercise, book: PhraseBook, acts: Iterable[Act], steps: int | None = None
) -> Flight:
    """Fly recorded acts: the same acts give the same rows and facts.

    `steps` is how many steps are flown; None flies to the end.
    """
    flight = Flight(exercise, book)
    due = by_step(acts)
    with collection_paused():
        while not flight.is_over and flight.row.step != steps:
            flight.step(due.get(flight.row.step, ()))
    return flight
