"""The flight screen: panels around one driver, one key router and one clock.

It passes keys down and Views down; it decides nothing about the flight. Painted five times a
second and at once after a key.
"""

from __future__ import annotations

from textual import events
from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.timer import Timer

from trainer.app.clock import Clock
from trainer.app.driver import Driver
from trainer.app.light import LOOK_S
from trainer.app.messages import FlightEnded, FlightLeft
from trainer.app.profile import profile_of, volume_of
from trainer.app.router import Note
from trainer.app.screens.controls import ControlsScreen
from trainer.app.screens.overlay import AgainOverlay, BackOverlay, LeaveOverlay, PauseOverlay
from trainer.app.settings import USUAL, Settings
from trainer.app.view import view_of
from trainer.app.widgets import faces
from trainer.app.widgets.about_panel import AboutPanel
from trainer.app.widgets.deck import Deck
from trainer.app.widgets.hints import hint_lines, idle_text
from trainer.app.widgets.key_panel import KeyPanel
from trainer.app.widgets.keys import entry_keys
from trainer.app.widgets.panel import Panel

PAINT_S = 0.2
PAGE_KEYS = {"down": 1, "pagedown": 1, "up": -1, "pageup": -1}
"""Keys that turn the pages of the key list, or scroll an explanation, while the help is open."""
TAB_KEYS = {"tab": 1, "shift+tab": -1}
"""Keys that explain one pane of the screen after the other while the help is open."""


