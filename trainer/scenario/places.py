"""Where an exercise happens as values: an airport, one approach to it, its legs and its aids.

Positions in metres in the plane of the landing threshold (x magnetic east, y magnetic north), all
else in flight-deck units.
"""

from __future__ import annotations

from trainer.values import dataclass
from trainer.world.arcs import Arc


@dataclass(frozen=True, slots=True)
class Fix:
    """A named place: metres in the plane, straight-line distance to the threshold (NM)."""

    name: str
    x_m: float
    y_m: float
    distance_nm: float


@dataclass(frozen=True, slots=True)
class Leg:
    """A leg to a fix: altitude constraint (ft; "at", "above" or "" for none), speed limit (kt).

    arc: the way round to it instead of a straight one; round: what stands in its centre.
    """

    fix: Fix
    constraint: str = ""
    altitude_ft: float = 0.0
    speed_limit_kt: float = 0.0
    arc: Arc | None = None
    round: str = ""


@dataclass(frozen=True, slots=True)
class Localizer:
    """Localizer of an approach: frequency MHz as text, ident, front course, antenna distance.

    An RNP final has none: frequency and ident are then "", and only the course means something.

    transmission: "normal", "maintenance" (no ident) or "failed". false_course_deg: where outside
    the sector the needle centres as well (0 = nowhere).
    """

    frequency: str
    ident: str
    course_deg: float
    antenna_to_threshold_m: float
    transmission: str = "normal"
    has_back_course: bool = False
    false_course_deg: float = 0.0


@dataclass(frozen=True, slots=True)
class Glideslope:
    """Glide path of an approach: angle (°), threshold crossing height (ft).

    Not transmitted: the published descent path of an approach by the localizer alone.
    """

    angle_deg: float
    crossing_ft: float
    is_transmitted: bool = True


@dataclass(frozen=True, slots=True)
class RnpFinal:
    """A final flown by navigation position: the navigation performance that it requires (NM).

    service: best level of service it is published for ("LPV", "LNAV/VNAV" or "LNAV"). lowest_c,
    highest_c: field temperatures (°C) between which its barometric path may be flown.
    descent_minimum_ft: what is published for LNAV below a better service, None for nothing;
    minimums_ft: with the add-on, as it is flown.
    """

    required_nm: float
    service: str
    lowest_c: float
    highest_c: float
    descent_minimum_ft: float | None = None
    minimums_ft: float | None = None

    @property
    def is_barometric(self) -> bool:
        """Its path is one of the altimeter, straight in altitude."""
        return self.service == "LNAV/VNAV"


@dataclass(frozen=True, slots=True)
class DmeStation:
    """Ranging station paired with a frequency: place, height (ft), reading subtracted (NM)."""

    frequency: str
    x_m: float
    y_m: float
    height_ft: float
    zero_offset_nm: float


@dataclass(frozen=True, slots=True)
class Station:
    """A further station that can be tuned: a localizer (perhaps with a glide path), VOR or DME.

    x_m, y_m: antenna, or the threshold that a localizer serves; height_ft: of that place.
    localizer: None for a VOR or a DME alone. is_vor: whether it sends radials. dme_zero_nm: None
    without ranging.
    """

    frequency: str
    ident: str
    x_m: float
    y_m: float
    height_ft: float
    localizer: Localizer | None = None
    glideslope: Glideslope | None = None
    is_vor: bool = False
    dme_zero_nm: float | None = None
    transmission: str = "normal"


@dataclass(frozen=True, slots=True)
class Runway:
    """A landing runway: course ° magnetic, length m, threshold elevation ft, approach lights."""

    name: str
    course_deg: float
    length_m: float
    elevation_ft: float
    lights: str
    latitude_deg: float
    longitude_deg: float


@dataclass(frozen=True, slots=True)
class Approach:
    """One instrument approach: aids, coded legs to the threshold, minimums, missed approach."""

    name: str
    runway: Runway
    localizer: Localizer
    glideslope: Glideslope
    dme: DmeStation | None
    legs: tuple[Leg, ...]
    final_fix: Fix
    glide_check_altitude_ft: float
    minimums_ft: float
    missed_altitude_ft: float
    missed_legs: tuple[Leg, ...]
    steps: tuple[Leg, ...] = ()
    descent_minimum_ft: float | None = None
    rnp: RnpFinal | None = None

    def lower_minimums_ft(self, service: str) -> float | None:
        """Where the decision falls once `service` is LNAV; None where nothing else holds then."""
        return None if self.rnp is None or service != "LNAV" else self.rnp.minimums_ft

    def minimums_in_use_ft(self, service: str) -> float:
        """The altitude of the decision with this level of service shown."""
        lower_ft = self.lower_minimums_ft(service)
        return self.minimums_ft if lower_ft is None else lower_ft

    def floors(self) -> tuple[tuple[str, float], ...]:
        """Step minima in their order: the fix up to which each holds, and the altitude in ft.

        Behind the last fix ("") the published minimum holds.
        """
        lowest_ft = self.minimums_ft if self.descent_minimum_ft is None else self.descent_minimum_ft
        legs = [leg for leg in (*self.legs, *self.steps) if leg.constraint]
        return (*((leg.fix.name, leg.altitude_ft) for leg in legs), ("", lowest_ft))


@dataclass(frozen=True, slots=True)
class Airport:
    """A fictional aerodrome: code QX.., elevation, variation (° east), coverage profile name."""

    code: str
    name: str
    elevation_ft: float
    variation_deg: float
    coverage: str
    transition_altitude_ft: float
    fixes: tuple[Fix, ...]
    stations: tuple[Station, ...] = ()
