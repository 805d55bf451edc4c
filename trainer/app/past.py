"""The page of the history: how each exercise went lately and when it is due, then every attempt.

Owns the words. It reads the records and keeps nothing.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from trainer.app.screens.home_lines import due_words
from trainer.app.segments import trend_text
from trainer.records.stored import what_became

if TYPE_CHECKING:
    from trainer.records.store import Records

HISTORY_MAX = 1000
"""So many attempts are shown on the screen; the command lists all."""


def history_lines(records: Records, due: Mapping[str, int]) -> Sequence[str]:
    """The page: trends by exercise, the one due first at the top; attempts, newest first."""
    entries = records.history(most=HISTORY_MAX)
    if not entries:
        return ["No attempt is on record yet."]
    command = f"approach-drill debrief {entries[-1]['attempt']}"
    lines = [*_trends(records, entries, due), ""]
    lines += [f"      {command} prints the debrief of that attempt again.", ""]
    lines.append(
        f"{'':>4}  {'EXERCISE':<20} {'LEVEL':<7} {'SEED':>6}  {'STARTED (UTC)':<16}  RESULT"
    )
    lines += [_attempt(entry) for entry in reversed(entries)]
    older = records.count() - len(entries)
    if older > 0:
        lines.append(f"… and {older} older; approach-drill history lists all")
    return lines


def _trends(
    records: Records, entries: Sequence[dict[str, Any]], due: Mapping[str, int]
) -> list[str]:
    names = dict.fromkeys(str(entry["exercise"]) for entry in reversed(entries))
    trends = {name: records.trend(name, "", "") for name in names}
    flown = sorted((name for name in names if trends[name]), key=lambda name: due.get(name, 10_000))
    if not flown:
        return []
    head = f"      {'EXERCISE':<20} {'DUE':<9} LAST TEN WHOLE FLIGHTS, NEWEST RIGHT"
    return [head] + [
        f"      {name:<20} {due_words(due.get(name)):<9} {trend_text(trends[name])}"
        for name in flown
    ]


def _attempt(entry: dict[str, Any]) -> str:
    points = "" if entry["points"] is None else f" {entry['points']:.1f}"
    broken = f", interrupted {entry['interrupted']}×" if entry["interrupted"] else ""
    started = str(entry["started"])[:16].replace("T", " ")
    return (
        f"{entry['attempt']:>4}  {entry['exercise']:<20} {entry['level']:<7} "
        f"{entry['seed']:>6}  {started}  {what_became(entry)}{points}{broken}"
    )
