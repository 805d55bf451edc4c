"""A screen of plain text to scroll, such as the history."""

from __future__ import annotations

from collections.abc import Sequence

from textual import events
from textual.app import ComposeResult

from trainer.app.screens.base import BaseScreen
from trainer.app.widgets.lines import Line
from trainer.app.widgets.panel import Pager, Panel
from trainer.text import shown

KEYS = "↑ ↓ PgUp PgDn scroll   Enter or F10 back"


def scroll_by(key: str, page: int) -> int:
    """Lines to move for a key; 0 for a key that does not move."""
    moves = {
        "up": -1, "down": 1, "pageup": 1 - page, "pagedown": page - 1, "space": page - 1,
        "home": -100_000, "end": 100_000,
    }  # fmt: skip
    return moves.get(key, 0)


class TextScreen(BaseScreen):
    """Lines of text under a title. Enter, F10 or `b` go back."""

    CSS_PATH = "text.tcss"

    def __init__(self, title: str, text: Sequence[str]) -> None:
        super().__init__()
        self._title = Panel(id="title")
        self._text = Pager(id="text")
        self._keys = Panel(id="keys")
        self._heading = shown(title)
        self._lines: list[Line] = [((f" {shown(line)}", ""),) for line in text]

    def compose(self) -> ComposeResult:
        """Title, text, keys."""
        yield self._title
        yield self._text
        yield self._keys
        yield from super().compose()

    def on_mount(self) -> None:
        """Fill the panels."""
        self._title.show([((f" {self._heading}", "title"),)])
        self._text.fill(self._lines)
        self._keys.show([((f" {KEYS}", "label"),)])

    def on_key(self, event: events.Key) -> None:
        """Scroll, or go back."""
        event.stop()
        event.prevent_default()
        if event.key in ("enter", "f10", "b", "ctrl+c"):
            self.dismiss()
            return
        self._text.move(scroll_by(event.key, self._text.size.height))
