"""The commands on kept attempts: `debrief`, `history`, `regrade`.

Knows no SQL and no rule of judgement. Surprising rule: a stored judgement is never believed, it is
made again from the stored facts.
"""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

from trainer import JUDGE
from trainer.cli.shared import cells, command, dump, open_records
from trainer.errors import EXIT_JUDGED, UserError

if TYPE_CHECKING:
    from trainer.judge.judgement import Judgement
    from trainer.records.store import Stored
    from trainer.scenario.exercise import Exercise


def add(commands: Any) -> None:
    """Add `debrief`, `history` and `regrade` to the parser."""
    debrief = command(
        commands, "debrief", _debrief, "print or export the debrief of an attempt",
        "approach-drill debrief last --format html --output debrief.html",
    )  # fmt: skip
    debrief.add_argument("attempt", nargs="?", default="last", help="a number, or last")
    debrief.add_argument("--format", choices=("text", "html", "md", "json", "csv"), default="text")
    debrief.add_argument("--json", action="store_true", help="the same as --format json")
    debrief.add_argument("--output", type=Path)
    debrief.add_argument("--force", action="store_true", help="replace an existing file")

    history = command(
        commands, "history", _history, "list the attempts that were kept", "approach-drill history"
    )
    history.add_argument("--json", action="store_true")

    regrade = command(
        commands, "regrade", _regrade, "judge a kept attempt again by the present rules",
        "approach-drill regrade 3",
    )  # fmt: skip
    regrade.add_argument("attempt", nargs="?", default="last")


def _debrief(options: argparse.Namespace) -> int:
    from trainer.report.output import write_output

    form = "json" if options.json else options.format
    with open_records() as records:
        stored = records.load(options.attempt)
        text = _debrief_text(stored, form)
    if options.output is None:
        print(text)
    else:
        write_output(options.output, text if text.endswith("\n") else text + "\n", options.force)
        print(f"written: {options.output}", file=sys.stderr)
    return 0


def _history(options: argparse.Namespace) -> int:
    with open_records() as records:
        attempts = records.history()
        for message in records.messages:
            print(message, file=sys.stderr)
    if options.json:
        print(dump({"format": "approach-drill/history", "version": 1, "attempts": attempts}))
        return 0
    if not attempts:
        print("no attempts yet; fly one: approach-drill fly straight-in", file=sys.stderr)
    for one in attempts:
        points = "" if one["points"] is None else f"{one['points']:.0f}"
        counts = "counts" if one["counts"] else ""
        outcome = one["outcome"] or "unfinished"
        print(
            f"{one['attempt']:>4}  {one['started']:<20}  {one['exercise']:<20}{one['level']:<9}"
            f"{outcome:<11}{points:>4}  {counts}"
        )
    return 0


def _regrade(options: argparse.Namespace) -> int:
    with open_records() as records:
        stored = records.load(options.attempt)
    exercise, judgement, _, _ = _rejudged(stored)
    before = (stored.judgement or {}).get("points")
    print(f"{exercise.title}: {judgement.outcome}, {judgement.reason}")
    print(f"points then {_points(before)}, now {_points(judgement.points)} (judge {JUDGE})")
    return 0 if judgement.outcome == "passed" else EXIT_JUDGED


def _rejudged(stored: Stored) -> tuple[Exercise, Judgement, Any, Any]:
    """A kept attempt judged again from its stored facts; it is never flown."""
    from trainer.crew.session import book_of
    from trainer.judge.batch import judge
    from trainer.records.packing import unpack
    from trainer.scenario.compose import from_canonical
    from trainer.scenario.draw import draw

    if stored.facts is None:
        raise UserError(f"attempt {stored.number} was not flown to an end; nothing to judge")
    exercise = draw(from_canonical(stored.canonical), stored.seed)
    rows, facts = unpack(stored.facts)
    return exercise, judge(exercise, book_of(exercise), stored.acts, facts, rows), rows, facts


def _debrief_text(stored: Stored, form: str) -> str:
    from trainer.briefing.ladders import late_rungs
    from trainer.report.debrief import debrief
    from trainer.report.document import document_text, judgement_json

    exercise, judgement, rows, facts = _rejudged(stored)
    if form == "json":
        document = judgement_json(
            judgement, exercise, rows, stored.digest or "", stored.engine, JUDGE
        )
        return document_text(document)
    made = debrief(judgement, exercise, rows, facts, late_rungs(exercise)[0])
    if form == "html":
        from trainer.report.page import html_page

        return html_page(made)
    if form == "csv":
        from trainer.report.sheet import csv_text

        return csv_text(made)
    from trainer.report.plain import markdown, plain_text

    return markdown(made) if form == "md" else plain_text(made, cells())


def _points(points: float | None) -> str:
    return "none" if points is None else f"{points:.1f}"
