"""An exercise as values: one airport, type, flow and house, composed, checked and frozen.

Everything the engine, the judge and the briefing need, in flight-deck units. Where it happens
stands in `places`, what the crew does in `procedure`; both are had from here. Built by
`scenario.compose`; this module knows no file and no rule.
"""

from __future__ import annotations

from dataclasses import field, replace

from trainer.scenario.moments import Moment
from trainer.scenario.places import Airport as Airport
from trainer.scenario.places import Approach as Approach
from trainer.scenario.places import DmeStation as DmeStation
from trainer.scenario.places import Fix as Fix
from trainer.scenario.places import Glideslope as Glideslope
from trainer.scenario.places import Leg as Leg
from trainer.scenario.places import Localizer as Localizer
from trainer.scenario.places import RnpFinal as RnpFinal
from trainer.scenario.places import Runway as Runway
from trainer.scenario.places import Station as Station
from trainer.scenario.procedure import Act as Act
from trainer.scenario.procedure import Checklist as Checklist
from trainer.scenario.procedure import ChecklistLine as ChecklistLine
from trainer.scenario.procedure import Criterion as Criterion
from trainer.scenario.procedure import Flow as Flow
from trainer.scenario.procedure import Gate as Gate
from trainer.scenario.procedure import House as House
from trainer.scenario.procedure import Item as Item
from trainer.scenario.procedure import Part as Part
from trainer.scenario.procedure import Watch as Watch
from trainer.scenario.procedure import When as When
from trainer.units import DEG, FT, NM
from trainer.values import dataclass
from trainer.world.aircraft import AircraftType
from trainer.world.path import path_height_m


@dataclass(frozen=True, slots=True)
class WindLayer:
    """Wind at a height above the field: direction it blows from (° magnetic), speed kt."""

    height_ft: float
    from_deg: float
    speed_kt: float


@dataclass(frozen=True, slots=True)
class Weather:
    """Weather to fly and decide on: QNH hPa, temperature °C at the field, ceiling ft, etc.

    ceiling_ft: None = no cloud. visibility_m: flight visibility. runway: "dry" or "wet".
    turbulence_kt: wind at 20 ft (0..60 kt) that sets its strength, 0 for none. runway_ranges_m:
    runway visual range at touchdown, midpoint, stop end; None where nothing is measured. is_icing:
    the type is flown by its icing speeds.
    """

    qnh_hpa: float
    temperature_c: float
    ceiling_ft: float | None
    visibility_m: float
    wind: tuple[WindLayer, ...]
    runway: str
    lights_on: bool
    turbulence_kt: float = 0.0
    runway_ranges_m: tuple[float | None, float | None, float | None] = (None, None, None)
    is_icing: bool = False

    def after(self, change: WeatherChange) -> Weather:
        """This weather with what `change` says in place of its own."""
        lights_on, ranges_m = change.lights_on, change.runway_ranges_m
        return replace(
            self,
            ceiling_ft=self.ceiling_ft if change.ceiling_ft is None else change.ceiling_ft,
            visibility_m=self.visibility_m if change.visibility_m is None else change.visibility_m,
            lights_on=self.lights_on if lights_on is None else lights_on,
            runway_ranges_m=self.runway_ranges_m if ranges_m is None else ranges_m,
            is_icing=self.is_icing or change.is_icing,
        )


@dataclass(frozen=True, slots=True)
class WeatherChange:
    """What is different from an event on; None = as before. Units as in `Weather`.

    is_icing: ice is met, and stays on the aircraft.
    """

    ceiling_ft: float | None = None
    visibility_m: float | None = None
    lights_on: bool | None = None
    runway_ranges_m: tuple[float | None, float | None, float | None] | None = None
    is_icing: bool = False


@dataclass(frozen=True, slots=True)
class Start:
    """Where and how the flight begins: place in the plane, altitude, speed, configuration.

    `next_fix`: the coded fix ahead ("" = the first of the approach). `lateral`, `vertical` and
    `armed`: the annunciator; with LOC the receivers are set up and identified. `leaving_fuel_t`:
    fuel with which the field is left for the alternate, 0 = none briefed.
    """

    x_m: float
    y_m: float
    heading_deg: float
    altitude_ft: float
    speed_kt: float
    flaps: str
    gear: str
    mass_t: float
    selected_altitude_ft: float
    altimeter_hpa: float
    next_fix: str = ""
    leaving_fuel_t: float = 0.0
    lateral: str = "NAV"
    vertical: str = "ALT"
    armed: str = ""


@dataclass(frozen=True, slots=True)
class Fault:
    """A failure of a signal of the approach, for `seconds` (0 = stays), or of a system on board.

    signal: "localizer" or "glideslope" becomes "flagged", "off" or "maintenance" (no ident); a
    "localizer" also "bent", for a time above 0; "position" becomes "flagged" (no integrity) or
    "no path" (the level of service falls to LNAV), for good.
    system: "autopilot 1", "receiver 2" becomes "failed" for good, and signal is ""; "course 2"
    becomes "turned" until a course is set.
    """

    signal: str
    becomes: str
    seconds: float
    system: str = ""


@dataclass(frozen=True, slots=True)
class ShearEvent:
    """A change of the wind: the wind that is added, from where (°) and how strong (kt).

    Between two heights above the field (ft); grows and goes over `rise_s`, stays for `hold_s`
    (0 = for good).
    """

    from_deg: float
    speed_kt: float
    bottom_ft: float
    top_ft: float
    rise_s: float
    hold_s: float


