"""The bearing pointer: where a tuned VOR lies, as seen over the nose.

Seven lines beside the raw data, in place of the glide path scale, which a VOR never has. Surprising
rule: up is the nose and not north, so that the pointer swings through the beam and to the tail as
the station is passed.
"""

from __future__ import annotations

import math

from trainer.app.view import View
from trainer.app.widgets.lines import Line
from trainer.app.widgets.strip import Canvas
from trainer.units import DEG

WIDTH = 10
"""Cells of the pointer with its words."""
_ROWS = 5
_RADIUS = 8.5
"""Radius of the circle in dots; a dot is about as high as wide."""
_CENTRE_X, _CENTRE_Y = 9.5, 9.5


def rose(view: View) -> list[Line]:
    """Heading of the block, a circle with the pointer, bearing in degrees, TO or FROM."""
    bearing_deg = view.bearing_deg
    lines: list[Line] = [((" BEARING", "label"),)]
    if bearing_deg is None:
        return [
            *lines,
            (),
            ((" FLAG" if view.localizer.flag == "FLAG" else " NONE", "warning"),),
            *(() for _ in range(4)),
        ]
    relative_rad = (bearing_deg - view.heading_deg) * DEG
    canvas = Canvas(WIDTH, _ROWS)
    for place in range(0, 360, 15):
        canvas.dot(*_at(place * DEG, _RADIUS))
    for step in range(1, round(_RADIUS)):
        canvas.dot(*_at(relative_rad, float(step)))
    x, y = _at(relative_rad, _RADIUS)
    canvas.write(x // 2, y // 4, "◆", "active")
    lines += canvas.lines("active", {})
    words: Line = ((f" {round(bearing_deg) % 360 or 360:03d} {view.to_from}", "value"),)
    return [*lines, words]


def _at(angle_rad: float, radius: float) -> tuple[int, int]:
    """The dot at an angle from the nose, clockwise."""
    return (
        round(_CENTRE_X + radius * math.sin(angle_rad)),
        round(_CENTRE_Y - radius * math.cos(angle_rad)),
    )
