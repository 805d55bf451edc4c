"""A segment of one's own: choose from which step to which, see how it went lately, fly it."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from textual import events

from trainer.app.own_segment import own_segment
from trainer.app.screens.segment_lists import SegmentListScreen
from trainer.app.segments import Flyable, Reference, bar, trend_text
from trainer.app.widgets.lines import Line, cut
from trainer.app.widgets.panel import Panel
from trainer.briefing.tables import minutes_text
from trainer.scenario.exercise import Part
from trainer.text import counted, shown
from trainer.units import STEPS_PER_S

KEYS = "f from here  u until here  Enter fly  1-3 level  ↑ ↓ choose  ? help  F10 back"
_BAR = 48


class OwnSegmentScreen(SegmentListScreen):
    """Every step of the flight in order; those of the chosen cluster are marked."""

    HELP = "Own segment"

    def __init__(
        self,
        name: str,
        title: str,
        reference: Reference,
        names: frozenset[str],
        trend: Callable[[Part], Sequence[float]],
        level: str,
    ) -> None:
        super().__init__(name, title, level)
        self._reference, self._names = reference, names
        self._trend = trend
        self._at = self._first = self._last = 0
        self._chosen = self._cut()

    def _list_height(self) -> int:
        return 3

    def _cut(self) -> Flyable | None:
        if not self._reference.work:
            return None
        return own_segment(self._reference, self._names, self._first, self._last)

    def paint(self) -> None:
        """Show everything."""
        width = self.size.width
        told = "Choose its first and last step. A good crew flies up to it; it never counts."
        self._frame("a segment of your own", told, KEYS)
        self._list.show([cut(line, width) for line in self._about()])
        inside = () if self._chosen is None else self._chosen.work
        self._items.fill(
            [
                cut(self._row(place, work in inside), width)
                for place, work in enumerate(self._reference.work)
            ]
        )
        self._items.bring(self._at)

    def _about(self) -> list[Line]:
        one = self._chosen
        if one is None:
            return [((" A good crew does nothing in this exercise.", "caution"),)]
        drawn = bar(one.begins, one.ends, self._reference.last, _BAR)
        steps = counted(len(one.work), "step")
        told = f"{minutes_text(one.seconds)}, {steps}, from {one.from_nm:.1f} NM"
        return [
            ((f" {drawn} ", "guidance"), (told, "value")),
            ((" LAST TEN ", "label"), (trend_text(self._trend(one.part)), "active")),
        ]

    def _row(self, place: int, is_inside: bool) -> Line:
        work = self._reference.work[place]
        is_here = place == self._at
        at = f"{minutes_text(work.step // STEPS_PER_S):>6} {work.distance_nm:5.1f}  "
        return (
            (f" {'▸' if is_here else ' '}", "title" if is_here else ""),
            ("┃" if is_inside else " ", "guidance"),
            (at, "label"),
            (shown(work.item), "title" if is_here else "" if is_inside else "label"),
        )

    def on_panel_chosen(self, message: Panel.Chosen) -> None:
        """A click on a step goes there."""
        message.stop()
        if message.panel is self._items:
            self._go(self._items.top + message.line)

    def _go(self, place: int) -> None:
        self._at = min(max(0, place), max(0, len(self._reference.work) - 1))
        self.paint()

    def _choose(self, first: int, last: int) -> None:
        self._first, self._last = first, last
        self._chosen = self._cut()
        self.paint()

    def own_key(self, event: events.Key) -> None:
        """Choose, fly, or go back."""
        key = event.key
        page = max(1, self._items.size.height - 1)
        moves = {
            "up": -1, "down": 1, "pageup": -page, "pagedown": page,
            "home": -len(self._reference.work), "end": len(self._reference.work),
        }  # fmt: skip
        if key in ("escape", "f10", "ctrl+c"):
            self.dismiss()
        elif key in moves:
            self._go(self._at + moves[key])
        elif key == "f":
            self._choose(self._at, max(self._at, self._last))
        elif key == "u":
            self._choose(min(self._at, self._first), self._at)
        elif key == "enter" and self._chosen is not None:
            self._fly(self._chosen.part)
