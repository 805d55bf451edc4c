"""What a crew may answer to a fault: the closed list, each answer with the act that gives it.

Owns which button or which words stand for an answer, and the item that a fault creates. Surprising
rule: the first accepted answer of an event is the one a good crew gives, the others are as right.
"""

from __future__ import annotations

from trainer.scenario.exercise import Act, Event, Item
from trainer.scenario.moments import Happened

ANSWER_ACTS: dict[str, Act] = {
    "go around": Act("do", control="go-around"),
    "discontinue": Act("say", intent="discontinue"),
    "continue": Act("say", intent="continue"),
    "land visually": Act("say", intent="landing"),
    "continue on the localizer": Act("say", intent="localizer only"),
    "higher minimum": Act("say", intent="higher minimum"),
    "LNAV minimum": Act("say", intent="LNAV minimum"),
    "disconnect": Act("do", control="autopilot off"),
    "check course": Act("say", intent="check course"),
}
"""The act with which each answer is given: a button, or a call of the house."""

_DUE_S = 8.0
_CLOSES_S = 20.0


def answer_item(event: Event) -> Item | None:
    """The item that the fault of `event` creates: one of its accepted answers; None without."""
    if event.fault is None or not event.answers:
        return None
    accepted = tuple(ANSWER_ACTS[name] for name in event.answers)
    return Item(
        name=answer_name(event.name),
        act=accepted[0],
        answers=accepted,
        role="flying",
        opens=Happened("event", event.name),
        due=_DUE_S,
        closes=_CLOSES_S,
        weight=6.0,
        area="decision",
        why=f"A failure asks for a decision, said or done: {' or '.join(event.answers)}.",
        source="ICAO Annex 6 (alert height); CS-AWO; common practice",
    )


def answer_name(event: str) -> str:
    """Name of the item that the fault of `event` creates."""
    return f"answer to {event}"
