"""A picture of the debrief in characters, for terminals and plain text.

Owns the signs. Surprising rule: a numbered finding is drawn over everything else, and the place
that was right over what was on time, so that no slip hides behind a line.
"""

from __future__ import annotations

import math

from trainer.report.pictures import BEYOND_NM, Lane, Picture
from trainer.text import shown, width

SIGNS = {"path": "·", "ladder": "+", "flown": "━", "right here": "○", "on time": "•"}
"""Signs of lines and marks; findings show their number."""
LEGEND = "━ flown  · path or final speed  + last chance  • on time  ○ right here  1… finding"
_LEFT = 7
_LAYERS = ("on time", "right here", "late", "early", "wrong", "missed")


def sketch(picture: Picture, cells: int, height: int = 10) -> list[str]:
    """The picture in lines of at most `cells` cells (from 40), `height` lines high without lanes.

    The first line is the title; below the drawing stand the miles and the lanes.
    """
    across = max(cells, 40) - _LEFT
    grid = [[" "] * across for _ in range(height)]

    def column(distance_nm: float) -> int:
        share = (picture.far_nm - distance_nm) / (picture.far_nm - BEYOND_NM)
        return min(max(round(share * (across - 1)), 0), across - 1)

    def line(value: float) -> int:
        share = (picture.high - value) / (picture.high - picture.low)
        return min(max(round(share * (height - 1)), 0), height - 1)

    for curve in picture.curves:
        for (from_nm, from_value), (to_nm, to_value) in zip(
            curve.points, curve.points[1:], strict=False
        ):
            first, last = column(from_nm), column(to_nm)
            for x in range(first, last + 1):
                share = 0.0 if last == first else (x - first) / (last - first)
                y = line(from_value + share * (to_value - from_value))
                grid[y][x] = SIGNS[curve.style]
    for mark in sorted(picture.marks, key=lambda one: _LAYERS.index(one.verdict)):
        if mark.verdict in SIGNS:
            grid[line(mark.at[1])][column(mark.at[0])] = SIGNS[mark.verdict]
        else:
            number = "×" if mark.number is None else str(mark.number)
            x = min(column(mark.at[0]), across - len(number))
            for place, sign in enumerate(number):
                grid[line(mark.at[1])][x + place] = sign
    lines = [f"{picture.title} ({picture.label})"]
    labels = {line(value): f"{value:6.0f} " for value in _values(picture, height)}
    for y, signs in enumerate(grid):
        lines.append((labels.get(y, " " * _LEFT) + "".join(signs)).rstrip())
    lines.append(_miles(picture, across, column(0.0)))
    for lane in picture.lanes:
        lines += _lane(lane, across, [column(distance_nm) for distance_nm, _ in lane.steps])
    return lines


def _values(picture: Picture, height: int) -> list[float]:
    """The round values that are written at the left, at most one for every two lines."""
    every = picture.every
    while (picture.high - picture.low) / every > height / 2.0:
        every *= 2.0
    first, last = math.ceil(picture.low / every), math.floor(picture.high / every)
    return [number * every for number in range(first, last + 1)]


def _miles(picture: Picture, across: int, at_threshold: int) -> str:
    """The line of miles below a drawing."""
    signs = [" "] * across
    every = max(1, math.ceil(picture.far_nm * 6.0 / across))
    for mile in range(0, math.floor(picture.far_nm) + 1, every):
        x = round(at_threshold * (1.0 - mile / picture.far_nm))
        for place, sign in enumerate(str(mile)):
            if x + place < across:
                signs[x + place] = sign
    return f"{'NM':>6} {''.join(signs)}".rstrip()


def _lane(lane: Lane, across: int, columns: list[int]) -> list[str]:
    """A lane: its name, then each step below its place, further down where it would not fit."""
    rows: list[str] = []
    for x, (_, what) in zip(columns, lane.steps, strict=True):
        word = f"|{shown(what)}"
        while width(word) > across:
            word = word[:-1]
        x = min(x, across - width(word))
        for place, row in enumerate(rows):
            if width(row) < x or (not row and x == 0):
                rows[place] = row + " " * (x - width(row)) + word
                break
        else:
            rows.append(" " * x + word)
    return [f"{'':{_LEFT}}{lane.name}:", *(f"{'':{_LEFT}}{row}" for row in rows)]
