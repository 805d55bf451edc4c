"""The rest of an exercise as values: house, weather and start.

Owns where the flight begins and which final approach speed belongs to mass and wind. Surprising
rule: the start lies on the leg into its fix; before the first fix, on the leg that leaves it,
extended backwards.
"""

from __future__ import annotations

import math
from functools import lru_cache

from trainer.errors import hint
from trainer.scenario.exercise import Approach, House, Leg, Speeds, Start, Weather, WindLayer
from trainer.scenario.fields import Fields, read
from trainer.scenario.figures import quantity
from trainer.scenario.happenings import visual_ranges
from trainer.scenario.nodes import Mapping, Node, Sequence
from trainer.scenario.quantities import plain_number
from trainer.scenario.reading import Reading
from trainer.scenario.references import Names
from trainer.text import quoted
from trainer.units import DEG, NM, bearing_deg
from trainer.world.aircraft import AircraftType
from trainer.world.speeds import final_speed_kt
from trainer.world.turbulence import INTENSITY_KT

LIMIT_UNITS = {
    "speed above": "kt", "speed below": "kt", "sink rate": "ft/min", "localizer": "dot",
    "glideslope": "dot", "bank": "deg", "track": "dot", "path": "ft",
}  # fmt: skip
"""The call limits that a house may set, with their units."""


def house(name: str, fields: Fields, reading: Reading, *, is_tried: bool = False) -> House:
    """The house words in `fields`; problems of phrases are noted at their place.

    `is_tried`: these phrases are known to be heard as what they mean.
    """
    phrases = fields.named_texts("words")
    short = fields.named_text("short")
    for intent, spoken in phrases.items():
        if not spoken:
            message = f"{quoted(intent)} has no phrase; expected at least one way to say it"
            reading.refuse(_at_path(fields.node, f"words.{intent}"), message)
    if not is_tried:
        for where, message in _problems(tuple(phrases.items()), tuple(short.items())):
            reading.refuse(_at_path(fields.node, where), message)
    if "house" in fields and fields.text("house") != name:
        reading.refuse(
            fields.at("house"),
            f"the house is called {quoted(fields.text('house'))} and its file {quoted(name)}; "
            "expected one name",
        )
    limits: list[tuple[str, float]] = []
    node = fields.at("limits")
    for key, text in sorted(fields.named_text("limits").items()):
        if key not in LIMIT_UNITS:
            at = node.key_node(key) if isinstance(node, Mapping) else node
            reading.unknown(at, "there is no call limit", key, LIMIT_UNITS)
            continue
        at = (node.get(key) if isinstance(node, Mapping) else None) or node
        value = quantity(at, text, LIMIT_UNITS[key], 0.0, 10000.0, reading)
        if value is not None:
            limits.append((key, value))
    return House(
        name=name,
        words=tuple(sorted(phrases.items())),
        short=tuple(sorted(short.items())),
        limits=tuple(limits),
    )


@lru_cache(maxsize=16)
def _problems(
    phrases: tuple[tuple[str, tuple[str, ...]], ...], short: tuple[tuple[str, str], ...]
) -> tuple[tuple[str, str], ...]:
    # A third of the time of composing an exercise; a house is the same for all of its exercises.
    from trainer.scenario.phrase_check import phrase_problems

    return phrase_problems(dict(phrases), dict(short))


def _at_path(node: Node, path: str) -> Node:
    head, _, rest = path.partition(".")
    found = node.get(head) if isinstance(node, Mapping) else None
    if found is None:
        return node
    if not rest or not isinstance(found, Mapping):
        return found
    # An intent may hold dots itself, so the whole rest is tried before its number is cut off.
    name, _, place = rest.rpartition(".")
    inner = found.get(rest)
    if inner is not None:
        return found.key_node(rest)
    inner = found.get(name)
    if isinstance(inner, Sequence) and place.isdigit() and 1 <= int(place) <= len(inner.items):
        return inner.items[int(place) - 1]
    return inner if inner is not None else found


