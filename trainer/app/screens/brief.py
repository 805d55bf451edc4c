"""The brief: plan view, vertical profile with the ladders, and the procedure sheet, a page each.

It shows what `briefing` has computed and adds nothing to it.
"""

from __future__ import annotations

from textual import events
from textual.app import ComposeResult

from trainer.app.messages import SetUpRequested
from trainer.app.profile import profile_of, volume_of
from trainer.app.screens.base import SizedScreen
from trainer.app.screens.text import SHEET_MAX, scroll_by
from trainer.app.widgets.chart import plan_lines, profile_page
from trainer.app.widgets.lines import Line
from trainer.app.widgets.panel import Pager, Panel
from trainer.briefing.paper import sheet_text
from trainer.briefing.plan import plan_of
from trainer.briefing.sheet import Sheet
from trainer.flight.surroundings import surroundings_of
from trainer.text import shown

PAGES = ("PLAN", "PROFILE", "SHEET")
KEYS = "← → or 1 2 3 page   ↑ ↓ PgUp PgDn scroll   s set up  ? help  Enter back"


class BriefScreen(SizedScreen):
    """Three pages about one exercise. Enter, Esc, F10 or `b` go back."""

    CSS_PATH = "text.tcss"
    HELP = "Brief"

    def __init__(self, made: Sheet) -> None:
        super().__init__()
        self._made = made
        self._page = 0
        exercise = made.exercise
        self._plan = plan_of(exercise)
        self._profile = profile_of(exercise)
        self._volume = volume_of(surroundings_of(exercise))
        self._title = Panel(id="title")
        self._text = Pager(id="text")
        self._keys = Panel(id="keys")

    def compose(self) -> ComposeResult:
        """Title with the pages, the page, keys."""
        yield self._title
        yield self._text
        yield self._keys
        yield from super().compose()

    def paint(self) -> None:
        """Show the page."""
        exercise = self._made.exercise
        tabs = [
            (f" {place + 1} {name} ", "cursor" if place == self._page else "label")
            for place, name in enumerate(PAGES)
        ]
        where = f"  {shown(exercise.airport.name)}  {shown(exercise.approach.name)}"
        self._title.show(
            [((f" {shown(exercise.title)}", "title"), (where, "label")), ((" ", ""), *tabs)]
        )
        self._text.fill(self._lines())
        self._keys.show([((f" {KEYS}", "label"),)])

    def _lines(self) -> list[Line]:
        width, height = self._text.size
        if width < 40 or height < 10:
            return []
        if self._page == 0:
            return plan_lines(self._plan, width, height)
        if self._page == 1:
            return profile_page(self._profile, self._volume, self._made.ladders, width, height)
        text = sheet_text(self._made, min(width - 2, SHEET_MAX))
        return [((f" {shown(line)}", ""),) for line in text.splitlines()]

    def on_panel_chosen(self, message: Panel.Chosen) -> None:
        """A click on the name of a page opens it."""
        message.stop()
        if message.panel is not self._title or message.line != 1:
            return
        at = 1
        for place, name in enumerate(PAGES):
            at += len(name) + 4
            if message.column < at:
                self._open(place)
                return

    def _open(self, page: int) -> None:
        self._page = page % len(PAGES)
        self.paint()
        self._text.move(-self._text.top)

    def on_key(self, event: events.Key) -> None:
        """Turn pages, scroll, or go back."""
        event.stop()
        event.prevent_default()
        if self.explains(event):
            return
        if event.key in ("enter", "escape", "f10", "b", "ctrl+c"):
            self.dismiss()
        elif event.key == "s":
            self.post_message(SetUpRequested(self._made.exercise.name))
        elif event.key in ("left", "right"):
            self._open(self._page + (1 if event.key == "right" else -1))
        elif event.character in ("1", "2", "3"):
            self._open(int(event.character) - 1)
        else:
            self._text.move(scroll_by(event.key, self._text.size.height))
