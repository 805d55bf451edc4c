"""The View: everything the flight screen shows, frozen, made from one row and the scribe.

Holds words and numbers ready to be laid out, no colours and no layout. Surprising rule: there is
no hint, no open item and no energy margin in it, at any level; what only some levels show is
handed to the screen separately.
"""

from __future__ import annotations

import math

from trainer.app.scribe import LogLine, Scribe
from trainer.flight.row import Row
from trainer.scenario.exercise import Exercise
from trainer.text import shown
from trainer.units import DEG, steps_for, wrap_deg
from trainer.values import dataclass
from trainer.world.vor import VorStation

CUE = steps_for(10.0)
"""A change of the annunciator is shown in reverse video for this long, steps."""
_ON_LOCALIZER = ("LOC", "ALIGN", "ROLLOUT")
_DEAD = ("none", "flagged")
RADIO_ALIVE_FT = 2500.0
"""Radio heights above this are not shown, ft."""
NEAR_LIMIT_KT = 5.0
"""A limit speed is near from so far below it, kt."""


@dataclass(frozen=True, slots=True)
class ModeCell:
    """One column of the annunciator: the active word, armed words, what has just changed.

    is_failed: the active mode has lost the signal that it follows. note: shown in place of armed
    words.
    """

    label: str
    active: str
    armed: str
    is_new: bool
    is_armed_new: bool
    is_failed: bool = False
    note: str = ""


@dataclass(frozen=True, slots=True)
class Deviation:
    """One raw deviation: received or not, the dots, and the word shown instead of a needle."""

    label: str
    dots: float | None
    flag: str


@dataclass(frozen=True, slots=True)
class View:
    """One moment of the flight as seen from the seat. Units are in the names.

    path_ft: height above the path that guidance computes, None while PATH is not shown.
    torque_set_percent: None where power is not set by torque; propeller_percent: speed asked of the
    propellers, None where they have no settings. A lever that the type does not have reads "".
    """

    step: int
    title: str
    place: str
    modes: tuple[ModeCell, ...]
    cas_kt: float
    trend_kt: float
    limit_kt: float
    limit_why: str
    next_flap: str
    next_flap_kt: float | None
    selected_speed_kt: float
    final_speed_kt: float
    flap_lever: str
    flap_shown: str
    is_flap_moving: bool
    gear_lever: str
    gear_shown: str
    speedbrake_lever: str
    spoilers: str
    autobrake: str
    reverse: str
    power_percent: int
    torque_set_percent: int | None
    propeller_percent: int | None
    ice_protection: str
    is_icing: bool
    localizer: Deviation
    glide: Deviation
    path_ft: float | None
    heading_deg: float
    selected_heading_deg: float
    track_deg: float
    bank_deg: float
    altitude_ft: float
    selected_altitude_ft: float
    vertical_speed_fpm: float
    selected_vertical_speed_fpm: float
    radio_ft: float | None
    ground_speed_kt: float
    dme_nm: float | None
    bearing_deg: float | None
    to_from: str
    distance_nm: float
    frequency: str
    course_deg: float
    is_course_split: bool
    identified: str
    altimeter_hpa: float
    minimums_ft: float
    phase: str
    sees: str
    is_on_ground: bool
    checklist: str
    challenge: str
    answer: str
    log: tuple[LogLine, ...]

    @property
    def in_sight(self) -> str:
        """What is seen of the runway: "lights", "runway" or "nothing"."""
        return self.sees if self.sees in ("lights", "runway") else "nothing"


