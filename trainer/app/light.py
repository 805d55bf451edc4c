"""The light that shows an identification: on as long as each tone, in the station's rhythm.

Owns which part of an ident is sent at a time. It reads no clock and draws nothing; the rhythm
itself is that of `world.morse`. Surprising rule: it runs in real time and not in that of the
flight, because it is there to be read by eyes.
"""

from __future__ import annotations

from dataclasses import dataclass

from trainer.world.morse import Element, decode, duration_s, elements

LOOK_S = 1.0 / 16.0
"""The light is looked at so often, s: twice in a dot."""


@dataclass(frozen=True, slots=True)
class Light:
    """An ident that began to be sent at `since_s` (s on the screen's clock)."""

    since_s: float
    sent: tuple[Element, ...]

    def is_on(self, now_s: float) -> bool:
        """Whether the tone sounds at `now_s`."""
        left_s = now_s - self.since_s
        for element in self.sent:
            if left_s < element.duration_s:
                return element.is_on
            left_s -= element.duration_s
        return False

    def is_over(self, now_s: float) -> bool:
        """Whether all of it has been sent."""
        return now_s - self.since_s >= duration_s(self.sent)


def light_of(code: str, now_s: float) -> Light | None:
    """The light for Morse `code` as the log holds it, None where it is no code."""
    try:
        text = decode(code)
    except ValueError:
        return None
    return Light(now_s, elements(text)) if text else None
