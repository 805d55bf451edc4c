"""How long acts take: the published pace of the perfect crew (common practice, our figures)."""

from __future__ import annotations

from trainer.flight.acts import Act
from trainer.judge.hearing import speech_steps
from trainer.units import steps_for

PRESS_S = 1.0
SELECT_S = 2.0
LINE_S = 1.5


def busy_steps(act: Act) -> int:
    """Steps for which hands and voice are taken by `act`."""
    match act.act:
        case "set" if act.control != "torque":  # the hand is on those levers anyway
            return steps_for(SELECT_S)
        case "line":
            return steps_for(LINE_S)
        case "say" | "read back":
            return speech_steps(act.text)
        case _:
            return steps_for(PRESS_S)
