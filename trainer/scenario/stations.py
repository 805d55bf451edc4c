"""Every station of an airport file that can be tuned, laid out in the plane of one threshold.

Owns what a further station is made of, and the rule that no frequency is used twice. Refuses to
know receivers. The surprising rule: the localizers of the *other* approaches are stations too, so
that a wrong frequency receives a real signal of somewhere else.
"""

from __future__ import annotations

from dataclasses import replace

from trainer.scenario.exercise import Glideslope, Localizer, Station
from trainer.scenario.fields import Fields
from trainer.scenario.reading import Reading
from trainer.text import quoted
from trainer.world.earth import Plane


def localizer_of(fields: Fields) -> Localizer:
    """The localizer in the record `localizer` of an approach, or in that of a station."""
    return Localizer(
        frequency=frequency_of(fields),
        ident=fields.text("ident"),
        course_deg=fields.number("course"),
        antenna_to_threshold_m=fields.number("antenna to threshold"),
        transmission=fields.text("state"),
        has_back_course=fields.flag("back course"),
        false_course_deg=fields.maybe("false course") or 0.0,
    )


def frequency_of(fields: Fields) -> str:
    """The frequency (MHz) as it is tuned, with two decimals."""
    return f"{fields.number('frequency'):.2f}"


def further_stations(
    airport: Fields, own: Fields, plane: Plane, reading: Reading
) -> tuple[Station, ...]:
    """Stations besides that of the approach `own`: of other approaches, then those listed.

    Approaches that share one localizer are one station. A second station on a frequency is a
    problem of the file.
    """
    used: dict[str, str] = {}
    found: list[Station] = []
    mine = own.record("localizer")  # None on an RNP final
    if mine is not None:
        used[frequency_of(mine)] = mine.text("ident")
    for approach in airport.records("approaches"):
        localizer = approach.record("localizer")
        if localizer is None or used.get(frequency_of(localizer)) == localizer.text("ident"):
            continue
        if _is_free(localizer, "ident", used, reading):
            station = _of_approach(airport, approach, plane)
            if station is not None:
                found.append(station)
    for fields in airport.records("stations"):
        if _is_free(fields, "station", used, reading):
            station = _listed(fields, plane, reading)
            if station is not None:
                found.append(station)
    return tuple(found)


def _is_free(fields: Fields, name: str, used: dict[str, str], reading: Reading) -> bool:
    frequency = frequency_of(fields)
    if frequency in used:
        reading.refuse(
            fields.at("frequency"),
            f"{frequency} MHz is the frequency of {quoted(used[frequency])} already; expected "
            "another",
        )
        return False
    used[frequency] = fields.text(name)
    return True


def _of_approach(airport: Fields, approach: Fields, plane: Plane) -> Station | None:
    glide = approach.record("glideslope")
    for runway in airport.records("runways"):
        if runway.text("runway") == approach.text("runway"):
            localizer = localizer_of(approach.part("localizer"))
            x_m, y_m = plane.locate(*runway.position("threshold"))
            dme = approach.record("dme")
            return Station(
                frequency=localizer.frequency,
                ident=localizer.ident,
                x_m=x_m,
                y_m=y_m,
                height_ft=runway.number("elevation"),
                localizer=localizer,
                glideslope=_glideslope(glide) if glide and glide.flag("transmitted") else None,
                dme_zero_nm=None if dme is None else dme.number("zero offset"),
                transmission=localizer.transmission,
            )
    return None


def _listed(fields: Fields, plane: Plane, reading: Reading) -> Station | None:
    kind = fields.text("kind")
    is_localizer = kind.startswith(("ILS", "localizer"))
    if is_localizer and "course" not in fields:
        reading.refuse(fields.node, f"{kind} without course:; expected its front course")
        return None
    x_m, y_m = plane.locate(*fields.position("position"))
    frequency, ident = frequency_of(fields), fields.text("station")
    return Station(
        frequency=frequency,
        ident=ident,
        x_m=x_m,
        y_m=y_m,
        height_ft=fields.number("height"),
        localizer=replace(localizer_of(fields), ident=ident) if is_localizer else None,
        glideslope=_glideslope(fields) if kind.startswith("ILS") else None,
        is_vor=kind.startswith("VOR"),
        dme_zero_nm=fields.number("zero offset") if kind.endswith("DME") else None,
        transmission=fields.text("state"),
    )


def _glideslope(fields: Fields) -> Glideslope:
    return Glideslope(fields.number("angle"), fields.number("crossing height"))
