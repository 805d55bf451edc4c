"""The settings: looks, sound, level and every key, changed here and written at once.

It owns which line is chosen, and whether a new key is waited for. What a setting may be, and what a
conflict is, is told by whoever writes it.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from textual import events
from textual.app import ComposeResult

from trainer.app.keymap import DEFAULT, FIXED, FUNCTION_KEYS, Binding, shown_key
from trainer.app.messages import Settled
from trainer.app.screens.base import SizedScreen
from trainer.app.settings import LEVELS, THEMES, Settings
from trainer.app.settling import Change
from trainer.app.widgets.lines import Line, between, cut, wrapped
from trainer.app.widgets.panel import Pager, Panel
from trainer.errors import FileProblems, UserError
from trainer.text import shown

KEYS = "↑ ↓ choose  ← → change  Enter a new key  Backspace as usual  ? help  F10 back"
WAITING = "press the new key; Enter or Esc leaves it as it is"

Settle = Callable[[Change], Settings]
"""Writes a change; gives the settings as they now are. Raises UserError with nothing written."""


class Choice(NamedTuple):
    """A setting with a few values: its name in the file, values with their words, what it does."""

    name: str
    heading: str
    values: tuple[tuple[str | bool | None, str], ...]
    about: str


CHOICES = (
    Choice("theme", "LOOKS", tuple((one, one) for one in THEMES),
           "Colours apart for every kind of colour vision; NO_COLOR overrules them."),
    Choice("ascii", "LOOKS", ((None, "as the terminal can"), (True, "always")),
           "Whether lines and pictures are drawn with ASCII characters alone."),
    Choice("bell", "SOUND", ((None, "off"), (True, "on")),
           "An ident is sent as light; with the bell the terminal sounds as well."),
    Choice("level", "FLYING", tuple((one, one) for one in LEVELS),
           "The level that the home screen begins with; 1 2 3 change it there."),
)  # fmt: skip
_USUAL: dict[str, str | bool | None] = {
    "theme": THEMES[0], "ascii": None, "bell": None, "level": "coached",
}  # fmt: skip
ROWS: tuple[Choice | Binding, ...] = (
    *CHOICES, *(row for row in DEFAULT.rows if row.name not in FIXED),
)  # fmt: skip


class SettingsScreen(SizedScreen):
    """One line a setting, then one a key. `file` is where they are written."""

    CSS_PATH = "settings.tcss"
    HELP = "Settings"

    def __init__(self, settings: Settings, file: str, settle: Settle) -> None:
        super().__init__()
        self._settings, self._file, self._settle = settings, shown(file), settle
        self._at = 0
        self._is_waiting = False
        self._told = ("", "")
        self._title = Panel(id="title")
        self._list = Pager(id="list")
        self._about = Panel(id="about")
        self._keys = Panel(id="keys")

    def compose(self) -> ComposeResult:
        """Title with the file, the lines, what the chosen one does, keys."""
        yield self._title
        yield self._list
        yield self._about
        yield self._keys
        yield from super().compose()

    # Keys ---------------------------------------------------------------------------------------

    def on_key(self, event: events.Key) -> None:
        """Choose a line, change it, or take the new key of a control."""
        event.stop()
        event.prevent_default()
        self._told = ("", "")
        if self._is_waiting and event.key != "ctrl+c":
            self._take_key(event)
        elif not self.explains(event):
            self._own(event.key)
        self.paint()

    def _own(self, key: str) -> None:
        row, last = ROWS[self._at], len(ROWS) - 1
        moves = {"up": -1, "down": 1, "pageup": -10, "pagedown": 10, "home": -last, "end": last}
        if key in ("escape", "f10", "ctrl+c", "o"):
            self.dismiss()
        elif key in moves:
            self._at = min(max(0, self._at + moves[key]), last)
        elif key == "backspace":
            self._change(Change(row.name, None, isinstance(row, Binding)))
        elif isinstance(row, Binding):
            self._is_waiting = key == "enter"
        elif key in ("left", "right", "enter", "space"):
            self._turn(row, -1 if key == "left" else 1)

    def _turn(self, row: Choice, by: int) -> None:
        values = [value for value, _ in row.values]
        value = values[(values.index(self._value(row)) + by) % len(values)]
        self._change(Change(row.name, None if value == _USUAL[row.name] else value))

    def _take_key(self, event: events.Key) -> None:
        self._is_waiting = False
        if event.key in ("enter", "escape"):
            return
        row = ROWS[self._at]
        assert isinstance(row, Binding)
        key = event.key if event.key in FUNCTION_KEYS else event.character or event.key
        self._change(Change(row.name, None if key == row.key else key, is_key=True))

    def _change(self, change: Change) -> None:
        try:
            self._settings = self._settle(change)
        except UserError as error:
            problems = error.problems if isinstance(error, FileProblems) else ()
            reason = problems[0].message if problems else str(error)
            self._told = (f"Not changed: {shown(reason)}", "warning")
            return
        self._told = ("Written; it holds from now on.", "active")
        self.post_message(Settled(self._settings))

    def on_panel_chosen(self, message: Panel.Chosen) -> None:
        """A click chooses a line; on the chosen one it changes it."""
        message.stop()
        if message.panel is not self._list:
            return
        line = self._list.top + message.line
        place = next((at for at in range(len(ROWS)) if self._line_of(at) == line), None)
        if place is None:
            return
        if place == self._at:
            self._own("enter")
        self._at = place
        self.paint()

    # Painting -----------------------------------------------------------------------------------

    def _value(self, row: Choice) -> str | bool | None:
        value: str | bool | None = getattr(self._settings, row.name)
        return None if value is False else value

    def paint(self) -> None:
        """Show everything."""
        width = self.size.width
        self._title.show(
            [between(((" SETTINGS", "title"),), ((f"{self._file} ", "label"),), width)]
        )
        self._list.fill([cut(line, width) for _, line in self._lines()])
        self._list.bring(self._line_of(self._at), above=0 if self._at else 1)
        text, meaning = self._told
        room = max(20, width - 2)
        told_lines: list[Line] = [((f" {line}", meaning),) for line in wrapped(text, room)]
        self._about.show([cut(((f" {self._words()}", ""),), width), *told_lines])
        told = WAITING if self._is_waiting else KEYS
        self._keys.show([((f" {told}", "cursor" if self._is_waiting else "label"),)])

    def _words(self) -> str:
        row = ROWS[self._at]
        if isinstance(row, Choice):
            return row.about
        usual = "" if self._key(row) == row.key else f" Usually {shown_key(row)}."
        return f"{row.help[0].upper()}{row.help[1:]}.{usual}"

    def _line_of(self, place: int) -> int:
        return next(at for at, (one, _) in enumerate(self._lines()) if one == place)

    def _lines(self) -> list[tuple[int, Line]]:
        """Every line with the place of its row, -1 for a heading."""
        lines: list[tuple[int, Line]] = []
        heading = ""
        for place, row in enumerate(ROWS):
            above = row.heading if isinstance(row, Choice) else "KEYS"
            if above != heading:
                heading = above
                lines.append((-1, ((f" {heading}", "label"),)))
            sign, meaning = ("▸", "selected") if place == self._at else (" ", "")
            start: Line = ((f" {sign} {row.name:<20}", meaning),)
            lines.append((place, (*start, *self._shown(row, place))))
        return lines

    def _shown(self, row: Choice | Binding, place: int) -> Line:
        if isinstance(row, Choice):
            now = self._value(row)
            return tuple(
                (f"{'●' if value == now else ' '} {words}   ", "value" if value == now else "label")
                for value, words in row.values
            )
        if place == self._at and self._is_waiting:
            return ((" … ", "cursor"),)
        key = self._key(row)
        changed = f"  usually {shown_key(row)}" if key != row.key else ""
        here = key.upper() if key in FUNCTION_KEYS else key
        return ((f" {here:<9}", "value"), (f"{row.help}", "label"), (changed, "caution"))

    def _key(self, row: Binding) -> str:
        return self._settings.keymap.key_of(row.name)
