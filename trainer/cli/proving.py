"""The command `check`: is an exercise valid, and does the judge catch what it should.

Knows no check itself; `trainer.proof.checking` does.
"""

from __future__ import annotations

import argparse
import os
from typing import Any

from trainer.cli.shared import command, count


def add(commands: Any) -> None:
    """Add `check` to the parser."""
    check = command(
        commands, "check", _check, "validate exercises, then prove that the judge catches slips",
        "approach-drill check straight-in",
    )  # fmt: skip
    check.add_argument("paths", nargs="+", metavar="PATH", help="a name from `list`, or a path")
    check.add_argument("--json", action="store_true")
    check.add_argument("--jobs", type=count, default=os.cpu_count() or 1, help="processes to use")
    check.add_argument(
        "--limit", type=count, default=0, help="try only the first N mutants (proves nothing)"
    )


def _check(options: argparse.Namespace) -> int:
    from trainer.proof.checking import check_command

    return check_command(options.paths, options.json, options.jobs, options.limit)
