"""The scribe: what the flight screen remembers from one row to the next.

Keeps the communication log, the steps at which annunciator columns last changed, and the speed
trend. It reads rows and facts as they are flown; the View is made from it and from one row.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from trainer.flight.acts import Fact
from trainer.flight.row import Row
from trainer.scenario.exercise import Exercise
from trainer.scenario.vocabulary.words import OTHER_COURSE
from trainer.text import shown
from trainer.world.morse import encode

TREND_STEPS = 20
"""The trend looks back this many steps."""
LOG_MAX = 200
COLUMNS = (
    "lateral", "vertical", "lateral armed", "vertical armed", "thrust", "engagement", "capability",
)  # fmt: skip


class LogLine(NamedTuple):
    """One line of the communication log: when (step), who or what, and the words."""

    step: int
    who: str
    text: str


class Scribe:
    """Memory of one flight as seen from its seat."""

    def __init__(self, exercise: Exercise, row: Row) -> None:
        self.exercise = exercise
        self.log: list[LogLine] = []
        self.begun: list[str] = []
        self.changed: dict[str, int] = {}
        self.is_course_split = False
        self.is_director_off = row.modes.engagement == "OFF"
        self._row = row
        self._speeds: list[float] = [row.cas_kt]

    @property
    def trend_kt(self) -> float:
        """Change of airspeed over the next ten seconds if it goes on as it did, kt."""
        span = len(self._speeds) - 1
        if span < 1 or self._row.is_on_ground:
            return 0.0
        return (self._speeds[-1] - self._speeds[0]) / span * 100.0

    def take(self, row: Row, facts: Iterable[Fact]) -> None:
        """Take the next row and the facts that led to it."""
        for name, before, after in zip(COLUMNS, self._row.modes, row.modes, strict=True):
            if before != after and after:
                self.changed[name] = row.step
        self._row = row
        self._speeds.append(row.cas_kt)
        if len(self._speeds) > TREND_STEPS + 1:
            del self._speeds[0]
        for fact in facts:
            self._note(fact)

    def hand_over(self, step: int) -> None:
        """Note that the crew has flown up to here and the pilot flies on."""
        self._add(step, "CREW", "you have control")

    def say_again(self, step: int, words: str) -> None:
        """Note that a call was not understood, and which words."""
        text = f"say again: {words} not understood" if words else "say again"
        self._add(step, "HEARD", text)

    def correct(self, step: int, clearance: str, callsign: str) -> None:
        """Note a controller who repeats a clearance that was read back wrong."""
        again = clearance.removeprefix(f"{callsign}, ")
        self._add(step, "ATC", f"{callsign}, negative, I say again, {again}")

    def _note(self, fact: Fact) -> None:
        match fact.kind:
            case "event" if fact.detail:
                self._add(fact.step, "ATC", fact.detail)
            case "said":
                self._add(fact.step, "YOU", fact.detail)
            case "read back":
                self._add(fact.step, "YOU", fact.detail)
            case "refused":
                name = f"{fact.name} {fact.detail}".strip()
                # Guidance names the mode itself: "nav ignored: localizer captured".
                is_named = " ignored: " in fact.reason
                self._add(
                    fact.step, "REFUSED", fact.reason if is_named else f"{name}: {fact.reason}"
                )
            case "fault" if fact.name == OTHER_COURSE:
                self.is_course_split = True
            case "acted" if fact.name == "course":
                self.is_course_split = False
            case "director":
                self.is_director_off = fact.name == "off"
            case "direct":
                self._add(fact.step, "ROUTE", f"direct to {fact.name}")
            case "heard" if fact.name:
                self._add(fact.step, "IDENT", encode(fact.name))
            case "heard":
                self._add(fact.step, "IDENT", "nothing heard")
            case "checklist":
                self.begun.append(fact.name)
                self._add(fact.step, "LIST", f"{fact.name} checklist")
            case "line":
                self._add(fact.step, "LIST", f"{fact.detail}: confirmed")
                if not self._row.checklist:
                    self._add(fact.step, "LIST", f"{fact.name} checklist complete")
            case "touchdown":
                self._add(fact.step, "EVENT", "touchdown")

    def _add(self, step: int, who: str, text: str) -> None:
        self.log.append(LogLine(step, who, shown(text)))
        if len(self.log) > LOG_MAX:
            del self.log[0]
