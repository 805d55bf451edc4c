"""What the set-up and the flight share: keys become acts through the router, and notes answer.

Owns the note of the last key. What a wish of the router means is for the screen.
"""

from __future__ import annotations

from textual import events

from trainer.app.clock import Clock
from trainer.app.completion import calls_of
from trainer.app.driver import Driver
from trainer.app.light import Sending
from trainer.app.router import Ask, Draft, Note, Output, Router
from trainer.app.screens.base import BaseScreen
from trainer.app.settings import Settings


class ControlsScreen(BaseScreen):
    """A screen at whose keys sits the pilot of `driver`."""

    def __init__(self, driver: Driver, clock: Clock, settings: Settings) -> None:
        super().__init__()
        self.driver = driver
        calls = calls_of(driver.session.book) if driver.has_prompter else ()
        self._controls = driver.session.exercise.aircraft.controls
        self._fitted = settings.keymap.fitted(self._controls)
        self.router = Router(self._fitted, calls)
        self._keymap = settings.keymap
        self._clock = clock
        self._note = ""
        self._is_asking = False
        self._ident = Sending(driver.scribe.log)
        self._rings = settings.bell

    def wish(self, what: str) -> None:
        """Do what a key asks of the screen and not of the aircraft."""
        raise NotImplementedError

    def blink(self) -> None:
        """Send an ident that was asked for as light, and as bell where that is settled."""
        if self._ident.is_sending:
            if self._ident.blink(self._clock()) and self._rings:
                self.app.bell()
            self.show_light()

    def show_light(self) -> None:
        """Show the light of the ident that is being sent."""
        self.paint()

    def on_paste(self, event: events.Paste) -> None:
        """Pasted text is ignored, and said to be."""
        event.stop()
        event.prevent_default()
        self.take(self.router.paste())
        self.paint()

    def take(self, outputs: list[Output]) -> None:
        """Make the acts, do what is asked, and note what is to be told."""
        for output in outputs:
            match output:
                case Draft():
                    self.tell(self.driver.do(output))
                case Ask(what):
                    self.wish(what)
                case Note():
                    self.tell(output)

    def tell(self, note: Note | None) -> None:
        """Note it, behind what this key has said already."""
        if note is not None:
            self._note = f"{self._note}; {note.text}" if self._note else note.text