class FlightScreen(ControlsScreen):
    """Flies `driver` in real time by `clock`."""

    CSS_PATH = ["flight.tcss"]  # noqa: RUF012
    LEFT = "the attempt stays unfinished"

    def __init__(self, driver: Driver, clock: Clock, settings: Settings = USUAL) -> None:
        super().__init__(driver, clock, settings)
        self._keys = entry_keys(settings.keymap)
        self._has_ended = False
        volume = volume_of(driver.session.flight.around) if driver.has_prompter else None
        self._deck = Deck(profile_of(driver.session.exercise), volume)
        self._hint = Panel(id="hint")
        self._entry = Panel(id="entry")
        self._help = KeyPanel(self._fitted, id="help")
        self._about = AboutPanel(settings.keymap, id="about")
        self.timer: Timer | None = None

    def compose(self) -> ComposeResult:
        """From top to bottom; the key list stands where the profile strip is, when asked for."""
        yield from self._deck.upper()
        with Horizontal(id="middle"):
            yield self._deck.strip
            yield self._help
            yield self._about
        with Horizontal(id="words"):
            yield from self.words()
        if self.driver.has_prompter:
            yield self._hint
        yield self._entry
        yield from super().compose()

    def words(self) -> ComposeResult:
        """The row of words: the log, and the checklist beside it."""
        yield self._deck.log
        yield self._deck.checklist

    def on_mount(self) -> None:
        """Start the clock and the timer."""
        self.driver.advance(self._clock())
        self.timer = self.set_interval(PAINT_S, self.tick)
        self.set_interval(LOOK_S, self.blink)
        self.call_after_refresh(self.paint)
        if self.driver.is_paused:
            self._hold(AgainOverlay(self._keymap))

    def tell_trouble(self, text: str) -> None:
        """Show a note that concerns the flight and not a key."""
        self.tell(Note(text))

    def tick(self) -> None:
        """Fly what real time asks for, and paint."""
        now_s = self._clock()
        if self.is_too_small:
            self.driver.stand_still(now_s)
        else:
            self.driver.advance(now_s)
        if self.driver.is_paused and not self._is_asking:
            self._hold(PauseOverlay(self._keymap))
        if self.router.tick(self.driver.row.step):
            self._note = ""
        self.paint()
        if self.driver.is_over and not self._has_ended and not self._is_asking:
            self._has_ended = True
            self.post_message(FlightEnded())

    def show_light(self) -> None:
        """Draw the aids alone: it is looked at three times as often as all is painted."""
        lit = self._ident.lit(self._clock())
        self._deck.show_aids(view_of(self.driver.row, self.driver.scribe), lit)

    # Keys ---------------------------------------------------------------------------------------

    def on_key(self, event: events.Key) -> None:
        """Every key goes to the router, and nothing below sees it."""
        event.stop()
        event.prevent_default()
        if event.key == "ctrl+c":
            self.wish("leave")
        else:
            self.press(event.key, event.character)

    def press(self, key: str, character: str | None) -> None:
        """Take one key."""
        self.driver.advance(self._clock())
        if self.driver.thaw():
            self.paint()
            return
        if self.has_class("-help") and self._in_help(key):
            return
        self._note = ""
        row = self.driver.row
        self.take(self.router.feed(key, character, row.step, row.challenge))
        self.driver.is_line_open = self.router.is_line_open
        self.paint()

    def _in_help(self, key: str) -> bool:
        """Take a key of the open help: its pages, or from pane to pane; False for any other."""
        if key in TAB_KEYS:
            is_first = not self.has_class("-about")
            self.add_class("-about")
            self._about.turn(0 if is_first else TAB_KEYS[key])
            self.call_after_refresh(self._about.draw)
        elif key not in PAGE_KEYS:
            return False
        elif self.has_class("-about"):
            page = max(1, self._about.size.height - 2) if key.startswith("page") else 1
            self._about.scroll_lines(PAGE_KEYS[key] * page)
        else:
            self._help.turn(PAGE_KEYS[key])
        return True

    def wish(self, what: str) -> None:
        """Show help, change the pace of time, or leave."""
        match what:
            case "help":
                self._help.restart()
                self.remove_class("-about")
                self.toggle_class("-help")
                self.call_after_refresh(self.paint)  # sizes change first
            case "pause":
                self._pause()
            case "skip":
                self.tell(self.driver.skip())
            case "rewind":
                self._rewind()
            case "faster":
                self.tell(self.driver.faster())
            case "real time":
                self.tell(self.driver.real_time())
            case "leave":
                self._leave()

    def stop(self) -> None:
        """Pause, because the program is about to be suspended; a check notices by itself."""
        if self.driver.level != "check" and not self.driver.is_paused and self.is_current:
            self._pause()

    def _pause(self) -> None:
        note = self.driver.pause()
        if note is not None:
            self.tell(note)
        elif self.driver.is_paused:
            self._hold(PauseOverlay(self._keymap))

    def _rewind(self) -> None:
        note = self.driver.rewind()
        if note is not None:
            self.tell(note)
            return
        self.router.forget()
        self.driver.is_line_open = False
        self._hold(BackOverlay(self._keymap))

    def _hold(self, overlay: PauseOverlay) -> None:
        # Until the answer has come a tick must not ask again: the overlay closes before it does.
        self._is_asking = True
        self.app.push_screen(overlay, self._go_on)

    def _go_on(self, answer: bool | None) -> None:
        self._is_asking = False
        if answer is False:
            self._leave()
        elif self.driver.is_paused:
            self.driver.pause()
        self.paint()

    def _leave(self) -> None:
        if not self._is_asking:
            self._is_asking = True
            if not self.driver.is_paused:
                self.driver.pause()  # refused in a check, where time runs on
            self.app.push_screen(LeaveOverlay(self.LEFT), self._left)

    def _left(self, answer: bool | None) -> None:
        self._is_asking = False
        if self.driver.is_paused:
            self.driver.pause()
        if answer and not self._has_ended:
            self._has_ended = True
            self.post_message(FlightLeft())

    def on_panel_chosen(self, message: Panel.Chosen) -> None:
        """A click on a key of the key list is that key; on its title, the next page.

        While the help is open a click on a pane explains it, and on an explanation the next.
        """
        message.stop()
        if self.has_class("-help") and message.panel is not self._help:
            self._explain(message.panel.id or "")
        if message.panel is not self._help:
            return
        if message.line == 0:
            self.press("pagedown", None)
            return
        binding = self._help.key_at(message.line, message.column)
        if binding is not None:
            self.press(binding.key, binding.key if len(binding.key) == 1 else None)

    def _explain(self, id: str) -> None:
        if id == self._about.id:
            self._about.turn(1)
        elif self._about.choose(id):
            self.add_class("-about")
            self.call_after_refresh(self._about.draw)

    # Painting -----------------------------------------------------------------------------------

    def paint(self) -> None:
        """Show the newest row; panels draw only the lines that changed."""
        driver = self.driver
        view = view_of(driver.row, driver.scribe)
        width = self.size.width
        now_s = self._clock()
        self._ident.look(driver.scribe.log, now_s)
        self._deck.show(view, driver.level, self._pace(), width, self._ident.lit(now_s))
        if driver.has_prompter:
            self._show_hint()
        self._entry.show(
            faces.entry(self.router.state, self.router.entry, self._note, width, self._keys)
        )

    def _show_hint(self) -> None:
        driver, size = self.driver, self._hint.size
        hint = driver.hint
        if hint is None and driver.level == "guided" and not driver.is_over:
            self._hint.show([((idle_text(self._keymap), "label"),)])
        else:
            self._hint.show(hint_lines(hint, size.width, size.height))

    def _pace(self) -> str:
        driver = self.driver
        if driver.is_frozen:
            return "INTERRUPTED: PRESS ANY KEY"
        if driver.is_paused:
            return "PAUSED"
        if driver.is_waiting:
            return "TIME WAITS"
        if driver.factor == 1:
            return ""
        slow = driver.slow_because
        return f"×1 while {slow}, then ×{driver.factor}" if slow else f"×{driver.factor}"
