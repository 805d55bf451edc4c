"""Which slips explain which outcomes: the one closed table of causes.

An item verdict is always primary. A gate failure or watch that an earlier, still uncorrected item
verdict explains is consequent: it decides the outcome but deducts nothing.
"""

from __future__ import annotations

from trainer.scenario.controls import CONTROLS
from trainer.scenario.exercise import Act

CAUSES = (
    "energy", "flaps", "gear", "lateral", "vertical", "modes", "missed approach", "awareness",
    "checklist", "decision",
)  # fmt: skip

CRITERION_CAUSES: dict[str, tuple[str, ...]] = {
    "localizer": ("lateral", "modes"),
    "glideslope": ("vertical", "modes", "energy"),
    "speed above": ("energy",),
    "speed below": ("energy",),
    "sink": ("energy", "vertical"),
    "configuration": ("energy",),
    "thrust idle": ("energy",),
    "checklist": ("checklist", "energy"),
    "bank": ("lateral", "modes"),
    "path": ("vertical", "modes", "energy"),
    "track": ("lateral", "modes"),
}


OF_THE_AIR = frozenset({"glideslope", "sink", "speed above", "speed below", "thrust idle"})
"""Criteria that a change of the wind upsets by itself."""
AIR_UPSETS_S = 30.0
"""For how long after it (common practice: what a gust upsets is back by then)."""

DIRECT_CAUSES: dict[str, tuple[str, ...]] = {
    "configuration": ("flaps", "gear"),
    "localizer": ("lateral",),
    "glideslope": ("vertical",),
    "path": ("vertical",),
    "track": ("lateral",),
}
"""Causes that stand for the very thing a criterion looks at; they are named first."""


def touches(act: Act) -> tuple[str, ...]:
    """The causes an error on this act may explain."""
    if act.kind in ("do", "set"):
        return CONTROLS[act.control].touches
    if act.kind in ("checklist", "line"):
        return ("checklist",)
    return ("awareness",)
