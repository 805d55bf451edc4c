"""The command `check`: is an exercise valid, and does the judge catch what it should.

Knows no check itself; `trainer.proof.checking` does.
"""

from __future__ import annotations

import argparse
import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

from trainer.cli.shared import command, count
from trainer.errors import UserError

if TYPE_CHECKING:
    from trainer.proof.prove import Reference


def add(commands: Any) -> None:
    """Add `check` to the parser."""
    check = command(
        commands, "check", _check, "validate exercises, then prove that the judge catches slips",
        "approach-drill check straight-in",
    )  # fmt: skip
    check.add_argument("paths", nargs="+", metavar="PATH", help="a name from `list`, or a path")
    check.add_argument("--json", action="store_true", help="for programs: one document")
    check.add_argument("--jobs", type=count, default=os.cpu_count() or 1, help="processes to use")
    check.add_argument(
        "--limit", type=count, default=0, help="try only N mutants, spread over it (proves nothing)"
    )
    check.add_argument(
        "--drawing", type=Path, metavar="FILE.svg", help="draw the reference flight of one exercise"
    )
    check.add_argument("--force", action="store_true", help="replace an existing drawing")


def _check(options: argparse.Namespace) -> int:
    from trainer.proof.checking import check_command

    if options.drawing is None:
        return check_command(options.paths, options.json, options.jobs, options.limit)
    if len(options.paths) > 1:
        raise UserError("check: --drawing goes with one exercise")
    if os.path.lexists(options.drawing) and not options.force:
        # Said before anything is flown, not after.
        raise UserError(f"{options.drawing}: exists already; --force replaces it")

    def draw(reference: Reference) -> None:
        from trainer.report.output import write_output
        from trainer.report.windows import drawing

        session = reference.session
        text = drawing(session.exercise, session.flight.rows, reference.timeline)
        write_output(options.drawing, text, options.force)
        print(f"written: {options.drawing}", file=sys.stderr)

    return check_command(options.paths, options.json, options.jobs, options.limit, draw)
