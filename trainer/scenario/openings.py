"""Moments of an exercise that cannot come, and windows that are the wrong way round.

Owns what can be said of one moment without flying: a distance beyond everything that is flown, a
fix that is not on the way, a clearance that nobody gives. Surprising rule: it looks only at what an
exercise writes itself (its events, the items it adds); a flow serves many exercises, and one of its
items may well never open in this one.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from trainer.errors import sentence_of
from trainer.scenario.exercise import Exercise, Item
from trainer.scenario.moments import (
    AllOf,
    AnyOf,
    Compare,
    Happened,
    Held,
    Later,
    Moment,
    Then,
)
from trainer.scenario.quantities import plain_number
from trainer.text import quoted
from trainer.units import NM

SHRINKING = ("distance", "radio height", "height")
"""Quantities that shrink all the way to the runway."""
RADIO_LIMIT_FT = 2500.0
"""Greatest height that a radio altimeter shows, ft (common practice)."""


@dataclass(frozen=True, slots=True)
class Reach:
    """How far, high and fast an exercise can come, and what happens in it.

    Distances NM to the threshold, altitudes ft, speed kt. `fixes`: those ahead of the start, of the
    missed approach, and any near enough to be passed under vectors.
    """

    farthest_nm: float
    highest_ft: float
    elevation_ft: float
    fastest_kt: float
    fixes: tuple[str, ...]
    grants: tuple[str, ...]
    has_dme: bool


def reach_of(exercise: Exercise) -> Reach:
    """The reach of an exercise, with every doubt in favour of what its author wrote."""
    approach, start = exercise.approach, exercise.start
    names = [leg.fix.name for leg in approach.legs]
    ahead = names.index(start.next_fix) if start.next_fix else 0
    legs = (*approach.legs[ahead:], *approach.missed_legs)
    begun_nm = math.hypot(start.x_m, start.y_m) / NM
    farthest_nm = max(begun_nm, *(leg.fix.distance_nm for leg in legs))
    heights = [start.altitude_ft, start.selected_altitude_ft, approach.missed_altitude_ft]
    heights += [leg.altitude_ft for leg in legs]
    for event in exercise.events:
        heights += [float(value) for name, value in event.slots if name == "altitude"]
    return Reach(
        farthest_nm=farthest_nm,
        highest_ft=max(heights),
        elevation_ft=approach.runway.elevation_ft,
        fastest_kt=exercise.aircraft.max_speed_kt,
        fixes=(*(leg.fix.name for leg in legs), f"RW{approach.runway.name}"),
        grants=tuple(event.grants for event in exercise.events if event.grants),
        has_dme=approach.dme is not None,
    )


def never(moment: Moment | None, reach: Reach) -> str:
    """Why `moment` can never be true in an exercise of this reach; "" if it may."""
    match moment:
        case Compare():
            return _compared(moment, reach)
        case Happened("passed", name) if name not in reach.fixes:
            return (
                f"{name} is not on the way from the start; expected one of "
                f"{sentence_of(reach.fixes)}"
            )
        case Happened("granted", name) if name not in reach.grants:
            given = sentence_of(reach.grants) or "nothing"
            return f"no event grants {quoted(name)}; granted is {given}"
        case AllOf(children) | Then(children):
            return next((why for child in children if (why := never(child, reach))), "")
        case AnyOf(children):
            reasons = [never(child, reach) for child in children]
            return reasons[0] if reasons and all(reasons) else ""
        case Held(child, _) | Later(child, _, _):
            return never(child, reach)
    return ""


def _compared(moment: Compare, reach: Reach) -> str:
    if moment.figure.name:
        return ""
    value = moment.figure.value
    # A level below something is reached somewhere; all else needs the value itself, from above
    # or from below.
    if moment.relation in ("below", "every"):
        return "" if moment.subject != "dme" or reach.has_dme else "this approach has no DME"
    match moment.subject:
        case "distance" if value > reach.farthest_nm:
            return (
                f"the flight is never {plain_number(value)} NM out; the farthest point is "
                f"{reach.farthest_nm:.1f} NM"
            )
        case "altitude" if value > reach.highest_ft:
            return _too_high(value, "ft", reach.highest_ft)
        case "height" if value > reach.highest_ft - reach.elevation_ft:
            return _too_high(value, "ft above the field", reach.highest_ft - reach.elevation_ft)
        case "radio height" if value > RADIO_LIMIT_FT:
            return (
                f"the radio altimeter shows no {plain_number(value)} ft; expected at most "
                f"{RADIO_LIMIT_FT:.0f} ft"
            )
        case "speed" if value > reach.fastest_kt:
            return (
                f"the type is never at {plain_number(value)} kt; its limit is "
                f"{plain_number(reach.fastest_kt)} kt"
            )
        case "dme" if not reach.has_dme:
            return "this approach has no DME"
    return ""


def _too_high(value: float, unit: str, highest: float) -> str:
    asked, top = plain_number(value), plain_number(highest)
    return f"the flight is never at {asked} {unit}; the highest is {top} {unit}"


def misplaced(item: Item) -> tuple[str, str] | None:
    """The key of a window that stands the wrong way round, and why; None if all is in order."""
    due, closes = item.due, item.closes
    if isinstance(due, float) and isinstance(closes, float) and closes < due:
        return (
            "closes",
            f"{quoted(item.name)} closes {plain_number(closes)} s after it opens, before it is "
            f"due at {plain_number(due)} s; expected closes: no earlier than due:",
        )
    if _is_behind(item.opens, due):
        return (
            "due",
            f"{quoted(item.name)} is due before it opens; expected due: nearer to the runway than "
            "opens:",
        )
    if _is_behind(item.opens, item.aim):
        return (
            "aim",
            f"the aim of {quoted(item.name)} comes before it opens; expected aim: nearer to the "
            "runway than opens:",
        )
    if _is_shut(item):
        return (
            "opens",
            f"the window of {quoted(item.name)} is already closed when it opens; "
            "expected closes: after opens:",
        )
    return None


def _is_shut(item: Item) -> bool:
    return (
        isinstance(item.closes, Compare)
        and item.closes.relation == "below"
        and _is_behind(item.opens, item.closes)
    )


def _is_behind(opens: Moment, then: object) -> bool:
    """Whether `then` has always come when `opens` does: one quantity that shrinks all the way."""
    if not isinstance(opens, Compare) or not isinstance(then, Compare):
        return False
    if opens.subject != then.subject or opens.subject not in SHRINKING:
        return False
    if opens.figure.name or then.figure.name:
        return False
    falls = ("below", "falling")
    return (
        opens.relation in falls
        and then.relation in falls
        and then.figure.value >= opens.figure.value
    )
