"""What of the descent tables belongs to the sheet: its ground speeds and how a time is written."""

from __future__ import annotations

GROUND_SPEEDS_KT = (
    60, 70, 75, 80, 90, 100, 105, 110, 120, 130, 135, 140, 150, 160, 165, 170, 180,
)  # fmt: skip
"""Ground speeds of the tables, kt: tens, and the multiples of 15 that published tables have."""


def minutes_text(time_s: float) -> str:
    """A time as minutes and seconds, to the nearest second: "3:20"."""
    minutes, seconds = divmod(round(time_s), 60)
    return f"{minutes}:{seconds:02d}"
