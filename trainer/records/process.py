"""Which program wrote an attempt, and whether that program still runs.

Owns the token "process number:start" kept with an unfinished attempt. Surprising rule: where the
system does not tell when a process began, the number alone decides, and where it cannot be asked
safely at all, only this very process counts as alive.
"""

from __future__ import annotations

import os
from pathlib import Path

_DEAD = ("Z", "X")
"""States of a process that has ended and only waits for its parent to take note of it."""


def token() -> str:
    """The token of this process."""
    return token_of(os.getpid())


def token_of(number: int) -> str:
    """The token of process `number`, a positive number."""
    return f"{number}:{_start_of(number)}"


def is_alive(written: str) -> bool:
    """Whether the process that wrote the token `written` still runs."""
    number, _, start = written.partition(":")
    if not number.isdecimal():
        return False
    if written == token():
        return True
    if start:
        return _start_of(int(number)) == start
    return _exists(int(number))


def _start_of(number: int) -> str:
    """When process `number` began, in clock ticks since the system's start; "" if unknown."""
    try:
        text = Path(f"/proc/{number}/stat").read_text(encoding="utf-8", errors="replace")
    except OSError:
        return ""
    # The command's name stands in brackets and may hold blanks and brackets of its own.
    fields = text.rpartition(")")[2].split()
    if len(fields) <= 19 or fields[0] in _DEAD:
        return ""
    return fields[19]


def _exists(number: int) -> bool:
    if os.name != "posix" or number <= 0:
        return False  # elsewhere asking in this way would end the process
    try:
        os.kill(number, 0)
    except ProcessLookupError:
        return False
    except PermissionError:
        return True
    return True
