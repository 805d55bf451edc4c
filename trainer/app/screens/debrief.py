"""The debrief: what to work on, one finding at a time, then pictures, lists and every item."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Mapping, Sequence

from textual import events
from textual.app import ComposeResult

from trainer.app.clock import Clock
from trainer.app.debriefing import DebriefText, Finding
from trainer.app.messages import (
    ExportRequested,
    FlyAgainRequested,
    HomeRequested,
    RepeatRequested,
    ReplayRequested,
)
from trainer.app.screens.base import BaseScreen
from trainer.app.screens.debrief_lines import DebriefLines, debrief_lines
from trainer.app.screens.text import scroll_by
from trainer.app.widgets.lines import Line
from trainer.app.widgets.panel import Pager, Panel
from trainer.errors import UserError
from trainer.text import shown

KEYS = "F1 help  F2 file  F5 again, same seed  F6 new seed  F7 replay  Enter home  ↑ ↓"
FINDING_KEYS = "← → finding   F4 fly from before it   F8 with it put right   F9 ours differs"
QUIET_S = 2.0
"""Keys are ignored for this long after the debrief came or a letter was typed, s."""

Ask = Callable[[str], Sequence[str]]
"""Says what would have happened with the slip on an item put right. Raises UserError."""

Differ = Callable[[str, str], tuple[bool, str]]
"""Asks how our procedure differs on an item, writes that ("write") or takes it back ("take back");
says whether it is written now, and what it means. Raises UserError."""


class DebriefScreen(BaseScreen):
    """What the flight was worth, and why.

    It comes while its pilot may still be typing a call: no letter does anything here, and neither
    does the Enter that ends the call.
    """

    CSS_PATH = "debrief.tcss"
    HELP = "Debrief"

    def __init__(
        self,
        text: DebriefText,
        clock: Clock,
        extra: Sequence[str] = (),
        what_if: Ask | None = None,
        differs: Differ | None = None,
        more: Callable[[], DebriefText] | None = None,
    ) -> None:
        """A debrief to be read at once; `more` is the same with what takes longer to work out."""
        super().__init__()
        self._clock = clock
        self._quiet_until_s = clock() + QUIET_S
        self._text = text
        self._extra = tuple(extra)
        self._ask = what_if
        self._differ = differs
        self._more = more
        self._offered: dict[str, str] = {}
        self._chosen = 0
        self._answers: dict[str, Sequence[str]] = {}
        self._differing: dict[str, str] = {}
        self._laid = DebriefLines()
        self._title = Panel(id="title")
        self._body = Pager(id="body")
        self._keys = Panel(id="keys")
        self._notice = ""

    @property
    def finding(self) -> Finding | None:
        """The finding that is chosen, None where nothing was found."""
        return self._text.findings[self._chosen] if self._text.findings else None

    def compose(self) -> ComposeResult:
        """Headline, body, keys."""
        yield self._title
        yield self._body
        yield self._keys
        yield from super().compose()

    def on_mount(self) -> None:
        """Fill the panels; what takes longer comes when it is there."""
        self.paint()
        if self._more is not None:
            self.run_worker(self._complete(self._more), exit_on_error=False)

    async def _complete(self, more: Callable[[], DebriefText]) -> None:
        self._text = await asyncio.to_thread(more)
        self.paint()

    def on_resize(self) -> None:
        """Break the lines anew."""
        self.paint()

    def paint(self) -> None:
        """Show headline, body and keys."""
        meaning = "active" if self._text.is_passed else "caution"
        extra: list[Line] = [((f" {shown(line)}", "label"),) for line in self._extra]
        self._title.show([((f" {shown(self._text.headline)}", meaning),), *extra])
        told: dict[str, Mapping[str, Sequence[str]]] = {
            "with this put right": self._answers,
            "our procedure differs": {item: (text,) for item, text in self._differing.items()},
        }
        self._laid = debrief_lines(self._text, self.size.width, self._chosen, told)
        self._body.fill(self._laid.lines)
        first: Line = ((f" {FINDING_KEYS}" if self._text.findings else "", "label"),)
        last: Line = ((f" {KEYS}", "label"),)
        if self._notice:
            last = ((f" {shown(self._notice)}", "caution"),)
        self._keys.show([first, last])

    def tell(self, notice: str) -> None:
        """Show a notice in place of the keys until the next key."""
        self._notice = notice
        self.paint()

    def on_key(self, event: events.Key) -> None:
        """Scroll, choose a finding, fly or ask about it, repeat, or go home."""
        event.stop()
        event.prevent_default()
        now_s = self._clock()
        if now_s >= self._quiet_until_s and self.explains(event):
            return
        if event.is_printable:
            self._quiet_until_s = max(self._quiet_until_s, now_s + QUIET_S)
        if now_s < self._quiet_until_s:
            return
        if self._notice:
            self.tell("")
        match event.key:
            case "f2":
                self.post_message(ExportRequested())
            case "enter" | "escape" | "f10" | "ctrl+c":
                self.post_message(HomeRequested())
            case "f5":
                self.post_message(RepeatRequested(with_new_seed=False))
            case "f6":
                self.post_message(RepeatRequested(with_new_seed=True))
            case "f7":
                self.post_message(ReplayRequested())
            case "left" | "right":
                self.choose(self._chosen + (1 if event.key == "right" else -1))
            case "f4" if self.finding is not None:
                self.post_message(FlyAgainRequested(self.finding.again_from))
            case "f8" if self.finding is not None:
                self._put_right(self.finding.item)
            case "f9" if self.finding is not None:
                self._say_it_differs(self.finding.item)
            case key:
                self._body.move(scroll_by(key, self._body.size.height))

    def on_panel_chosen(self, event: Panel.Chosen) -> None:
        """A click on a finding chooses it."""
        line = self._body.top + event.line
        if event.panel is self._body and line in self._laid.starts:
            self.choose(self._laid.starts.index(line))

    def choose(self, index: int) -> None:
        """Open up the finding of that index, and bring it into sight."""
        if not 0 <= index < len(self._text.findings):
            return
        self._chosen = index
        self.paint()
        self._show_chosen()

    def _show_chosen(self) -> None:
        self._body.bring(self._laid.end - 1)
        self._body.bring(self._laid.starts[self._chosen])

    def _say_it_differs(self, item: str) -> None:
        """First what it would mean, then, asked again, write it; and then take it back."""
        if self._differ is None:
            return
        wish = self._offered.get(item, "")
        try:
            is_written, meaning = self._differ(item, wish)
        except UserError as error:
            self._differing[item] = str(error)
        else:
            self._offered[item] = "take back" if is_written else "write"
            state = "written, from the next flight on; F9 takes it back"
            offer = "taken back; F9 writes it again" if wish else "F9 once more writes it"
            self._differing[item] = f"{meaning}: {state if is_written else offer}"
        self.paint()
        self._show_chosen()

    def _put_right(self, item: str) -> None:
        """Fly the attempt again without the slip; keys go on working meanwhile."""
        if self._ask is None or item in self._answers:
            return
        self._answers[item] = ("flying it again …",)
        self.paint()
        self._show_chosen()
        self.run_worker(self._fetch(self._ask, item), exit_on_error=False)

    async def _fetch(self, ask: Ask, item: str) -> None:
        try:
            self._answers[item] = await asyncio.to_thread(ask, item)
        except UserError as error:
            self._answers[item] = (str(error),)
        self.paint()
        if self.finding is not None and self.finding.item == item:
            self._show_chosen()
