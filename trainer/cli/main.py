"""The command line as a whole: one parser of all commands, and errors as exit codes.

Data goes to standard output, talk to standard error. Exit codes: 0 good; 1 judged repeat,
abandoned, or valid but not proven; 2 bad usage or file; 3 internal; 130 interrupted. Each command
imports what it needs inside, so that `--help` never pays for a screen.
"""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Callable, Sequence
from importlib import import_module

from trainer import __version__
from trainer.cli.shared import ASCII
from trainer.errors import EXIT_INTERNAL, EXIT_INTERRUPTED, EXIT_USAGE, UserError
from trainer.text import NOTICE


def run(arguments: Sequence[str]) -> int:
    """Run one command; returns its exit code."""
    try:
        options = parser(_command_in(arguments)).parse_args(arguments)
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


COMMANDS = {
    "flying": ("fly",),
    "reading": ("brief", "list"),
    "writing": ("new", "schema"),
    "proving": ("check",),
    "keeping": ("debrief", "history", "regrade", "resume", "replay"),
}
"""The commands by the module that has them, in the order of the help."""


def _command_in(arguments: Sequence[str]) -> str:
    return next((one for one in arguments if not one.startswith("-")), "")


def parser(wanted: str = "") -> argparse.ArgumentParser:
    """The parser of all commands, or, to begin sooner, of those beside the one that is `wanted`."""
    whole = argparse.ArgumentParser(
        prog="approach-drill",
        description=f"Rehearse an instrument approach, judged and explained. {NOTICE}",
        epilog="example: approach-drill fly straight-in --level guided",
    )
    whole.add_argument("--version", action="version", version=f"approach-drill {__version__}")
    whole.set_defaults(command=_home)
    whole.add_argument("--ascii", action="store_true", help=ASCII)
    commands = whole.add_subparsers(title="commands", metavar="COMMAND")
    few = [module for module, names in COMMANDS.items() if wanted in names]
    for module in few or COMMANDS:
        import_module(f"trainer.cli.{module}").add(commands)
    return whole


def _home(options: argparse.Namespace) -> int:
    from trainer.app.launch import run_app

    return run_app(None, is_ascii=options.ascii)
