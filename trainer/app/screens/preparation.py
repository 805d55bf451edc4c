"""Set-up and briefing before a flight: knobs turned with the keys of the flight, numbers stated.

It owns which number of the briefing is chosen. Time stands still but for the tenth of a second
that each act takes, so that everything is really set and really on record. Surprising rule: a
number goes to the knob whose key follows it, and to the chosen place of the briefing with Enter.
"""

from __future__ import annotations

import asyncio
from typing import TYPE_CHECKING

from textual import events
from textual.app import ComposeResult
from textual.containers import Horizontal

from trainer.app.clock import Clock
from trainer.app.driver import Driver
from trainer.app.keymap import FUNCTION_KEYS
from trainer.app.light import LOOK_S
from trainer.app.messages import FlightLeft, PreparationEnded
from trainer.app.router import Draft
from trainer.app.screens.base import SizedScreen
from trainer.app.screens.controls import ControlsScreen
from trainer.app.screens.overlay import LeaveOverlay
from trainer.app.screens.text import SHEET_MAX, scroll_by
from trainer.app.settings import USUAL, Settings
from trainer.app.view import view_of
from trainer.app.widgets import faces, preparing
from trainer.app.widgets.key_panel import KeyPanel
from trainer.app.widgets.lines import Line, between, cut, wrapped
from trainer.app.widgets.panel import Pager, Panel
from trainer.scenario.briefed import slots
from trainer.text import shown

if TYPE_CHECKING:
    from trainer.briefing.sheet import Sheet

FLY = "f5"