def weather(fields: Fields | None, at: Mapping, reading: Reading) -> Weather | None:
    """The weather in `fields` (None = all defaults); None if it was not read soundly."""
    if fields is None:
        empty = Mapping(at.source, at.line, at.column, ())
        fields = read(empty, "weather", reading)
        assert fields is not None
    layers: list[WindLayer] = []
    for layer in fields.records("wind"):
        if not layer.is_sound:
            continue
        height_ft = layer.number("height")
        if layers and height_ft <= layers[-1].height_ft:
            reading.refuse(
                layer.at("height"),
                f"the wind at {plain_number(height_ft)} ft is not above the layer before; "
                "expected layers from the ground upwards",
            )
        layers.append(WindLayer(height_ft, layer.number("from"), layer.number("speed")))
    if not fields.is_sound:
        return None
    return Weather(
        qnh_hpa=fields.number("qnh"),
        temperature_c=fields.number("temperature"),
        ceiling_ft=fields.maybe("ceiling"),
        visibility_m=fields.number("visibility"),
        wind=tuple(layers),
        runway=fields.text("runway"),
        lights_on=fields.text("lights") == "on",
        turbulence_kt=INTENSITY_KT[fields.text("turbulence")],
        runway_ranges_m=visual_ranges(fields.record("visual range")),
        is_icing=fields.text("icing") == "yes",
    )


def start(
    fields: Fields,
    approach: Approach | None,
    aircraft: AircraftType | None,
    air: Weather | None,
    names: Names,
    reading: Reading,
) -> Start | None:
    """Where and how the flight begins, or None with problems noted.

    Whatever is missing (None, or a value that was not read) only leaves out its own checks.
    """
    before = reading.refusals
    index = None if approach is None else _leg_index(fields, approach, reading)
    if aircraft is not None:
        _check_machine(fields, aircraft, names, reading)
    if approach is None or index is None or aircraft is None or air is None:
        return None
    if reading.refusals > before or not fields.is_sound:
        return None
    x_m, y_m, heading_deg = _position(fields, approach.legs, index)
    stage = aircraft.flaps[aircraft.stage_index(names.stage(fields.text("flaps")))]
    mass_t = fields.maybe("mass")
    altitude_ft = fields.number("altitude")
    selected_ft = fields.maybe("selected altitude")
    altimeter_hpa = fields.maybe("altimeter")
    return Start(
        x_m=x_m,
        y_m=y_m,
        heading_deg=heading_deg,
        altitude_ft=altitude_ft,
        speed_kt=fields.number("speed"),
        flaps=stage.name,
        gear=_gear(fields, aircraft),
        mass_t=aircraft.mass_typical_t if mass_t is None else mass_t,
        selected_altitude_ft=altitude_ft if selected_ft is None else selected_ft,
        altimeter_hpa=air.qnh_hpa if altimeter_hpa is None else altimeter_hpa,
        next_fix=fields.text("before"),
        leaving_fuel_t=fields.maybe("leaving fuel") or 0.0,
        lateral=fields.text("lateral"),
        vertical=fields.text("vertical"),
        armed=fields.text("armed"),
    )


def _gear(fields: Fields, aircraft: AircraftType) -> str:
    return fields.text("gear") or ("down" if aircraft.gear.is_fixed else "up")


def _check_machine(fields: Fields, aircraft: AircraftType, names: Names, reading: Reading) -> None:
    mass_t = fields.maybe("mass")
    if mass_t is not None and not aircraft.mass_min_t <= mass_t <= aircraft.mass_max_t:
        reading.refuse(
            fields.at("mass"),
            f"{plain_number(mass_t)} t is out of bounds; expected {aircraft.mass_min_t:g} to "
            f"{aircraft.mass_max_t:g} t",
        )
    _check_modes(fields, aircraft, reading)
    if "flaps" not in fields:
        return
    flaps = fields.text("flaps")
    if flaps not in names.known("stage"):
        reading.unknown(fields.at("flaps"), "unknown flap stage", flaps, names.known("stage"))
        return
    if "speed" in fields:
        stage = aircraft.flaps[aircraft.stage_index(names.stage(flaps))]
        gear = _gear(fields, aircraft)
        _check_speed(fields, stage.limit_kt, stage.name, aircraft, gear, reading)
        _check_slow(fields, aircraft.stage_index(stage.name), aircraft, reading)


