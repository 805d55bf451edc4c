"""A picture of the debrief as SVG.

Owns scales, lines and shapes. Surprising rule: every mark has a shape for its verdict, so that
colour is never the only sign; and every text passes `text_of`.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from html import escape
from typing import NamedTuple

from trainer.report.pictures import BEYOND_NM, Lane, Mark, Picture, Point
from trainer.text import shown

WIDTH, HEIGHT = 860, 320
"""Size of a drawing without its lanes, user units."""
LANE = 34
"""Height of a lane: two lines of text, so that neighbours do not cover each other."""
_LEFT, _RIGHT, _TOP, _BOTTOM = 52, 14, 12, 34
_LETTER = 6.4
"""Width of a letter in a drawing, user units, about."""
_SHAPES = {
    "on time": ("circle", "good"),
    "late": ("triangle", "warn"),
    "early": ("diamond", "warn"),
    "wrong": ("cross", "bad"),
    "missed": ("cross", "bad"),
    "right here": ("circle", "hollow"),
    "last chance": ("dot", "ladder"),
}


class Scale(NamedTuple):
    """How miles and a second quantity (ft, kt or NM) become user units."""

    far_nm: float
    low: float
    high: float

    def x(self, distance_nm: float) -> float:
        """Place across, user units; far miles are left."""
        share = (self.far_nm - distance_nm) / (self.far_nm - BEYOND_NM)
        return _LEFT + share * (WIDTH - _LEFT - _RIGHT)

    def y(self, value: float) -> float:
        """Place down, user units, kept inside the drawing; high values are at the top."""
        share = (self.high - value) / (self.high - self.low)
        return min(max(_TOP + share * (HEIGHT - _TOP - _BOTTOM), _TOP), HEIGHT - _BOTTOM)


def text_of(text: str) -> str:
    """`text` as it may stand in HTML or SVG, in an element or an attribute."""
    return escape(shown(text), quote=True)


def svg(picture: Picture) -> str:
    """The picture as one SVG element."""
    scale = Scale(picture.far_nm, picture.low, picture.high)
    height = HEIGHT + LANE * len(picture.lanes)
    parts = [
        f'<svg viewBox="0 0 {WIDTH} {height}" role="img" aria-label="{text_of(picture.title)}">',
        *_grid(picture, scale),
    ]
    parts += [_line(curve.points, scale, curve.style) for curve in picture.curves]
    parts += [_mark(mark, scale) for mark in (*picture.rungs, *picture.marks)]
    for place, lane in enumerate(picture.lanes):
        parts += _lane(lane, scale, HEIGHT + LANE * place)
    return "\n".join([*parts, "</svg>"])


def _grid(picture: Picture, scale: Scale) -> list[str]:
    parts = []
    every = picture.every
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
    step = max(1, math.ceil((scale.far_nm - BEYOND_NM) / 16.0))
    bottom = HEIGHT - _BOTTOM
    for mile in range(0, math.floor(scale.far_nm) + 1, step):
        x = scale.x(mile)
        parts.append(
            f'<line class="grid" x1="{x:.1f}" y1="{_TOP}" x2="{x:.1f}" y2="{bottom}"/>'
            f'<text x="{x:.1f}" y="{bottom + 15}" text-anchor="middle">{mile}</text>'
        )
    label = f"{text_of(picture.label)}; distance to the threshold, NM"
    return [*parts, f'<text x="{_LEFT}" y="{HEIGHT - 4}">{label}</text>']


def _line(points: Sequence[Point], scale: Scale, style: str) -> str:
    places = " ".join(f"{scale.x(d):.1f},{scale.y(v):.1f}" for d, v in points)
    return f'<polyline class="{style}" points="{places}"/>'


def _mark(mark: Mark, scale: Scale) -> str:
    x, y = scale.x(mark.at[0]), scale.y(mark.at[1])
    kind, style = _SHAPES[mark.verdict]
    number = mark.number
    label = "" if number is None else f'<text x="{x + 7:.1f}" y="{y - 6:.1f}">{number}</text>'
    return f'<g class="{style}"><title>{text_of(mark.text)}</title>{_shape(kind, x, y)}{label}</g>'


def _lane(lane: Lane, scale: Scale, top: int) -> list[str]:
    """The steps of a lane as ticks with their names; a near neighbour goes one line down."""
    parts = [f'<text x="{_LEFT}" y="{top + 12}">{text_of(lane.name)}</text>']
    end = _LEFT + _LETTER * len(lane.name)
    for distance_nm, what in lane.steps:
        x = scale.x(distance_nm)
        half = _LETTER * (len(what) + 1) / 2.0
        line = 0 if x - half >= end else 1
        end = x + half if line == 0 else end
        y = top + 12 + 14 * line
        parts.append(
            f'<line class="tick" x1="{x:.1f}" y1="{top - 2}" x2="{x:.1f}" y2="{y - 9}"/>'
            f'<text x="{x:.1f}" y="{y}" text-anchor="middle">{text_of(what)}'
            f"<title>{text_of(what)}, {distance_nm:.1f} NM</title></text>"
        )
    return parts


def _shape(kind: str, x: float, y: float) -> str:
    if kind in ("circle", "dot"):
        return f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{3.5 if kind == "circle" else 2}"/>'
    if kind == "triangle":
        return f'<path d="M{x:.1f} {y - 6:.1f}l5.5 10h-11z"/>'
    if kind == "diamond":
        return f'<path d="M{x:.1f} {y - 6:.1f}l6 6l-6 6l-6 -6z"/>'
    return f'<path class="stroke" d="M{x - 5:.1f} {y - 5:.1f}l10 10m0 -10l-10 10"/>'
