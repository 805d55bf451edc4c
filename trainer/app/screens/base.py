"""What all screens share: no focus, breakpoints, a plain notice on a terminal that is too small."""

from __future__ import annotations

from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.screen import Screen

from trainer.app.widgets.lines import Line
from trainer.app.widgets.panel import Panel

MIN_WIDTH = 80
MIN_HEIGHT = 24
WIDTHS = [(0, "-narrow"), (MIN_WIDTH, "-compact"), (100, "-normal"), (140, "-wide")]
"""Class of the screen from each width on."""
HEIGHTS = [(0, "-flat"), (MIN_HEIGHT, "-low"), (30, "-tall"), (38, "-high")]
"""Class of the screen from each height on."""


class BaseScreen(Screen[None], inherit_bindings=False):
    """A screen whose keys it handles itself; nothing on it takes the focus.

    `HELP` is its section of the page that says what stands where, "" for a screen without one.
    """

    AUTO_FOCUS: ClassVar[str | None] = ""
    HELP: ClassVar[str] = ""
    HORIZONTAL_BREAKPOINTS = WIDTHS
    VERTICAL_BREAKPOINTS = HEIGHTS

    @property
    def is_too_small(self) -> bool:
        """Whether the terminal is smaller than this program can use."""
        return self.size.width < MIN_WIDTH or self.size.height < MIN_HEIGHT

    def explains(self, event: events.Key, section: str = "") -> bool:
        """Show what stands where on this screen if that is what a key asks for."""
        section = section or self.HELP
        if not section or not (event.key == "f1" or event.character == "?"):
            return False
        from trainer.app.pages import NAME_CELLS, help_lines
        from trainer.app.screens.text import TextScreen

        title = f"WHAT STANDS WHERE: {section}"
        self.app.push_screen(TextScreen(title, help_lines(section), names=NAME_CELLS))
        return True

    def paint(self) -> None:
        """Show everything, broken for the present size."""
        raise NotImplementedError

    def compose(self) -> ComposeResult:
        """The notice, shown by the stylesheet when the terminal is too small."""
        notice = Panel(id="too-small")
        lines: list[Line] = [
            (("This terminal is too small.", "caution"),),
            (("80 columns by 24 rows are needed; a flight stands still until then.", ""),),
        ]
        notice.show(lines)
        yield notice


class SizedScreen(BaseScreen):
    """A screen that is painted once its sizes are known, and again whenever they change.

    Textual calls a handler of every class, so one of a screen's own needs no `super()`.
    """

    def on_mount(self) -> None:
        """Paint for the first time."""
        self.call_after_refresh(self.paint)

    def on_resize(self) -> None:
        """Lay out anew."""
        self.call_after_refresh(self.paint)