def view_of(row: Row, scribe: Scribe) -> View:
    """The View at `row`."""
    exercise = scribe.exercise
    selectors, controls = row.selectors, exercise.aircraft.controls
    limit_kt, limit_why = _limit(row, exercise)
    next_flap, next_flap_kt = _next_flap(row, exercise)
    bearing_deg, to_from = _bearing(row, exercise)
    return View(
        step=row.step,
        title=shown(exercise.title),
        place=shown(f"{exercise.approach.name} {exercise.airport.code}"),
        modes=_modes(row, scribe),
        cas_kt=row.cas_kt,
        trend_kt=scribe.trend_kt,
        limit_kt=limit_kt,
        limit_why=limit_why,
        next_flap=next_flap,
        next_flap_kt=next_flap_kt,
        selected_speed_kt=selectors.speed_kt,
        final_speed_kt=selectors.final_speed_kt,
        flap_lever=exercise.aircraft.flaps[row.flap_lever].name,
        flap_shown=_flap_shown(row, exercise),
        is_flap_moving=abs(row.flap - row.flap_lever) > 1e-6,
        gear_lever=row.gear_lever if "gear" in controls else "",
        gear_shown=_travel(row.gear, "up", "down"),
        speedbrake_lever=row.speedbrake_lever if "speedbrake" in controls else "",
        spoilers=row.spoilers if "spoilers" in controls else "",
        autobrake=row.autobrake if "autobrake" in controls else "",
        reverse=row.reverse if "reverse" in controls else "",
        power_percent=round(row.power * 100.0),
        torque_set_percent=None if row.speed_astray_kt is None else round(selectors.torque_percent),
        propeller_percent=_propeller_percent(row, exercise),
        ice_protection=row.ice_protection if "ice protection" in controls else "",
        is_icing=row.is_icing,
        localizer=_course_needle(row),
        glide=Deviation("GLIDE", row.glide_dots, _flag(row.glide)),
        path_ft=row.followed_error_ft,
        heading_deg=row.heading_deg,
        selected_heading_deg=selectors.heading_deg,
        track_deg=row.track_deg,
        bank_deg=row.bank_deg,
        altitude_ft=row.altitude_ft,
        selected_altitude_ft=selectors.altitude_ft,
        vertical_speed_fpm=row.vertical_speed_fpm,
        selected_vertical_speed_fpm=selectors.vertical_speed_fpm,
        radio_ft=row.radio_ft if row.radio_ft <= RADIO_ALIVE_FT else None,
        ground_speed_kt=row.ground_speed_kt,
        dme_nm=row.dme_nm,
        bearing_deg=bearing_deg,
        to_from=to_from,
        distance_nm=row.along_nm,
        frequency=selectors.frequency,
        course_deg=selectors.course_deg,
        is_course_split=scribe.is_course_split,
        identified=shown(row.identified),
        altimeter_hpa=selectors.altimeter_hpa,
        minimums_ft=selectors.minimums_ft,
        phase=row.phase,
        sees=row.sees,
        is_on_ground=row.is_on_ground,
        checklist=shown(row.checklist),
        challenge=shown(row.challenge),
        answer=shown(_answer(row, exercise)),
        log=tuple(scribe.log[-40:]),
    )


def _course_needle(row: Row) -> Deviation:
    """The deviation from the course: of an RNP final, or of the localizer or VOR that is tuned."""
    if row.track != "none" and row.localizer == "none":
        return Deviation("NAV", row.track_dots, _flag(row.track))
    if row.vor != "none":
        return Deviation("VOR", row.vor_dots, _flag(row.vor))
    return Deviation("LOC", row.localizer_dots, _flag(row.localizer))


def _bearing(row: Row, exercise: Exercise) -> tuple[float | None, str]:
    """Magnetic bearing to a VOR that is received, and whether the course leads TO it or FROM it."""
    if row.vor_dots is None:
        return None, ""
    for one in exercise.airport.stations:
        if one.is_vor and one.frequency == row.selectors.frequency:
            station = VorStation(one.x_m, one.y_m)
            bearing_deg = (station.radial_rad(row.x_m, row.y_m) / DEG + 180.0) % 360.0
            off_deg = wrap_deg(bearing_deg - row.selectors.course_deg)
            return bearing_deg, "TO" if abs(off_deg) < 90.0 else "FROM"
    return None, ""


