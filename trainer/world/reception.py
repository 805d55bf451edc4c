"""One signal as an aircraft receives it, and what state its transmitter is in.

Owns the value every receiver hands on, and the states of a transmitter. Refuses to know displays,
modes and aircraft types: whether a needle is *alive* depends on the type and is decided elsewhere.

Surprising rule: signals are used far beyond the volume in which they are guaranteed ("received"
against "covered"). And a station under maintenance radiates as ever; only its ident is missing.
"""

from __future__ import annotations

from trainer.values import dataclass

STOP_DOTS = 2.5
"""Deviations are shown up to this many dots either way; full scale is two dots."""
NEAR_M = 1.0
"""Nearer to an antenna than this, m, its signal is taken as at this distance."""
USABLE = ("received", "covered")
"""States of a signal that may be shown and followed."""
TRANSMISSIONS = ("normal", "maintenance", "failed")
"""States of a transmitter: "maintenance" radiates without ident, "failed" radiates nothing."""


@dataclass(slots=True)
class Reception:
    """One signal as received.

    state: "none" (nothing transmitted, or beyond the radio horizon), "flagged" (too weak or
    outside the sector: no needle), "received" (usable beyond the guaranteed volume) or
    "covered". dots: two = full scale, positive right of course or above the path, held at ±2.5.
    angle_rad: the same as an angle. offset_m: cross-track right of the course line, or height
    above the path as the needle has it. distance_m: before the threshold along the course for a
    localizer, from the transmitter for a glide path. field_uv_m: field strength, µV/m.
    The needle of a flagged signal must not be shown or used.
    """

    state: str
    dots: float
    angle_rad: float
    offset_m: float
    distance_m: float
    field_uv_m: float

    @property
    def is_usable(self) -> bool:
        """True if the signal may be shown and followed."""
        return self.state in USABLE


SILENCE = Reception("none", 0.0, 0.0, 0.0, 0.0, 0.0)
"""Nothing received at all."""


def radiates(transmission: str) -> bool:
    """Whether a transmitter in this state sends a signal.

    Raises:
        ValueError: for a state that does not exist.
    """
    if transmission not in TRANSMISSIONS:
        raise ValueError(f"no state of a transmitter {transmission}")
    return transmission != "failed"


def stopped(dots: float) -> float:
    """`dots` held at the stop of the display, ±2.5."""
    return min(max(dots, -STOP_DOTS), STOP_DOTS)
