"""What the two screens of segments share: a list of things, what is in the chosen one, a level.

Each has a title of two lines, the list, the items below, and the keys with the level above them.
"""

from __future__ import annotations

from textual import events
from textual.app import ComposeResult

from trainer.app.messages import SegmentRequested
from trainer.app.screens.base import SizedScreen
from trainer.app.settings import LEVELS
from trainer.app.widgets.lines import cut
from trainer.app.widgets.panel import Pager, Panel
from trainer.scenario.exercise import Part
from trainer.text import shown


class SegmentListScreen(SizedScreen):
    """Chooses a segment of an exercise and the level at which it is flown."""

    CSS_PATH = "segments.tcss"

    def __init__(self, name: str, title: str, level: str) -> None:
        super().__init__()
        self.exercise, self._heading = name, shown(title)
        self._level = level
        self._title = Panel(id="title")
        self._list = Panel(id="list")
        self._items = Pager(id="items")
        self._keys = Panel(id="keys")

    def compose(self) -> ComposeResult:
        """Title, the list, items, keys."""
        yield self._title
        yield self._list
        yield self._items
        yield self._keys
        yield from super().compose()

    def on_mount(self) -> None:
        """Fill the panels."""
        self._list.styles.height = self._list_height()

    def _list_height(self) -> int:
        """Rows of the list."""
        raise NotImplementedError

    def _frame(self, kind: str, told: str, keys: str) -> None:
        """Show the title with what is chosen here, and the level above the keys."""
        self._title.show(
            [
                ((f" {self._heading}", "title"), (f"  {kind}", "label")),
                cut(((f" {told}", "label"),), self.size.width),
            ]
        )
        levels = [(f" {level} ", "cursor" if level == self._level else "label") for level in LEVELS]
        self._keys.show([(("  Level ", "label"), *levels), ((f" {keys}", "label"),)])

    def on_key(self, event: events.Key) -> None:
        """Explain, take a level, or leave the key to the list; nothing below sees it."""
        event.stop()
        event.prevent_default()
        if not (self.explains(event) or self._takes_level(event)):
            self.own_key(event)

    def own_key(self, event: events.Key) -> None:
        """Choose, fly, or go back."""
        raise NotImplementedError

    def _takes_level(self, event: events.Key) -> bool:
        """Take the number of a level; False for any other key."""
        if event.character not in ("1", "2", "3"):
            return False
        self._level = LEVELS[int(event.character) - 1]
        self.paint()
        return True

    def _fly(self, part: Part) -> None:
        self.post_message(
            SegmentRequested(self.exercise, self._level, part.from_moment, part.until_moment)
        )
