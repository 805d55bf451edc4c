"""The debrief as plain text for a terminal, and as Markdown.

Owns layout in lines. Text from files and pilots is shown literally: control characters by their
code in both forms, and characters that mean something in Markdown with a backslash before them.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from trainer.briefing.layout import table, wrap
from trainer.judge.judgement import ItemVerdict
from trainer.report.debrief import Debrief
from trainer.report.notes import (
    clock,
    criteria_text,
    feet,
    miles,
    modes_text,
    verdict_of,
    watch_text,
    window,
)
from trainer.text import shown

_SPECIAL = re.compile(r"([\\`*_{}\[\]<>#|~&!$])")
POINTS_HEADERS = ("area", "items", "earned", "weight", "points")
TIMELINE_HEADERS = ("time", "distance", "altitude", "what", "verdict")


def points_rows(debrief: Debrief) -> list[list[str]]:
    """The rows of the table of points: area, items, earned, weight, points."""
    return [
        [
            area.area or "other",
            str(area.items),
            f"{area.earned:.2f}",
            f"{area.weight:.2f}",
            "" if area.points is None else f"{area.points:.1f}",
        ]
        for area in debrief.points.areas
    ]


def timeline_rows(debrief: Debrief) -> list[list[str]]:
    """The rows of the timeline, in the order of `TIMELINE_HEADERS`."""
    return [
        [clock(one.step), miles(one.distance_nm), feet(one.altitude_ft), one.what, one.verdict]
        for one in debrief.timeline
    ]


def item_facts(item: ItemVerdict) -> list[tuple[str, str]]:
    """What there is to say of one item, as (label, text); empty texts are left out."""
    at = clock(item.done)
    if at and item.distance_nm is not None:
        at += f", {miles(item.distance_nm)}"
    facts = [
        ("expected", item.expected),
        ("found", item.found),
        ("when", at),
        ("window", window(item)),
        ("why", item.why),
        ("source", item.source),
        ("accepted instead", item.better),
    ]
    return [(label, text) for label, text in facts if text]


def gate_lines(debrief: Debrief) -> list[str]:
    """A line for each gate."""
    lines = []
    for gate in debrief.judgement.gates:
        line = f"{gate.gate}: {gate.result} at {clock(gate.step)}, {miles(gate.distance_nm)}"
        if gate.failed:
            line += f"; {criteria_text(gate)}"
        if gate.because is not None:
            line += f"; because of {gate.because}"
        lines.append(line)
    return lines


def watch_lines(debrief: Debrief) -> list[str]:
    """A line for each watch that was broken."""
    lines = []
    for watch in debrief.judgement.watches:
        line = f"{watch.watch} ({watch.severity}): {watch_text(watch)}"
        if watch.because is not None:
            line += f"; because of {watch.because}, so nothing is deducted"
        for more in (watch.why, watch.source):
            if more:
                line += f"; {more}"
        lines.append(line)
    return lines


# Terminal ---------------------------------------------------------------------------------------


def plain_text(debrief: Debrief, cells: int = 80) -> str:
    """The debrief in lines of at most `cells` cells (from 50)."""
    lines: list[str] = []

    def section(title: str) -> None:
        lines.extend(["", title, "=" * len(title)])

    lines += wrap(debrief.heading, cells)
    lines += ["=" * min(cells, len(debrief.heading)), *wrap(" ".join(debrief.paragraph), cells)]
    section("Points")
    if debrief.points.areas:
        lines += table(POINTS_HEADERS, points_rows(debrief), cells, "lrrrr")
    lines += wrap(debrief.points.line(), cells, "    ")
    section("To work on")
    for item in debrief.findings:
        lines += wrap(f"{item.item}: {verdict_of(item)}", cells, "    ")
        for label, text in item_facts(item):
            lines += wrap(f"  {label}: {text}", cells, "      ")
    if not debrief.findings:
        lines.append("nothing")
    for title, texts in (
        ("Gates", gate_lines(debrief)),
        ("Watches", watch_lines(debrief)),
        ("Not matched by anything expected", debrief.judgement.unmatched),
    ):
        if texts:
            section(title)
            for text in texts:
                lines += wrap(f"- {text}", cells, "  ")
    section("Timeline")
    lines += table(TIMELINE_HEADERS, timeline_rows(debrief), cells, "rrr")
    unreached = [item.item for item in debrief.others if item.verdict == "not reached"]
    if unreached:
        section("Not reached, and not counted")
        lines += wrap("; ".join(unreached), cells)
    lines += ["", *wrap(debrief.notice, cells)]
    return "\n".join(lines) + "\n"


# Markdown ---------------------------------------------------------------------------------------


def literal(text: str) -> str:
    """`text` so that Markdown shows it as it is: one line, special characters escaped."""
    return _SPECIAL.sub(r"\\\1", shown(text))


def markdown(debrief: Debrief) -> str:
    """The debrief as Markdown (the common dialect with tables)."""
    lines = [f"# {literal(debrief.heading)}", "", literal(" ".join(debrief.paragraph))]
    lines += ["", "## Points", ""]
    lines += _md_table(POINTS_HEADERS, points_rows(debrief))
    lines += ["", literal(debrief.points.line())]
    lines += ["", "## To work on"]
    for item in debrief.findings:
        lines += ["", f"### {literal(item.item)}: {literal(verdict_of(item))}", ""]
        lines += [f"- {label}: {literal(text)}" for label, text in item_facts(item)]
    if not debrief.findings:
        lines += ["", "Nothing."]
    for title, texts in (
        ("Gates", gate_lines(debrief)),
        ("Watches", watch_lines(debrief)),
        ("Not matched by anything expected", debrief.judgement.unmatched),
    ):
        if texts:
            lines += ["", f"## {title}", "", *(f"- {literal(text)}" for text in texts)]
    lines += ["", "## Timeline", "", *_md_table(TIMELINE_HEADERS, timeline_rows(debrief))]
    unreached = [item.item for item in debrief.others if item.verdict == "not reached"]
    if unreached:
        lines += ["", "## Not reached, and not counted", "", literal("; ".join(unreached))]
    shown_modes = [
        [clock(mode.step), modes_text(mode), mode.said or ""] for mode in debrief.judgement.modes
    ]
    if shown_modes:
        lines += ["", "## Annunciator", "", *_md_table(("time", "shown", "said"), shown_modes)]
    lines += ["", f"*{debrief.notice}*"]
    return "\n".join(lines) + "\n"


def _md_table(headers: Sequence[str], rows: Sequence[Sequence[str]]) -> list[str]:
    lines = [f"| {' | '.join(headers)} |", f"|{' --- |' * len(headers)}"]
    lines += [f"| {' | '.join(literal(text) for text in row)} |" for row in rows]
    return lines
