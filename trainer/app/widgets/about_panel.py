"""The panel that explains one pane of the flight screen after the other."""

from __future__ import annotations

from trainer.app.keymap import DEFAULT, Keymap
from trainer.app.panes import PANES
from trainer.app.widgets.explained import pane_lines, pane_title
from trainer.app.widgets.panel import Panel


class AboutPanel(Panel):
    """Shows the explanation of one pane; `turn` goes to another, `scroll` moves inside it."""

    def __init__(self, keymap: Keymap = DEFAULT, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._hide = keymap.shown("help")
        self._number = 0
        self._top = 0

    def turn(self, by: int) -> None:
        """Go on by so many panes, counted round; by 0 begin this one again."""
        self._number = (self._number + by) % len(PANES)
        self._top = 0
        self.draw()

    def choose(self, id: str) -> bool:
        """Explain the pane of widget `id`; False if there is nothing to say about it."""
        places = [place for place, one in enumerate(PANES) if one.id == id]
        if places:
            self._number = places[0]
            self.turn(0)
        return bool(places)

    def scroll_lines(self, by: int) -> None:
        """Move by lines, held inside the text."""
        self._top += by
        self.draw()

    def draw(self) -> None:
        """Lay the text out for the present size."""
        width, height = self.size
        pane = PANES[self._number]
        lines = pane_lines(pane, width)
        room = max(1, height - 1)
        self._top = min(max(0, self._top), max(0, len(lines) - room))
        title = pane_title(pane, self._number + 1, len(PANES), width, self._hide)
        self.show([title, *lines[self._top : self._top + room]])

    def on_resize(self) -> None:
        """Lay out anew."""
        self.draw()
