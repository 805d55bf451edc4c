"""What the annunciator went through, as lines to be read like the story of an incident."""

from __future__ import annotations

from tests.guidance.rig import Rig


def told(rig: Rig) -> list[str]:
    """Every change since the start or the last `begin`: "column: word (reason)"."""
    return [f"{c.column}: {c.after or '-'} ({c.reason})" for _, c in rig.changes]


def begin(rig: Rig) -> None:
    """Forget what went before: the story begins here."""
    rig.changes.clear()
