"""The commands on kept attempts: `debrief`, `history`, `regrade`, `resume`, `replay`.

Knows no SQL and no rule of judgement. Surprising rule: a stored judgement is never believed, it is
made again.
"""

from __future__ import annotations

import argparse
import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

from trainer import ENGINE, JUDGE
from trainer.cli.shared import ASCII, cells, command, count, open_records, stored_attempt
from trainer.errors import EXIT_JUDGED, UserError
from trainer.text import NOTICE

if TYPE_CHECKING:
    from collections.abc import Sequence

    from trainer.judge.judgement import Judgement
    from trainer.records.store import Records
    from trainer.records.stored import Stored
    from trainer.world.ladders import Rung

ATTEMPT = "a number of history, last (default), or an attempt file"


def add(commands: Any) -> None:
    """Add these commands to the parser."""
    debrief = command(
        commands, "debrief", _debrief, "print or export the debrief of an attempt",
        "approach-drill debrief last --format html --output debrief.html",
    )  # fmt: skip
    debrief.add_argument("attempt", nargs="?", default="last", help=ATTEMPT)
    debrief.add_argument(
        "--format", choices=("text", "html", "md", "json", "csv", "attempt"), default="text",
        help="attempt: the attempt itself, to be opened elsewhere",
    )  # fmt: skip
    debrief.add_argument("--json", action="store_true", help="the same as --format json")
    debrief.add_argument(
        "--what-if", action="append", default=[], metavar="ITEM", dest="what_if",
        help="fly the attempt again with this slip put right: an item, its number in the debrief, "
        "or all; may stand several times",
    )  # fmt: skip
    debrief.add_argument(
        "--differs", metavar="ITEM",
        help="our procedure differs: write into your house file that this finding is none",
    )  # fmt: skip
    debrief.add_argument("--undo", action="store_true", help="with --differs: take it back")
    debrief.add_argument("--output", type=Path)
    debrief.add_argument("--force", action="store_true", help="replace an existing file")

    history = command(
        commands, "history", _history, "list the attempts that were kept", "approach-drill history"
    )
    history.add_argument("--json", action="store_true", help="for programs: one document")

    regrade = command(
        commands, "regrade", _regrade, "judge a kept attempt again by the present rules",
        "approach-drill regrade 3",
    )  # fmt: skip
    regrade.add_argument("attempt", nargs="?", default="last", help=ATTEMPT)

    resume = command(
        commands, "resume", _resume, "fly on where an unfinished attempt stopped",
        "approach-drill resume",
    )  # fmt: skip
    resume.add_argument(
        "attempt", nargs="?", type=count, help="a number of history; default: the newest unfinished"
    )
    resume.add_argument("--plain", action="store_true", help="line by line, without a screen")
    resume.add_argument("--ascii", action="store_true", help=ASCII)

    replay = command(
        commands, "replay", _replay, "fly the acts of an attempt again and compare",
        "approach-drill replay quill.attempt.json",
    )  # fmt: skip
    replay.add_argument("attempt", nargs="?", default="last", metavar="FILE", help=ATTEMPT)
    replay.add_argument("--watch", action="store_true", help="tell the flight line by line")


def _debrief(options: argparse.Namespace) -> int:
    from trainer.garbage import collection_paused
    from trainer.report.output import write_output

    stored = stored_attempt(options.attempt)
    if options.differs is not None:
        return _differs(stored, options.differs, options.undo)
    if options.undo:
        raise UserError("debrief: --undo goes with --differs ITEM")
    form = "json" if options.json else options.format
    with collection_paused():
        text = _debrief_text(stored, form, options.what_if)
    if options.output is None:
        print(text.removesuffix("\n"))
    else:
        write_output(options.output, text if text.endswith("\n") else text + "\n", options.force)
        print(f"written: {options.output}", file=sys.stderr)
    return 0


def _debrief_text(stored: Stored, form: str, asked: Sequence[str]) -> str:
    if form == "attempt":
        from trainer.records.attempt_file import attempt_text

        return attempt_text(stored)
    from trainer.report.again import judged_again, put_right
    from trainer.report.debrief import debrief, what_mattered

    again = judged_again(stored)
    exercise = again.exercise
    if again.note:
        print(again.note, file=sys.stderr)
    slips = _slips(again.judgement, asked)
    if form == "html" and not asked and again.engine == ENGINE:
        slips = what_mattered(again.judgement, exercise)
    changed = put_right(stored, again, slips) if slips else {}
    if form == "json":
        return again.json_text(changed if asked else None)
    # Flown for the page: the ladder for its picture, and what mattered most with it put right.
    rungs: Sequence[Rung] = ()
    if form == "html":
        from trainer.briefing.ladders import last_chance

        rungs = last_chance(exercise)
    made = debrief(again.judgement, exercise, again.rows, again.facts, rungs, changed)
    if form == "html":
        from trainer.report.page import html_page

        return html_page(made)
    if form == "csv":
        from trainer.report.sheet import csv_text

        return csv_text(made)
    from trainer.report.plain import markdown, plain_text

    return markdown(made) if form == "md" else plain_text(made, cells())


