"""The fingerprint of a flight, and flying it again from its log.

Equal digest means the same flight: it covers the exercise, the seed, the engine, the effective
acts and every row and fact. Byte equality is promised for one engine version on one platform.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Sequence

from trainer import ENGINE
from trainer.flight.acts import Act, Fact
from trainer.flight.flight import Flight
from trainer.flight.row import Row
from trainer.scenario.exercise import Exercise
from trainer.scenario.phrases import PhraseBook


def digest(
    exercise: Exercise, acts: Sequence[Act], rows: Sequence[Row], facts: Sequence[Fact]
) -> str:
    """SHA-256 (hex) of the canonical JSON of exercise digest, seed, engine, acts and facts."""
    hasher = hashlib.sha256()
    head = {"engine": ENGINE, "exercise": exercise.digest, "seed": exercise.seed}
    hasher.update(json.dumps(head, sort_keys=True).encode())
    encode = json.JSONEncoder(separators=(",", ":"), ensure_ascii=True).encode
    for group in (acts, facts, rows):
        hasher.update(encode(group).encode())
    return hasher.hexdigest()


def fly_again(exercise: Exercise, book: PhraseBook, acts: Iterable[Act]) -> Flight:
    """Fly recorded acts to the end: the same acts give the same rows and facts."""
    flight = Flight(exercise, book)
    by_step: dict[int, list[Act]] = {}
    for act in acts:
        by_step.setdefault(act.step, []).append(act)
    while not flight.is_over:
        flight.step(by_step.get(flight.row.step, ()))
    return flight
