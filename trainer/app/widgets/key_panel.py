"""The panel that shows the list of keys, and which page of it."""

from __future__ import annotations

from trainer.app.keymap import DEFAULT, Binding, Keymap
from trainer.app.widgets.keys import Page, key_lines, page_of
from trainer.app.widgets.panel import Panel


class KeyPanel(Panel):
    """The list of keys as it fits; `turn` shows its other pages."""

    def __init__(self, keymap: Keymap = DEFAULT, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._keymap = keymap
        self._number = 0

    @property
    def page(self) -> Page:
        """The page that is shown."""
        return page_of(self._number, self.size.width, self.size.height, self._keymap)

    def turn(self, by: int) -> None:
        """Turn by so many pages, counted round; by 0 draw again."""
        page = self.page
        self._number = (page.number + by) % page.pages
        self.show(key_lines(self.page, self.size.width))

    def restart(self) -> None:
        """Go back to the first page."""
        self._number = 0

    def key_at(self, line: int, column: int) -> Binding | None:
        """The key shown at a line and cell of the panel, None where there is none."""
        return self.page.key_at(line - 1, column)

    def on_resize(self) -> None:
        """Lay the list out anew."""
        self.turn(0)
