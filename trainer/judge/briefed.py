"""The approach briefing, judged by its numbers.

Owns when a number of the briefing is right. Surprising rule: it costs no points, because what is
set or flown by a wrong number is charged there, and one slip is charged once.
"""

from __future__ import annotations

from collections.abc import Mapping

from trainer.judge.judgement import Briefed
from trainer.scenario.briefed import Slot, slots
from trainer.scenario.exercise import Exercise


def judged_briefing(exercise: Exercise, said: Mapping[str, str]) -> tuple[Briefed, ...]:
    """Every number of the briefing as it was said last; nothing where nothing was briefed."""
    if not said:
        return ()
    return tuple(_judged(slot, said.get(slot.name, "")) for slot in slots(exercise))


def _judged(slot: Slot, said: str) -> Briefed:
    verdict = "left out"
    if said:
        verdict = "right" if slot.is_right(said) else "wrong"
    return Briefed(
        slot.heading, slot.name, said, slot.shown, slot.unit, verdict, slot.why, slot.source
    )
