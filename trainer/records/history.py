"""The history: what is asked of the database, and an entry or a line for each attempt.

It knows no file and no connection. Surprising rule: lines are put together by the database, which
takes half the time for a hundred thousand attempts; what became of an attempt without an end it
asks this program.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

_SHOWN = (
    "number, exercise, level, seat, seed, started, outcome, points, process, interrupted, is_left"
)
HISTORY = f"SELECT {_SHOWN} FROM attempts ORDER BY number DESC LIMIT ?"
"""The newest attempts, each a row for `history_entry`."""
LAST_RESULTS = f"""
    SELECT {_SHOWN} FROM attempts WHERE number IN
        (SELECT max(number) FROM attempts WHERE outcome IS NOT NULL GROUP BY exercise)
"""
"""The newest attempt that ended of each exercise, each a row for `history_entry`."""
REPETITIONS = """
    SELECT number, exercise, started, outcome, points FROM
        (SELECT *, row_number() OVER (PARTITION BY exercise ORDER BY number DESC) AS age
            FROM attempts WHERE outcome IS NOT NULL AND level IN (SELECT value FROM json_each(?)))
    WHERE age <= ?
"""
"""Number, exercise, start, outcome and points of the newest attempts of each exercise that ended,
at the levels of a JSON list."""
TREND = """
    SELECT number, points FROM attempts
    WHERE exercise = ? AND since = ? AND until = ? AND points IS NOT NULL
    ORDER BY number DESC LIMIT ?
"""
"""Number and points of the newest attempts at one segment, or (both ends "") at the whole."""
LINES = """
    SELECT group_concat(
        rtrim(printf('%4d  %-20s  %-19s %-8s %-11s %4s  %s', number, started, exercise, level,
            coalesce(outcome, state(process, is_left)),
            iif(points IS NULL, '', printf('%.0f', points)),
            iif(level = 'check' AND outcome IS NOT NULL AND interrupted = 0, 'counts', ''))),
        char(10))
    FROM attempts
"""
"""The lines of all attempts as one text; `state` says what became of one without an end."""


def history_entry(row: tuple[Any, ...], is_alive: Callable[[str], bool]) -> dict[str, Any]:
    """An entry of the `history` JSON from a row of `HISTORY`."""
    (
        number, name, level, seat, seed, started, outcome, points, token, interrupted, is_left,
    ) = row  # fmt: skip
    return {
        "attempt": number,
        "exercise": name,
        "level": level,
        "seat": seat,
        "started": started,
        "outcome": outcome,
        "points": points,
        "counts": level == "check" and outcome is not None and interrupted == 0,
        "interrupted": interrupted,
        "seed": int(seed),
        "state": "ended" if outcome is not None else state_of(token, is_left, is_alive),
    }


def state_of(token: str, is_left: bool, is_alive: Callable[[str], bool]) -> str:
    """The state of an attempt without an end; `token` is that of the process that flew it."""
    return "left" if is_left else "flying" if is_alive(token) else "killed"