def _check_modes(fields: Fields, aircraft: AircraftType, reading: Reading) -> None:
    for key in ("vertical", "armed"):
        word = fields.text(key)
        if word in ("PATH", "GLIDE") and fields.text("lateral") != "LOC":
            message = f"{key}: {word} without the localizer; expected lateral: LOC"
            reading.refuse(fields.at(key), message)
        if word == "PATH" and aircraft.guidance.early_arming != "computed path":
            reading.refuse(
                fields.at(key), f"{key}: PATH on a type that computes no path; expected GLIDE"
            )


def _check_speed(
    fields: Fields,
    limit_kt: float | None,
    stage: str,
    aircraft: AircraftType,
    gear: str,
    reading: Reading,
) -> None:
    speed_kt = fields.number("speed")
    limits = [(aircraft.max_speed_kt, "the type"), (limit_kt, f"flap {stage}")]
    if gear == "down":
        limits.append((aircraft.gear.extended_limit_kt, "the gear down"))
    elif aircraft.gear.is_fixed:
        reading.refuse(fields.at("gear"), f"the gear of {aircraft.title} is fixed; expected down")
    for limit, what in limits:
        if limit is not None and speed_kt > limit:
            reading.refuse(
                fields.at("speed"),
                f"{plain_number(speed_kt)} kt is above the limit of {what}; "
                f"expected at most {plain_number(limit)} kt",
            )


def _check_slow(fields: Fields, stage: int, aircraft: AircraftType, reading: Reading) -> None:
    mass_t = fields.maybe("mass") or aircraft.mass_typical_t
    if not aircraft.mass_min_t <= mass_t <= aircraft.mass_max_t:
        return  # told already; a speed for it would only mislead
    slowest_kt = aircraft.manoeuvre_kt(mass_t, stage)
    speed_kt = fields.number("speed")
    if speed_kt < math.floor(slowest_kt):
        reading.refuse(
            fields.at("speed"),
            f"{plain_number(speed_kt)} kt is below the manoeuvring speed of flap "
            f"{aircraft.flaps[stage].name} at {mass_t:g} t; expected at least "
            f"{math.ceil(slowest_kt)} kt, or more flap",
        )


def _leg_index(fields: Fields, approach: Approach, reading: Reading) -> int | None:
    """Which leg leads to the fix of the start; None with a problem noted if none does."""
    if "before" not in fields:
        return None
    name = fields.text("before")
    found = [leg.fix.name for leg in approach.legs]
    if name in found:
        index = found.index(name)
        if approach.legs[index].arc is None:
            return index
        message = f"the leg to {name} is an arc; expected a start before a fix reached straight"
        reading.refuse(fields.at("before"), message)
        return None
    message = f"{quoted(name)} is on none of the legs{hint(name, found)}"
    reading.refuse(fields.at("before"), message)
    return None


def _position(fields: Fields, legs: tuple[Leg, ...], index: int) -> tuple[float, float, float]:
    fix = legs[index].fix
    if index > 0:
        before = legs[index - 1].fix
        east_m, north_m = fix.x_m - before.x_m, fix.y_m - before.y_m
    else:
        after = legs[1].fix if len(legs) > 1 else None
        ahead = (after.x_m, after.y_m) if after is not None else (0.0, 0.0)
        east_m, north_m = ahead[0] - fix.x_m, ahead[1] - fix.y_m
    heading_deg = fields.maybe("heading")
    if heading_deg is None:
        heading_deg = bearing_deg(math.atan2(east_m, north_m) / DEG)
    distance_m = fields.number("distance") * NM
    return (
        fix.x_m - distance_m * math.sin(heading_deg * DEG),
        fix.y_m - distance_m * math.cos(heading_deg * DEG),
        heading_deg,
    )


def speeds(aircraft: AircraftType, mass_t: float, air: Weather, course_deg: float) -> Speeds:
    """Reference and final approach speed of a type at a mass, by the table it has.

    The wind that counts is the steady one of the lowest layer.
    """
    reference_kt, head_kt = aircraft.reference_kt(mass_t), 0.0
    if air.wind:
        surface = air.wind[0]
        head_kt = surface.speed_kt * math.cos((surface.from_deg - course_deg) * DEG)
    return Speeds(aircraft, reference_kt, final_speed_kt(reference_kt, head_kt))