@dataclass(frozen=True, slots=True)
class Event:
    """Something that happens once, at the first step at which `when` is true.

    `grants` is one of the closed list of clearances or ""; `slots` are its values as text
    (runway, altitude, heading, speed, setting, distance), exactly what a read-back must carry.
    """

    name: str
    when: Moment
    atc: str = ""
    grants: str = ""
    slots: tuple[tuple[str, str], ...] = ()
    fault: Fault | None = None
    answers: tuple[str, ...] = ()
    shear: ShearEvent | None = None
    weather: WeatherChange | None = None


@dataclass(frozen=True, slots=True)
class Vary:
    """A varied value: path in the exercise and range, as written (`low`, `high` with units)."""

    path: str
    low: str
    high: str


@dataclass(frozen=True, slots=True)
class Choose:
    """A drawn choice among event names ("nothing" = none of them)."""

    options: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Edit:
    """One change to the perfect crew: slips, mutants, traps and crew files share this type.

    kind: "omit", "delay" (by seconds), "advance" (by seconds or to a moment), "replace" (with
    another act), "swap" (with the item `other`).
    """

    kind: str
    item: str
    seconds: float = 0.0
    to: Moment | None = None
    act: Act | None = None
    other: str = ""


@dataclass(frozen=True, slots=True)
class Trap:
    """A temptation of the exercise: crew edits, and the one primary finding they must give."""

    name: str
    edits: tuple[Edit, ...]
    item: str
    verdict: str


@dataclass(frozen=True, slots=True)
class Slip:
    """Something the colleague does wrong when the pilot monitors, and the item that finds it."""

    edit: Edit
    caught_by: str


@dataclass(frozen=True, slots=True)
class Speeds:
    """A type with one of its speed tables, and the reference and final approach speed from it."""

    aircraft: AircraftType
    reference_kt: float
    final_kt: float


@dataclass(frozen=True, slots=True)
class Exercise:
    """Everything one flight needs. `digest` is the content address of the composed document.

    before_ice: the speeds that hold until an event meets ice; `aircraft` and its speeds are then
    those of the icing table. None where one table holds all the way.
    """

    name: str
    title: str
    lesson: str
    level: int
    brief: str
    callsign: str
    airport: Airport
    approach: Approach
    aircraft: AircraftType
    flow: Flow
    house: House
    start: Start
    weather: Weather
    events: tuple[Event, ...]
    variations: tuple[Vary | Choose, ...] = ()
    traps: tuple[Trap, ...] = ()
    slips: tuple[Slip, ...] = ()
    pass_points: float = 80.0
    reference_kt: float = 0.0
    final_kt: float = 0.0
    curved_earth: bool = True
    seed: int = 0
    digest: str = ""
    canonical: str = field(default="", repr=False)
    before_ice: Speeds | None = None

    @property
    def legs_ahead(self) -> tuple[Leg, ...]:
        """The coded legs from the fix before which the flight begins."""
        legs, begin = self.approach.legs, self.start.next_fix
        return legs[[leg.fix.name for leg in legs].index(begin) if begin else 0 :]

    def path_altitude_ft(self, distance_nm: float) -> float:
        """Altitude (ft) of the published path so far before the threshold, as an altimeter has it.

        A barometric path is straight in altitude, any other in space: the sea falls away below it.
        """
        slope, rnp = self.approach.glideslope, self.approach.rnp
        is_curved = self.curved_earth and not (rnp is not None and rnp.is_barometric)
        angle_rad, crossing_m = slope.angle_deg * DEG, slope.crossing_ft * FT
        height_m = path_height_m(distance_nm * NM, angle_rad, crossing_m, is_curved)
        return self.approach.runway.elevation_ft + height_m / FT

    def speeds_at(self, is_icing: bool) -> Speeds:
        """The speeds that hold while there is ice on the aircraft, or not."""
        if self.before_ice is not None and not is_icing:
            return self.before_ice
        return Speeds(self.aircraft, self.reference_kt, self.final_kt)

    def speed_figures(self, is_icing: bool) -> dict[str, float]:
        """Named speeds that depend on the table in force, kt."""
        now = self.speeds_at(is_icing)
        return {"final approach speed": now.final_kt, "reference speed": now.reference_kt}

    def minimum_figures(self, service: str) -> dict[str, float]:
        """Named minima that depend on the level of service in use, ft; "" is that of the start."""
        approach = self.approach
        minimums_ft = approach.minimums_in_use_ft(service)
        found = {
            "minimums": minimums_ft,
            "height of minimums": minimums_ft - approach.runway.elevation_ft,
            "minimum descent altitude": approach.floors()[-1][1],
        }
        if approach.rnp is not None and approach.rnp.minimums_ft is not None:
            found["LNAV minimum"] = approach.rnp.minimums_ft
            if approach.lower_minimums_ft(service) is not None:
                found["minimum descent altitude"] = approach.rnp.descent_minimum_ft or 0.0
        return found

    def figures(self) -> dict[str, float]:
        """Named values that do not change in flight, in flight-deck units."""
        return {
            "missed approach altitude": self.approach.missed_altitude_ft,
            "final course": self.approach.localizer.course_deg,
            "final fix distance": self.approach.final_fix.distance_nm,
            "glide check altitude": self.approach.glide_check_altitude_ft,
            "receiver frequency": float(self.approach.localizer.frequency or 0.0),
            "altimeter setting": self.weather.qnh_hpa,
            "field elevation": self.airport.elevation_ft,
            "alert height": self.aircraft.guidance.alert_height_ft,
            "decision height": self.aircraft.guidance.decision_height_ft,
        }
