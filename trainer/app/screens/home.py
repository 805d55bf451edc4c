"""The home screen: the safety notice, the exercises, and what to do with one of them."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from textual import events, work
from textual.app import ComposeResult
from textual.containers import Horizontal

from trainer.app.listing import Listed
from trainer.app.messages import (
    AboutRequested,
    BriefRequested,
    FlyRequested,
    HistoryRequested,
    LeaveRequested,
    ResumeRequested,
    SegmentsRequested,
    SettingsRequested,
    SetUpRequested,
    TourRequested,
)
from trainer.app.screens.base import BaseScreen
from trainer.app.screens.home_lines import (
    Rows,
    about_lines,
    find_lines,
    offer_lines,
    title_lines,
    words_of,
)
from trainer.app.settings import LEVELS
from trainer.app.widgets.lines import Line
from trainer.app.widgets.panel import Pager, Panel
from trainer.text import shown

if TYPE_CHECKING:
    from trainer.app.profile import Sample

BROWSING_S = 0.12
"""Whoever stays this long on an exercise looks at it: its profile is worked out, s."""

KEYS = "Enter fly  s set up  b brief  g segments  h history  / find  ? help  F10 quit"

MORE_KEYS = "  o settings  t tour"
"""Named where there is room; the page behind ? names all."""
KEYS_RESUME = KEYS.replace("h history", "r resume")
"""The same with the key that takes up an attempt; the history is still there."""


class HomeScreen(BaseScreen):
    """A list of exercises, moved through with the arrow keys."""

    CSS_PATH = ["home.tcss"]  # noqa: RUF012

    def __init__(
        self,
        listed: Sequence[Listed],
        notice: str = "",
        unfinished: int | None = None,
        due: Callable[[], Mapping[str, int]] = dict,
        sample: Callable[[str], Sample | None] | None = None,
        is_new: bool = False,
        level: str = "coached",
    ) -> None:
        """`due` and `sample` are asked once the list stands on the screen: they take longer."""
        super().__init__()
        self._is_new = is_new
        self._all = tuple(listed)
        self._ask_due = due
        self._ask_sample = sample
        self._samples: dict[str, Sample | None] = {}
        self._worked_out = ""
        self._listed = self._all
        self._filter: str | None = None
        self._is_typing = False
        self._at = 0
        self._level = level
        if unfinished is not None and not notice:
            notice = f"attempt {unfinished} is unfinished: r resumes it"
        self._notice = shown(notice)
        self._unfinished = unfinished
        self._title = Panel(id="title")
        self._list = Pager(id="list")
        self._rows = Rows((), 0, 0)
        self._lesson = Panel(id="lesson")
        self._sample = Panel(id="sample")
        self._keys = Panel(id="keys")

    @property
    def level(self) -> str:
        """The level that is chosen."""
        return self._level

    def choose_level(self, level: str) -> None:
        """Choose a level, because it was settled anew."""
        self._level = level
        self.paint()

    def compose(self) -> ComposeResult:
        """Title and notice, the list, lesson and drawing of the chosen one, the keys."""
        yield self._title
        yield self._list
        with Horizontal(id="chosen"):
            yield self._lesson
            yield self._sample
        yield self._keys
        yield from super().compose()

    def on_mount(self) -> None:
        """Fill the panels; what is due comes once they are painted."""
        self.paint()
        self.call_after_refresh(self._mark_due)

    def on_resize(self) -> None:
        """Lay the lines out again."""
        self.call_after_refresh(self.paint)

    def _mark_due(self) -> None:
        due = self._ask_due()
        self._all = tuple(replace(one, due_days=due.get(one.name)) for one in self._all)
        self._sift()
        self.paint()

    def take(
        self,
        listed: Sequence[Listed],
        notice: str,
        unfinished: int | None = None,
        is_new: bool = False,
    ) -> None:
        """Show new results after a flight."""
        self._is_new = is_new
        self._all = tuple(listed)
        self._unfinished = unfinished
        self._notice = shown(notice)
        self._mark_due()

    def _sift(self) -> None:
        """Keep what the filter names: every word of it in name, title, lesson, type or place."""
        chosen = self._listed[self._at].name if self._listed else ""
        words = (self._filter or "").lower().split()
        self._listed = tuple(
            one for one in self._all if all(word in words_of(one) for word in words)
        )
        names = [one.name for one in self._listed]
        self._at = names.index(chosen) if chosen in names else 0

    def _type(self, event: events.Key) -> None:
        """Take a key of the filter: Enter keeps it, Esc or Backspace on nothing gives it up."""
        text = self._filter or ""
        if event.key == "enter":
            self._is_typing = False
        elif event.key == "backspace":
            self._is_typing = bool(text)
            text = text[:-1]
        elif event.key == "escape":
            self._is_typing, text = False, ""
        elif event.is_printable and event.character:
            text += event.character
        self._filter = text or None
        self._sift()

    def paint(self) -> None:
        """Show what there is; panels draw only what changed."""
        width = self.size.width
        self._title.show(title_lines(sum(one.is_due for one in self._all), width))
        self._rows = Rows(self._listed, self._at, width)
        self._list.fill(self._rows.lines)
        self._list.bring(self._rows.line_of(self._at), above=1)
        self._lesson.show(self._about(max(20, self._lesson.size.width)))
        levels = [
            (f" {number} {level} ", "cursor" if level == self._level else "label")
            for number, level in enumerate(LEVELS, 1)
        ]
        notice: Line = ((f" {self._notice}", "caution"),) if self._notice else ()
        found = find_lines(self._filter, self._is_typing, len(self._listed), len(self._all))
        keys = KEYS if self._unfinished is None else KEYS_RESUME
        keys += MORE_KEYS if width >= 100 else ""
        self._keys.show(
            [(("  Level ", "label"), *levels, *notice, *found), ((f" {keys}", "label"),)]
        )
        self._draw()

    def _about(self, width: int) -> list[Line]:
        if not self._listed:
            if self._filter:
                return [((" No exercise has these words.", "caution"),)]
            return [((" No exercise was found.", "caution"),)]
        if self._is_new:
            return offer_lines(width)
        return about_lines(self._listed[self._at], width)

    def _draw(self) -> None:
        """Draw the profile of the chosen exercise, now or once it has been worked out."""
        name = self._listed[self._at].name if self._listed else ""
        if name and name not in self._samples and self._ask_sample is not None:
            if name != self._worked_out:
                self._worked_out = name
                self._sample.show([])
                self._work_out(name, self._ask_sample)
            return
        lines: list[Line] = []
        if (found := self._samples.get(name)) is not None:
            from trainer.app.widgets.sample import sample_lines

            lines = sample_lines(found, *self._sample.size)
        self._sample.show(lines)

    @work(exclusive=True)
    async def _work_out(self, name: str, ask: Callable[[str], Sample | None]) -> None:
        """Get a drawing ready beside the screen; whoever moves on at once starts none."""
        await asyncio.sleep(BROWSING_S)
        self._samples[name] = await asyncio.to_thread(ask, name)
        self._draw()

    def on_panel_chosen(self, message: Panel.Chosen) -> None:
        """A click on a row chooses it."""
        message.stop()
        if message.panel is self._list:
            place = self._rows.place_at(self._list.top + message.line)
            if place is not None:
                self._at = place
                self.paint()

    def on_key(self, event: events.Key) -> None:
        """Everything this screen can do."""
        event.stop()
        event.prevent_default()
        self._notice = ""
        key = event.key
        if self._is_typing and key not in ("f10", "ctrl+c", "up", "down"):
            self._is_new = False
            self._type(event)
            self.paint()
            return
        last = len(self._listed) - 1
        moves = {"up": -1, "down": 1, "pageup": -10, "pagedown": 10, "home": -last, "end": last}
        if key == "f10" or key == "ctrl+c":
            self.post_message(LeaveRequested())
        elif event.character == "?" or key == "f1":
            self.post_message(AboutRequested())
        elif event.character == "/":
            self._is_typing = True
        elif key in ("backspace", "escape") and self._filter:
            self._is_typing = True
            self._type(event)
        elif key == "o":
            self.post_message(SettingsRequested())
        elif key == "t":
            self.post_message(TourRequested())
        elif key == "h":
            self.post_message(HistoryRequested())
        elif key == "r" and self._unfinished is not None:
            self.post_message(ResumeRequested(self._unfinished))
        elif not self._listed:
            return
        elif key == "d":
            self._next_due()
        elif key in moves:
            self._is_new = False
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

    def _next_due(self) -> None:
        """Go to the next exercise below that is due, and on from the top."""
        after = [*range(self._at + 1, len(self._listed)), *range(self._at + 1)]
        due = [place for place in after if self._listed[place].is_due]
        if due:
            self._at = due[0]
        else:
            self._notice = "nothing is due today"

    def tell(self, notice: str) -> None:
        """Show a notice above the keys until the next key."""
        self._notice = shown(notice)
        self.paint()
