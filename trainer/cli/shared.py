"""What several commands share: the notice, a command's parser, an exercise by name, JSON, columns.

Knows no single command. Surprising rule: whatever costs time to load is imported inside.
"""

from __future__ import annotations

import argparse
import json
import os
import sys
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from trainer.errors import UserError
from trainer.text import NOTICE, quoted

if TYPE_CHECKING:
    from trainer.records.store import Records
    from trainer.records.stored import Stored
    from trainer.scenario.exercise import Exercise


ASCII = "draw with ASCII characters alone"


def command(
    commands: Any, name: str, run_it: Callable[[argparse.Namespace], int], text: str, example: str
) -> argparse.ArgumentParser:
    """A parser for one more command, with its help, an example and the notice."""
    parser: argparse.ArgumentParser = commands.add_parser(
        name, help=text, description=f"{text[0].upper()}{text[1:]}. {NOTICE}",
        epilog=f"example: {example}",
    )  # fmt: skip
    parser.set_defaults(command=run_it)
    return parser


def count(text: str) -> int:
    """A whole number from 0, for argparse."""
    value = int(text)
    if value < 0:
        raise argparse.ArgumentTypeError("expected 0 or more")
    return value


def drawn_exercise(reference: str, seed: int | None) -> Exercise:
    """The exercise of this name or path with what `seed` draws (None or 0: as written)."""
    from trainer.scenario.compose import load
    from trainer.scenario.draw import draw
    from trainer.scenario.library import default_library

    return draw(load(reference, default_library()), seed or 0)


def open_records() -> Records:
    """The attempts that were kept, at their usual place."""
    from trainer.paths import records_file
    from trainer.records.store import Records

    return Records(records_file())


def stored_attempt(reference: str) -> Stored:
    """ATTEMPT of the command line: a number of `history`, `last`, or an attempt file.

    Raises UserError if there is no such attempt or file.
    """
    from pathlib import Path

    if reference == "last" or (reference.isascii() and reference.isdecimal()):
        with open_records() as records:
            for message in records.messages:
                print(message, file=sys.stderr)
            return records.load(reference)
    path = Path(reference)
    if not path.exists():
        raise UserError(
            f"{quoted(reference)}: no such attempt; "
            "expected a number of `history`, `last` or an attempt file"
        )
    from trainer.records.attempt_file import read_attempt_file

    return read_attempt_file(path)


def dump(document: Any) -> str:
    """A document as JSON, indented, in plain Unicode."""
    return json.dumps(document, indent=2, ensure_ascii=False)


def row_text(head: str, text: str) -> str:
    """`head` and beside it `text`: a line in a pipe, wrapped between words in a terminal."""
    if not sys.stdout.isatty():
        return head + text
    from textwrap import fill

    return fill(head + text, cells(), subsequent_indent=" " * len(head), break_long_words=False)


def cells() -> int:
    """Columns to print in: the terminal's, between 60 and 120; 100 into a pipe."""
    if not sys.stdout.isatty():
        return 100
    return max(60, min(120, os.get_terminal_size().columns))
