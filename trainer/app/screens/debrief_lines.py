"""The lines of the debrief screen: sections in their order, one finding opened up.

Owns layout in cells. It knows neither key nor message. Surprising rule: the finding that is chosen
shows everything that is known of it, the others only one line each.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import field

from trainer.app.debriefing import DebriefText, Finding
from trainer.app.widgets.lines import Line, cut, padded
from trainer.briefing.layout import table, wrap
from trainer.report.annunciator import HEADERS
from trainer.report.plain import OBSERVED_HEADERS
from trainer.report.sketch import LEGEND, sketch
from trainer.text import shown
from trainer.values import dataclass

MEANING = {
    "on time": "active", "late": "caution", "early": "caution", "wrong": "warning",
    "missed": "warning", "not reached": "label",
}  # fmt: skip
"""Meaning (colour) of each verdict."""
PICTURE_CELLS = 110
"""Pictures are drawn at most this wide."""


@dataclass(slots=True)
class DebriefLines:
    """The lines, and at which of them each finding begins and the chosen one ends."""

    lines: list[Line] = field(default_factory=list)
    starts: list[int] = field(default_factory=list)
    end: int = 0


def debrief_lines(
    text: DebriefText,
    width: int,
    chosen: int = 0,
    answers: Mapping[str, Mapping[str, Sequence[str]]] | None = None,
) -> DebriefLines:
    """The whole debrief as lines of at most `width` cells.

    `chosen` is the index of the finding that is opened up; `answers` holds what was asked since,
    by label and item.
    """
    made = DebriefLines()
    lines = made.lines
    lines += [((f" {line}", ""),) for line in wrap(shown(text.paragraph), width - 2)]
    if text.findings:
        lines += _heading("TO WORK ON")
    for number, finding in enumerate(text.findings):
        made.starts.append(len(lines))
        told = [
            (label, "; ".join(by_item[finding.item]))
            for label, by_item in (answers or {}).items()
            if finding.item in by_item
        ]
        lines += _finding(finding, number + 1, number == chosen, told, width)
        if number == chosen:
            made.end = len(lines)
    if text.others:
        lines += _heading("GATES AND WATCHES")
        for entry in text.others:
            lines += _hanging(shown(entry), width)
    if text.briefing:
        lines += _heading("BRIEFING (IT COSTS NO POINTS)")
        for entry in text.briefing:
            lines += _hanging(shown(entry), width)
    cells = min(width - 2, PICTURE_CELLS)
    for picture in text.pictures:
        title, *rest = sketch(picture, cells)
        lines += [(), ((f" {title.upper()}", "label"),), *(((f" {line}", ""),) for line in rest)]
    if text.pictures:
        lines += [((f" {line}", "label"),) for line in wrap(LEGEND, width - 2)]
    lines += _heading("IN ORDER")
    for entry in text.timeline:
        lines += _hanging(shown(entry), width)
    lines += _heading("SHOWN AND SAID")
    lines += _table(HEADERS, text.shown, width, "r")
    lines += [((f" {line}", ""),) for line in wrap(text.difference, width - 2)]
    lines += _heading("OBSERVED")
    lines += _table(OBSERVED_HEADERS, text.observed, width)
    for note in text.observed_notes:
        lines += [((f" {line}", "label"),) for line in wrap(note, width - 2)]
    lines += _items(text)
    for note in text.notes:
        lines += [(), *_hanging(shown(note), width)]
    return made


def _heading(title: str) -> list[Line]:
    return [(), ((f" {title}", "label"),)]


def _finding(
    finding: Finding, number: int, is_chosen: bool, told: Sequence[tuple[str, str]], width: int
) -> list[Line]:
    sign, meaning = ("▶", "selected") if is_chosen else (" ", "")
    verdict = MEANING.get(finding.verdict.split(",")[0], "")
    name = shown(finding.item)
    head = (f" {sign} {number}. {name}: ", meaning)
    lines: list[Line] = [cut((head, (finding.verdict, verdict)), width)]
    if not is_chosen:
        return lines
    for label, text in (*finding.facts, *told):
        first, *rest = wrap(f"{label}: {shown(text)}", width - 8)
        lines.append(((f"      {label}:", "label"), (first.removeprefix(f"{label}:"), "")))
        lines += [((f"        {line}", ""),) for line in rest]
    return lines


def _table(
    headers: Sequence[str], rows: Sequence[Sequence[str]], width: int, right: str = ""
) -> list[Line]:
    head, _, *body = table(headers, rows, width - 2, right)
    return [((f" {head}", "label"),), *(((f" {line}", ""),) for line in body)]


def _items(text: DebriefText) -> list[Line]:
    lines = _heading(f"{'ITEM':<30} {'VERDICT':<16} {'TIME':>7} {'NM':>5} CREDIT")
    for item in text.items:
        lines.append(
            (
                *padded(((f" {shown(item.item)}", ""),), 31),
                (f" {item.verdict:<16} ", MEANING.get(item.verdict.split(",")[0], "")),
                (f"{item.when:>7} {item.where:>5} {item.credit:>6}", "label"),
            )
        )
    return lines


def _hanging(text: str, width: int) -> list[Line]:
    first, *rest = wrap(text, width - 6)
    return [((f" • {first}", ""),), *(((f"   {line}", ""),) for line in rest)]
