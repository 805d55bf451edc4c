"""The debrief as plain text for a terminal, and as Markdown.

Owns layout in lines. Text from files and pilots is shown literally: control characters by their
code in both forms, and characters that mean something in Markdown with a backslash before them.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from trainer.briefing.layout import table, wrap
from trainer.judge.judgement import ItemVerdict
from trainer.report import annunciator
from trainer.report.competencies import NAMES, SOURCE, not_observed
from trainer.report.debrief import Debrief
from trainer.report.notes import clock, criteria_text, feet, miles, verdict_of, watch_text, window
from trainer.report.pictures import pictures
from trainer.report.sketch import LEGEND, sketch
from trainer.text import shown

_SPECIAL = re.compile(r"([\\`*_{}\[\]<>#|~&!$])")
SKETCH_CELLS = 90
"""Width of a picture in Markdown."""
POINTS_HEADERS = ("area", "items", "earned", "weight", "points")
TIMELINE_HEADERS = ("time", "distance", "altitude", "what", "verdict")
OBSERVED_HEADERS = ("code", "behaviour", "shown", "when not")


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


def observed_rows(debrief: Debrief) -> list[list[str]]:
    """The rows of the table of competencies, in the order of `OBSERVED_HEADERS`."""
    return [
        [
            one.code,
            one.behaviour,
            f"{one.shown} of {one.occasions}"
            + (f", {one.put_right} put right" if one.put_right else ""),
            "; ".join(f"{clock(lapse.step)} {lapse.what}".strip() for lapse in one.lapses),
        ]
        for one in debrief.competencies
    ]


def observed_notes(debrief: Debrief) -> list[str]:
    """What stands below that table: the codes without an occasion, and the source of the codes."""
    names = [f"{code} ({NAMES[code]})" for code in not_observed(debrief.competencies)]
    notes = [f"No occasion in this flight: {', '.join(names)}."] if names else []
    return [*notes, f"{SOURCE[0].upper()}{SOURCE[1:]}."]


def item_facts(debrief: Debrief, item: ItemVerdict) -> list[tuple[str, str]]:
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
        ("with this put right", "; ".join(debrief.would_have_been(item))),
        ("again from here", debrief.fly_again(item)),
        ("if ours differs", debrief.differs(item)),
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


def briefing_lines(debrief: Debrief) -> list[str]:
    """What the approach briefing stated wrongly, left out, and had right; empty without one."""
    briefing = debrief.judgement.briefing
    lines = [
        f"{one.name}: {one.said} was briefed, {one.expected} {one.unit}".rstrip()
        + f" is right. {one.why} ({one.source})"
        for one in briefing
        if one.verdict == "wrong"
    ]
    for verdict in ("left out", "right"):
        names = [one.name for one in briefing if one.verdict == verdict]
        if names:
            lines.append(f"{verdict}: {'; '.join(names)}")
    return lines


def lists(debrief: Debrief) -> list[tuple[str, Sequence[str]]]:
    """Titles and lines of everything that is a plain list, without the empty ones."""
    found: list[tuple[str, Sequence[str]]] = [
        ("Gates", gate_lines(debrief)),
        ("Watches", watch_lines(debrief)),
        ("Briefing (it costs no points)", briefing_lines(debrief)),
        ("Not matched by anything expected", debrief.judgement.unmatched),
    ]
    return [one for one in found if one[1]]


# Terminal ---------------------------------------------------------------------------------------


def plain_text(debrief: Debrief, cells: int = 80) -> str:
    """The debrief in lines of at most `cells` cells (from 50)."""
    lines: list[str] = []

    def section(title: str) -> None:
        lines.extend(["", title, "=" * len(title)])

    lines += wrap(debrief.heading, cells)
    lines += ["=" * min(cells, len(debrief.heading)), *wrap(" ".join(debrief.paragraph), cells)]
    drawn = pictures(debrief)
    if drawn:
        section("Pictures")
        for picture in drawn:
            lines += [*sketch(picture, cells), ""]
        lines += wrap(LEGEND, cells)
    section("Points")
    if debrief.points.areas:
        lines += table(POINTS_HEADERS, points_rows(debrief), cells, "lrrrr")
    lines += wrap(debrief.points.line(), cells, "    ")
    section("To work on")
    for number, item in enumerate(debrief.findings, start=1):
        lines += wrap(f"{number}. {item.item}: {verdict_of(item)}", cells, "    ")
        for label, text in item_facts(debrief, item):
            lines += wrap(f"  {label}: {text}", cells, "      ")
    if not debrief.findings:
        lines.append("nothing")
    for title, texts in lists(debrief):
        section(title)
        for text in texts:
            lines += wrap(f"- {text}", cells, "  ")
    section("Timeline")
    lines += table(TIMELINE_HEADERS, timeline_rows(debrief), cells, "rrr")
    if debrief.annunciator:
        section("Shown and said")
        rows = annunciator.shown_rows(debrief.annunciator)
        lines += [*table(annunciator.HEADERS, rows, cells, "r"), *wrap(debrief.difference, cells)]
    section("Observed")
    lines += table(OBSERVED_HEADERS, observed_rows(debrief), cells)
    for note in observed_notes(debrief):
        lines += wrap(note, cells)
    if debrief.not_reached:
        section("Not reached, and not counted")
        lines += wrap(debrief.not_reached, cells)
    lines += ["", *wrap(debrief.notice, cells)]
    return "\n".join(lines) + "\n"


# Markdown ---------------------------------------------------------------------------------------


def literal(text: str) -> str:
    """`text` so that Markdown shows it as it is: one line, special characters escaped."""
    return _SPECIAL.sub(r"\\\1", shown(text))


def markdown(debrief: Debrief) -> str:
    """The debrief as Markdown (the common dialect with tables)."""
    lines = [f"# {literal(debrief.heading)}", "", literal(" ".join(debrief.paragraph))]
    drawn = pictures(debrief)
    if drawn:
        lines += ["", "## Pictures"]
    for picture in drawn:
        # Indented by four blanks: text that nothing in it can end.
        lines += ["", *(f"    {line}".rstrip() for line in sketch(picture, SKETCH_CELLS))]
    if drawn:
        lines += ["", LEGEND]
    lines += ["", "## Points", ""]
    lines += _md_table(POINTS_HEADERS, points_rows(debrief))
    lines += ["", literal(debrief.points.line())]
    lines += ["", "## To work on"]
    for number, item in enumerate(debrief.findings, start=1):
        lines += ["", f"### {number}. {literal(item.item)}: {literal(verdict_of(item))}", ""]
        lines += [f"- {label}: {literal(text)}" for label, text in item_facts(debrief, item)]
    if not debrief.findings:
        lines += ["", "Nothing."]
    for title, texts in lists(debrief):
        lines += ["", f"## {title}", "", *(f"- {literal(text)}" for text in texts)]
    lines += ["", "## Timeline", "", *_md_table(TIMELINE_HEADERS, timeline_rows(debrief))]
    if debrief.not_reached:
        lines += ["", "## Not reached, and not counted", "", literal(debrief.not_reached)]
    if debrief.annunciator:
        rows = annunciator.shown_rows(debrief.annunciator)
        lines += ["", "## Shown and said", "", *_md_table(annunciator.HEADERS, rows)]
        lines += ["", literal(debrief.difference)]
    lines += ["", "## Observed", "", *_md_table(OBSERVED_HEADERS, observed_rows(debrief))]
    for note in observed_notes(debrief):
        lines += ["", literal(note)]
    lines += ["", f"*{debrief.notice}*"]
    return "\n".join(lines) + "\n"


def _md_table(headers: Sequence[str], rows: Sequence[Sequence[str]]) -> list[str]:
    lines = [f"| {' | '.join(headers)} |", f"|{' --- |' * len(headers)}"]
    lines += [f"| {' | '.join(literal(text) for text in row)} |" for row in rows]
    return lines
