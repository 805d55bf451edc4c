"""A flight looked at again: time is moved by keys, and the whole flight screen follows.

It shows stored rows and what was noted of them; it flies nothing, and nothing can be done to it.
Surprising rule: going back builds the notes anew from the start, because they are a memory.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from typing import NamedTuple

from textual import events
from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.timer import Timer

from trainer.app.clock import Clock
from trainer.app.profile import profile_of, volume_of
from trainer.app.screens.base import SizedScreen
from trainer.app.scribe import Scribe
from trainer.app.view import view_of
from trainer.app.widgets.deck import Deck
from trainer.app.widgets.lines import Line, between, cut
from trainer.app.widgets.panel import Panel
from trainer.app.widgets.timeline import bar, step_at
from trainer.flight.acts import Fact, by_step
from trainer.flight.row import Row
from trainer.flight.surroundings import surroundings_of
from trainer.report.notes import Happening, clock
from trainer.scenario.exercise import Exercise
from trainer.text import shown
from trainer.units import STEPS_PER_S

KEYS = "← → 1 s   PgUp PgDn 10 s   ↑ ↓ events   Space run   + faster   ? help   Enter back"
PAINT_S = 0.2
FACTORS = (1, 2, 4, 8, 16)
_GOOD = ("", "on time", "passed", "not reached")
MOVES = {
    "left": -STEPS_PER_S, "right": STEPS_PER_S, "pageup": -10 * STEPS_PER_S,
    "pagedown": 10 * STEPS_PER_S,
}  # fmt: skip


class Flown(NamedTuple):
    """What is looked at: the exercise, one row a step, the facts, what the debrief tells of it."""

    exercise: Exercise
    rows: Sequence[Row]
    facts: Sequence[Fact]
    told: Sequence[Happening]


class ReplayScreen(SizedScreen):
    """Shows `flown` at a step that keys move; Enter, Esc or F10 go back."""

    CSS_PATH = "replay.tcss"
    HELP = "Replay"

    def __init__(self, flown: Flown, clock: Clock) -> None:
        super().__init__()
        self._flown = flown
        self._clock = clock
        self._told = sorted(flown.told, key=lambda one: one.step)
        self._steps = [one.step for one in self._told]
        self._facts = by_step(flown.facts)
        self._at = 0
        self._factor = 0
        self._last_s = 0.0
        self._owed = 0.0
        self._scribe = Scribe(flown.exercise, flown.rows[0])
        self._noted = 0
        exercise = flown.exercise
        self._deck = Deck(profile_of(exercise), volume_of(surroundings_of(exercise)))
        self._event = Panel(id="event")
        self._bar = Panel(id="bar")
        self._keys = Panel(id="keys")
        self.timer: Timer | None = None

    @property
    def step(self) -> int:
        """The step that is shown."""
        return self._flown.rows[self._at].step

    def compose(self) -> ComposeResult:
        """The panels of the flight screen; below them what happened, the time line, the keys."""
        deck = self._deck
        yield from deck.upper()
        yield deck.strip
        with Horizontal(id="words"):
            yield deck.log
            yield deck.checklist
        yield self._event
        yield self._bar
        yield self._keys
        yield from super().compose()

    def on_mount(self) -> None:
        """Stand at the start; the timer moves only while it runs."""
        self.timer = self.set_interval(PAINT_S, self.tick)

    def tick(self) -> None:
        """Go on by what real time asks for."""
        now_s, last_s = self._clock(), self._last_s
        self._last_s = now_s
        if not self._factor:
            return
        self._owed += min(now_s - last_s, 1.0) * self._factor * STEPS_PER_S
        whole = int(self._owed + 1e-9)
        self._owed -= whole
        self.go(self._at + whole)
        if self._at == len(self._flown.rows) - 1:
            self._factor = 0
            self.paint()

    def go(self, place: int) -> None:
        """Stand at the row `place`, held inside the flight, and show it."""
        self._at = min(max(0, place), len(self._flown.rows) - 1)
        if self._at < self._noted:
            self._scribe = Scribe(self._flown.exercise, self._flown.rows[0])
            self._noted = 0
        while self._noted < self._at:
            self._noted += 1
            row = self._flown.rows[self._noted]
            self._scribe.take(row, self._facts.get(row.step - 1, ()))
        self.paint()

    # Keys ---------------------------------------------------------------------------------------

    def on_key(self, event: events.Key) -> None:
        """Move, run or go back."""
        event.stop()
        event.prevent_default()
        key = event.key
        if self.explains(event):
            self._factor = 0
            return
        if key in ("enter", "escape", "f10", "f7", "ctrl+c"):
            self.dismiss()
        elif key in MOVES:
            self.go(self._at + MOVES[key])
        elif key in ("home", "end"):
            self.go(0 if key == "home" else len(self._flown.rows))
        elif key in ("up", "down"):
            self._to_event(1 if key == "down" else -1)
        elif key == "space":
            self._factor = 0 if self._factor else 1
            self._last_s, self._owed = self._clock(), 0.0
            self.paint()
        elif event.character == "+":
            at = FACTORS.index(self._factor) if self._factor else -1
            self._factor = FACTORS[(at + 1) % len(FACTORS)]
            self._last_s = self._clock()
            self.paint()

    def _to_event(self, by: int) -> None:
        """Stand where the next (1) or the previous (-1) event of the debrief happened."""
        if by > 0:
            place = bisect_right(self._steps, self.step)
        else:
            place = bisect_left(self._steps, self.step) - 1
        if 0 <= place < len(self._steps):
            self.go(self._steps[place] - self._flown.rows[0].step)

    def on_panel_chosen(self, message: Panel.Chosen) -> None:
        """A click on the time line goes there."""
        message.stop()
        if message.panel is self._bar:
            last = self._flown.rows[-1].step
            self.go(step_at(message.column, last, self.size.width) - self._flown.rows[0].step)

    # Painting -----------------------------------------------------------------------------------

    def paint(self) -> None:
        """Show the row."""
        width, rows = self.size.width, self._flown.rows
        view = view_of(rows[self._at], self._scribe)
        pace = f"×{self._factor}" if self._factor else "STANDS"
        self._deck.show(view, "replay", pace, width)
        self._event.show([cut(self._happened(), width)])
        marks = [(one.step, _is_finding(one)) for one in self._told]
        self._bar.show([bar(self.step, rows[-1].step, marks, width)])
        self._keys.show([between(((f" {KEYS}", "label"),), (), width)])

    def _happened(self) -> Line:
        """The last event up to now, with how long ago it was and what it was worth."""
        place = bisect_right(self._steps, self.step) - 1
        if place < 0:
            return ((" nothing has happened yet", "label"),)
        # Of events at one step the gravest is told.
        same = [one for one in self._told if one.step == self._steps[place]]
        one = next((each for each in same if _is_finding(each)), same[-1])
        meaning = "warning" if _is_finding(one) else "label"
        return (
            (f" {clock(one.step)} ", "label"),
            (shown(one.what), "value"),
            (f"  {one.verdict}", meaning),
        )


def _is_finding(one: Happening) -> bool:
    """Whether a line of the debrief tells of something to work on."""
    return one.kind in ("item", "gate", "watch") and one.verdict not in _GOOD
