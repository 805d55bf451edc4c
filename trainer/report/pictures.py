"""The three pictures of a debrief as values: profile, speed with configuration, energy margin.

Owns what is drawn: curves, marks where something was done and where it would have been right, the
lanes of flap and gear. It draws nothing and judges nothing; `drawing` and `sketch` do the drawing.
Surprising rule: the threshold is at the right, so that time runs as one reads.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from itertools import pairwise
from typing import NamedTuple

from trainer.flight.row import Row
from trainer.judge.judgement import ItemVerdict
from trainer.report.debrief import Debrief
from trainer.report.document import every_second
from trainer.report.notes import place_step, verdict_of
from trainer.values import dataclass

BEYOND_NM = -1.0
"""Right edge of every picture: one mile beyond the threshold."""
MARGIN_MOST_NM = 6.0
"""Margins above this are drawn at the top: what is plenty need not be told apart."""

Point = tuple[float, float]
"""Distance before the threshold in NM, and the value there."""


class Curve(NamedTuple):
    """A line. style: "flown", "path" (as published or planned) or "ladder" (last chance)."""

    style: str
    points: tuple[Point, ...]


class Mark(NamedTuple):
    """Something done, or to be done. verdict: of the item, or "right here".

    `number` is that of the finding, None for what was right; `text` says what it is.
    """

    at: Point
    verdict: str
    number: int | None
    text: str


class Lane(NamedTuple):
    """Steps of configuration at their places: (distance NM, what)."""

    name: str
    steps: tuple[tuple[float, str], ...]


@dataclass(frozen=True, slots=True)
class Picture:
    """One picture. `label` names the value and its unit; `every` is the step of the grid."""

    title: str
    label: str
    every: float
    far_nm: float
    low: float
    high: float
    curves: tuple[Curve, ...]
    marks: tuple[Mark, ...] = ()
    rungs: tuple[Mark, ...] = ()
    lanes: tuple[Lane, ...] = ()


def pictures(debrief: Debrief) -> tuple[Picture, ...]:
    """The pictures that the rows of this debrief allow, in their order."""
    made = (profile(debrief), speeds(debrief), margin(debrief))
    return tuple(picture for picture in made if picture is not None)


def profile(debrief: Debrief) -> Picture | None:
    """Altitude against distance, with the published path; None without rows."""
    rows = _approach_rows(debrief.rows)
    if len(rows) < 2:
        return None
    runway_ft = debrief.exercise.approach.runway.elevation_ft
    far_nm = rows[0].along_nm
    high_ft = max(max(row.altitude_ft for row in rows) * 1.1, runway_ft + 500.0)
    path = [
        (far_nm * share / 80.0, debrief.exercise.path_altitude_ft(far_nm * share / 80.0))
        for share in range(80, -1, -1)
    ]
    return Picture(
        "Vertical profile",
        "altitude, ft",
        500.0,
        far_nm,
        runway_ft - 100.0,
        high_ft,
        (
            Curve("path", tuple(point for point in path if point[1] <= high_ft)),
            Curve("flown", tuple((row.along_nm, row.altitude_ft) for row in rows)),
        ),
        _marks(debrief, far_nm, lambda row: row.altitude_ft),
    )


def speeds(debrief: Debrief) -> Picture | None:
    """Airspeed and configuration against distance, with the ladder of last chances.

    None without rows.
    """
    rows = _approach_rows(debrief.rows)
    if len(rows) < 2:
        return None
    far_nm, final_kt = rows[0].along_nm, debrief.exercise.final_kt
    rungs = [rung for rung in debrief.last_chance if rung.distance_nm <= far_nm]
    values = [row.cas_kt for row in rows] + [rung.cas_kt for rung in rungs]
    curves = []
    if final_kt > 0.0:
        values.append(final_kt)
        curves.append(Curve("path", ((far_nm, final_kt), (BEYOND_NM, final_kt))))
    curves.append(Curve("flown", tuple((row.along_nm, row.cas_kt) for row in rows)))
    if rungs:
        curves.append(Curve("ladder", tuple((rung.distance_nm, rung.cas_kt) for rung in rungs)))
    lanes = [Lane("flown", _configured(debrief, far_nm))]
    if rungs:
        steps = [(rung.distance_nm, rung.step) for rung in rungs if rung.step not in _NO_HANDS]
        lanes.append(Lane("last chance", tuple(steps)))
    return Picture(
        "Speed and configuration",
        "airspeed, kt",
        20.0,
        far_nm,
        math.floor(min(values) / 20.0) * 20.0,
        math.ceil(max(values) / 20.0 + 0.2) * 20.0,
        tuple(curves),
        _marks(debrief, far_nm, lambda row: row.cas_kt),
        tuple(
            Mark(
                (rung.distance_nm, rung.cas_kt),
                "last chance",
                None,
                f"last chance: {rung.step}, {rung.distance_nm:.1f} NM, {rung.cas_kt:.0f} kt",
            )
            for rung in rungs
        ),
        tuple(lane for lane in lanes if lane.steps),
    )


_NO_HANDS = ("idle", "path captured", "thrust lever up", "configured", "thrust holds")
"""Steps of the ladder that are not flap, gear, speed or a list."""


def margin(debrief: Debrief) -> Picture | None:
    """The energy margin against distance; at zero the last chance has come.

    None where it was not computed for at least two rows.
    """
    rows = [row for row in _approach_rows(debrief.rows) if row.margin_nm is not None]
    if len(rows) < 2:
        return None
    far_nm = rows[0].along_nm
    values = [_margin_nm(row) for row in rows]
    return Picture(
        "Energy margin",
        f"level miles to spare, up to {MARGIN_MOST_NM:.0f}, NM",
        1.0,
        far_nm,
        math.floor(min(0.0, *values)),
        math.ceil(max(1.0, *values)),
        (
            Curve("ladder", ((far_nm, 0.0), (BEYOND_NM, 0.0))),
            Curve("flown", tuple((row.along_nm, _margin_nm(row)) for row in rows)),
        ),
        tuple(
            mark
            for mark in _marks(debrief, far_nm, _margin_nm, energy_only=True)
            if mark.at[0] >= rows[-1].along_nm
        ),
    )


def _margin_nm(row: Row) -> float:
    return 0.0 if row.margin_nm is None else min(row.margin_nm, MARGIN_MOST_NM)


def _approach_rows(rows: Sequence[Row]) -> list[Row]:
    """One row a second from the outermost place before the threshold to one mile beyond it."""
    kept = [row for row in every_second(rows) if row.along_nm > BEYOND_NM]
    if not kept:
        return []
    outermost = max(range(len(kept)), key=lambda place: kept[place].along_nm)
    return kept[outermost:]


def _configured(debrief: Debrief, far_nm: float) -> tuple[tuple[float, str], ...]:
    """Where flap and gear levers were moved, up to a go-around or the first touch of the ground."""
    names = [stage.name for stage in debrief.exercise.aircraft.flaps]
    steps: list[tuple[float, str]] = []
    for before, row in pairwise(debrief.rows):
        if row.is_on_ground or row.modes.vertical == "GA":
            break
        if not BEYOND_NM < row.along_nm <= far_nm:
            continue
        if row.flap_lever != before.flap_lever:
            steps.append((row.along_nm, f"flap {names[row.flap_lever]}"))
        if row.gear_lever != before.gear_lever:
            steps.append((row.along_nm, "gear" if row.gear_lever == "down" else "gear up"))
    return tuple(steps)


def _marks(
    debrief: Debrief, far_nm: float, value: Callable[[Row], float], energy_only: bool = False
) -> tuple[Mark, ...]:
    """A mark for every item that has a place; slips carry the number of their finding.

    A slip that was done has a second mark where it should have been done at the latest.
    """
    marks: list[Mark] = []
    numbers = {id(item): place for place, item in enumerate(debrief.findings, start=1)}
    for item in debrief.judgement.items:
        step = place_step(item)
        if step is None or not 0 <= step < len(debrief.rows):
            continue
        if energy_only and "energy" not in item.touches:
            continue
        row = debrief.rows[step]
        if not BEYOND_NM < row.along_nm <= far_nm:
            continue
        right = _right_step(item)
        if right is not None and right < len(debrief.rows):
            there = debrief.rows[right]
            if BEYOND_NM < there.along_nm <= far_nm:
                at = (there.along_nm, value(there))
                marks.append(Mark(at, "right here", None, f"{item.item}: right here"))
        text = f"{item.item}: {verdict_of(item)}"
        at = (row.along_nm, value(row))
        marks.append(Mark(at, item.verdict, numbers.get(id(item)), text))
    return tuple(marks)


def _right_step(item: ItemVerdict) -> int | None:
    """The step at which a late, wrong or early item would have been right; None for others."""
    if item.verdict == "early":
        return item.opened
    return item.due if item.verdict in ("late", "wrong") else None
