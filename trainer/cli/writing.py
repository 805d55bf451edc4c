"""The commands for authors: `schema`.

Know no key of the format; the vocabulary does.
"""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import Any

from trainer.cli.shared import command, dump

_KINDS = ("exercise", "airport", "aircraft", "flow", "house", "crew")


def add(commands: Any) -> None:
    """Add `schema` to the parser."""
    schema = command(
        commands, "schema", _schema, "print the JSON Schema of a kind of file, for editors",
        "approach-drill schema exercise --output exercise.json",
    )  # fmt: skip
    schema.add_argument("kind", nargs="?", choices=_KINDS, default="exercise", metavar="KIND",
                        help=f"{', '.join(_KINDS)}; default: exercise")  # fmt: skip
    schema.add_argument("--output", type=Path, help="write it to this file")
    schema.add_argument("--force", action="store_true", help="replace an existing file")


def _schema(options: argparse.Namespace) -> int:
    from trainer.report.output import write_output
    from trainer.scenario.schema import schema

    text = dump(schema(options.kind))
    if options.output is None:
        print(text)
        return 0
    write_output(options.output, text + "\n", options.force)
    print(f"written: {options.output}", file=sys.stderr)
    return 0
