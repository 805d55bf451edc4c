"""What a golden replay holds, and how it is written again: `python -m tests.golden.record`.

Write goldens again only with a reason, and raise `trainer.ENGINE` when flights change.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from tests.crew.crews import flown
from trainer import ENGINE
from trainer.crew.session import Session

FOLDER = Path(__file__).parent
TEMPTED = "{crew: 1, base: perfect, edits: [{advance: approach mode, to: {granted: approach}}]}"
FLIGHTS = {
    "straight-in-perfect": ("straight-in", "{crew: 1, base: perfect}"),
    "straight-in-no-gear": ("straight-in", "{crew: 1, base: perfect, edits: [{omit: gear down}]}"),
    "early-temptation-perfect": ("early-temptation", "{crew: 1, base: perfect}"),
    "early-temptation-tempted": ("early-temptation", TEMPTED),
}
EVERY_STEPS = 100
NUMBERS = (
    "x_m", "y_m", "height_m", "altitude_ft", "distance_nm", "cas_kt", "ground_speed_kt",
    "vertical_speed_fpm", "heading_deg", "power", "flap", "gear",
)  # fmt: skip


def golden_of(session: Session) -> dict[str, Any]:
    """Events exactly, numbers every ten seconds."""
    flight = session.flight
    return {
        "engine": ENGINE,
        "events": [
            [fact.step, fact.kind, fact.name, fact.detail]
            for fact in flight.facts
            if fact.kind not in ("said", "read back")
        ],
        "numbers": [
            [row.step, *(round(getattr(row, name), 6) for name in NUMBERS)]
            for row in flight.rows[::EVERY_STEPS]
        ],
    }


def main() -> None:
    """Write every golden again."""
    for name, (exercise, crew) in FLIGHTS.items():
        session, _ = flown(exercise, crew)
        text = json.dumps(golden_of(session), indent=None, separators=(",", ":"))
        (FOLDER / f"{name}.json").write_text(text.replace("],[", "],\n[") + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
