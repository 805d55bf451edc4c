"""The command `fly`: in the app, or without a screen with a scripted crew.

Knows no rule of flight or judgement; it opens what does.
"""

from __future__ import annotations

import argparse
import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

from trainer import ENGINE
from trainer.cli.shared import ASCII, cells, command, drawn_exercise, open_records
from trainer.errors import EXIT_JUDGED, UserError
from trainer.text import quoted

if TYPE_CHECKING:
    from trainer.crew.session import Session
    from trainer.judge.judgement import Judgement
    from trainer.records.store import Records


def add(commands: Any) -> None:
    """Add `fly` to the parser."""
    fly = command(
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
    fly.add_argument("--set-up", action="store_true", help="set up and brief before the flight")
    fly.add_argument("--plain", action="store_true", help="line by line, without a screen")
    fly.add_argument("--ascii", action="store_true", help=ASCII)
    fly.add_argument("--json", action="store_true", help="with --crew: the whole judgement")
    fly.add_argument(
        "--record",
        action="store_true",
        help="with --crew: keep the attempt, as a check unless --level says",
    )


def _fly(options: argparse.Namespace) -> int:
    if options.crew is None:
        if options.json or options.record:
            raise UserError("fly: --json and --record go with --crew")
        if options.set_up and (options.plain or options.from_moment):
            raise UserError("fly: --set-up needs the screen, and the whole flight")
        from trainer.app.launch import Start, run_app

        start = Start(
            exercise=options.exercise,
            level=options.level or "coached",
            seed=options.seed,
            from_moment=options.from_moment or "",
            until_moment=options.until_moment or "",
            prepares=options.set_up,
        )
        if options.plain:
            from trainer.app.console import run_plain

            return run_plain(start, is_ascii=options.ascii)
        return run_app(start, is_ascii=options.ascii)
    if options.set_up:
        raise UserError("fly: --set-up is for a pilot; leave --crew away")
    if options.plain:
        raise UserError("fly: --plain is for a pilot; leave --crew away")
    if options.from_moment or options.until_moment:
        raise UserError("fly: --from and --until need a screen; leave --crew away")
    session, judgement = _headless(options)
    records = _keep(session, judgement, options) if options.record else None
    if options.json:
        from trainer.report.closing import session_document
        from trainer.report.document import document_text

        print(document_text(session_document(session, judgement)))
    else:
        from trainer.report.debrief import debrief
        from trainer.report.plain import plain_text

        flight = session.flight
        made = debrief(judgement, session.exercise, flight.rows, flight.facts)
        print(plain_text(made, cells()))
    for message in records.messages if records is not None else ():
        print(message, file=sys.stderr)
    return 0 if judgement.outcome == "passed" else EXIT_JUDGED


def _headless(options: argparse.Namespace) -> tuple[Session, Judgement]:
    from trainer.crew.fly import fly_crew
    from trainer.scenario.crew_files import CrewFile, load

    exercise = drawn_exercise(options.exercise, options.seed)
    if options.crew == "perfect":
        return fly_crew(exercise, CrewFile("perfect", (), ()))
    if not os.path.lexists(options.crew):
        raise UserError(f"there is no file {quoted(options.crew)}; expected a crew file or perfect")
    return fly_crew(exercise, load(Path(options.crew), exercise))


def _keep(session: Session, judgement: Judgement, options: argparse.Namespace) -> Records:
    from datetime import UTC, datetime

    from trainer.report.closing import close

    flight, exercise = session.flight, session.exercise
    records = open_records()
    started = datetime.now(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")
    attempt = records.begin(
        exercise.canonical, exercise.digest, exercise.name, options.level or "check",
        options.seat, exercise.seed, ENGINE, started,
    )  # fmt: skip
    for act in flight.acts:
        attempt.act(act)
    close(attempt, session, judgement)
    records.close()
    return records
