"""A panel: fixed lines of styled text, drawn line by line and only where they changed."""

from __future__ import annotations

from collections.abc import Sequence

from rich.segment import Segment
from textual import events
from textual.geometry import Region
from textual.message import Message
from textual.strip import Strip
from textual.widget import Widget

from trainer.app.widgets.lines import Line, padded
from trainer.app.widgets.palette import looks_of
from trainer.text import in_ascii, width


class Panel(Widget):
    """Shows lines from the top left; never takes the focus."""

    can_focus = False

    class Chosen(Message):
        """A line of a panel was clicked, at which cell."""

        def __init__(self, panel: Panel, line: int, column: int) -> None:
            super().__init__()
            self.panel = panel
            self.line = line
            self.column = column

        @property
        def control(self) -> Panel:
            """The panel that was clicked."""
            return self.panel

    def __init__(self, *, id: str | None = None, classes: str | None = None) -> None:
        super().__init__(id=id, classes=classes, markup=False)
        self._lines: tuple[Line, ...] = ()

    @property
    def lines(self) -> tuple[Line, ...]:
        """What is shown."""
        return self._lines

    def show(self, lines: Sequence[Line]) -> None:
        """Show `lines`; only those that differ from before are drawn again."""
        new, old = tuple(lines), self._lines
        if new == old:
            return
        self._lines = new
        width, height = self.size
        for y in range(min(height, max(len(new), len(old)))):
            before = old[y] if y < len(old) else ()
            after = new[y] if y < len(new) else ()
            if before != after:
                self.refresh(Region(0, y, width, 1))

    def render_line(self, y: int) -> Strip:
        """One row of the panel."""
        base = self.rich_style
        looks = looks_of(self.app)
        styles = looks.styles
        width = self.size.width
        line = self._lines[y] if y < len(self._lines) else ()
        spans = self._marked(padded(line, width), y)
        if looks.is_ascii:
            spans = tuple((in_ascii(text), meaning) for text, meaning in spans)
        return Strip([Segment(text, base + styles[meaning]) for text, meaning in spans], width)

    def _marked(self, spans: Line, y: int) -> Line:
        """The spans of row `y` as they are drawn; a pager marks where there is more."""
        return spans

    def on_click(self, event: events.Click) -> None:
        """Tell the screen which line was clicked."""
        if 0 <= event.y < len(self._lines):
            self.post_message(self.Chosen(self, event.y, event.x))


class Pager(Panel):
    """A panel over more lines than fit; the screen moves it with `move`.

    An arrow in the last cell of the first or last row says that there is more beyond it.
    """

    def __init__(self, *, id: str | None = None, classes: str | None = None) -> None:
        super().__init__(id=id, classes=classes)
        self._all: tuple[Line, ...] = ()
        self._top = 0
        self._marks: tuple[int, int] = (-1, -1)

    @property
    def top(self) -> int:
        """Index of the first line in sight."""
        return self._top

    def fill(self, lines: Sequence[Line]) -> None:
        """Take all lines, staying where it stood."""
        self._all = tuple(lines)
        self.move(0)

    def move(self, by: int) -> None:
        """Move by lines, held inside the text."""
        height = max(1, self.size.height)
        last = max(0, len(self._all) - height)
        self._top = min(max(0, self._top + by), last)
        self.show(self._all[self._top : self._top + height])
        marks = (0 if self._top else -1, height - 1 if self._top < last else -1)
        if marks != self._marks:
            self._marks = marks
            self.refresh()

    def _marked(self, spans: Line, y: int) -> Line:
        if y not in self._marks:
            return spans
        # The lower one wins where a single row is both.
        arrow = "↓" if y == self._marks[1] else "↑"
        *kept, (text, meaning) = (span for span in spans if span[0])
        return (
            *kept,
            (text[:-1].ljust(len(text) - 2 + width(text[-1:])), meaning),
            (arrow, "cursor"),
        )

    def bring(self, index: int, above: int = 0) -> None:
        """Move just enough to have line `index` in sight, with so many lines above it."""
        height = max(1, self.size.height)
        first = max(0, index - above)
        if first < self._top:
            self.move(first - self._top)
        if index >= self._top + height:
            self.move(index - self._top - height + 1)

    def on_resize(self) -> None:
        """Show as many lines as now fit."""
        self.move(0)
