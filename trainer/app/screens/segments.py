"""The segments of an exercise on its timeline: choose one, see what is in it, fly just that."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from textual import events

from trainer.app.messages import OwnSegmentRequested
from trainer.app.screens.segment_lists import SegmentListScreen
from trainer.app.segments import Flyable, bar, trend_text
from trainer.app.widgets.lines import Line, cut
from trainer.app.widgets.panel import Panel
from trainer.briefing.tables import minutes_text
from trainer.scenario.exercise import Part
from trainer.text import shown
from trainer.units import STEPS_PER_S

KEYS = "Enter fly  o your own  1-3 level  ↑ ↓ choose  PgUp PgDn items  ? help  F10 back"
_BAR = 24


class SegmentsScreen(SegmentListScreen):
    """One line a segment, drawn where it lies in the flight; its items below."""

    HELP = "Segments"

    def __init__(
        self,
        name: str,
        title: str,
        found: Sequence[Flyable],
        trend: Callable[[Part], Sequence[float]],
        level: str,
    ) -> None:
        super().__init__(name, title, level)
        self._found = tuple(found)
        self._trends = [trend_text(trend(one.part)) for one in self._found]
        self._at = 0

    def _list_height(self) -> int:
        return max(1, len(self._found)) + 1

    def paint(self) -> None:
        """Show everything."""
        width = self.size.width
        told = "A good crew flies up to it, then it is yours. A segment never counts."
        self._frame("segments", told, KEYS)
        rows = [self._row(place) for place in range(len(self._found))]
        self._list.show([cut(row, width) for row in rows] or [_NONE])
        self._items.fill(self._about(width))

    def _row(self, place: int) -> Line:
        one = self._found[place]
        last = max(other.ends for other in self._found)
        is_here = place == self._at
        return (
            (f" {'▸' if is_here else ' '} {shown(one.part.name):<20}", "title" if is_here else ""),
            (f" {bar(one.begins, one.ends, last, _BAR)} ", "guidance"),
            (f"{minutes_text(one.seconds):>5} {len(one.work):3d} items ", "label"),
            (f" {self._trends[place].partition('  ')[0]}", "active"),
        )

    def _about(self, width: int) -> list[Line]:
        if not self._found:
            return []
        one = self._found[self._at]
        lines: list[Line] = [
            ((" LAST TEN ", "label"), (self._trends[self._at], "active")),
            ((f" {'TIME':>6} {'NM':>5}  WHAT A GOOD CREW DOES IN IT", "label"),),
        ]
        for work in one.work:
            since = minutes_text((work.step - one.begins) // STEPS_PER_S)
            at = f" {since:>6} {work.distance_nm:5.1f}  "
            lines.append(cut(((at, "label"), (shown(work.item), "")), width))
        return lines

    def on_panel_chosen(self, message: Panel.Chosen) -> None:
        """A click on a segment chooses it."""
        message.stop()
        if message.panel is self._list and message.line < len(self._found):
            self._choose(message.line)

    def _choose(self, place: int) -> None:
        self._at = min(max(0, place), max(0, len(self._found) - 1))
        self.paint()
        self._items.move(-self._items.top)

    def own_key(self, event: events.Key) -> None:
        """Choose, fly, or go back."""
        key = event.key
        page = max(1, self._items.size.height - 1)
        if key in ("escape", "f10", "ctrl+c", "g"):
            self.dismiss()
        elif key in ("up", "down"):
            self._choose(self._at + (1 if key == "down" else -1))
        elif key in ("pageup", "pagedown"):
            self._items.move(page if key == "pagedown" else -page)
        elif event.character == "o":
            self.post_message(OwnSegmentRequested(self._level))
        elif key == "enter" and self._found:
            self._fly(self._found[self._at].part)


_NONE: Line = (
    (" This flow names no segment that the exercise reaches; o cuts one of your own.", "caution"),
)
