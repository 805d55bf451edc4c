"""When an exercise is due to be flown again, from the attempts on record.

Owns what an attempt is worth as a repetition. The dates are those of FSRS (Free Spaced Repetition
Scheduler, version 6, with its published parameters, as in the package `fsrs`), without its random
spread, so that the same attempts always give the same day. Now is a parameter. Surprising rule:
nothing about it is kept; the days are worked out from the attempts each time, so an attempt that is
judged again moves them.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import UTC, datetime
from typing import NamedTuple

from fsrs import Card, Rating, Scheduler

LEVELS = ("coached", "check")
"""Levels whose flights count as repetitions: in Guided nothing had to be remembered."""
WELL = 90.0
"""Points from which an exercise that was passed is taken as remembered well, 0..100."""
RETENTION = 0.9
"""An exercise falls due when its scheduler expects it to be remembered with this probability."""


class Repetition(NamedTuple):
    """An attempt that ended: exercise, start (UTC as `2026-01-31T08:15:00Z`), outcome, points."""

    exercise: str
    started: str
    outcome: str
    points: float | None


def days_until_due(repetitions: Iterable[Repetition], now: datetime) -> dict[str, int]:
    """Days from the date of `now` (aware) to that on which each exercise falls due.

    0 = today, negative = overdue; dates are those of UTC. The repetitions of one exercise must come
    oldest first; an exercise without any is not in the answer: it is new, not due.
    """
    # Steps of minutes are for cards of seconds: an approach comes back after a day at the earliest.
    scheduler = Scheduler(
        desired_retention=RETENTION, learning_steps=(), relearning_steps=(), enable_fuzzing=False
    )
    cards: dict[str, Card] = {}
    for number, one in enumerate(repetitions):
        card = cards.get(one.exercise) or Card(card_id=number)
        at = datetime.fromisoformat(one.started).astimezone(UTC)
        cards[one.exercise], _ = scheduler.review_card(card, rating(one), review_datetime=at)
    today = now.astimezone(UTC).date()
    return {name: (card.due.date() - today).days for name, card in cards.items()}


def rating(one: Repetition) -> Rating:
    """How well the exercise was remembered: not (repeat), with effort (below `WELL`), or well."""
    if one.outcome != "passed":
        return Rating.Again
    return Rating.Good if (one.points or 0.0) >= WELL else Rating.Hard