class PreparationScreen(ControlsScreen, SizedScreen):
    """Sets up and briefs the flight of `driver`, which stands at its start."""

    CSS_PATH = "preparation.tcss"
    HELP = "Set-up"

    def __init__(self, driver: Driver, clock: Clock, settings: Settings = USUAL) -> None:
        super().__init__(driver, clock, settings)
        self._slots = slots(driver.session.exercise)
        self._said = {
            act.control: act.value for act in driver.session.flight.acts if act.act == "brief"
        }
        self._at = 0
        self._is_over = False
        self._header = Panel(id="header")
        self._top = Panel(id="top")
        self._set = Panel(id="set")
        self._briefing = Pager(id="briefing")
        self._sheet = Pager(id="sheet")
        self._help = KeyPanel(self._fitted, id="help")
        self._log = Panel(id="log")
        self._why = Panel(id="why")
        self._entry = Panel(id="entry")
        self._keys = Panel(id="keys")
        self._made: Sheet | None = None
        self._text = ("Computing the sheet …", 0)

    def compose(self) -> ComposeResult:
        """What is set and what is briefed side by side, the sheet behind them or beside them."""
        yield self._header
        yield self._top
        with Horizontal(id="form"):
            yield self._set
            yield self._briefing
            yield self._sheet
        yield self._help
        yield self._log
        yield self._why
        yield self._entry
        yield self._keys
        yield from super().compose()

    def on_mount(self) -> None:
        """Begin to compute the sheet, and to look at the light of an ident."""
        self.set_interval(LOOK_S, self.blink)
        self.run_worker(self._compute(), exit_on_error=False)

    async def _compute(self) -> None:
        from trainer.briefing.sheet import sheet

        self._made = await asyncio.to_thread(sheet, self.driver.session.exercise)
        self.paint()

    def _sheet_text(self) -> str:
        """The sheet, broken anew where the screen has another width."""
        from trainer.briefing.paper import sheet_text

        width = min(max(60, self._sheet_width() - 2), SHEET_MAX)
        if self._made is not None and self._text[1] != width:
            self._text = (sheet_text(self._made, width), width)
        return self._text[0]

    def _sheet_width(self) -> int:
        return self.size.width - (78 if self.has_class("-wide") else 0)

    def tell_trouble(self, text: str) -> None:
        """Show a note that concerns the attempt and not a key."""
        self._note = text
        self.paint()

    # Keys ---------------------------------------------------------------------------------------

    def on_key(self, event: events.Key) -> None:
        """A key of this screen, or one of the flight deck."""
        event.stop()
        event.prevent_default()
        self._note = ""
        if event.key == "ctrl+c":
            self._leave()
        elif event.key == "f1":
            self.explains(event)
        elif not self._own(event.key):
            self._feed(event.key, event.character)
        self.paint()

    def _own(self, key: str) -> bool:
        """Take a key that belongs to this screen; False for any other."""
        if self.has_class("-help") and key in ("down", "pagedown", "up", "pageup"):
            self._help.turn(1 if key.endswith("down") else -1)
        elif key == FLY and not self.router.is_line_open:
            self._begin()
        elif self.router.is_line_open:
            return False
        elif key == "tab":
            self.toggle_class("-sheet")
            self.call_after_refresh(self.paint)
        elif key in ("pageup", "pagedown") or (
            self.has_class("-sheet") and key in ("up", "down", "home", "end")
        ):
            self._sheet.move(scroll_by(key, self._sheet.size.height))
        elif key in ("up", "down"):
            self._choose(self._at + (1 if key == "down" else -1))
        elif key == "enter" and (self.router.entry or not self.driver.row.challenge):
            self._answer()
        else:
            return False
        return True

    def _feed(self, key: str, character: str | None) -> None:
        row = self.driver.row
        self.take(self.router.feed(key, character, row.step, row.challenge))

    def _choose(self, place: int) -> None:
        self._at = min(max(0, place), len(self._slots) - 1)

    def _answer(self) -> None:
        """State the number that was typed; without one go to the next place."""
        said = self.router.entry
        self.router.forget()
        if said and not any(one.isdigit() for one in said):
            self._note = f"{said} is no number"
            return
        if said:
            name = self._slots[self._at].name
            self.tell(self.driver.do(Draft("brief", name, said)))
            self._said[name] = said
            if self.driver.has_prompter and not self._slots[self._at].is_right(said):
                return
        self._choose(self._at + 1)

    def wish(self, what: str) -> None:
        """Leave, or show the keys; whatever concerns time has to wait."""
        if what == "leave":
            self._leave()
        elif what == "help":
            self._help.restart()
            self.toggle_class("-help")
            self.call_after_refresh(self.paint)
        else:
            self._note = "time stands still until F5 begins the flight"

    def _begin(self) -> None:
        if not (self._is_over or self._is_asking):
            self._is_over = True
            self.post_message(PreparationEnded())

    def _leave(self) -> None:
        if not (self._is_over or self._is_asking):
            self._is_asking = True
            self.app.push_screen(LeaveOverlay(), self._left)

    def _left(self, answer: bool | None) -> None:
        self._is_asking = False
        if answer:
            self._is_over = True
            self.post_message(FlightLeft())

    def on_panel_chosen(self, message: Panel.Chosen) -> None:
        """A click on a number of the briefing chooses it; on a key of the key list, is that key."""
        message.stop()
        if message.panel is self._help:
            binding = self._help.key_at(message.line, message.column)
            if binding is not None and binding.key not in FUNCTION_KEYS:
                self._feed(binding.key, binding.key if len(binding.key) == 1 else None)
        elif message.panel is self._briefing:
            line = self._briefing.top + message.line
            for place in range(len(self._slots)):
                if self._form(place)[1] == line:
                    self._choose(place)
        self.paint()

    # Painting -----------------------------------------------------------------------------------

    def _form(self, chosen: int) -> tuple[list[Line], int]:
        width = self._briefing.size.width or 46
        return preparing.briefing_lines(
            self._slots, self._said, chosen, self.driver.has_prompter, width
        )

    def paint(self) -> None:
        """Show everything; panels draw only the lines that changed."""
        driver, width = self.driver, self.size.width
        now_s = self._clock()
        view = view_of(driver.row, driver.scribe)
        self._ident.look(driver.scribe.log, now_s)
        self._header.show(faces.header(view, driver.level, "SET-UP: TIME WAITS", width))
        count = preparing.ready_text(self._slots, self._said)
        told = " Set up the flight deck and brief the approach; then fly."
        self._top.show([between(((told, "label"),), ((f"{count} ", "value"),), width)])
        self._set.show(
            preparing.set_lines(view, self._keymap, self._controls, self._ident.lit(now_s))
        )
        lines, at = self._form(self._at)
        self._briefing.fill(lines)
        self._briefing.bring(at, above=2 if at == 2 else 0)
        self._sheet.fill([((f" {shown(line)}", ""),) for line in self._sheet_text().splitlines()])
        self._log.show(faces.log(view, width, 2))
        self._why.show(faces.checklist(view) or self._about(width))
        self._entry.show(
            faces.entry(self.router.state, self.router.entry, self._note, width, self._idle())
        )
        self._keys.show([cut(((f" {self._key_text()}", "label"),), width)])

    def _about(self, width: int) -> list[Line]:
        slot = self._slots[self._at]
        head = f" {slot.heading.upper()}: {slot.name}"
        if not self.driver.has_prompter:
            return [((head, "value"),)]
        first, *rest = wrapped(shown(slot.why), width - 2)
        lines: list[Line] = [((head, "value"), (f"  [{slot.unit or 'number'}]", "label"))]
        return [*lines, cut(((f" {first} {' '.join(rest)}", ""),), width)]

    def _idle(self) -> str:
        return "a number, then Enter to brief it, or the key of a knob to set it"

    def _key_text(self) -> str:
        keymap = self._keymap
        if self.has_class("-sheet"):
            return "Tab back to the briefing   ↑ ↓ PgUp PgDn scroll   F5 fly"
        leave, help_ = keymap.shown("leave"), keymap.shown("help")
        sheet = "PgDn sheet" if self.has_class("-wide") else "Tab sheet"
        keys = ("↑ ↓ choose", "Enter brief", sheet, f"{help_} keys", "F1 help", "F5 fly")
        return "  ".join((*keys, f"{leave} leave"))
