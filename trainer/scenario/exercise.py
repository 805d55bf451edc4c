"""An exercise as values: one airport, type, flow and house, composed, checked and frozen.

Everything the engine, the judge and the briefing need, in flight-deck units; positions in metres
in the plane of the landing threshold (x magnetic east, y magnetic north). Built by
`scenario.compose`; this module knows no file and no rule.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from trainer.scenario.moments import START, Figure, Moment
from trainer.world.aircraft import AircraftType
from trainer.world.arcs import Arc

When = Moment | float
"""A moment, or a duration in seconds counted from the opening of the item."""


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
        )


@dataclass(frozen=True, slots=True)
class WeatherChange:
    """What can be seen from an event on; None = as before. Units as in `Weather`."""

    ceiling_ft: float | None = None
    visibility_m: float | None = None
    lights_on: bool | None = None
    runway_ranges_m: tuple[float | None, float | None, float | None] | None = None


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

    signal: "localizer" or "glideslope" becomes "flagged", "off" or "maintenance" (no ident).
    system: "autopilot 1", "receiver 2" becomes "failed" for good, and signal is "".
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
class Act:
    """What an item expects.

    kind: "do" (control and position; position "" for a button), "set" (control and figure),
    "say" (intent), "read back" (name of an event), "line" (checklist and challenge).
    `states`: for a line, what must be true of the aircraft (moments all of which must hold).
    """

    kind: str
    control: str = ""
    position: str = ""
    figure: Figure | None = None
    text: str = ""
    intent: str = ""
    event: str = ""
    checklist: str = ""
    challenge: str = ""
    states: tuple[Moment, ...] = ()


@dataclass(frozen=True, slots=True)
class Item:
    """One expected crew action and its window (see `judge.tracker` for the meaning).

    `is_response`: the other pilot's half of an exchange.
    `answers`: for the answer to a fault, every act that is accepted (`act` is the first of them).
    """

    name: str
    act: Act
    role: str = "either"
    opens: Moment = START
    aim: When | None = None
    due: When = 30.0
    closes: When | None = None
    void: Moment | None = None
    early: str = "fine"
    each: Moment | None = None
    while_: Moment | None = None
    group: str = ""
    weight: float = 1.0
    area: str = ""
    why: str = ""
    source: str = ""
    variants: tuple[tuple[str, Item], ...] = ()
    answers: tuple[Act, ...] = ()
    is_response: bool = False


@dataclass(frozen=True, slots=True)
class Watch:
    """Something that must never (or always) be so; a finding is one excursion.

    kind: "never", "always" (with `moment`), "limit" (limit speeds: flaps, gear, maximum),
    "mismatch" (said what was not shown).
    """

    name: str
    kind: str
    moment: Moment | None
    limit: str = ""
    while_: Moment | None = None
    for_s: float = 0.0
    unless_said: str = ""
    severity: str = "minor"
    causes: tuple[str, ...] = ()
    why: str = ""
    source: str = ""


@dataclass(frozen=True, slots=True)
class Criterion:
    """One condition of a gate from the closed list in `judge.gates`, with its limit."""

    name: str
    limit: float
    text: str = ""


@dataclass(frozen=True, slots=True)
class Gate:
    """A stable-approach gate: a height above the field at which all criteria must hold."""

    name: str
    height_ft: float
    criteria: tuple[Criterion, ...]
    is_main: bool
    source: str = ""


@dataclass(frozen=True, slots=True)
class ChecklistLine:
    """Challenge, the states that make the answer true, and who answers."""

    challenge: str
    answer: str
    states: tuple[Moment, ...]
    by: str


@dataclass(frozen=True, slots=True)
class Checklist:
    """A named list of challenges and responses, read in order."""

    name: str
    lines: tuple[ChecklistLine, ...]


@dataclass(frozen=True, slots=True)
class Part:
    """A named part of the flight to practise: moments as text, "" = from the start, to the end."""

    name: str
    from_moment: str
    until_moment: str


@dataclass(frozen=True, slots=True)
class Flow:
    """What a crew of one family does on one kind of approach."""

    name: str
    title: str
    items: tuple[Item, ...]
    go_around: tuple[Item, ...]
    watches: tuple[Watch, ...]
    gates: tuple[Gate, ...]
    checklists: tuple[Checklist, ...]
    announce: tuple[str, ...]
    ordered: tuple[str, ...]
    add_on_ft: float = 0.0
    parts: tuple[Part, ...] = ()


@dataclass(frozen=True, slots=True)
class House:
    """House words: phrases by intent, two-letter short forms, call thresholds."""

    name: str
    words: tuple[tuple[str, tuple[str, ...]], ...]
    short: tuple[tuple[str, str], ...]
    limits: tuple[tuple[str, float], ...]


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
class Exercise:
    """Everything one flight needs. `digest` is the content address of the composed document."""

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

    def figures(self) -> dict[str, float]:
        """Named values that do not change in flight, in flight-deck units."""
        return {
            "final approach speed": self.final_kt,
            "reference speed": self.reference_kt,
            "missed approach altitude": self.approach.missed_altitude_ft,
            "final course": self.approach.localizer.course_deg,
            "minimums": self.approach.minimums_ft,
            "minimum descent altitude": self.approach.floors()[-1][1],
            "final fix distance": self.approach.final_fix.distance_nm,
            "glide check altitude": self.approach.glide_check_altitude_ft,
            "receiver frequency": float(self.approach.localizer.frequency),
            "altimeter setting": self.weather.qnh_hpa,
            "field elevation": self.airport.elevation_ft,
            "alert height": self.aircraft.guidance.alert_height_ft,
            "decision height": self.aircraft.guidance.decision_height_ft,
        }
