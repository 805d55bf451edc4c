"""The home screen: the safety notice, the exercises, and what to do with one of them."""

from __future__ import annotations

from collections.abc import Sequence

from textual import events
from textual.app import ComposeResult

from trainer.app.listing import Listed
from trainer.app.messages import (
    LEVELS,
    AboutRequested,
    BriefRequested,
    FlyRequested,
    HistoryRequested,
    LeaveRequested,
    ResumeRequested,
    SegmentsRequested,
    SetUpRequested,
)
from trainer.app.screens.base import BaseScreen
from trainer.app.widgets.lines import Line, between, cut, padded, wrapped
from trainer.app.widgets.panel import Pager, Panel
from trainer.text import shown
from trainer.text import width as cells

NOTICE = (
    "For training on fictional types; not for navigation or real flight. "
    "Operator manuals, current charts and licensed instructors come first."
)
KEYS = "Enter fly  s set up  b brief  g segments  h history  / find  ? help  F10 quit"

KEYS_RESUME = KEYS.replace("h history", "r resume")
"""The same with the key that takes up an attempt; the history is still there."""


class HomeScreen(BaseScreen):
    """A list of exercises, moved through with the arrow keys."""

    def __init__(
        self, listed: Sequence[Listed], notice: str = "", unfinished: int | None = None
    ) -> None:
        super().__init__()
        self._all = tuple(listed)
        self._listed = self._all
        self._filter: str | None = None
        self._is_typing = False
        self._at = 0
        self._level = "coached"
        if unfinished is not None and not notice:
            notice = f"attempt {unfinished} is unfinished: r goes on with it"
        self._notice = shown(notice)
        self._unfinished = unfinished
        self._title = Panel(id="title")
        self._list = Pager(id="list")
        self._lesson = Panel(id="lesson")
        self._keys = Panel(id="keys")

    @property
    def level(self) -> str:
        """The level that is chosen."""
        return self._level

    def compose(self) -> ComposeResult:
        """Title and notice, the list, the lesson of the chosen one, the keys."""
        yield self._title
        yield self._list
        yield self._lesson
        yield self._keys
        yield from super().compose()

    def on_mount(self) -> None:
        """Fill the panels."""
        self.paint()

    def on_resize(self) -> None:
        """Lay the lines out again."""
        self.paint()

    def take(self, listed: Sequence[Listed], notice: str, unfinished: int | None = None) -> None:
        """Show new results after a flight."""
        self._all = tuple(listed)
        self._sift()
        self._unfinished = unfinished
        self._notice = shown(notice)
        self.paint()

    def _sift(self) -> None:
        """Keep what the filter names: every word of it in name, title, lesson, type or place."""
        chosen = self._listed[self._at].name if self._listed else ""
        words = (self._filter or "").lower().split()
        self._listed = tuple(one for one in self._all if all(word in _words(one) for word in words))
        names = [one.name for one in self._listed]
        self._at = names.index(chosen) if chosen in names else 0

    def _type(self, event: events.Key) -> None:
        """Take a key of the filter: Enter keeps it, Backspace on nothing gives it up."""
        text = self._filter or ""
        if event.key == "enter":
            self._is_typing = False
        elif event.key == "backspace":
            self._is_typing = bool(text)
            text = text[:-1]
        elif event.is_printable and event.character:
            text += event.character
        self._filter = text or None
        self._sift()

    def paint(self) -> None:
        """Show what there is; panels draw only what changed."""
        width = self.size.width
        title: list[Line] = [((" APPROACH DRILL", "title"),)]
        title += [((f" {line}", "caution"),) for line in wrapped(NOTICE, max(40, width - 2))]
        self._title.show(title)
        self._list.fill([self._row(place, width) for place in range(len(self._listed))])
        self._list.bring(self._at)
        self._lesson.show(self._about(width))
        levels = [
            (f" {number} {level} ", "cursor" if level == self._level else "label")
            for number, level in enumerate(LEVELS, 1)
        ]
        notice: Line = ((f" {self._notice}", "caution"),) if self._notice else ()
        if self._is_typing or self._filter:
            mark = "▏" if self._is_typing else ""
            notice = (*notice, ("  FILTER ", "cursor"), (f" {self._filter or ''}{mark}", "value"))
            found = f"  {len(self._listed)} of {len(self._all)}   Backspace, Enter"
            notice = (*notice, (found, "label"))
        keys = KEYS if self._unfinished is None else KEYS_RESUME
        self._keys.show([(("  Level ", "label"), *levels, *notice), ((f" {keys}", "label"),)])

    def _row(self, place: int, width: int) -> Line:
        one = self._listed[place]
        is_here = place == self._at
        mark = "▸" if is_here else " "
        meaning = "title" if is_here else ""
        widest = max(cells(shown(other.title)) for other in self._listed)
        title = padded(((f" {mark} {shown(one.title)}", meaning),), 4 + min(widest, 34))
        left: Line = (
            *title,
            (f" {shown(one.place):<14}", "label"),
            (f" {shown(one.aircraft)}", "label"),
        )
        room = width - cells(one.last) - 2
        return between(cut(left, room), ((f"{one.last} ", "active"),), width)

    def _about(self, width: int) -> list[Line]:
        if not self._listed:
            if self._filter:
                return [((" No exercise has these words.", "caution"),)]
            return [((" No exercise was found.", "caution"),)]
        one = self._listed[self._at]
        if one.problem:
            return [((f" {shown(one.problem)}", "warning"),)]
        stars = f"level {one.level} of 5"
        return [
            ((f" {shown(one.name)}", "value"), (f"   {stars}", "label")),
            *(((f" {line}", ""),) for line in wrapped(shown(one.lesson), width - 2)),
        ]

    def on_panel_chosen(self, message: Panel.Chosen) -> None:
        """A click on a row chooses it."""
        message.stop()
        if message.panel is self._list:
            self._at = min(self._list.top + message.line, len(self._listed) - 1)
            self.paint()

    def on_key(self, event: events.Key) -> None:
        """Everything this screen can do."""
        event.stop()
        event.prevent_default()
        self._notice = ""
        key = event.key
        if self._is_typing and key not in ("f10", "ctrl+c", "up", "down"):
            self._type(event)
            self.paint()
            return
        last = len(self._listed) - 1
        moves = {"up": -1, "down": 1, "pageup": -10, "pagedown": 10, "home": -last, "end": last}
        if key == "f10" or key == "ctrl+c":
            self.post_message(LeaveRequested())
        elif event.character == "?":
            self.post_message(AboutRequested())
        elif event.character == "/":
            self._is_typing = True
        elif key == "backspace" and self._filter:
            self._is_typing = True
            self._type(event)
        elif key == "h":
            self.post_message(HistoryRequested())
        elif key == "r" and self._unfinished is not None:
            self.post_message(ResumeRequested(self._unfinished))
        elif not self._listed:
            return
        elif key in moves:
            self._at = min(max(0, self._at + moves[key]), last)
        elif event.character in ("1", "2", "3"):
            self._level = LEVELS[int(event.character) - 1]
        elif key == "enter":
            self.post_message(FlyRequested(self._listed[self._at].name, self._level))
        elif key == "s":
            self.post_message(SetUpRequested(self._listed[self._at].name, self._level))
        elif key == "g":
            self.post_message(SegmentsRequested(self._listed[self._at].name, self._level))
        elif key == "b":
            self.post_message(BriefRequested(self._listed[self._at].name))
        elif event.is_printable and event.character:
            self._notice = shown(f"no key {event.character}; the line below shows the keys")
        self.paint()

    def tell(self, notice: str) -> None:
        """Show a notice above the keys until the next key."""
        self._notice = shown(notice)
        self.paint()


def _words(one: Listed) -> str:
    return " ".join((one.name, one.title, one.lesson, one.aircraft, one.place)).lower()
