"""A tuned receiver: what it believes of a signal that comes and goes.

Owns the delay of the flag and the hysteresis. Works on any station that can be received at a
point; knows nothing of frequencies.

Surprising rule: for a second after a signal is lost the last needle stays, and for a second
after it comes the flag does.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Protocol

from trainer.units import STEPS_PER_S
from trainer.world.reception import SILENCE, USABLE, Reception

HYSTERESIS = 10.0 ** (-2.0 / 20.0)
"""A held signal is dropped 2 dB below the level at which it comes in (a band of ±1 dB)."""
HOLD_STEPS = STEPS_PER_S
"""A change must last 1 s before a receiver believes it."""


class Station(Protocol):
    """What a receiver can be tuned to: a localizer, a glide path, a VOR course."""

    def receive(self, x_m: float, y_m: float, height_m: float, relief: float = 1.0) -> Reception:
        """What is received at a point; arguments as for a localizer."""


class Receiver:
    """One tuned receiver: believes a change of signal only after 1 s, and holds what it has.

    A signal comes in at the nominal limit and is dropped 2 dB below it. While a lost signal is
    still held, the last needle is shown. The first signal after tuning is believed at once.
    `is_usable`: what it believes of its signal, None when just tuned.
    """

    __slots__ = ("_last", "_steps", "is_usable")

    def __init__(self) -> None:
        self.reset()

    def reset(self) -> None:
        """Forget everything: the receiver has just been tuned."""
        self.is_usable: bool | None = None
        self._last = SILENCE
        self._steps = 0

    def receive(self, station: Station, x_m: float, y_m: float, height_m: float) -> Reception:
        """The signal as the receiver passes it on; call once for each step of 0.1 s."""
        relief = HYSTERESIS if self.is_usable else 1.0
        now = station.receive(x_m, y_m, height_m, relief)
        is_usable = now.state in USABLE
        if is_usable is not self.is_usable:
            self._steps += 1
            if self.is_usable is not None and self._steps < HOLD_STEPS:
                return replace(now, state="flagged") if is_usable else self._last
            self.is_usable = is_usable
        self._steps = 0
        self._last = now
        return now
