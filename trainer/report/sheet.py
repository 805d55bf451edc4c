"""The debrief as comma-separated values that a spreadsheet cannot run.

Owns the columns and the one rule of safety: a text cell that would begin a formula gets an
apostrophe before it; numbers stay numbers. One line per item, watch and gate, and a last one with
the notice.
"""

from __future__ import annotations

import csv
import io
from typing import Any

from trainer.report.debrief import Debrief
from trainer.report.document import item_entry, rounded, seconds
from trainer.report.notes import criteria_text
from trainer.text import shown

COLUMNS = (
    "kind", "name", "area", "verdict", "at_s", "distance_nm", "opened_s", "due_s", "closed_s",
    "expected", "found", "accepted_instead", "corrected", "credit", "weight", "because", "why",
    "source",
)  # fmt: skip
_FORMULA = ("=", "+", "-", "@", "＝", "＋", "－", "＠", "\t", "\r", "\n")


def safe_cell(text: str) -> str:
    """`text` for a cell: control characters by their code, and never the start of a formula."""
    text = shown(text)
    return f"'{text}" if text.lstrip(" ").startswith(_FORMULA) else text


def csv_text(debrief: Debrief) -> str:
    """The debrief as CSV: a line of headers, then one line each, ended by CR LF (RFC 4180)."""
    buffer = io.StringIO(newline="")
    writer = csv.DictWriter(buffer, COLUMNS, restval="", lineterminator="\r\n")
    writer.writeheader()
    for line in _lines(debrief):
        writer.writerow({key: _cell(value) for key, value in line.items()})
    return buffer.getvalue()


def _cell(value: Any) -> Any:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "true" if value else "false"
    return safe_cell(value) if isinstance(value, str) else value


def _lines(debrief: Debrief) -> list[dict[str, Any]]:
    judgement = debrief.judgement
    lines: list[dict[str, Any]] = [
        {
            "kind": "outcome",
            "name": judgement.exercise,
            "verdict": judgement.outcome,
            "credit": rounded(judgement.points, 2),
            "why": judgement.reason,
        }
    ]
    for item in judgement.items:
        entry = item_entry(item)
        own = {"kind": "item", "name": entry.pop("item"), "accepted_instead": entry.pop("better")}
        lines.append({**own, **entry})
    for watch in judgement.watches:
        lines.append(
            {
                "kind": "watch",
                "name": watch.watch,
                "verdict": watch.severity,
                "at_s": seconds(watch.start),
                "closed_s": seconds(watch.end),
                "found": "" if watch.worst is None else f"{watch.worst:g} {watch.unit}",
                "expected": "" if watch.limit is None else f"{watch.limit:g} {watch.unit}",
                "because": watch.because,
                "why": watch.why,
                "source": watch.source,
            }
        )
    for gate in judgement.gates:
        lines.append(
            {
                "kind": "gate",
                "name": gate.gate,
                "verdict": gate.result,
                "at_s": seconds(gate.step),
                "distance_nm": rounded(gate.distance_nm, 2),
                "found": criteria_text(gate),
                "because": gate.because,
            }
        )
    lines.append({"kind": "notice", "name": debrief.notice})
    return lines
