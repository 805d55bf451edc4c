"""Moments of an exercise that cannot come.

Owns what can be said of one moment without flying: a distance beyond everything that is flown, a
fix that is not on the way, a clearance that nobody gives, a mode that the type does not have, two
events of which only one is chosen. Surprising rule: it looks only at what an exercise writes itself
(its events, the items it adds); a flow serves many exercises, and one of its items may well never
open in this one.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from itertools import combinations

from trainer.errors import sentence_of
from trainer.scenario.exercise import Approach, Choose, Event, Exercise
from trainer.scenario.moments import (
    AllOf,
    AnyOf,
    Compare,
    Figure,
    Happened,
    Held,
    Later,
    Moment,
    Shows,
    Then,
    requirements,
)
from trainer.scenario.quantities import plain_number
from trainer.text import quoted
from trainer.units import FT, NM
from trainer.values import dataclass
from trainer.world.aircraft import AircraftType

RADIO_LIMIT_FT = 2500.0
"""Greatest height that a radio altimeter shows, ft (common practice)."""
_ROUNDING_NM = 0.1


@dataclass(frozen=True, slots=True)
class Reach:
    """How far, high and fast an exercise can come, and what happens in it.

    Distances NM: to the threshold, and of the DME (None without one). Altitudes ft, speed kt.
    `fixes`: those ahead of the start and of the missed approach. `figures`: named values that do
    not change in flight. `choices`: names of events of which only one of each group happens.
    """

    farthest_nm: float
    farthest_dme_nm: float | None
    highest_ft: float
    elevation_ft: float
    kind: AircraftType
    fixes: tuple[str, ...]
    grants: tuple[str, ...]
    has_glide_path: bool
    figures: Mapping[str, float]
    events: Mapping[str, Moment]
    choices: tuple[tuple[str, ...], ...]


def reach_of(exercise: Exercise, events: Sequence[Event] | None = None) -> Reach:
    """The reach of an exercise, with every doubt in favour of what its author wrote.

    events: what may happen, where it is more than what a draw has left of it.
    """
    events = exercise.events if events is None else events
    approach, start = exercise.approach, exercise.start
    legs = (*exercise.legs_ahead, *approach.missed_legs)
    places = [(start.x_m, start.y_m), *((leg.fix.x_m, leg.fix.y_m) for leg in legs)]
    heights = [start.altitude_ft, start.selected_altitude_ft, approach.missed_altitude_ft]
    heights += [leg.altitude_ft for leg in legs]
    for event in events:
        heights += [float(value) for name, value in event.slots if name == "altitude"]
    glides = (approach.glideslope, *(station.glideslope for station in exercise.airport.stations))
    return Reach(
        farthest_nm=max(math.hypot(x_m, y_m) for x_m, y_m in places) / NM,
        farthest_dme_nm=_farthest_dme_nm(approach, places, max(heights)),
        highest_ft=max(heights),
        elevation_ft=approach.runway.elevation_ft,
        kind=exercise.aircraft,
        fixes=(*(leg.fix.name for leg in legs), f"RW{approach.runway.name}"),
        grants=tuple(event.grants for event in events if event.grants),
        has_glide_path=any(glide is not None and glide.is_transmitted for glide in glides),
        figures={
            **exercise.speed_figures(True),
            **exercise.minimum_figures(""),
            **exercise.figures(),
        },
        events={event.name: event.when for event in events},
        choices=tuple(one.options for one in exercise.variations if isinstance(one, Choose)),
    )


def _farthest_dme_nm(
    approach: Approach, places: list[tuple[float, float]], highest_ft: float
) -> float | None:
    """The greatest reading of the DME of the approach: slant range, less its zero."""
    if approach.dme is None:
        return None
    dme = approach.dme
    out_m = max(math.hypot(x_m - dme.x_m, y_m - dme.y_m) for x_m, y_m in places)
    return math.hypot(out_m, (highest_ft - dme.height_ft) * FT) / NM - dme.zero_offset_nm


def never(moment: Moment | None, reach: Reach, event: str = "") -> str:
    """Why `moment` can never be true in an exercise of this reach; "" if it may.

    event: the name of the event that happens then, if one does.
    """
    return _alone(moment, reach) or _excluded(moment, reach, event)


def _alone(moment: Moment | None, reach: Reach) -> str:
    match moment:
        case Compare():
            return _compared(moment, reach)
        case Shows():
            return _shown(moment, reach)
        case Happened("passed", name) if name not in reach.fixes:
            return (
                f"{name} is not on the way from the start; expected one of "
                f"{sentence_of(reach.fixes)}"
            )
        case Happened("granted", name) if name not in reach.grants:
            given = sentence_of(reach.grants) or "nothing"
            return f"no event grants {quoted(name)}; granted is {given}"
        case AllOf(children) | Then(children):
            return next((why for child in children if (why := _alone(child, reach))), "")
        case AnyOf(children):
            reasons = [_alone(child, reach) for child in children]
            return reasons[0] if reasons and all(reasons) else ""
        case Held(child, _) | Later(child, _, _):
            return _alone(child, reach)
    return ""


def _excluded(moment: Moment | None, reach: Reach, event: str) -> str:
    """Why not: it needs two events of which any seed chooses only one."""
    events = [*_needed_events(moment, reach.events), event]
    for options in reach.choices:
        for first, second in combinations([name for name in events if name in options], 2):
            return (
                f"it needs {quoted(first)} and {quoted(second)}, and only one event of a choose: "
                "happens; expected one of them, or two lines of choose:"
            )
    return ""


def _needed_events(moment: Moment | None, events: Mapping[str, Moment]) -> list[str]:
    """Names of the events that `moment` needs, and of those that they need."""
    found: list[str] = []
    waiting = [moment]
    while waiting:
        for need in requirements(waiting.pop()):
            if need.kind == "event" and need.name in events and need.name not in found:
                found.append(need.name)
                waiting.append(events[need.name])
    return found


def value_of(figure: Figure, figures: Mapping[str, float]) -> float | None:
    """The value of a figure in the unit of its subject; None if it changes in flight."""
    if not figure.name:
        return figure.value
    base = figures.get(figure.name)
    return None if base is None else base + figure.value


def _compared(moment: Compare, reach: Reach) -> str:
    if moment.subject == "dme" and reach.farthest_dme_nm is None:
        return "this approach has no DME"
    value = value_of(moment.figure, reach.figures)
    # A level below something is reached somewhere; all else needs the value itself, from above
    # or from below.
    if value is None or moment.relation in ("below", "every"):
        return ""
    match moment.subject:
        case "distance" if value > reach.farthest_nm:
            return (
                f"the flight is never {_number(value)} NM out; the farthest point is "
                f"{reach.farthest_nm:.1f} NM"
            )
        case "dme" if value > (reach.farthest_dme_nm or 0.0) + _ROUNDING_NM:
            return (
                f"the DME never shows {_number(value)} NM; at the farthest point it shows "
                f"{reach.farthest_dme_nm:.1f} NM"
            )
        case "altitude" if value > reach.highest_ft:
            return _too_high(value, "ft", reach.highest_ft)
        case "height" if value > reach.highest_ft - reach.elevation_ft:
            return _too_high(value, "ft above the field", reach.highest_ft - reach.elevation_ft)
        case "radio height" if value > RADIO_LIMIT_FT:
            return (
                f"the radio altimeter shows no {_number(value)} ft; expected at most "
                f"{RADIO_LIMIT_FT:.0f} ft"
            )
        case "speed" if value > reach.kind.max_speed_kt:
            return (
                f"the type is never at {_number(value)} kt; its limit is "
                f"{plain_number(reach.kind.max_speed_kt)} kt"
            )
    return ""


def _shown(moment: Shows, reach: Reach) -> str:
    """Why a state is never shown: what sends it, or what shows it, is not there."""
    if moment.subject == "signal" and moment.key == "glideslope":
        sent = ("covered", "received", "alive", "flagged", "identified")
        if not reach.has_glide_path and all(value in sent for value in moment.values):
            return "this approach sends no glide path, and no other station here does"
    if moment.subject == "mode" and moment.values:
        lacking = [_lacking(moment.key, word, reach.kind) for word in moment.values]
        return lacking[0] if all(lacking) else ""
    return ""


def _lacking(column: str, word: str, kind: AircraftType) -> str:
    """Why the annunciator of a type never shows `word`; "" if it may."""
    options = kind.guidance
    never_shown = {
        "PASSIVE": options.capability_ft <= 0.0,
        "OPERATIONAL": options.capability_ft <= 0.0,
        "AP BOTH": options.autopilots < 2,
        "ALIGN": options.align_ft <= 0.0,
        "ROLLOUT": not options.rollout_fitted,
    }
    if not never_shown.get(word, False):
        return ""
    return f"{kind.title} never shows {column} {word}; it has no automatic landing of that kind"


def _too_high(value: float, unit: str, highest: float) -> str:
    asked, top = _number(value), _number(highest)
    return f"the flight is never at {asked} {unit}; the highest is {top} {unit}"


def _number(value: float) -> str:
    """A value to tell: whole unless it was written finer than a tenth."""
    return plain_number(round(value, 1))
