"""A small drawing of an exercise's approach for the home screen: path, fixes, where one begins.

Owns how it is laid out in few cells. It shows nothing that a chart would not: no signal volume.
"""

from __future__ import annotations

from trainer.app.profile import SCALES_NM, Sample
from trainer.app.widgets.lines import Line
from trainer.app.widgets.strip import Canvas, axis

_BEHIND = 6
"""Cells behind the threshold: room for its name and the minimums."""
WIDTH_MIN, HEIGHT_MIN = 24, 4
"""Cells below which nothing is drawn."""


def sample_lines(sample: Sample, width: int, height: int) -> list[Line]:
    """The drawing in `width` by `height` cells, the axis of miles in the last row."""
    if width < WIDTH_MIN or height < HEIGHT_MIN:
        return []
    profile = sample.profile
    fixes_nm = [one.distance_nm for one in profile.places]
    needed_nm = max([sample.begins_nm, *fixes_nm]) + 0.5
    far_nm = next((one for one in SCALES_NM if one >= needed_nm), SCALES_NM[-1])
    per_cell_nm = far_nm / (width - _BEHIND)
    plot = height - 1
    highest_ft = max([sample.begins_ft, *(one.altitude_ft for one in profile.places)])
    per_row_ft = max((highest_ft - profile.elevation_ft) * 1.15, 500.0) / plot
    top_ft = profile.elevation_ft + per_row_ft * plot
    canvas = Canvas(width, height)

    def column(nm: float) -> float:
        return (far_nm - nm) / per_cell_nm

    def row(feet: float) -> float:
        return (top_ft - feet) / per_row_ft

    threshold = round(column(0.0)) * 2
    for half in range(threshold):
        nm = far_nm - half / 2.0 * per_cell_nm
        y = row(profile.path_altitude_ft(max(nm, 0.0))) * 4.0
        if y >= 0.0:
            canvas.dot(half, min(int(y), plot * 4 - 1))
    for place in profile.places:
        if place.constraint:
            canvas.write(
                int(column(place.distance_nm)), int(row(place.altitude_ft)), "▼", "selected"
            )
    if 0.0 < sample.begins_nm <= far_nm:
        x, y_begin = int(column(sample.begins_nm)), min(int(row(sample.begins_ft)), plot - 1)
        canvas.write(x, y_begin, "◆", "value")
        canvas.write(x + 2, y_begin, f"{sample.begins_ft:.0f}", "value")
    minimum = min(int(row(profile.minimums_ft)), plot - 1)
    canvas.write(int(column(0.0)) + 1, minimum, f"{profile.minimums_ft:.0f}", "caution")
    axis(canvas, profile, far_nm, column, plot)
    return canvas.lines("guidance", {})
