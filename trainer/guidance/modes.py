"""The words of the annunciator and what guidance is told and tells each step.

Names are the published mode words of design: a mode shown here is what the pilot reads.
"""

from __future__ import annotations

from typing import NamedTuple

from trainer.values import dataclass

LATERAL = ("HDG", "NAV", "LOC", "VOR", "ALIGN", "ROLLOUT", "GA")
VERTICAL = ("ALT", "ALT CAP", "VS", "DESCEND", "CLIMB", "PATH", "GLIDE", "FLARE", "GA")
BASIC_VERTICAL = ("ALT", "ALT CAP", "VS", "CLIMB", "DESCEND", "CODED PATH")
"""States of the vertical axis that belong to no approach and no go-around."""
THRUST = ("SPEED", "CLIMB", "IDLE", "GA", "OFF")
ENGAGEMENT = ("OFF", "FD", "AP", "AP BOTH")
CODED = "CODED PATH"
"""The state that flies the coded descent; the annunciator reads PATH for it as for the other."""
LANDING = ("ALIGN", "FLARE", "ROLLOUT")
"""Modes that only an automatic landing reaches."""
CAPABILITY = ("", "PASSIVE", "OPERATIONAL", "LPV", "LNAV/VNAV", "LNAV")
WITH_PATH = ("LPV", "LNAV/VNAV")
"""Levels of service that have a path; LNAV has none."""
LATERAL_ARMED = ("LOC", "NAV", "VOR", "ALIGN", "ROLLOUT")
RECEIVED = ("received", "covered")
"""States of a signal that guidance may follow."""
VERTICAL_ARMED = ("PATH", "GLIDE", "FLARE")


class Modes(NamedTuple):
    """What the annunciator shows. Armed columns hold the armed words in alphabetical order."""

    lateral: str
    vertical: str
    lateral_armed: tuple[str, ...]
    vertical_armed: tuple[str, ...]
    thrust: str
    engagement: str
    capability: str

    def texts(self) -> tuple[str, str, str, str, str, str, str]:
        """The columns in their order as text: several armed words with commas between."""
        armed = ", ".join(self.lateral_armed), ", ".join(self.vertical_armed)
        return (self.lateral, self.vertical, *armed, self.thrust, self.engagement, self.capability)


class Selectors(NamedTuple):
    """Where the knobs stand: speed kt, heading ° magnetic, altitude ft, vertical speed ft/min,
    course ° magnetic, receiver frequency ("110.35" or "" while untuned), altimeter hPa,
    minimums ft, final approach speed bug kt (0 while unset), direct to: number of a coded fix
    (0 while unset), torque % that the power levers ask for (0 where something else sets it)."""

    speed_kt: float
    heading_deg: float
    altitude_ft: float
    vertical_speed_fpm: float
    course_deg: float
    frequency: str
    altimeter_hpa: float
    minimums_ft: float
    final_speed_kt: float
    direct_to: float = 0.0
    torque_percent: float = 0.0


@dataclass(slots=True)
class Sensed:
    """What guidance knows of the aircraft at the start of a step: brought up to date each step.

    Positions in metres in the plane of the threshold (x magnetic east, y magnetic north); angles
    in radians clockwise from magnetic north; heights m; speeds m/s unless the name says kt.
    `localizer_state` and `glide_state` are "none", "flagged", "received" or "covered"
    (covered = received inside the guaranteed volume); dots positive right of course / above path.
    `localizer_offset_m` is cross-track (right positive) from the localizer, `glide_error_m` height
    above the received path, `path_error_m` height above the computed path at the published angle:
    on the altimeter as it is set where `is_path_barometric`, else in space. `warmth`: temperature
    of the air as a share of the standard one, which is the height in a metre of the altimeter.
    `climb_ms` is through the air, which itself moves up at `air_up_ms` (inertial sensors and the
    radio altimeter see both).
    On an approach with an RNP final `track_state` is "received", or "flagged" where the position
    has lost its integrity, else "none"; `service` is the level of service in use. `final_offset_m`
    (right positive) and `final_distance_m` (negative behind the threshold) are along the final
    course, and `rnp_m` is what it requires.
    `localizer_course_rad` and `glide_angle_rad` belong to what is tuned. The VOR fields are those
    of the selected course: cross-track right positive, distance to the station along the course
    (negative once past it). `path_angle_rad` and `final_course_rad` are those of the approach and
    stay.
    """

    path_angle_rad: float
    final_course_rad: float
    x_m: float = 0.0
    y_m: float = 0.0
    height_m: float = 0.0
    radio_height_m: float = 0.0
    altitude_ft: float = 0.0
    cas_kt: float = 0.0
    tas_ms: float = 0.0
    ground_speed_ms: float = 0.0
    heading_rad: float = 0.0
    track_rad: float = 0.0
    bank_rad: float = 0.0
    climb_ms: float = 0.0
    power: float = 0.0
    flap: float = 0.0
    flap_lever: int = 0
    gear: float = 0.0
    speedbrake: float = 0.0
    is_on_ground: bool = False
    localizer_state: str = "none"
    localizer_dots: float = 0.0
    localizer_offset_m: float = 0.0
    localizer_course_rad: float = 0.0
    glide_state: str = "none"
    glide_error_m: float = 0.0
    glide_angle_rad: float = 0.0
    path_error_m: float = 0.0
    wind_gradient_ms_per_m: float = 0.0
    vor_state: str = "none"
    vor_dots: float = 0.0
    vor_offset_m: float = 0.0
    vor_distance_m: float = 0.0
    air_up_ms: float = 0.0
    track_state: str = "none"
    service: str = ""
    final_offset_m: float = 0.0
    final_distance_m: float = 0.0
    rnp_m: float = 0.0
    is_path_barometric: bool = False
    warmth: float = 1.0

    @property
    def is_rnp(self) -> bool:
        """The approach has an RNP final."""
        return self.track_state != "none"


class Command(NamedTuple):
    """What the laws ask of the airframe for this step: bank (rad), climb rate (m/s), power 0..1."""

    bank_rad: float
    climb_ms: float
    power: float


class ModeChange(NamedTuple):
    """A column of the annunciator changed: what it showed, what it shows, and why."""

    column: str
    before: str
    after: str
    reason: str
    is_commanded: bool


class Protection(NamedTuple):
    """Guidance began or ceased to fly another speed than the one asked for.

    `flown_kt`, `asked_kt`: both equal where it ceased.
    """

    flown_kt: float
    asked_kt: float
    reason: str


class Refusal(NamedTuple):
    """A press that did nothing, and why."""

    control: str
    reason: str
