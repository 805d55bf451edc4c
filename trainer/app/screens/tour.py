"""The flight screen with a guide beside it: the tour of somebody who is here for the first time.

It owns which card is shown. Everything else is the flight screen itself, so that what is shown is
what will be there. The text of the tour stands where the communication log is.
"""

from __future__ import annotations

from textual import events
from textual.app import ComposeResult

from trainer.app.clock import Clock
from trainer.app.driver import Driver
from trainer.app.screens.flight import FlightScreen
from trainer.app.settings import USUAL, Settings
from trainer.app.tour import CARDS, card_text, step_text
from trainer.app.widgets.lines import Line, wrapped
from trainer.app.widgets.panel import Panel

CHECKLIST_CELLS = 36
NEXT = ("enter", "right", "down", "pagedown")
BACK = ("left", "up", "pageup")


class TourScreen(FlightScreen):
    """First cards while time stands still, then the flight with words on each kind of step."""

    CSS_PATH = ["flight.tcss", "tour.tcss"]  # noqa: RUF012
    LEFT = "a tour is not kept"

    def __init__(self, driver: Driver, clock: Clock, settings: Settings = USUAL) -> None:
        super().__init__(driver, clock, settings)
        self._settings = settings
        self._told = Panel(id="tour")
        self._card = 0
        self._flight_keys = self._keys
        leave = settings.keymap.shown("leave")
        self._keys = f"Enter go on · ← back · {leave} leave the tour"
        driver.prepare()

    def words(self) -> ComposeResult:
        """The words of the tour in place of the log."""
        yield self._told
        yield self._deck.checklist

    @property
    def has_cards(self) -> bool:
        """Whether time still stands and cards are shown."""
        return self._card < len(CARDS)

    def on_key(self, event: events.Key) -> None:
        """Turn the cards; afterwards every key is one of the flight."""
        if not self.has_cards or event.key == "ctrl+c":
            super().on_key(event)
            return
        event.stop()
        event.prevent_default()
        if event.key in NEXT:
            self._turn(1)
        elif event.key in BACK:
            self._turn(-1)
        elif event.key == self._settings.keymap.key_of("leave"):
            self._leave()

    def _turn(self, by: int) -> None:
        self._card = max(0, self._card + by)
        if not self.has_cards:
            self._keys = self._flight_keys
            self.driver.begin(self._clock())
        self.paint()

    def paint(self) -> None:
        """Show the row, and the words that go with it."""
        super().paint()
        keymap, is_reading = self._settings.keymap, bool(self.driver.row.challenge)
        shown = CARDS[self._card].pane if self.has_cards else ""
        for pane in self.query(Panel):
            pane.set_class(pane.id == shown, "-shown")
        self.set_class(is_reading, "-reading")
        if self.has_cards:
            text = card_text(self._card, keymap)
        else:
            text = step_text(self.driver.hint, keymap)
        room = self.size.width - 8 - (CHECKLIST_CELLS if is_reading else 0)
        lines: list[Line] = []
        for number, line in enumerate(wrapped(text, max(20, room))):
            head = (" TOUR ", "cursor") if number == 0 else ("      ", "")
            lines.append((head, (f" {line}", "")))
        self._told.show(lines)

    def _show_hint(self) -> None:
        if self.has_cards:
            self._hint.show([])
        else:
            super()._show_hint()

    def _pace(self) -> str:
        return "TIME STANDS STILL" if self.has_cards else super()._pace()
