"""Acts and facts: what somebody did, and what came of it. Both are append-only.

Acts are actions, never keys, so that a changed keymap breaks no recording.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple, TypeVar

ACT_KINDS = ("press", "move", "set", "say", "read back", "checklist", "line", "brief")


class Act(NamedTuple):
    """One action of somebody on the flight deck.

    act: "press" (button), "move" (lever to position `value`), "set" (selector to `value`),
    "say" (call `text`), "read back" (clearance answered with `text`), "checklist" (start the list
    `control`), "line" (confirm the open line; `value` is what was answered, "" = as challenged),
    "brief" (state the number `value` for the place `control` of the briefing).
    `by`: "pilot", "colleague" or "crew". `began`: the step at which a call was opened.
    """

    step: int
    serial: int
    by: str
    act: str
    control: str = ""
    value: str = ""
    text: str = ""
    began: int = -1


class Fact(NamedTuple):
    """One thing that happened during a step.

    kind: acted (control, position or value), refused (control; reason), said (text), read back
    (text), protected (speed; speed flown, `before` the speed asked for, reason), mode (column,
    shown now; `before`, reason; detail "commanded" or "automatic" in `tag`), event (name; ATC
    text), granted (clearance; event), direct (fix), passed (fix), phase (name),
    briefed (place; number said), heard (ident), line (checklist, challenge),
    checklist (name), fault (signal, state), touchdown, end (reason).
    """

    step: int
    kind: str
    name: str
    detail: str = ""
    before: str = ""
    reason: str = ""
    tag: str = ""


Done = TypeVar("Done", Act, Fact)


def by_step(done: Iterable[Done]) -> dict[int, list[Done]]:
    """Acts or facts by their step, those of a step in their order."""
    found: dict[int, list[Done]] = {}
    for one in done:
        found.setdefault(one.step, []).append(one)
    return found


def numbered(acts: Iterable[Act]) -> list[Act]:
    """`acts` numbered in their order, as a session numbers them while they are flown."""
    return [act._replace(serial=place) for place, act in enumerate(acts, 1)]
