"""A screen of plain text to scroll, such as the history."""

from __future__ import annotations

from collections.abc import Sequence

from textual import events
from textual.app import ComposeResult

from trainer.app.screens.base import SizedScreen
from trainer.app.widgets.lines import Line, wrapped
from trainer.app.widgets.panel import Pager, Panel
from trainer.text import shown
from trainer.text import width as cells

KEYS = "↑ ↓ PgUp PgDn scroll   Enter or F10 back"
SHEET_MAX = 110
"""Cells of the sheet at most: longer lines are hard to read."""


def scroll_by(key: str, page: int) -> int:
    """Lines to move for a key; 0 for a key that does not move."""
    moves = {
        "up": -1, "down": 1, "pageup": 1 - page, "pagedown": page - 1, "space": page - 1,
        "home": -100_000, "end": 100_000,
    }  # fmt: skip
    return moves.get(key, 0)


class TextScreen(SizedScreen):
    """Lines of text under a title. Enter, Esc, F10 or `b` go back."""

    CSS_PATH = "text.tcss"

    def __init__(self, title: str, text: Sequence[str], section: str = "", names: int = 0) -> None:
        """`section`: of the page that says what stands where, "" for none.

        `names`: cells at the beginning of each line that hold what it is about.
        """
        super().__init__()
        self._section = section
        self._names = names
        self._title = Panel(id="title")
        self._text = Pager(id="text")
        self._keys = Panel(id="keys")
        self._heading = shown(title)
        self._texts = [shown(line) for line in text]

    def compose(self) -> ComposeResult:
        """Title, text, keys."""
        yield self._title
        yield self._text
        yield self._keys
        yield from super().compose()

    def paint(self) -> None:
        """Break the lines anew."""
        self._title.show([((f" {self._heading}", "title"),)])
        more = "   ? help" if self._section else ""
        self._keys.show([((f" {KEYS}{more}", "label"),)])
        lines: list[Line] = []
        for text in self._texts:
            broken = _broken(text, self.size.width)
            if self._names and broken:
                (start, _) = broken[0][0]
                at = self._names + 1
                broken[0] = ((start[:at], "selected"), (start[at:], ""))
            lines += broken
        self._text.fill(lines)

    def on_key(self, event: events.Key) -> None:
        """Scroll, or go back."""
        event.stop()
        event.prevent_default()
        if self._section and self.explains(event, self._section):
            return
        if event.key in ("enter", "escape", "f10", "b", "f1", "ctrl+c") or event.character == "?":
            self.dismiss()
            return
        self._text.move(scroll_by(event.key, self._text.size.height))


def _broken(text: str, width: int) -> list[Line]:
    """`text` in lines that fit, those after the first indented as deep as the text stood."""
    room = width - 2
    if cells(text) <= room:
        return [((f" {text}", ""),)]
    gap = text.rfind("  ", 0, 40)
    indent = gap + 2 if gap > 0 else 0
    first, *rest = wrapped(text[indent:], max(20, room - indent))
    return [
        ((f" {text[:indent]}{first}", ""),),
        *(((f" {' ' * indent}{line}", ""),) for line in rest),
    ]
