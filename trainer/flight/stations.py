"""The stations of an exercise as the receivers on board see them, by frequency.

Turns values into stations of `world`, in the plane of the approach's threshold. Owns no state.
"""

from __future__ import annotations

from dataclasses import replace

from trainer.scenario import exercise as values
from trainer.scenario.exercise import Exercise
from trainer.units import DEG, FT, NM
from trainer.values import dataclass
from trainer.world.coverage import Coverage
from trainer.world.dme import DmeStation
from trainer.world.glide import GlideBeam
from trainer.world.localizer import LocalizerBeam
from trainer.world.receiver import Station
from trainer.world.reception import radiates
from trainer.world.sites import Displaced, FalseCourse
from trainer.world.vor import VorStation


@dataclass(frozen=True, slots=True)
class Tuned:
    """What one frequency sends; None for what it does not.

    ident: "" while none is sent. course_rad: front course of the localizer. angle_rad: of its
    glide path. is_approach: the station of the approach that is flown.
    """

    ident: str
    localizer: Station | None
    glide: Station | None
    vor: VorStation | None
    dme: DmeStation | None
    course_rad: float
    angle_rad: float
    is_approach: bool


NOTHING = Tuned("", None, None, None, None, 0.0, 0.0, False)
"""A frequency on which nobody sends."""


def stations_by_frequency(
    exercise: Exercise,
    coverage: Coverage,
    localizer: LocalizerBeam,
    glide: GlideBeam | None,
    dme: DmeStation | None,
) -> dict[str, Tuned]:
    """Every station of the airport by its frequency; the approach's own from its beams."""
    approach = exercise.approach
    own = approach.localizer
    found: dict[str, Tuned] = {}
    if own.frequency:
        sent = Tuned(
            own.ident,
            _sited(localizer, own),
            glide,
            None,
            dme,
            localizer.course_rad,
            glide.angle_rad if glide else 0.0,
            True,
        )
        found[own.frequency] = _silenced(sent, own.transmission)
    plane_m = approach.runway.elevation_ft * FT
    for station in exercise.airport.stations:
        found[station.frequency] = _silenced(
            _elsewhere(station, station.height_ft * FT - plane_m, coverage), station.transmission
        )
    return found


def beam_of(localizer: values.Localizer, coverage: Coverage) -> LocalizerBeam:
    """A localizer whose threshold is the origin."""
    return LocalizerBeam(
        localizer.course_deg * DEG,
        localizer.antenna_to_threshold_m,
        coverage,
        has_back_course=localizer.has_back_course,
    )


def _sited(beam: LocalizerBeam, localizer: values.Localizer) -> Station:
    if not localizer.false_course_deg:
        return beam
    return FalseCourse(beam, localizer.false_course_deg * DEG)


def _silenced(tuned: Tuned, transmission: str) -> Tuned:
    """The station as it sends: without ident in maintenance, nothing at all when failed."""
    if not radiates(transmission):
        return replace(NOTHING, is_approach=tuned.is_approach)
    return tuned if transmission == "normal" else replace(tuned, ident="")


def _elsewhere(station: values.Station, height_m: float, coverage: Coverage) -> Tuned:
    x_m, y_m = station.x_m, station.y_m
    localizer, slope = station.localizer, station.glideslope
    course_rad = localizer.course_deg * DEG if localizer else 0.0
    angle_rad = slope.angle_deg * DEG if slope else 0.0
    beam: Station | None = None
    if localizer:
        beam = Displaced(_sited(beam_of(localizer, coverage), localizer), x_m, y_m, height_m)
    glide: Station | None = None
    if slope:
        path = GlideBeam(course_rad, angle_rad, slope.crossing_ft * FT, coverage)
        glide = Displaced(path, x_m, y_m, height_m)
    zero_nm = station.dme_zero_nm
    return Tuned(
        station.ident,
        beam,
        glide,
        VorStation(x_m, y_m, height_m) if station.is_vor else None,
        None if zero_nm is None else DmeStation(x_m, y_m, height_m, zero_nm * NM),
        course_rad,
        angle_rad,
        False,
    )
