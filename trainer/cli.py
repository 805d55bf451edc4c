"""The commands. Each imports what it needs inside, so that `--help` never pays for a screen.

Data goes to standard output, talk to standard error. Exit codes: 0 good; 1 judged repeat,
abandoned, or valid but not proven; 2 bad usage or file; 3 internal; 130 interrupted.
"""

from __future__ import annotations

import argparse
import json
import os
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from trainer import ENGINE, JUDGE, __version__
from trainer.errors import EXIT_INTERNAL, EXIT_INTERRUPTED, EXIT_JUDGED, EXIT_USAGE, UserError

if TYPE_CHECKING:
    from trainer.crew.session import Session
    from trainer.judge.judgement import Judgement
    from trainer.records.store import Records, Stored
    from trainer.scenario.exercise import Exercise

NOTICE = (
    "For training on fictional types; not for navigation or real flight; "
    "operator manuals, current charts and licensed instructors come first."
)


def run(arguments: Sequence[str]) -> int:
    """Run one command; returns its exit code."""
    try:
        options = _parser().parse_args(arguments)
    except SystemExit as stop:
        return stop.code if isinstance(stop.code, int) else EXIT_USAGE
    try:
        command: Callable[[argparse.Namespace], int] = options.command
        return command(options)
    except UserError as error:
        print(error, file=sys.stderr)
        return error.exit_code
    except KeyboardInterrupt:
        return EXIT_INTERRUPTED
    except BrokenPipeError:
        # The reader has gone (head, less): not our error, and nothing is left to say.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    except Exception as error:
        print(f"internal error: {type(error).__name__}: {error}", file=sys.stderr)
        if os.environ.get("APPROACH_DRILL_TRACEBACK"):
            raise
        print("set APPROACH_DRILL_TRACEBACK=1 to see where", file=sys.stderr)
        return EXIT_INTERNAL


# The parser --------------------------------------------------------------------------------------


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="approach-drill",
        description=f"Rehearse an instrument approach, judged and explained. {NOTICE}",
        epilog="example: approach-drill fly straight-in --level guided",
    )
    parser.add_argument("--version", action="version", version=f"approach-drill {__version__}")
    parser.set_defaults(command=_home)
    commands = parser.add_subparsers(title="commands", metavar="COMMAND")

    fly = _command(
        commands, "fly", _fly, "fly an exercise, by hand or with a scripted crew",
        "approach-drill fly straight-in --crew perfect --json",
    )  # fmt: skip
    fly.add_argument("exercise", help="a name from `list`, or a path")
    fly.add_argument("--level", choices=("guided", "coached", "check"), default=None)
    fly.add_argument("--seat", choices=("solo",), default="solo")
    fly.add_argument("--seed", type=int, default=None, help="draws varied values; 0 = as written")
    fly.add_argument("--crew", metavar="perfect|FILE", help="no screen: this crew flies it")
    fly.add_argument("--from", dest="from_moment", metavar="MOMENT", help="hand over here")
    fly.add_argument("--until", dest="until_moment", metavar="MOMENT", help="end here")
    fly.add_argument("--json", action="store_true", help="with --crew: the whole judgement")
    fly.add_argument("--record", action="store_true", help="with --crew: keep the attempt")

    brief = _command(
        commands, "brief", _brief, "print the procedure sheet and its computed tables",
        "approach-drill brief straight-in",
    )  # fmt: skip
    brief.add_argument("exercise")
    brief.add_argument("--seed", type=int, default=0)
    brief.add_argument("--json", action="store_true")

    lists = _command(
        commands, "list", _list, "list the exercises, or the keys", "approach-drill list --keys"
    )
    lists.add_argument("--json", action="store_true")
    lists.add_argument("--keys", action="store_true", help="print the key map instead")

    check = _command(
        commands, "check", _check, "validate exercises, then prove that the judge catches slips",
        "approach-drill check straight-in",
    )  # fmt: skip
    check.add_argument("paths", nargs="+", metavar="PATH", help="a name from `list`, or a path")
    check.add_argument("--json", action="store_true")
    check.add_argument("--jobs", type=_count, default=os.cpu_count() or 1, help="processes to use")
    check.add_argument(
        "--limit", type=_count, default=0, help="try only the first N mutants (proves nothing)"
    )

    debrief = _command(
        commands, "debrief", _debrief, "print or export the debrief of an attempt",
        "approach-drill debrief last --format html --output debrief.html",
    )  # fmt: skip
    debrief.add_argument("attempt", nargs="?", default="last", help="a number, or last")
    debrief.add_argument("--format", choices=("text", "html", "md", "json", "csv"), default="text")
    debrief.add_argument("--json", action="store_true", help="the same as --format json")
    debrief.add_argument("--output", type=Path)
    debrief.add_argument("--force", action="store_true", help="replace an existing file")

    history = _command(
        commands, "history", _history, "list the attempts that were kept", "approach-drill history"
    )
    history.add_argument("--json", action="store_true")

    regrade = _command(
        commands, "regrade", _regrade, "judge a kept attempt again by the present rules",
        "approach-drill regrade 3",
    )  # fmt: skip
    regrade.add_argument("attempt", nargs="?", default="last")
    return parser