def _differs(stored: Stored, asked: str, is_undone: bool) -> int:
    from trainer.report import our_procedure
    from trainer.report.again import judged_again
    from trainer.scenario.library import shown_path

    again = judged_again(stored)
    (name,) = _slips(again.judgement, [asked])
    verdict = our_procedure.finding_called(again.judgement, name)
    found = our_procedure.how_it_differs(again.exercise, verdict)
    where = shown_path(found.path)
    if is_undone:
        our_procedure.take_back(again.exercise, found)
        print(f"taken back: {found.meaning}; {where}", file=sys.stderr)
        return 0
    our_procedure.write(again.exercise, found)
    print(f"{found.meaning}: written to {where}; it holds from the next flight on", file=sys.stderr)
    print(f"  {found.line}", file=sys.stderr)
    print("--undo with the same words takes it back", file=sys.stderr)
    return 0


def _slips(judgement: Judgement, asked: Sequence[str]) -> list[str]:
    """The items that are meant: by name, by the number of the finding, or all findings."""
    findings = [item.item for item in judgement.items if item.is_finding]
    if "all" in asked:
        return findings
    found = []
    for text in asked:
        is_number = text.isascii() and text.isdecimal()
        if is_number and not 1 <= int(text) <= len(findings):
            raise UserError(f"there is no finding {text}; the debrief has {len(findings)}")
        found.append(findings[int(text) - 1] if is_number else text)
    return found


def _history(options: argparse.Namespace) -> int:
    with open_records() as records:
        lines = _history_json(records) if options.json else records.lines()
        for message in records.messages:
            print(message, file=sys.stderr)
    if not lines:
        print("no attempts yet; fly one: approach-drill fly straight-in", file=sys.stderr)
    else:
        print("\n".join(lines))
    return 0


def _history_json(records: Records) -> list[str]:
    """The document, an attempt a line: an encoder that indents takes twice as long."""
    encode = json.JSONEncoder().encode
    entries = ",\n".join(f"    {encode(entry)}" for entry in records.history())
    head = (
        '{\n  "format": "approach-drill/history",\n  "version": 1,\n'
        f'  "notice": {encode(NOTICE)},\n  "attempts": ['
    )
    return [head, *([entries] if entries else []), "  ]\n}"]


def _regrade(options: argparse.Namespace) -> int:
    from trainer.report.again import judged_again

    stored = stored_attempt(options.attempt)
    again = judged_again(stored)
    if again.note:
        print(again.note, file=sys.stderr)
    judgement = again.judgement
    before = (stored.judgement or {}).get("points")
    print(f"{again.exercise.title}: {judgement.outcome}, {judgement.reason}")
    print(f"points then {_points(before)}, now {_points(judgement.points)} (judge {JUDGE})")
    return 0 if judgement.outcome == "passed" else EXIT_JUDGED


def _resume(options: argparse.Namespace) -> int:
    from trainer.app.launch import Resume, run_app

    if options.plain:
        from trainer.app.console import run_plain

        return run_plain(Resume(options.attempt), is_ascii=options.ascii)
    return run_app(Resume(options.attempt), is_ascii=options.ascii)


def _replay(options: argparse.Namespace) -> int:
    from trainer.report.again import flown_again, other_engine

    stored = stored_attempt(options.attempt)
    if stored.outcome is None and not options.watch:
        raise UserError(f"{stored.label}: not flown to an end; there is nothing to compare with")
    again = flown_again(stored)
    if options.watch:
        from trainer.report.watching import told

        for line in told(again.rows, stored.acts, again.facts):
            print(line)
    if stored.outcome is None:
        print(f"{stored.label} goes no further; resume flies on", file=sys.stderr)
        return EXIT_JUDGED
    judgement = again.judgement
    print(f"{again.exercise.title}: {judgement.outcome}, {judgement.reason}")
    print(f"points {_points(judgement.points)} (judge {JUDGE})")
    if stored.engine != ENGINE:
        print(f"not verified: {other_engine(stored)}")
    elif again.digest == stored.digest:
        print(f"the same flight: digest {again.digest}")
        return 0
    else:
        print(f"another flight: digest {again.digest}, recorded {stored.digest or 'none'}")
    return EXIT_JUDGED


def _points(points: object) -> str:
    return f"{points:.1f}" if isinstance(points, int | float) else "none"
