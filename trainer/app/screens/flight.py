"""The flight screen: panels around one driver, one key router and one clock.

It passes keys down and Views down; it decides nothing about the flight. Painted five times a
second and at once after a key.
"""

from __future__ import annotations

from textual import events
from textual.app import ComposeResult
from textual.containers import Horizontal

from trainer.app.clock import Clock
from trainer.app.driver import Driver
from trainer.app.keymap import BINDINGS, ROWS, keys_table
from trainer.app.messages import FlightEnded, FlightLeft
from trainer.app.profile import Profile, Volume, profile_of, volume_of
from trainer.app.prompting import Hint
from trainer.app.router import Ask, Draft, Note, Output, Router
from trainer.app.screens.base import BaseScreen
from trainer.app.screens.overlay import LeaveOverlay, PauseOverlay
from trainer.app.view import View, view_of
from trainer.app.widgets import faces, instruments
from trainer.app.widgets.lines import Line, wrapped
from trainer.app.widgets.panel import Pager, Panel
from trainer.app.widgets.strip import profile_lines
from trainer.text import shown

PAINT_S = 0.2


class FlightScreen(BaseScreen):
    """Flies `driver` in real time by `clock`."""

    CSS_PATH = "flight.tcss"

    def __init__(self, driver: Driver, clock: Clock) -> None:
        super().__init__()
        self.driver = driver
        self.router = Router()
        self._clock = clock
        self._note = ""
        self._has_ended = False
        self._is_asking = False
        self._profile: Profile = profile_of(driver.session.exercise)
        self._volume: Volume | None = None
        if driver.has_prompter:
            self._volume = volume_of(driver.session.flight.around)
        self._header = Panel(id="header")
        self._modes = Panel(id="modes")
        self._energy = Panel(id="energy", classes="block")
        self._raw = Panel(id="raw", classes="block")
        self._position = Panel(id="position", classes="block")
        self._strip = Panel(id="strip")
        self._log = Panel(id="log")
        self._checklist = Panel(id="checklist")
        self._hint = Panel(id="hint")
        self._entry = Panel(id="entry")
        self._help = Pager(id="help")

    def compose(self) -> ComposeResult:
        """From top to bottom; the key list stands beside everything else when asked for."""
        yield self._header
        yield self._modes
        with Horizontal(id="blocks"):
            yield self._energy
            yield self._raw
            yield self._position
        with Horizontal(id="middle"):
            yield self._strip
            yield self._help
        with Horizontal(id="words"):
            yield self._log
            yield self._checklist
        if self.driver.has_prompter:
            yield self._hint
        yield self._entry
        yield from super().compose()

    def on_mount(self) -> None:
        """Start the clock and the timer."""
        self.driver.advance(self._clock())
        self._help.fill(self._help_lines())
        self.set_interval(PAINT_S, self.tick)
        self.call_after_refresh(self.paint)

    def tick(self) -> None:
        """Fly what real time asks for, and paint."""
        now_s = self._clock()
        if self.is_too_small:
            self.driver.stand_still(now_s)
        else:
            self.driver.advance(now_s)
        if self.router.tick(self.driver.row.step):
            self._note = ""
        self.paint()
        if self.driver.is_over and not self._has_ended and not self._is_asking:
            self._has_ended = True
            self.post_message(FlightEnded())

    # Keys ---------------------------------------------------------------------------------------

    def on_key(self, event: events.Key) -> None:
        """Every key goes to the router, and nothing below sees it."""
        event.stop()
        event.prevent_default()
        key = "f10" if event.key == "ctrl+c" else event.key
        self.press(key, event.character)

    def on_paste(self, event: events.Paste) -> None:
        """Pasted text is ignored, and said to be."""
        event.stop()
        event.prevent_default()
        self._take(self.router.paste())
        self.paint()

    def press(self, key: str, character: str | None) -> None:
        """Take one key."""
        self.driver.advance(self._clock())
        if self.driver.thaw():
            self.paint()
            return
        self._note = ""
        row = self.driver.row
        self._take(self.router.feed(key, character, row.step, row.challenge))
        self.driver.is_line_open = self.router.is_line_open
        self.paint()

    def _take(self, outputs: list[Output]) -> None:
        for output in outputs:
            match output:
                case Draft():
                    self._tell(self.driver.do(output))
                case Ask(what):
                    self._wish(what)
                case Note():
                    self._tell(output)

    def _tell(self, note: Note | None) -> None:
        if note is not None:
            self._note = f"{self._note}; {note.text}" if self._note else note.text

    def _wish(self, what: str) -> None:
        match what:
            case "help":
                self.toggle_class("-help")
            case "pause":
                self._pause()
            case "skip":
                self._tell(self.driver.skip())
            case "faster":
                self._tell(self.driver.faster())
            case "real time":
                self._tell(self.driver.real_time())
            case "leave":
                self._leave()

    def _pause(self) -> None:
        note = self.driver.pause()
        if note is not None:
            self._tell(note)
        elif self.driver.is_paused:
            self.app.push_screen(PauseOverlay(), self._go_on)

    def _go_on(self, _answer: bool | None) -> None:
        if self.driver.is_paused:
            self.driver.pause()
        self.paint()

    def _leave(self) -> None:
        if not self._is_asking:
            self._is_asking = True
            if not self.driver.is_paused:
                self.driver.pause()  # refused in a check, where time runs on
            self.app.push_screen(LeaveOverlay(), self._left)

    def _left(self, answer: bool | None) -> None:
        self._is_asking = False
        if self.driver.is_paused:
            self.driver.pause()
        if answer and not self._has_ended:
            self._has_ended = True
            self.post_message(FlightLeft())

    def on_panel_chosen(self, message: Panel.Chosen) -> None:
        """A click on a row of the key list is that key."""
        message.stop()
        place = self._help.top + message.line - 1
        if message.panel is self._help and 0 <= place < len(ROWS):
            binding = BINDINGS[ROWS[place].key]
            self.press(binding.key, binding.key if len(binding.key) == 1 else None)

    # Painting -----------------------------------------------------------------------------------

    def paint(self) -> None:
        """Show the newest row; panels draw only the lines that changed."""
        driver = self.driver
        view = view_of(driver.row, driver.scribe)
        width = self.size.width
        self._header.show(faces.header(view, driver.level, self._pace(), width))
        self._modes.show(faces.annunciator(view, width))
        self._energy.show(instruments.energy(view, self._energy.size.width))
        self._raw.show(instruments.raw_data(view, self._raw.size.width))
        self._position.show(instruments.position(view, self._position.size.width))
        self._show_strip(view)
        self._log.show(faces.log(view, self._log.size.width, self._log.size.height))
        self._checklist.show(faces.checklist(view))
        if driver.has_prompter:
            self._hint.show(hint_lines(driver.hint, width))
        self._entry.show(faces.entry(self.router.state, self.router.entry, self._note, width))

    def _show_strip(self, view: View) -> None:
        size = self._strip.size
        lines = profile_lines(
            self._profile,
            view.distance_nm,
            view.altitude_ft,
            view.selected_altitude_ft,
            self._volume,
            size.width,
            size.height - 1,
        )
        self._strip.show([faces.rule(size.width), *lines])

    def _pace(self) -> str:
        driver = self.driver
        if driver.is_frozen:
            return "INTERRUPTED: PRESS ANY KEY"
        if driver.is_paused:
            return "PAUSED"
        if driver.is_waiting:
            return "TIME WAITS"
        if driver.factor > 1:
            return f"×{driver.speed} of ×{driver.factor}"
        return ""

    def _help_lines(self) -> list[Line]:
        lines: list[Line] = [((" KEYS", "label"), ("  ? hides them", "label"))]
        for key, name, text in keys_table():
            lines.append(
                ((f" {key:<9}", "selected"), (f"{name:<20}", "value"), (f" {text}", "label"))
            )
        return lines


def hint_lines(hint: Hint | None, width: int) -> list[Line]:
    """The step to take, its keys, and why."""
    if hint is None:
        return []
    head = "NEXT" if hint.is_waiting else "DUE"
    more = f"   and {hint.more} more" if hint.more else ""
    lines: list[Line] = [
        (
            (f" {head} ", "cursor"),
            (f" {shown(hint.what)}", "title"),
            ("   keys: ", "label"),
            (shown(hint.keys), "selected"),
            (more, "label"),
        )
    ]
    if hint.why:
        lines += [((f" {line}", ""),) for line in wrapped(shown(hint.why), width - 2)[:2]]
    return lines