def _command(
    commands: Any, name: str, run_it: Callable[[argparse.Namespace], int], text: str, example: str
) -> argparse.ArgumentParser:
    parser: argparse.ArgumentParser = commands.add_parser(
        name, help=text, description=f"{text[0].upper()}{text[1:]}. {NOTICE}",
        epilog=f"example: {example}",
    )  # fmt: skip
    parser.set_defaults(command=run_it)
    return parser


def _count(text: str) -> int:
    """A whole number from 0, for argparse."""
    value = int(text)
    if value < 0:
        raise argparse.ArgumentTypeError("expected 0 or more")
    return value


# Commands ----------------------------------------------------------------------------------------


def _home(_: argparse.Namespace) -> int:
    from trainer.app.launch import run_app

    return run_app(None)


def _fly(options: argparse.Namespace) -> int:
    if options.crew is None:
        if options.json or options.record:
            print("fly: --json and --record go with --crew", file=sys.stderr)
            return EXIT_USAGE
        from trainer.app.launch import Start, run_app

        return run_app(
            Start(
                exercise=options.exercise,
                level=options.level or "coached",
                seed=options.seed,
                from_moment=options.from_moment or "",
                until_moment=options.until_moment or "",
            )
        )
    if options.from_moment or options.until_moment:
        print("fly: --from and --until need a screen; leave --crew away", file=sys.stderr)
        return EXIT_USAGE
    session, judgement = _headless(options)
    records = _keep(session, judgement, options) if options.record else None
    if options.json:
        print(_judgement_text(session, judgement))
    else:
        from trainer.report.debrief import debrief
        from trainer.report.plain import plain_text

        flight = session.flight
        made = debrief(judgement, session.exercise, flight.rows, flight.facts)
        print(plain_text(made, _cells()))
    for message in records.messages if records is not None else ():
        print(message, file=sys.stderr)
    return 0 if judgement.outcome == "passed" else EXIT_JUDGED


def _brief(options: argparse.Namespace) -> int:
    from trainer.briefing.paper import sheet_text
    from trainer.briefing.sheet import flown_sheet, sheet_json

    made = flown_sheet(_exercise(options.exercise, options.seed))
    print(_dump(sheet_json(made)) if options.json else sheet_text(made, _cells()))
    return 0


def _list(options: argparse.Namespace) -> int:
    if options.keys:
        from trainer.app.keymap import keys_table

        for key, name, text in keys_table():
            print(f"{key:<12}{name:<22}{text}")
        return 0
    from trainer.scenario.library import default_library

    listed = default_library().exercises()
    if options.json:
        entries = [
            {
                "exercise": one.name,
                "title": one.title,
                "lesson": one.lesson,
                "level": one.level,
                "aircraft": one.aircraft,
                "airport": one.airport,
                "approach": one.approach,
                "root": str(one.root),
            }
            for one in listed
        ]
        print(_dump({"format": "approach-drill/list", "version": 1, "exercises": entries}))
        return 0
    for one in listed:
        print(f"{one.name:<20}{one.level}  {one.title}: {one.lesson}")
        if one.problem:
            print(f"{'':<20}   {one.problem}")
    return 0


