"""The two drawings of a brief: plan view and vertical profile, in braille dots, to scale.

Owns where things stand on them. Surprising rule: in the plan a dot is as high as it is wide, so
both directions share one scale; in the profile feet and miles each have their own, written at the
edges.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from trainer.app.profile import Profile, Volume
from trainer.app.widgets.lines import Line, between, padded
from trainer.app.widgets.strip import BEHIND, Canvas, Scale, axis, shades
from trainer.briefing.ladders import Ladders, Step
from trainer.briefing.plan import Frame, Place, Plan, frame_of
from trainer.text import shown
from trainer.text import width as cells
from trainer.units import NM

_MARGIN_X, _MARGIN_Y = 10, 4
"""Dots left free around the plan: room for names."""
_LEFT = 6
"""Cells of the altitudes beside the profile."""
_PLOT_MIN = 9
"""Rows of the profile below which the last lane gives way."""
LANES = (("A GOOD CREW", "reference"), ("LAST CHANCE", "last_chance"), ("LIMIT", "energy_limit"))
"""Ladders below the profile: heading, and which."""


def plan_lines(plan: Plan, width: int, height: int) -> list[Line]:
    """The plan view in `width` by `height` cells (at least 40 by 10), magnetic north up."""
    canvas = Canvas(width, height - 1)
    wide, high = width * 2, (height - 1) * 4
    held = (*plan.route, *plan.missed, *_near(plan))
    inner = frame_of(held, wide - 4 * _MARGIN_X, high - 2 * _MARGIN_Y)
    frame = Frame(
        inner.west_m - 2 * _MARGIN_X / inner.per_m, inner.north_m + _MARGIN_Y / inner.per_m,
        inner.per_m,
    )  # fmt: skip
    _path(canvas, frame, plan.route, 1)
    _path(canvas, frame, plan.missed, 4)
    marks = [
        (place, "▬" if place == (0.0, 0.0) else "▲", shown(name), "value")
        for name, place in plan.fixes.items()
    ]
    if plan.route[0] not in plan.fixes.values():
        marks.append((plan.route[0], "◆", "start", "label"))
    marks += [
        (place, "⬡", f"{shown(ident)} VOR", "selected")
        for ident, place in plan.stations.items()
        if place in held
    ]
    for place, sign, _, meaning in marks:
        x, y = frame.at(place)
        canvas.write(round(x) // 2, round(y) // 4, sign, meaning)
    for place, _, name, meaning in marks:
        _name(canvas, frame, place, name, meaning)
    return [*canvas.lines("guidance", {}), _scale_bar(frame, width)]


def _near(plan: Plan) -> list[Place]:
    """Stations that lie no farther out than what is flown over; a far one would shrink the rest."""
    flown = (*plan.route, *plan.missed)
    reach_m = max(max(abs(x), abs(y)) for x, y in flown)
    return [one for one in plan.stations.values() if max(abs(one[0]), abs(one[1])) <= reach_m]


def _path(canvas: Canvas, frame: Frame, places: Sequence[Place], every: int) -> None:
    """A line through `places`, of every dot or of every fourth only."""
    count = 0
    for before, after in pairwise(places):
        (x, y), (to_x, to_y) = frame.at(before), frame.at(after)
        steps = max(1, round(max(abs(to_x - x), abs(to_y - y))))
        for step in range(steps + 1):
            share = step / steps
            if count % every == 0:
                canvas.dot(round(x + (to_x - x) * share), round(y + (to_y - y) * share))
            count += 1


def _name(canvas: Canvas, frame: Frame, place: Place, name: str, meaning: str) -> None:
    """The name of what stands at `place`, on the first side where there is room."""
    dots_x, dots_y = frame.at(place)
    x, y = round(dots_x) // 2, round(dots_y) // 4
    length = cells(name)
    for at_x, at_y in ((x + 2, y), (x - length - 1, y), (x + 1, y - 1), (x + 1, y + 1)):
        is_inside = at_x >= 0 and at_x + length <= canvas.width and 0 <= at_y < canvas.height
        if is_inside and canvas.is_free(at_x, at_y, length):
            canvas.write(at_x, at_y, name, meaning)
            return


def _scale_bar(frame: Frame, width: int) -> Line:
    """A bar of whole miles, and where north is."""
    miles = next((one for one in (10, 5, 2) if one * NM * frame.per_m / 2.0 <= width / 3.0), 1)
    bar = max(2, round(miles * NM * frame.per_m / 2.0))
    left: Line = ((f" ├{'─' * (bar - 2)}┤ {miles} NM", "label"),)
    return between(left, (("magnetic north ↑   ── way in  ·· missed approach ", "label"),), width)


# The profile ------------------------------------------------------------------------------------


def profile_page(
    profile: Profile, volume: Volume, ladders: Ladders, width: int, height: int
) -> list[Line]:
    """Path, constraints and signal volume above the three ladders, all on one axis of miles."""
    room = width - _LEFT
    far_nm = _far_nm(profile, ladders)
    per_cell_nm = far_nm * (1.0 + BEHIND) / room

    def column(nm: float) -> float:
        return (far_nm - nm) / per_cell_nm

    *others, limit = (_lane(head, getattr(ladders, name), column, width) for head, name in LANES)
    lanes = [line for lane in (*others, limit) for line in lane]
    plot = height - len(lanes) - 1
    if plot < _PLOT_MIN:  # the sheet has the limit as well
        lanes = lanes[: len(lanes) - len(limit)]
        plot = max(5, plot + len(limit))
    top_ft = _top_ft(profile, ladders)
    per_row_ft = (top_ft - profile.elevation_ft) / plot
    canvas = Canvas(room, plot + 1)
    for half in range(round(column(0.0)) * 2):
        nm = far_nm - half / 2.0 * per_cell_nm
        if nm >= 0.0:
            above_ft = top_ft - profile.path_altitude_ft(nm)
            if above_ft >= 0.0:
                canvas.dot(half, int(above_ft / per_row_ft * 4.0))
    _constraints(canvas, profile, column, top_ft, per_row_ft)
    axis(canvas, profile, far_nm, column, plot, 1 if room > far_nm * 5.0 else 2)
    ends = (far_nm, per_cell_nm, top_ft - profile.elevation_ft, per_row_ft)
    drawn = canvas.lines("guidance", shades(volume, ends, room, plot))
    labels = _altitudes(top_ft, profile.elevation_ft, per_row_ft, plot)
    lines = [
        ((f"{labels.get(y, ''):>{_LEFT - 1}} ", "label"), *line) for y, line in enumerate(drawn)
    ]
    return [*lines, *lanes]


def _far_nm(profile: Profile, ladders: Ladders) -> float:
    """Miles at the left edge: holds every fix on the course and every rung, up to 30."""
    rungs = [one.distance_nm or 0.0 for steps in ladders for one in steps]
    return min(30.0, max([6.0, *rungs, *(one.distance_nm for one in profile.places)]) + 1.0)


def _top_ft(profile: Profile, ladders: Ladders) -> float:
    """Altitude at the top: above every constraint and rung by a quarter."""
    altitudes = [one.altitude_ft or 0.0 for steps in ladders for one in steps]
    altitudes += [place.altitude_ft for place in profile.places]
    highest_ft = max([*altitudes, profile.elevation_ft + 1500.0])
    return (int(highest_ft * 1.25 / 500.0) + 1) * 500.0


def _altitudes(top_ft: float, low_ft: float, per_row_ft: float, rows: int) -> dict[int, str]:
    """The altitude written in each row: round ones, at most one for every two rows."""
    step_ft = 500.0
    while step_ft < 2.0 * per_row_ft:
        step_ft *= 2.0
    labels: dict[int, str] = {}
    altitude_ft = step_ft
    while altitude_ft < top_ft:
        row = int((top_ft - altitude_ft) / per_row_ft)
        if altitude_ft > low_ft and row < rows:
            labels[row] = f"{altitude_ft:.0f}"
        altitude_ft += step_ft
    return labels


def _constraints(
    canvas: Canvas, profile: Profile, column: Scale, top_ft: float, per_row_ft: float
) -> None:
    """Altitude and speed that a fix asks for, at its place; the minimums at the threshold."""
    for place in profile.places:
        words = []
        if place.constraint:
            words.append(f"{'≥' if place.constraint == 'above' else '='}{place.altitude_ft:.0f}")
        if place.limit_kt:
            words.append(f"≤{place.limit_kt:.0f}kt")
        if not words:
            continue
        x = int(column(place.distance_nm))
        y = int((top_ft - (place.altitude_ft or top_ft)) / per_row_ft)
        canvas.write(x, y, "▼", "selected")
        canvas.write(x + 1, y, " ".join(words), "selected")
    text = f"minimums {profile.minimums_ft:.0f}"
    y = int((top_ft - profile.minimums_ft) / per_row_ft)
    canvas.write(int(column(0.0)) - len(text) - 1, y, text, "caution")


def _lane(heading: str, steps: Sequence[Step], column: Scale, width: int) -> list[Line]:
    """A heading with a rule, then every step of a ladder below its place, in as few rows as fit."""
    placed = [(one, one.distance_nm) for one in steps if one.distance_nm is not None]
    if not placed:
        return []
    rows: list[str] = []
    for x, text in _joined(placed, column, width):
        for y, row in enumerate(rows):
            if cells(row) < x:
                rows[y] = row + " " * (x - cells(row)) + text
                break
        else:
            rows.append(" " * x + text)
    title = f" {heading} "
    lines: list[Line] = [((title, "label"), ("─" * max(0, width - len(title)), "rule"))]
    return lines + [padded(((row, ""),), width) for row in rows]


def _joined(
    placed: Sequence[tuple[Step, float]], column: Scale, width: int
) -> list[tuple[int, str]]:
    """Cell and text of the steps; those within a cell of each other at one speed are one."""
    found: list[tuple[int, str, str]] = []
    for step, distance_nm in placed:
        at = _LEFT + int(column(distance_nm))
        speed = "" if step.cas_kt is None else f" {step.cas_kt:.0f}"
        if found and at - found[-1][0] <= 1 and speed == found[-1][2]:
            found[-1] = (found[-1][0], f"{found[-1][1]}, {shown(step.step)}", speed)
        else:
            found.append((at, f"╵{shown(step.step)}", speed))
    texts = [(at, name + speed) for at, name, speed in found]
    return [(min(at, width - cells(text)), text) for at, text in texts]
