"""What was observed of each competency: how often it was called for, shown, put right, not shown.

Owns the one closed table from areas, gates and watches to published codes. It counts and never
grades: the grade is the instructor's. Surprising rule: flying the path counts for automation or
for manual control by what the annunciator showed as engaged at that moment.

The nine codes are those of EASA AMC1 ORO.FC.231(b) (evidence-based training); the ICAO manual
Doc 9995 (2013) has eight, without KNO. Behaviours are in our own words, from memory of both.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from trainer.flight.row import Row
from trainer.judge.judgement import ItemVerdict, Judgement
from trainer.report.notes import place_step, verdict_of
from trainer.scenario.exercise import Exercise
from trainer.values import dataclass

SOURCE = "codes: EASA AMC1 ORO.FC.231(b); counted, not graded: the grade is the instructor's"
"""What stands below every table of competencies."""

NAMES = {
    "KNO": "application of knowledge",
    "PRO": "application of procedures",
    "COM": "communication",
    "FPA": "flight path, automation",
    "FPM": "flight path, manual control",
    "LTW": "leadership and teamwork",
    "PSD": "problem solving and decisions",
    "SAW": "situation awareness",
    "WLM": "workload management",
}
"""The codes in their published order."""
PATH = "FPA or FPM"
"""Stands in the tables for automation or manual control, by what is engaged."""

AREAS: dict[str, tuple[str, str]] = {
    "setup": ("PRO", "sets up aids, values and systems as the procedure says"),
    "checklist": ("PRO", "reads and answers checklists at their moment"),
    "clearances": ("PRO", "carries out what was cleared"),
    "communication": ("COM", "requests and reads back with every value, in time"),
    "guidance": (PATH, "chooses guidance and its targets for the path at the right moment"),
    "energy": (PATH, "manages speed and configuration towards the gate"),
    "landing": (PATH, "flies landing and roll-out as required"),
    "modes": ("FPA", "watches what is engaged and armed, and says each change"),
    "decision": ("PSD", "decides at gates and minimums, in time and by what is so"),
    "calls": ("SAW", "perceives signals, places and deviations, and says them"),
    "awareness": ("SAW", "perceives signals, places and deviations, and says them"),
    "altimetry": ("SAW", "checks altitude against distance and settings against each other"),
}
"""Area of an item: code, and the behaviour that is observed; an item without one is awareness."""

DECIDES = AREAS["decision"]
CAUSES: dict[str, tuple[str, str]] = {
    "energy": (PATH, "keeps speed and configuration within limits"),
    "flaps": (PATH, "keeps speed and configuration within limits"),
    "gear": (PATH, "keeps speed and configuration within limits"),
    "lateral": (PATH, "keeps to the path and to signals that are proved"),
    "vertical": (PATH, "keeps to the path and to signals that are proved"),
    "modes": ("FPA", "uses modes only where they are cleared and can work"),
    "missed approach": AREAS["setup"],
    "awareness": ("SAW", "says what is shown, not what is expected"),
    "checklist": AREAS["checklist"],
    "decision": DECIDES,
}
"""First cause of a watch: code and behaviour. A watch without a cause is a decision."""
STABLE = (PATH, "is stable at the gate")
BUSY = ("WLM", "gets each step done while others are open")
BUSY_STEPS = 3
"""A step counts for workload if it was open together with at least this many, itself included."""


class Lapse(NamedTuple):
    """One occasion at which a behaviour was not shown, or late: its step and what it was."""

    step: int | None
    what: str


@dataclass(frozen=True, slots=True)
class Observed:
    """One behaviour: how often it was shown, put right (late or corrected), not shown."""

    code: str
    behaviour: str
    shown: int
    put_right: int
    not_shown: int
    lapses: tuple[Lapse, ...]

    @property
    def occasions(self) -> int:
        """How often it was called for."""
        return self.shown + self.put_right + self.not_shown


class _Counts:
    """Counts per code and behaviour while a judgement is gone through."""

    def __init__(self, rows: Sequence[Row]) -> None:
        self._rows = rows
        self._found: dict[tuple[str, str], list[int]] = {}
        self._lapses: dict[tuple[str, str], list[Lapse]] = {}

    def add(self, kind: tuple[str, str], grade: int, step: int | None, what: str) -> None:
        """One occasion; `grade` 0 shown, 1 put right, 2 not shown."""
        code, behaviour = kind
        key = (self._flown(step) if code == PATH else code, behaviour)
        self._found.setdefault(key, [0, 0, 0])[grade] += 1
        lapses = self._lapses.setdefault(key, [])
        if grade:
            lapses.append(Lapse(step, what))

    def _flown(self, step: int | None) -> str:
        if step is None or not self._rows:
            return "FPA"
        row = self._rows[min(max(step, 0), len(self._rows) - 1)]
        return "FPA" if row.modes.engagement.startswith("AP") else "FPM"

    def observed(self) -> tuple[Observed, ...]:
        """Everything counted, in the published order of codes."""
        order = list(NAMES)
        keys = sorted(self._found, key=lambda key: order.index(key[0]))
        found = []
        for key in keys:
            shown, put_right, not_shown = self._found[key]
            lapses = tuple(sorted(self._lapses[key], key=_when))
            found.append(Observed(*key, shown, put_right, not_shown, lapses))
        return tuple(found)


def _when(lapse: Lapse) -> int:
    return -1 if lapse.step is None else lapse.step


def observed(judgement: Judgement, exercise: Exercise, rows: Sequence[Row]) -> tuple[Observed, ...]:
    """What was observed in a judged flight; a code without an occasion does not appear.

    Only what follows from nothing else is counted: a consequence is no second occasion.
    """
    counts = _Counts(rows)
    reached = [item for item in judgement.items if item.verdict != "not reached"]
    for item in reached:
        kind = AREAS.get(item.area, AREAS["awareness"])
        counts.add(kind, _grade(item), place_step(item), _said(item))
    for item in reached:
        if _is_busy(item, reached):
            counts.add(BUSY, _grade(item), place_step(item), _said(item))
    causes = {watch.name: watch.causes for watch in exercise.flow.watches}
    for watch in judgement.watches:
        if watch.because is None:
            first = causes.get(watch.watch, ())[:1]
            kind = CAUSES[first[0]] if first else DECIDES
            counts.add(kind, 2, watch.start, f"{watch.watch}: {watch.severity}")
    for gate in judgement.gates:
        if gate.result == "passed":
            counts.add(STABLE, 0, gate.step, gate.gate)
        elif gate.because is None:
            counts.add(STABLE, 2, gate.step, f"{gate.gate}: failed")
    return counts.observed()


def not_observed(found: Sequence[Observed]) -> tuple[str, ...]:
    """The codes for which a flight alone gave no occasion."""
    seen = {one.code for one in found}
    return tuple(code for code in NAMES if code not in seen)


def _grade(item: ItemVerdict) -> int:
    if item.verdict == "on time":
        return 0
    return 1 if item.is_corrected or (item.verdict == "late" and item.credit) else 2


def _said(item: ItemVerdict) -> str:
    return f"{item.item}: {verdict_of(item)}"


def _is_busy(item: ItemVerdict, reached: Sequence[ItemVerdict]) -> bool:
    """Whether `item` was open together with others when it was to be done."""
    step = place_step(item)
    if item.opened is None or step is None:
        return False
    together = 0
    for other in reached:
        if other.opened is not None and other.opened <= step:
            until = other.done if other.done is not None else other.closed
            together += until is None or until >= step
    return together >= BUSY_STEPS
