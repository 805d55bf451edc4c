"""The way into the app that costs nothing until it is taken: this module does not import textual.

`run_app` sets the paint rate before textual is imported, because textual reads it only then: with
the usual 60 a second the echo of a key waits up to 33 ms, with 120 half of that. Whoever has set
TEXTUAL_FPS keeps what they set.
"""

from __future__ import annotations

import gc
import os
import sys
from collections.abc import Callable
from dataclasses import replace

from trainer.errors import UserError
from trainer.values import dataclass

PAINT_RATE = "120"
SEED_MAX = 1_000_000
"""Fresh seeds lie below this."""


@dataclass(frozen=True, slots=True)
class Start:
    """What to fly at once. `seed` None = as written (guided, coached) or a fresh one (check).

    `from_moment`, `until_moment`: moments as typed, "" for none. `prepares`: set-up and briefing
    come first; not where a crew flies up to a moment. `is_tour`: with a guide beside it, not kept.
    """

    exercise: str
    level: str = "coached"
    seed: int | None = None
    from_moment: str = ""
    until_moment: str = ""
    prepares: bool = False
    is_tour: bool = False


@dataclass(frozen=True, slots=True)
class Resume:
    """Take up an unfinished attempt: that of `number`, None = the newest."""

    number: int | None = None


def fresh_seed() -> int:
    """A seed nobody knows beforehand, never 0."""
    import secrets

    return 1 + secrets.randbelow(SEED_MAX - 1)


def seeded(start: Start, fresh: Callable[[], int] = fresh_seed) -> Start:
    """`start` with its seed: a `fresh` one in a check, else 0, unless one was asked for."""
    if start.seed is not None:
        return start
    return replace(start, seed=fresh() if start.level == "check" else 0)


def prepare() -> None:
    """Set the paint rate unless the user has; call before anything imports textual."""
    os.environ.setdefault("TEXTUAL_FPS", PAINT_RATE)


def collect_again() -> None:
    """Collect garbage from now on, without looking again at what the start has made."""
    if not gc.isenabled():
        gc.freeze()
        gc.enable()


def has_terminal() -> bool:
    """Whether there is a terminal to read keys from (stdin) and to draw on (stderr)."""
    return all(one is not None and one.isatty() for one in (sys.__stdin__, sys.__stderr__))


def can_draw(encoding: str) -> bool:
    """Whether boxes and dots can be written in `encoding`."""
    try:
        "─⣿◆".encode(encoding)
    except (LookupError, UnicodeEncodeError):
        return False
    return True


def run_app(start: Start | Resume | None = None, *, is_ascii: bool = False) -> int:
    """Run the app, at its home screen or at once in a flight; returns the exit code.

    0 = nothing was flown, or the last flight was passed; 1 = it was not. Raises UserError if
    there is no terminal, or if `start` names what is not there. `is_ascii`: send only ASCII, which
    is also what a terminal gets whose encoding has nothing else.
    """
    if not has_terminal():
        raise UserError("needs a terminal; fly without a screen with --crew perfect")
    prepare()
    gc.disable()  # nearly all that is made before the first paint stays
    ahead = None
    if isinstance(start, Start):
        from trainer.app.ahead import Ahead

        start = seeded(start)
        ahead = Ahead(start.exercise, start.seed or 0)
    from trainer.app import app

    stream = sys.__stderr__
    encoding = getattr(stream, "encoding", None) or "ascii"
    return app.run_app(start, ahead, is_ascii=is_ascii or not can_draw(encoding))
