"""The reference flight of a check as one drawing: plan, profile, and every window below them.

Owns where things stand on the sheet; judges nothing. Surprising rule: profile and windows share one
axis, the miles still to fly to the threshold along the track, so that a window stands exactly below
the piece of profile in which it is open, turns or not.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

from trainer.briefing.plan import frame_of, plan_of
from trainer.flight.row import Row
from trainer.proof.timeline import Entry
from trainer.report.drawing import text_of
from trainer.scenario.exercise import Exercise
from trainer.text import NOTICE
from trainer.units import NM

WIDTH = 1000
_LEFT, _RIGHT = 60, 230
_PLAN, _PROFILE, _LANE, _GAP = 300, 220, 15, 34
_EVERY = 10
_STYLE = (
    "svg{font:11px sans-serif;background:#fff;color:#111}text{fill:#111}"
    ".grid{stroke:#ddd}.route{fill:none;stroke:#888;stroke-dasharray:5 4}"
    ".flown{fill:none;stroke:#06c;stroke-width:1.6}.path{fill:none;stroke:#888}"
    ".fix{fill:none;stroke:#444}.open{stroke:#06c;stroke-width:6}"
    ".late{stroke:#c80;stroke-width:2}.done{fill:#fff;stroke:#111}.head{font-weight:bold}"
)


class _Axis(NamedTuple):
    """Miles still to fly, across the sheet: far at the left."""

    far_nm: float
    near_nm: float

    def x(self, to_go_nm: float) -> float:
        """Place across, user units."""
        share = (self.far_nm - to_go_nm) / (self.far_nm - self.near_nm)
        return _LEFT + min(1.0, max(0.0, share)) * (WIDTH - _LEFT - _RIGHT)


def drawing(exercise: Exercise, rows: Sequence[Row], entries: Sequence[Entry]) -> str:
    """The sheet as a stand-alone SVG file."""
    begun, ended = rows[0].flown_nm, rows[-1].flown_nm
    nearest = min(rows, key=lambda row: row.distance_nm).flown_nm
    axis = _Axis(nearest - begun, nearest - ended)
    height = 3 * _GAP + _PLAN + _PROFILE + _LANE * len(entries) + 2 * _GAP
    top = 2 * _GAP + _PLAN
    heading = f"{exercise.title}: {exercise.approach.name}, {exercise.aircraft.title}"
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {height}" '
        f'width="{WIDTH}" height="{height}" role="img">',
        f"<title>{text_of(exercise.title)}: plan, profile and windows</title>",
        f"<style>{_STYLE}</style>",
        f'<text class="head" x="{_LEFT}" y="20">{text_of(heading)}</text>',
        *_plan(exercise, rows, _GAP),
        *_profile(exercise, rows, axis, nearest, top),
        *_windows(rows, entries, axis, nearest, top + _PROFILE + _GAP),
        f'<text x="{_LEFT}" y="{height - 10}">{text_of(NOTICE)}</text>',
        "</svg>",
    ]
    return "\n".join(parts) + "\n"


def _points(points: Sequence[tuple[float, float]], style: str) -> str:
    places = " ".join(f"{x:.1f},{y:.1f}" for x, y in points)
    return f'<polyline class="{style}" points="{places}"/>'


def _plan(exercise: Exercise, rows: Sequence[Row], top: int) -> list[str]:
    """The coded legs and the track over the ground, magnetic north up, one scale for both ways."""
    plan = plan_of(exercise)
    track = [(row.x_m, row.y_m) for row in rows[::_EVERY]]
    wide, high = WIDTH - _LEFT - _RIGHT, _PLAN - 20
    frame = frame_of((*track, *plan.fixes.values()), wide, high)

    def place(at: tuple[float, float]) -> tuple[float, float]:
        x, y = frame.at(at)
        return _LEFT + x, top + y + 10

    parts = [
        _points([place(at) for at in (*plan.route, *plan.missed[1:])], "route"),
        _points([place(at) for at in track], "flown"),
    ]
    for name, at in plan.fixes.items():
        x, y = place(at)
        parts.append(
            f'<path class="fix" d="M{x:.1f} {y - 4:.1f}l4 7h-8z"/>'
            f'<text x="{x + 6:.1f}" y="{y + 4:.1f}">{text_of(name)}</text>'
        )
    mile = NM * frame.per_m
    parts.append(
        f'<path class="fix" d="M{WIDTH - _RIGHT + 20} {top + 20}v-4h{5 * mile:.1f}v4"/>'
        f'<text x="{WIDTH - _RIGHT + 20}" y="{top + 34}">5 NM, magnetic north up</text>'
    )
    return parts


def _profile(
    exercise: Exercise, rows: Sequence[Row], axis: _Axis, nearest: float, top: int
) -> list[str]:
    """Altitude against the miles to fly, with the glide path as far as it is met from level."""
    approach = exercise.approach
    low = approach.runway.elevation_ft
    high = max(row.altitude_ft for row in rows) * 1.08 + 200.0

    def y(altitude_ft: float) -> float:
        return top + _PROFILE * (high - altitude_ft) / (high - low)

    parts: list[str] = []
    every = 500.0 if high < 5000.0 else 1000.0
    for step in range(math.ceil(low / every), math.floor(high / every) + 1):
        at = y(step * every)
        parts.append(
            f'<line class="grid" x1="{_LEFT}" y1="{at:.1f}" x2="{WIDTH - _RIGHT}" y2="{at:.1f}"/>'
            f'<text x="{_LEFT - 6}" y="{at + 4:.1f}" text-anchor="end">{step * every:.0f}</text>'
        )
    path = []
    for tenth in range(int(approach.final_fix.distance_nm * 10) + 20):
        path.append((axis.x(tenth / 10), y(exercise.path_altitude_ft(tenth / 10))))
    parts.append(_points(path, "path"))
    flown = [(axis.x(nearest - row.flown_nm), y(row.altitude_ft)) for row in rows[::_EVERY]]
    parts.append(_points(flown, "flown"))
    return parts


def _windows(
    rows: Sequence[Row], entries: Sequence[Entry], axis: _Axis, nearest: float, top: int
) -> list[str]:
    """A lane for each item: open to due thick, to closing thin, a ring where it was done."""
    bottom = top + _LANE * len(entries)
    parts: list[str] = []
    for mile in range(math.ceil(axis.near_nm), math.floor(axis.far_nm) + 1):
        x = axis.x(mile)
        parts.append(
            f'<line class="grid" x1="{x:.1f}" y1="{top - _PROFILE - _GAP}" x2="{x:.1f}" '
            f'y2="{bottom}"/>'
        )
        if mile % 2 == 0:
            parts.append(f'<text x="{x:.1f}" y="{top - 12}" text-anchor="middle">{mile}</text>')
    parts.append(f'<text x="{WIDTH - _RIGHT + 12}" y="{top - 12}">NM to fly; windows:</text>')

    def x_at(step: int) -> float:
        return axis.x(nearest - rows[min(step, len(rows) - 1)].flown_nm)

    for lane, entry in enumerate(entries):
        y = top + _LANE * lane + 8
        opened = x_at(entry.opened)
        due = x_at(entry.due if entry.due is not None else entry.done or entry.opened)
        parts.append(_bar(opened, max(due, opened + 1.0), y, "open"))
        if entry.closes is not None:
            parts.append(_bar(due, x_at(entry.closes), y, "late"))
        if entry.done is not None:
            parts.append(f'<circle class="done" cx="{x_at(entry.done):.1f}" cy="{y}" r="3"/>')
        text = f"{entry.item} {entry.opened / 10:.0f}"
        text += "" if entry.due is None else f" to {entry.due / 10:.0f} s"
        parts.append(f'<text x="{WIDTH - _RIGHT + 12}" y="{y + 4}">{text_of(text)}</text>')
    return parts


def _bar(start: float, end: float, y: float, style: str) -> str:
    return f'<line class="{style}" x1="{start:.1f}" y1="{y}" x2="{end:.1f}" y2="{y}"/>'
