"""The debrief: a paragraph, the findings in their order, and every item in a table."""

from __future__ import annotations

from collections.abc import Sequence

from textual import events
from textual.app import ComposeResult

from trainer.app.clock import Clock
from trainer.app.debriefing import DebriefText
from trainer.app.messages import HomeRequested, RepeatRequested, ReplayRequested
from trainer.app.screens.base import BaseScreen
from trainer.app.screens.text import scroll_by
from trainer.app.widgets.lines import Line, wrapped
from trainer.app.widgets.panel import Pager, Panel
from trainer.text import shown

KEYS = "F5 again, same seed   F6 again, new seed   Enter home   F7 replay   ↑ ↓ scroll"
QUIET_S = 2.0
"""Keys are ignored for this long after the debrief came or a letter was typed, s."""
_MEANING = {
    "on time": "active", "late": "caution", "early": "caution", "wrong": "warning",
    "missed": "warning", "not reached": "label",
}  # fmt: skip


def debrief_lines(text: DebriefText, width: int) -> list[Line]:
    """The whole debrief as lines of at most `width` cells."""
    lines: list[Line] = []
    for line in wrapped(shown(text.paragraph), width - 2):
        lines.append(((f" {line}", ""),))
    if text.timeline:
        lines += [(), ((" IN ORDER", "label"),)]
        for entry in text.timeline:
            lines += _hanging(shown(entry), width)
    lines += [(), ((f" {'ITEM':<30} {'VERDICT':<16} {'TIME':>7} {'NM':>5} CREDIT", "label"),)]
    for item in text.items:
        meaning = _MEANING.get(item.verdict.split(",")[0], "")
        name = shown(item.item)
        name = name if len(name) <= 30 else name[:29] + "…"
        lines.append(
            (
                (f" {name:<30} ", ""),
                (f"{item.verdict:<16} ", meaning),
                (f"{item.when:>7} {item.where:>5} {item.credit:>6}", "label"),
            )
        )
        if item.note:
            lines += [((f"     {line}", "label"),) for line in wrapped(shown(item.note), width - 8)]
    for note in text.notes:
        lines += [(), *_hanging(shown(note), width)]
    return lines


def _hanging(text: str, width: int) -> list[Line]:
    first, *rest = wrapped(text, width - 6)
    return [((f" • {first}", ""),), *(((f"   {line}", ""),) for line in rest)]


class DebriefScreen(BaseScreen):
    """What the flight was worth, and why.

    It comes while its pilot may still be typing a call: no letter does anything here, and neither
    does the Enter that ends the call.
    """

    CSS_PATH = "debrief.tcss"

    def __init__(self, text: DebriefText, clock: Clock, extra: Sequence[str] = ()) -> None:
        super().__init__()
        self._clock = clock
        self._quiet_until_s = clock() + QUIET_S
        self._text = text
        self._extra = tuple(extra)
        self._title = Panel(id="title")
        self._body = Pager(id="body")
        self._keys = Panel(id="keys")

    def compose(self) -> ComposeResult:
        """Headline, body, keys."""
        yield self._title
        yield self._body
        yield self._keys
        yield from super().compose()

    def on_mount(self) -> None:
        """Fill the panels."""
        self.paint()

    def on_resize(self) -> None:
        """Break the lines anew."""
        self.paint()

    def paint(self) -> None:
        """Show headline, body and keys."""
        meaning = "active" if self._text.is_passed else "caution"
        extra: list[Line] = [((f" {shown(line)}", "label"),) for line in self._extra]
        self._title.show([((f" {shown(self._text.headline)}", meaning),), *extra])
        self._body.fill(debrief_lines(self._text, self.size.width))
        self._keys.show([((f" {KEYS}", "label"),)])

    def on_key(self, event: events.Key) -> None:
        """Scroll, repeat, or go home."""
        event.stop()
        event.prevent_default()
        now_s = self._clock()
        if event.is_printable:
            self._quiet_until_s = max(self._quiet_until_s, now_s + QUIET_S)
        if now_s < self._quiet_until_s:
            return
        match event.key:
            case "enter" | "f10" | "ctrl+c":
                self.post_message(HomeRequested())
            case "f5":
                self.post_message(RepeatRequested(with_new_seed=False))
            case "f6":
                self.post_message(RepeatRequested(with_new_seed=True))
            case "f7":
                self.post_message(ReplayRequested())
            case key:
                self._body.move(scroll_by(key, self._body.size.height))