def _check(options: argparse.Namespace) -> int:
    from trainer.proof.checking import check_command

    return check_command(options.paths, options.json, options.jobs, options.limit)


def _debrief(options: argparse.Namespace) -> int:
    from trainer.report.output import write_output

    form = "json" if options.json else options.format
    with _records() as records:
        stored = records.load(options.attempt)
        text = _debrief_text(stored, form)
    if options.output is None:
        print(text)
    else:
        write_output(options.output, text if text.endswith("\n") else text + "\n", options.force)
        print(f"written: {options.output}", file=sys.stderr)
    return 0


def _history(options: argparse.Namespace) -> int:
    with _records() as records:
        attempts = records.history()
        for message in records.messages:
            print(message, file=sys.stderr)
    if options.json:
        print(_dump({"format": "approach-drill/history", "version": 1, "attempts": attempts}))
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
    with _records() as records:
        stored = records.load(options.attempt)
    exercise, judgement, _, _ = _rejudged(stored)
    before = (stored.judgement or {}).get("points")
    print(f"{exercise.title}: {judgement.outcome}, {judgement.reason}")
    print(f"points then {_points(before)}, now {_points(judgement.points)} (judge {JUDGE})")
    return 0 if judgement.outcome == "passed" else EXIT_JUDGED


# Shared ------------------------------------------------------------------------------------------


def _exercise(reference: str, seed: int | None) -> Exercise:
    from trainer.scenario.compose import load
    from trainer.scenario.draw import draw
    from trainer.scenario.library import default_library

    return draw(load(reference, default_library()), seed or 0)


def _headless(options: argparse.Namespace) -> tuple[Session, Judgement]:
    from trainer.crew.fly import fly_crew
    from trainer.scenario.crew_files import CrewFile, load

    exercise = _exercise(options.exercise, options.seed)
    if options.crew == "perfect":
        return fly_crew(exercise, CrewFile("perfect", (), ()))
    return fly_crew(exercise, load(Path(options.crew), exercise))


def _judgement_text(session: Session, judgement: Judgement) -> str:
    from trainer.flight.replay import digest
    from trainer.report.document import document_text, judgement_json

    flight = session.flight
    exercise = session.exercise
    sum_of_flight = digest(exercise, flight.acts, flight.rows, flight.facts)
    document = judgement_json(judgement, exercise, flight.rows, sum_of_flight, ENGINE, JUDGE)
    return document_text(document)


def _keep(session: Session, judgement: Judgement, options: argparse.Namespace) -> Records:
    from datetime import UTC, datetime

    from trainer.flight.replay import digest
    from trainer.records.packing import pack
    from trainer.report.document import judgement_json

    flight, exercise = session.flight, session.exercise
    records = _records()
    started = datetime.now(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")
    attempt = records.begin(
        exercise.canonical, exercise.digest, exercise.name, options.level or "check",
        options.seat, exercise.seed, ENGINE, started,
    )  # fmt: skip
    for act in flight.acts:
        attempt.act(act)
    sum_of_flight = digest(exercise, flight.acts, flight.rows, flight.facts)
    document = judgement_json(judgement, exercise, flight.rows, sum_of_flight, ENGINE, JUDGE)
    attempt.finish(document, pack(flight.rows, flight.facts), sum_of_flight)
    records.close()
    return records


def _records() -> Records:
    from trainer.paths import records_file
    from trainer.records.store import Records

    return Records(records_file())


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

    return markdown(made) if form == "md" else plain_text(made, _cells())


def _points(points: float | None) -> str:
    return "none" if points is None else f"{points:.1f}"


def _dump(document: Any) -> str:
    return json.dumps(document, indent=2, ensure_ascii=False)


def _cells() -> int:
    """Columns to print in: the terminal's, between 60 and 120; 100 into a pipe."""
    if not sys.stdout.isatty():
        return 100
    return max(60, min(120, os.get_terminal_size().columns))
