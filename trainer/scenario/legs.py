"""Legs of the airport file as values: fixes to fly to, straight or round an arc.

Owns which places a leg may name and what makes an arc one. Refuses to know approaches. The
surprising rule: an arc needs the leg before it, because only its end is written.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from trainer.scenario import exercise as values
from trainer.scenario.fields import Fields
from trainer.scenario.reading import Reading
from trainer.units import NM
from trainer.world.arcs import Arc, lay

_LEG_LIMIT = 60


class Places(NamedTuple):
    """What a leg may name: fixes to fly to, and points (x, y in m) to fly round."""

    fixes: dict[str, values.Fix]
    centers: dict[str, tuple[float, float]]


def centers(
    fixes: dict[str, values.Fix],
    stations: tuple[values.Station, ...],
    localizer: values.Localizer,
    dme: values.DmeStation | None,
) -> dict[str, tuple[float, float]]:
    """What an arc may lie round, by its name: every fix and every station."""
    found = {fix.name: (fix.x_m, fix.y_m) for fix in fixes.values()}
    found |= {station.ident: (station.x_m, station.y_m) for station in stations}
    if dme is not None:
        found[localizer.ident] = (dme.x_m, dme.y_m)
    return found


def legs_of(
    legs: tuple[Fields, ...], places: Places, reading: Reading, begin: values.Fix | None = None
) -> tuple[values.Leg, ...]:
    """The legs as values; `begin` is the fix that the first one leaves, if it is known."""
    built: list[values.Leg] = []
    for fields in legs[:_LEG_LIMIT]:
        name = fields.text("fix")
        fix = places.fixes.get(name)
        if fix is None:
            reading.unknown(fields.at("fix"), "unknown fix", name, places.fixes)
            continue
        before = built[-1].fix if built else begin
        if fix is before:
            reading.refuse(
                fields.at("fix"), f"the leg to {fix.name} begins there, too; expected another fix"
            )
            continue
        at_ft, above_ft = fields.maybe("at"), fields.maybe("above")
        constraint = "at" if at_ft is not None else "above" if above_ft is not None else ""
        altitude_ft = at_ft if at_ft is not None else above_ft
        speed_kt = fields.maybe("speed") or 0.0
        arc, center = _arc(fields, before, fix, places, reading)
        built.append(values.Leg(fix, constraint, altitude_ft or 0.0, speed_kt, arc, center))
    return tuple(built)


def _arc(
    leg: Fields, begin: values.Fix | None, end: values.Fix, places: Places, reading: Reading
) -> tuple[Arc | None, str]:
    """The arc of a leg and what stands in its centre; (None, "") for a straight one."""
    fields = leg.record("arc")
    if fields is None or not fields.is_sound:
        return None, ""
    name = fields.text("round")
    center = places.centers.get(name)
    if center is None:
        reading.unknown(fields.at("round"), "unknown fix or station", name, places.centers)
        return None, ""
    if begin is None:
        reading.refuse(
            leg.at("arc"), f"the arc to {end.name} begins nowhere; expected a leg before it"
        )
        return None, ""
    arc = Arc(*center, fields.text("turn") == "right")
    try:
        lay(arc, begin.x_m, begin.y_m, end.x_m, end.y_m)
    except ValueError:
        away_nm = [
            math.hypot(fix.x_m - center[0], fix.y_m - center[1]) / NM for fix in (begin, end)
        ]
        reading.refuse(
            leg.at("arc"),
            f"{begin.name} is {away_nm[0]:.2f} NM and {end.name} {away_nm[1]:.2f} NM from {name}; "
            "expected the same distance",
        )
        return None, ""
    return arc, name
