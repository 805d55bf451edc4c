"""The light that shows an identification: on as long as each tone, in the station's rhythm.

Owns which part of an ident is sent at a time. It reads no clock and draws nothing; the rhythm
itself is that of `world.morse`. Surprising rule: it runs in real time and not in that of the
flight, because it is there to be read by eyes.
"""

from __future__ import annotations

from collections.abc import Sequence

from trainer.app.scribe import LogLine
from trainer.values import dataclass
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


class Sending:
    """The ident that is being sent, told from the communication log; silent until a new one."""

    def __init__(self, log: Sequence[LogLine]) -> None:
        self._light: Light | None = None
        self._was_lit = False
        self._heard = _last_ident(log)

    def look(self, log: Sequence[LogLine], now_s: float) -> None:
        """Begin to send an ident that has come into the log."""
        heard = _last_ident(log)
        if heard is not None and heard is not self._heard:
            self._light = light_of(heard.text, now_s)
            self._was_lit = False
        self._heard = heard

    @property
    def is_sending(self) -> bool:
        """Whether an ident is being sent."""
        return self._light is not None

    def lit(self, now_s: float) -> bool | None:
        """The light of the ident being sent, None while none is."""
        return None if self._light is None else self._light.is_on(now_s)

    def blink(self, now_s: float) -> bool:
        """Go on sending; whether a tone has just begun."""
        if self._light is None:
            return False
        is_lit = self._light.is_on(now_s)
        if self._light.is_over(now_s):
            self._light = None
        begins = is_lit and not self._was_lit and self._light is not None
        self._was_lit = is_lit
        return begins


def _last_ident(log: Sequence[LogLine]) -> LogLine | None:
    return next((one for one in reversed(log) if one.who == "IDENT"), None)
