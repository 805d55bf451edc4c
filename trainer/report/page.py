"""The debrief as one self-contained HTML page.

Owns the page; nothing in it comes from elsewhere and nothing in it runs: no script, no link, no
picture but inline SVG, and a content security policy that forbids all else. Every text passes
`text_of`.
"""

from __future__ import annotations

from collections.abc import Sequence

from trainer.report import annunciator
from trainer.report.debrief import Debrief
from trainer.report.drawing import svg, text_of
from trainer.report.notes import verdict_of
from trainer.report.pictures import pictures
from trainer.report.plain import (
    OBSERVED_HEADERS,
    TIMELINE_HEADERS,
    item_facts,
    lists,
    observed_notes,
    observed_rows,
    points_rows,
    timeline_rows,
)

POLICY = "default-src 'none'; style-src 'unsafe-inline'"
"""Content security policy of every page."""
_STYLE = """
body { font: 16px/1.45 system-ui, sans-serif; max-width: 60rem; margin: 2rem auto; padding: 0 1rem;
  color: #1a1a1a; background: #fff; }
h1 { font-size: 1.5rem; } h2 { font-size: 1.15rem; margin-top: 2rem; }
h3 { font-size: 1rem; margin-bottom: .2rem; }
.lead { font-size: 1.05rem; border-left: 4px solid #3b6ea5; padding-left: 1rem; }
.notice { margin-top: 2rem; padding: .6rem 1rem; border: 1px solid #999; }
table { border-collapse: collapse; font-size: .9rem; width: 100%; }
th, td { text-align: left; padding: .2rem .6rem; border-bottom: 1px solid #ddd;
  vertical-align: top; unicode-bidi: isolate; overflow-wrap: anywhere; }
.figure { text-align: right; white-space: nowrap; }
dl { display: grid; grid-template-columns: 9rem 1fr; margin: 0; font-size: .95rem; }
dt { color: #555; } dd { margin: 0; unicode-bidi: isolate; overflow-wrap: anywhere; }
svg { width: 100%; height: auto; border: 1px solid #ddd; }
svg text { font: 11px system-ui, sans-serif; fill: #333; }
.grid { stroke: #e4e4e4; } .path { fill: none; stroke: #888; stroke-dasharray: 5 4; }
.flown { fill: none; stroke: #3b6ea5; stroke-width: 2; }
.ladder { fill: none; stroke: #7a3b9a; stroke-dasharray: 2 3; }
.ladder circle { stroke-dasharray: none; } .tick { stroke: #777; stroke-dasharray: 1 2; }
.good { fill: #2b7a3d; } .warn { fill: #b36b00; } .bad { fill: #b02a2a; stroke: #b02a2a; }
.hollow { fill: none; stroke: #555; } .stroke { fill: none; stroke-width: 2; }
svg .bad text { stroke: none; }
@media print { body { margin: 0; } h3 { break-after: avoid; } }
"""


def html_page(debrief: Debrief) -> str:
    """The debrief as HTML, complete and self-contained."""
    heading = text_of(debrief.heading)
    parts = [
        "<!DOCTYPE html>",
        '<html lang="en">',
        "<head>",
        '<meta charset="utf-8">',
        f'<meta http-equiv="Content-Security-Policy" content="{text_of(POLICY)}">',
        '<meta name="viewport" content="width=device-width, initial-scale=1">',
        f"<title>{heading}</title>",
        f"<style>{_STYLE}</style>",
        "</head>",
        "<body>",
        f"<h1>{heading}</h1>",
        f'<p class="lead">{text_of(" ".join(debrief.paragraph))}</p>',
        *_drawings(debrief),
        "<h2>Points</h2>",
        *_table(
            ("area", "items", "earned", "weight", "points"), points_rows(debrief), (1, 2, 3, 4)
        ),
        f"<p>{text_of(debrief.points.line())}</p>",
        "<h2>To work on</h2>",
        *_findings(debrief),
    ]
    for title, texts in lists(debrief):
        parts += [f"<h2>{title}</h2>", "<ul>"]
        parts += [f"<li>{text_of(text)}</li>" for text in texts]
        parts.append("</ul>")
    parts += ["<h2>Timeline</h2>", *_table(TIMELINE_HEADERS, timeline_rows(debrief), (0, 1, 2))]
    rows = annunciator.shown_rows(debrief.annunciator)
    parts += ["<h2>Shown and said</h2>", *_table(annunciator.HEADERS, rows, (0, 3))]
    parts.append(f"<p>{text_of(debrief.difference)}</p>")
    parts += ["<h2>Observed</h2>", *_table(OBSERVED_HEADERS, observed_rows(debrief), ())]
    parts += [f"<p>{text_of(note)}</p>" for note in observed_notes(debrief)]
    if debrief.not_reached:
        parts += ["<h2>Not reached, and not counted</h2>", f"<p>{text_of(debrief.not_reached)}</p>"]
    parts += [f'<p class="notice">{text_of(debrief.notice)}</p>', "</body>", "</html>"]
    return "\n".join(parts) + "\n"


def _drawings(debrief: Debrief) -> list[str]:
    drawn = pictures(debrief)
    if not drawn:
        return []
    parts = ["<h2>Pictures</h2>"]
    for picture in drawn:
        parts += [f"<h3>{text_of(picture.title)}</h3>", svg(picture)]
    return [
        *parts,
        "<p>Circle: on time; triangle: late; diamond: early; cross: wrong or missed, numbered as "
        "below; hollow: where it would have been right. Dashed: the published path, and the final "
        "approach speed. Dotted: the last chance in this wind, at this mass; where the energy "
        "margin falls below zero, it has passed.</p>",
    ]


def _findings(debrief: Debrief) -> list[str]:
    parts = []
    for number, item in enumerate(debrief.findings, start=1):
        parts.append(f"<h3>{number}. {text_of(item.item)}: {text_of(verdict_of(item))}</h3>")
        parts.append("<dl>")
        parts += [
            f"<dt>{text_of(label)}</dt><dd>{text_of(text)}</dd>"
            for label, text in item_facts(debrief, item)
        ]
        parts.append("</dl>")
    return parts or ["<p>Nothing.</p>"]


def _table(
    headers: Sequence[str], rows: Sequence[Sequence[str]], figures: Sequence[int]
) -> list[str]:
    def cell(tag: str, place: int, text: str) -> str:
        style = ' class="figure"' if place in figures else ""
        return f"<{tag}{style}>{text_of(text)}</{tag}>"

    parts = ["<table>", "<thead><tr>"]
    parts += [cell("th", place, text) for place, text in enumerate(headers)]
    parts += ["</tr></thead>", "<tbody>"]
    for row in rows:
        cells = "".join(cell("td", place, text) for place, text in enumerate(row))
        parts.append(f"<tr>{cells}</tr>")
    return [*parts, "</tbody>", "</table>"]
