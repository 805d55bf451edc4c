"""Which override of a house answers which verdict ("our procedure differs"): line and meaning.

It reads and writes no file. Surprising rule: a moment that is physics (a last chance, a height)
and a word or value that was not so cannot differ.
"""

from __future__ import annotations

import math

from trainer.errors import UserError
from trainer.judge.judgement import ItemVerdict
from trainer.judge.tracks import MOMENTS
from trainer.scenario import differing
from trainer.scenario.exercise import Exercise, Item
from trainer.scenario.moments import Happened
from trainer.scenario.procedure import recurring_part
from trainer.text import quoted
from trainer.units import STEPS_PER_S

ROUNDED_S = 5
"""A longer due is rounded up to whole multiples of this, s."""


def may_differ(exercise: Exercise, verdict: ItemVerdict) -> bool:
    """Whether a house may have it otherwise, so that "our procedure differs" can be said of it."""
    try:
        override(exercise, verdict)
        keep_what_a_gate_asks_for(exercise, verdict)
    except UserError:
        return False
    return True


def _item_of(exercise: Exercise, verdict: ItemVerdict) -> Item:
    name = verdict.item.partition(" (")[0] if verdict.item.endswith(")") else verdict.item
    base = recurring_part(name)
    for wanted in (verdict.item, name, base):
        for item in exercise.flow.every_item:
            if item.name == wanted and (item.each is not None or wanted != base):
                return item
    raise UserError(f"{quoted(verdict.item)} comes from the exercise, not from the procedure")


def override(exercise: Exercise, verdict: ItemVerdict) -> tuple[str, str]:
    """The line for the house file that makes what was done right, and what the line means.

    Raises UserError if no procedure makes it right.
    """
    flow, item = exercise.flow.name, _item_of(exercise, verdict)
    match verdict.verdict:
        case "early":
            line = differing.change_line(flow, item.name, early="fine")
            return line, f"{quoted(item.name)} may be done before it opens"
        case "late":
            if isinstance(item.due, MOMENTS):
                raise UserError(
                    f"{quoted(item.name)} is due at a moment of the flight, not after a time; "
                    "no procedure moves that"
                )
            due_s = _needed_s(verdict)
            line = differing.change_line(flow, item.name, due=f"{due_s} s")
            return line, f"{quoted(item.name)} has {due_s} s"
        case "missed":
            line = differing.change_line(flow, item.name)
            return line, f"{quoted(item.name)} is not part of it"
        case "wrong":
            raise UserError(
                f"{quoted(item.name)}: what was said or set was not so; no procedure makes it right"
            )
    raise UserError(f"{quoted(item.name)} was {verdict.verdict}; nothing differs")


def keep_what_a_gate_asks_for(exercise: Exercise, verdict: ItemVerdict) -> None:
    """Raise UserError if `verdict` is that gear or flap was left out until the last chance."""
    item = _item_of(exercise, verdict)
    is_last = isinstance(item.due, Happened) and item.due.kind == "last chance"
    if is_last and verdict.verdict == "missed":
        raise UserError(
            f"{quoted(item.name)} is what a gate asks for, due at its last chance; "
            "only a flow of your own leaves it out"
        )


def _needed_s(verdict: ItemVerdict) -> int:
    """The time that was taken from opening, rounded up, s."""
    assert verdict.done is not None
    assert verdict.opened is not None
    taken_s = (verdict.done - verdict.opened) / STEPS_PER_S
    return ROUNDED_S * math.ceil(taken_s / ROUNDED_S)
