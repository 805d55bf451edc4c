"""Real time as the driver sees it: a number of seconds that only grows.

The one place in the application that reads a clock; everything else is told the time.
"""

from __future__ import annotations

import time
from collections.abc import Callable

Clock = Callable[[], float]
"""Gives seconds since some fixed moment."""


def real_clock() -> float:
    """Seconds of the machine's monotonic clock."""
    return time.monotonic()


class HandClock:
    """A clock that is moved by hand, for tests and for screenshots."""

    def __init__(self, now_s: float = 0.0) -> None:
        self.now_s = now_s

    def __call__(self) -> float:
        """The time it was set to, s."""
        return self.now_s

    def advance(self, seconds: float) -> None:
        """Move the clock on by `seconds`."""
        self.now_s += seconds