def _is_dead(row: Row) -> bool:
    """Whether the active lateral mode has lost what it follows."""
    if row.modes.lateral == "NAV":
        return row.track == "flagged"
    return row.modes.lateral in _ON_LOCALIZER and row.localizer in _DEAD


def _is_path_dead(row: Row) -> bool:
    """Whether the received glide path is gone while it is flown.

    On the runway nothing follows it any more, and its antenna is soon behind the aircraft.
    """
    return row.modes.vertical == "GLIDE" and row.glide in _DEAD and not row.is_on_ground


def _modes(row: Row, scribe: Scribe) -> tuple[ModeCell, ...]:
    modes = row.modes

    def is_new(name: str) -> bool:
        return row.step - scribe.changed.get(name, -CUE) < CUE

    capability = modes.capability or "—"
    is_hidden = scribe.is_director_off and modes.engagement.startswith("AP")
    director = "FD off" if is_hidden else ""
    flown = ""
    if row.protected_kt:
        bound = "min" if row.protected_kt > row.selectors.speed_kt else "max"
        flown = f"flown {row.protected_kt:.0f} {bound}"
    return (
        ModeCell(
            "LATERAL", modes.lateral, " ".join(modes.lateral_armed), is_new("lateral"),
            is_new("lateral armed"), _is_dead(row),
        ),
        ModeCell(
            "VERTICAL", modes.vertical, " ".join(modes.vertical_armed), is_new("vertical"),
            is_new("vertical armed"), _is_path_dead(row),
        ),
        ModeCell("SPEED", modes.thrust, "", is_new("thrust"), False, note=flown),
        ModeCell("ENGAGED", modes.engagement, "", is_new("engagement"), False, note=director),
        ModeCell("CAPABILITY", capability, "", is_new("capability"), False),
    )  # fmt: skip


def _limit(row: Row, exercise: Exercise) -> tuple[float, str]:
    """The lowest limit speed of the present configuration, and what sets it."""
    aircraft = exercise.aircraft
    limits = [(aircraft.max_speed_kt, "maximum")]
    at = max(row.flap_lever, math.ceil(row.flap - 1e-6))
    stage = aircraft.flaps[at]
    if stage.limit_kt is not None:
        limits.append((stage.limit_kt, f"flaps {stage.name}"))
    gear = aircraft.gear
    if not gear.is_fixed and row.gear > 0.0 and gear.extended_limit_kt is not None:
        limits.append((gear.extended_limit_kt, "gear"))
        in_transit = gear.extend_limit_kt if row.gear_lever == "down" else gear.retract_limit_kt
        if row.gear < 1.0 and in_transit is not None:
            limits.append((in_transit, "gear in transit"))
    return min(limits)


def _next_flap(row: Row, exercise: Exercise) -> tuple[str, float | None]:
    """The next stage out and the speed below which it may be selected; ("", None) at the last."""
    stages = exercise.aircraft.flaps
    if row.flap_lever + 1 >= len(stages):
        return "", None
    stage = stages[row.flap_lever + 1]
    return stage.name, stage.limit_kt


def _propeller_percent(row: Row, exercise: Exercise) -> int | None:
    settings = exercise.aircraft.propeller
    return None if settings is None else round(100.0 * settings.share(row.propellers))


def _flap_shown(row: Row, exercise: Exercise) -> str:
    stages = exercise.aircraft.flaps
    low = math.floor(row.flap + 1e-6)
    if abs(row.flap - low) < 1e-6:
        return stages[low].name
    return f"{stages[low].name}-{stages[min(low + 1, len(stages) - 1)].name}"


def _travel(position: float, none: str, full: str) -> str:
    if position <= 1e-6:
        return none
    return full if position >= 1.0 - 1e-6 else "moving"


def _flag(state: str) -> str:
    return {"none": "NO SIGNAL", "flagged": "FLAG"}.get(state, "")


def _answer(row: Row, exercise: Exercise) -> str:
    for checklist in exercise.flow.checklists:
        if checklist.name == row.checklist:
            for line in checklist.lines:
                if line.challenge == row.challenge:
                    return line.answer
    return ""
