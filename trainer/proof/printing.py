"""What `check` prints while a proof goes on: the timeline, the matrix row by row, a bar.

Owns the words and columns for people; what is data goes to standard output, the count of flights
and the bar to standard error. Surprising rule: a row of the matrix is printed as soon as all slips
of its item are judged, so the rows stand in the order in which they were ready.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Sequence

from trainer.proof.mutants import Mutant
from trainer.proof.prove import Flown, Listener, Plan, Proof, Reference
from trainer.proof.timeline import Entry, Workload
from trainer.proof.trying import Finding, Result
from trainer.text import counted

KINDS = ("omitted", "late", "early", "wrong value", "wrong words")
"""The slips that have a column; traps and swaps have a line of their own."""
_BAR = 24


class Printer(Listener):
    """Prints one proof as it goes; `is_data`: the table too, not only the talk."""

    def __init__(self, path: str, is_data: bool) -> None:
        self._path = path
        self._is_data = is_data
        self._is_live = sys.stderr.isatty()
        self._since = time.monotonic()
        self._done = self._total = 0
        self._left: dict[str, int] = {}
        self._rows: dict[str, dict[str, Result]] = {}
        self._width = 4

    def begun(self, plan: Plan, reference: Reference, mutants: list[Mutant]) -> None:
        """Say what is going to be flown, and show the reference flight."""
        print(f"{self._path}: {plan_text(plan)}", file=sys.stderr, flush=True)
        self._total = plan.pieces
        for mutant in mutants:
            self._left[mutant.item] = self._left.get(mutant.item, 0) + 1
        self._width = max((len(one.item) for one in mutants), default=4)
        if self._is_data:
            for line in reference_lines(reference):
                print(line)
            rest = "no meaning here, or not tried" if plan.untried else "no meaning here"
            print(f"slips, + found as exactly that, X not, . {rest}:")
            print(f"  {'item':<{self._width}}  {'  '.join(KINDS)}", flush=True)
        self._paint()

    def tried(self, result: Result) -> None:
        """Print the row of the item once all its slips are judged."""
        mutant = result.mutant
        self._done += 1
        row = self._rows.setdefault(mutant.item, {})
        row[mutant.name] = result
        self._left[mutant.item] -= 1
        if self._left[mutant.item] == 0 and self._is_data:
            self._say(matrix_row(mutant.item, list(row.values()), self._width))
        self._paint()

    def flown(self, flown: Flown) -> None:
        """Count a correct crew; one that is found wrong is told at once."""
        self._done += 1
        if self._is_data and not flown.is_right:
            self._say(f"  {crew_text(flown)}")
        self._paint()

    def interrupted(self) -> None:
        """Say how far it came."""
        self.close()
        print(
            f"{self._path}: interrupted after {self._done} of {self._total} pieces of work; "
            "nothing is proven by a part of them",
            file=sys.stderr,
        )

    def close(self) -> None:
        """Take the bar away."""
        if self._is_live:
            print("\r\x1b[K", end="", file=sys.stderr, flush=True)

    def _say(self, text: str) -> None:
        self.close()
        print(text, flush=True)

    def _paint(self) -> None:
        if not self._is_live:
            return
        spent = time.monotonic() - self._since
        left = spent / self._done * (self._total - self._done) if self._done else 0.0
        filled = _BAR * self._done // max(self._total, 1)
        bar = "#" * filled + "." * (_BAR - filled)
        text = f"[{bar}] {self._done}/{self._total}, about {left:.0f} s left"
        print(f"\r\x1b[K{text}", end="", file=sys.stderr, flush=True)


def plan_text(plan: Plan) -> str:
    """The number of flights and what they are for, as one sentence."""
    parts = [
        "the reference",
        f"{plan.drawn} at the ends of the variation and on seeds",
        f"{plan.others} other correct crews",
        f"{counted(plan.flown, 'slip')}, flown on from where they begin",
    ]
    text = f"{plan.flights} flights: {', '.join(parts)}"
    if plan.spoken:
        be = "is" if plan.spoken == 1 else "are"
        text += f"; {counted(plan.spoken, 'slip')} of words {be} judged without flying"
    if plan.untried:
        tried = plan.flown + plan.spoken
        text += f"; {tried} of {tried + plan.untried} slips are tried"
    return text


def reference_lines(reference: Reference) -> list[str]:
    """The reference flight as a timeline, and its busiest stretch."""
    points = "no" if reference.flown.points is None else f"{reference.flown.points:.1f}"
    reason = reference.session.flight.reason
    entries = reference.timeline
    lines = [f"reference flight: {points} points, {reason}; windows in seconds from the start:"]
    lines.append(
        f"  {'opens':>6} {'aim':>6} {'done':>6} {'due':>6} {'closes':>6} {'margin':>6} "
        f"{'NM':>5} {'ft':>5}  item"
    )
    lines += [_entry(entry) for entry in entries]
    if reference.workload is not None:
        lines.append(_busiest(reference.workload))
    return lines


def _entry(entry: Entry) -> str:
    steps = (entry.opened, entry.aim, entry.done, entry.due, entry.closes, entry.margin)
    cells = " ".join(f"{'-' if step is None else f'{step / 10.0:.1f}':>6}" for step in steps)
    return f"  {cells} {entry.distance_nm:>5.1f} {entry.altitude_ft:>5.0f}  {entry.item}"


def _busiest(load: Workload) -> str:
    return (
        f"busiest 15 s: {load.busy_s:.1f} s of work from {load.start / 10.0:.1f} s "
        f"({load.distance_nm:.1f} NM): {', '.join(load.acts)}"
    )


def matrix_row(item: str, results: Sequence[Result], width: int) -> str:
    """One item of the matrix; what was found instead stands below it."""
    cells = dict.fromkeys(KINDS, ".")
    extra: list[str] = []
    for result in results:
        kind = result.mutant.name.partition(":")[0]
        mark = "." if not result.is_applicable else "+" if result.is_exact else "X"
        if kind in cells:
            cells[kind] = mark
        else:
            extra.append(f"    {mark} {result.mutant.name}")
        if mark == "X":
            extra.append(f"    {result.mutant.name}: found {found_text(result.found)}")
    row = "  ".join(f"{cells[kind]:^{len(kind)}}" for kind in KINDS)
    return "\n".join([f"  {item:<{width}}  {row}".rstrip(), *extra])


def found_text(findings: Sequence[Finding]) -> str:
    """Findings as a phrase."""
    return ", ".join(f"{item}: {verdict}" for item, verdict in findings) or "nothing"


def crew_text(flown: Flown) -> str:
    """What was found in a correct crew."""
    parts = []
    if flown.findings:
        parts.append(f"found {found_text(flown.findings)}")
    elif flown.points != 100.0:
        parts.append("fewer points" if flown.points is not None else "no points")
    parts += [f'"{item}" is due before it opens' for item in flown.squeezed]
    return f"{flown.label}: {'; '.join(parts)}"


def summary(path: str, proof: Proof) -> list[str]:
    """The result of a proof in a few lines."""
    points = proof.reference.flown.points
    shown = "none" if points is None else f"{points:.1f}"
    right = len([one for one in proof.others if one.is_right])
    drawn = len([one for one in proof.drawn if one.is_right])
    lines = [
        f"{path}: {'proven' if proof.is_proven else 'NOT proven'}: perfect crew {shown} points; "
        f"{drawn} of {len(proof.drawn)} drawn flights and {right} of {len(proof.others)} other "
        f"correct crews right; {proof.exact} of {len(proof.applicable)} slips found as exactly "
        "themselves"
    ]
    lines += [f"  {crew_text(one)}" for one in proof.imperfect]
    if not proof.is_complete:
        lines.append("  not every mutant was tried: nothing is proven by a part of them")
    if proof.not_applicable:
        lines.append(
            f"  {len(proof.not_applicable)} mutations have no meaning here (for example a wrong "
            "value of a button); listed with --json"
        )
    return lines
