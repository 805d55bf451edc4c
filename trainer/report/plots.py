"""Two drawings as SVG: the vertical profile and speed against distance, with every action marked.

Owns scales, lines and marks. It draws what it is given and judges nothing. Surprising rule: the
threshold is at the right, so time runs as one reads; and every mark has a shape for its verdict,
so that colour is never the only sign.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from html import escape
from typing import NamedTuple

from trainer.flight.row import Row
from trainer.judge.judgement import ItemVerdict
from trainer.report.debrief import Debrief
from trainer.report.document import every_second
from trainer.report.notes import place_step, verdict_of
from trainer.text import shown
from trainer.units import DEG, FT, NM
from trainer.world.path import path_height_m

WIDTH, HEIGHT = 860, 320
"""Size of a drawing, user units."""
_LEFT, _RIGHT, _TOP, _BOTTOM = 52, 14, 12, 34
_SHAPES = {
    "on time": ("circle", "good"),
    "late": ("triangle", "warn"),
    "early": ("diamond", "warn"),
    "wrong": ("cross", "bad"),
    "missed": ("cross", "bad"),
}


class Scale(NamedTuple):
    """How miles and a second quantity (ft or kt) become user units."""

    far_nm: float
    near_nm: float
    low: float
    high: float

    def x(self, distance_nm: float) -> float:
        """Place across, user units; far miles are left."""
        share = (self.far_nm - distance_nm) / (self.far_nm - self.near_nm)
        return _LEFT + share * (WIDTH - _LEFT - _RIGHT)

    def y(self, value: float) -> float:
        """Place down, user units; high values are at the top."""
        share = (self.high - value) / (self.high - self.low)
        return _TOP + share * (HEIGHT - _TOP - _BOTTOM)


def text_of(text: str) -> str:
    """`text` as it may stand in HTML or SVG, in an element or an attribute."""
    return escape(shown(text), quote=True)


def profile(debrief: Debrief) -> str:
    """Altitude against distance, with the published path; "" without rows."""
    rows = _approach_rows(debrief.rows)
    if len(rows) < 2:
        return ""
    runway_ft = debrief.exercise.approach.runway.elevation_ft
    highest = max(row.altitude_ft for row in rows)
    scale = Scale(rows[0].along_nm, -1.0, runway_ft - 100.0, max(highest * 1.1, runway_ft + 500.0))
    parts = _frame(scale, 500.0, "altitude, ft", "Vertical profile")
    path = [(distance_nm, _path_ft(debrief, distance_nm)) for distance_nm in _miles(scale)]
    parts.append(_line([point for point in path if point[1] <= scale.high], scale, "path"))
    parts.append(_line([(row.along_nm, row.altitude_ft) for row in rows], scale, "flown"))
    parts += _marks(debrief, scale, lambda row: row.altitude_ft)
    parts.append("</svg>")
    return "\n".join(parts)


def speeds(debrief: Debrief) -> str:
    """Airspeed against distance, with the final approach speed and the last-chance ladder.

    "" without rows.
    """
    rows = _approach_rows(debrief.rows)
    if len(rows) < 2:
        return ""
    final_kt = debrief.exercise.final_kt
    values = [row.cas_kt for row in rows] + ([final_kt] if final_kt > 0.0 else [])
    values += [one.cas_kt for one in debrief.last_chance if one.distance_nm <= rows[0].along_nm]
    scale = Scale(
        rows[0].along_nm,
        -1.0,
        math.floor(min(values) / 20.0) * 20.0,
        math.ceil(max(values) / 20.0 + 0.2) * 20.0,
    )
    parts = _frame(scale, 20.0, "airspeed, kt", "Speed against distance")
    if final_kt > 0.0:
        ends = [(scale.far_nm, final_kt), (scale.near_nm, final_kt)]
        parts.append(_line(ends, scale, "path"))
    parts.append(_line([(row.along_nm, row.cas_kt) for row in rows], scale, "flown"))
    parts += _ladder(debrief, scale)
    parts += _marks(debrief, scale, lambda row: row.cas_kt)
    parts.append("</svg>")
    return "\n".join(parts)


def _approach_rows(rows: Sequence[Row]) -> list[Row]:
    """One row a second from the outermost place before the threshold to one mile beyond it."""
    kept = [row for row in every_second(rows) if row.along_nm > -1.0]
    if not kept:
        return []
    outermost = max(range(len(kept)), key=lambda place: kept[place].along_nm)
    return kept[outermost:]


def _path_ft(debrief: Debrief, distance_nm: float) -> float:
    approach = debrief.exercise.approach
    height_m = path_height_m(
        distance_nm * NM,
        approach.glideslope.angle_deg * DEG,
        approach.glideslope.crossing_ft * FT,
        debrief.exercise.curved_earth,
    )
    return approach.runway.elevation_ft + height_m / FT


def _miles(scale: Scale) -> list[float]:
    """Places along the path, from the left edge of the drawing to the threshold."""
    return [scale.far_nm * share / 80.0 for share in range(80, -1, -1)]


def _frame(scale: Scale, every: float, label: str, title: str) -> list[str]:
    parts = [
        f'<svg viewBox="0 0 {WIDTH} {HEIGHT}" role="img" aria-label="{text_of(title)}">',
    ]
    bottom, top = HEIGHT - _BOTTOM, _TOP
    while (scale.high - scale.low) / every > 8.0:
        every *= 2.0
    value = math.ceil(scale.low / every) * every
    while value <= scale.high:
        y = scale.y(value)
        parts.append(
            f'<line class="grid" x1="{_LEFT}" y1="{y:.1f}" x2="{WIDTH - _RIGHT}" y2="{y:.1f}"/>'
            f'<text x="{_LEFT - 6}" y="{y + 4:.1f}" text-anchor="end">{value:.0f}</text>'
        )
        value += every
    step = max(1, math.ceil((scale.far_nm - scale.near_nm) / 16.0))
    for mile in range(0, math.floor(scale.far_nm) + 1, step):
        x = scale.x(mile)
        parts.append(
            f'<line class="grid" x1="{x:.1f}" y1="{top}" x2="{x:.1f}" y2="{bottom}"/>'
            f'<text x="{x:.1f}" y="{bottom + 15}" text-anchor="middle">{mile}</text>'
        )
    parts.append(
        f'<text x="{_LEFT}" y="{HEIGHT - 4}">{text_of(label)}; distance to the threshold, NM</text>'
    )
    return parts


def _line(points: Sequence[tuple[float, float]], scale: Scale, style: str) -> str:
    places = " ".join(f"{scale.x(d):.1f},{_within(scale.y(v)):.1f}" for d, v in points)
    return f'<polyline class="{style}" points="{places}"/>'


def _within(y: float) -> float:
    return min(max(y, float(_TOP)), float(HEIGHT - _BOTTOM))


def _ladder(debrief: Debrief, scale: Scale) -> list[str]:
    """The last-chance ladder: a dotted line through its steps, each named."""
    rungs = [rung for rung in debrief.last_chance if rung.distance_nm <= scale.far_nm]
    if not rungs:
        return []
    parts = [_line([(rung.distance_nm, rung.cas_kt) for rung in rungs], scale, "ladder")]
    for rung in rungs:
        x, y = scale.x(rung.distance_nm), _within(scale.y(rung.cas_kt))
        parts.append(
            f'<circle class="ladder" cx="{x:.1f}" cy="{y:.1f}" r="2">'
            f"<title>last chance: {text_of(rung.step)}, {rung.distance_nm:.1f} NM, "
            f"{rung.cas_kt:.0f} kt</title></circle>"
        )
    return parts


def _marks(debrief: Debrief, scale: Scale, value: Callable[[Row], float]) -> list[str]:
    """A mark for every item that has a place, with what it is as a tooltip; slips are numbered.

    A slip that was done has a hollow mark where it should have been done at the latest.
    """
    parts = []
    numbers = {id(item): place for place, item in enumerate(debrief.findings, start=1)}
    for item in debrief.judgement.items:
        step = place_step(item)
        if step is None or not 0 <= step < len(debrief.rows):
            continue
        row = debrief.rows[step]
        if not -1.0 < row.along_nm <= scale.far_nm:
            continue
        number = numbers.get(id(item))
        right = _right_step(item)
        if right is not None and right < len(debrief.rows):
            parts.append(_mark_at(debrief.rows[right], scale, value, item, "hollow", None))
        parts.append(_mark_at(row, scale, value, item, _SHAPES[item.verdict][1], number))
    return parts


def _right_step(item: ItemVerdict) -> int | None:
    """The step at which a late, wrong or early item would have been right; None for others."""
    if item.verdict == "early":
        return item.opened
    return item.due if item.verdict in ("late", "wrong") else None


def _mark_at(
    row: Row,
    scale: Scale,
    value: Callable[[Row], float],
    item: ItemVerdict,
    style: str,
    number: int | None,
) -> str:
    x, y = scale.x(row.along_nm), _within(scale.y(value(row)))
    shape = _shape(_SHAPES[item.verdict][0], x, y)
    label = "" if number is None else f'<text x="{x + 7:.1f}" y="{y - 6:.1f}">{number}</text>'
    verdict = "right here" if style == "hollow" else verdict_of(item)
    return (
        f'<g class="{style}"><title>{text_of(item.item)}: {text_of(verdict)}</title>'
        f"{shape}{label}</g>"
    )


def _shape(kind: str, x: float, y: float) -> str:
    if kind == "circle":
        return f'<circle cx="{x:.1f}" cy="{y:.1f}" r="3.5"/>'
    if kind == "triangle":
        return f'<path d="M{x:.1f} {y - 6:.1f}l5.5 10h-11z"/>'
    if kind == "diamond":
        return f'<path d="M{x:.1f} {y - 6:.1f}l6 6l-6 6l-6 -6z"/>'
    return f'<path class="stroke" d="M{x - 5:.1f} {y - 5:.1f}l10 10m0 -10l-10 10"/>'
