"""A test rig: the real airframe under guidance, on a flat earth with an instrument approach.

Runway course 143°, threshold at the origin at sea level, 3° path crossing it at 50 ft, localizer
antenna 2,800 m beyond it. Reception is what a test says it is, not a signal model.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from tests.world.types import twin_jet
from trainer.guidance.coded import Coding
from trainer.guidance.guidance import Guidance
from trainer.guidance.modes import (
    Command,
    ModeChange,
    Modes,
    Protection,
    Refusal,
    Selectors,
    Sensed,
)
from trainer.units import DEG, FPM, FT, KT, NM
from trainer.world.air import Air, cas_from_tas, standard_temperature_k, tas_from_cas
from trainer.world.aircraft import AircraftType
from trainer.world.legs import Route, Waypoint
from trainer.world.motion import Airframe, State
from trainer.world.reception import SILENCE
from trainer.world.vor import VorStation
from trainer.world.wind import Wind

COURSE_DEG = 143.0
COURSE = COURSE_DEG * DEG
PATH = 3.0 * DEG
CROSSING_M = 50.0 * FT
ANTENNA_M = 2800.0
HALF_WIDTH = math.atan(350.0 * FT / ANTENNA_M)
"""Full-scale deflection (two dots): 700 ft at the threshold from edge to edge."""


def along(distance_nm: float, offset_m: float = 0.0) -> tuple[float, float]:
    """x, y (m) of a point `distance_nm` before the threshold, `offset_m` right of the course."""
    back = distance_nm * NM
    x = -back * math.sin(COURSE) + offset_m * math.cos(COURSE)
    y = -back * math.cos(COURSE) - offset_m * math.sin(COURSE)
    return x, y


ROUTE = Route(
    (
        Waypoint("OUTER", *along(20.0)),
        Waypoint("FINAL", *along(9.0)),
        Waypoint("THRESHOLD", *along(0.0)),
        Waypoint("AHEAD", *along(-8.0)),
    )
)


def modes(
    lateral: str = "HDG", vertical: str = "ALT", thrust: str = "SPEED", engagement: str = "AP"
) -> Modes:
    return Modes(lateral, vertical, (), (), thrust, engagement, "")


class Rig:
    """One aircraft with guidance, its selectors and what it receives."""

    def __init__(
        self,
        kind: AircraftType | None = None,
        initial: Modes | None = None,
        distance_nm: float = 14.0,
        offset_m: float = 0.0,
        altitude_ft: float = 3000.0,
        heading_deg: float = COURSE_DEG,
        cas_kt: float = 180.0,
        flap: int = 2,
        is_gear_down: bool = False,
        climb_fpm: float = 0.0,
        wind: Sequence[tuple[float, float, float]] = (),
        route: Route = ROUTE,
        coding: Coding | None = None,
        below_standard_k: float = 0.0,
    ) -> None:
        self.kind = kind or twin_jet()
        self.air = Air(-below_standard_k, 1013.25)
        self.wind = Wind(wind)
        self.airframe = Airframe(self.kind, self.kind.mass_typical_t, self.air, self.wind)
        self.localizer = "covered"
        self.glide = "covered"
        self.vor: VorStation | None = None
        self.track = "none"
        self.service = ""
        self.setting_hpa = 1013.25
        self.flap = flap
        self.gear = 1.0 if is_gear_down else 0.0
        x, y = along(distance_nm, offset_m)
        height = altitude_ft * FT
        self.state = State(
            x_m=x,
            y_m=y,
            height_m=height,
            tas_ms=tas_from_cas(cas_kt * KT, self.air.state(height)),
            heading_rad=heading_deg * DEG,
            bank_rad=0.0,
            climb_ms=climb_fpm * FPM,
            power=0.2,
            flap=float(flap),
            gear=self.gear,
            speedbrake=0.0,
            flown_m=0.0,
        )
        self.selectors = Selectors(
            cas_kt, heading_deg % 360.0, altitude_ft, climb_fpm, COURSE_DEG, "110.35", 1013.25,
            220.0, 0.0,
        )  # fmt: skip
        self.step = 0
        self.is_on_ground = False
        self.changes: list[tuple[int, ModeChange]] = []
        self.command = Command(0.0, 0.0, 0.0)
        self.mass_t = self.kind.mass_typical_t
        self.guidance = Guidance(self.kind, self.mass_t, route, initial or modes(), self, coding)
        self.protections: list[Protection] = []

    # The airframe's own laws ------------------------------------------------------------------

    def _drag_n(self, sensed: Sensed) -> float:
        load = 1.0 / math.cos(sensed.bank_rad)
        return self.airframe.performance.drag_n(
            self.air.state(sensed.height_m),
            sensed.tas_ms,
            load,
            sensed.flap,
            sensed.gear,
            sensed.speedbrake,
        )

    def speed_power(self, sensed: Sensed, target_cas_kt: float, climb_command_ms: float) -> float:
        return self.airframe.performance.autothrust_power(
            self.air.state(sensed.height_m),
            sensed.tas_ms,
            sensed.cas_kt * KT,
            target_cas_kt * KT,
            climb_command_ms,
            self._drag_n(sensed),
            sensed.wind_gradient_ms_per_m * sensed.climb_ms,
        )

    def level_change_climb(self, sensed: Sensed, target_cas_kt: float, power: float) -> float:
        performance = self.airframe.performance
        thrust_n = performance.thrust_n(self.air.state(sensed.height_m), sensed.tas_ms, power)
        return performance.level_change_climb_ms(
            sensed.tas_ms, sensed.cas_kt * KT, target_cas_kt * KT, thrust_n, self._drag_n(sensed)
        )

    # Looking ----------------------------------------------------------------------------------

    @property
    def modes(self) -> Modes:
        return self.guidance.modes

    @property
    def offset_m(self) -> float:
        return self.state.x_m * math.cos(COURSE) - self.state.y_m * math.sin(COURSE)

    @property
    def before_m(self) -> float:
        return -(self.state.x_m * math.sin(COURSE) + self.state.y_m * math.cos(COURSE))

    @property
    def localizer_dots(self) -> float:
        return 2.0 * math.atan2(self.offset_m, self.before_m + ANTENNA_M) / HALF_WIDTH

    @property
    def path_error_m(self) -> float:
        return self.state.height_m - (CROSSING_M + self.before_m * math.tan(PATH))

    @property
    def glide_dots(self) -> float:
        run = self.before_m + CROSSING_M / math.tan(PATH)
        return (math.atan2(self.state.height_m, run) - PATH) / (0.12 * PATH)

    @property
    def altitude_ft(self) -> float:
        return self.air.indicated_ft(self.state.height_m, self.setting_hpa)

    def sensed(self) -> Sensed:
        state = self.state
        vor = SILENCE
        if self.vor is not None:
            course = self.vor.course(self.selectors.course_deg * DEG)
            vor = course.receive(state.x_m, state.y_m, state.height_m)
        east, north, east_per_m, north_per_m = self.wind.sample(state.height_m)
        sine, cosine = math.sin(state.heading_rad), math.cos(state.heading_rad)
        level = math.sqrt(state.tas_ms**2 - state.climb_ms**2)
        east += level * sine
        north += level * cosine
        return Sensed(
            x_m=state.x_m,
            y_m=state.y_m,
            height_m=state.height_m,
            radio_height_m=max(0.0, state.height_m),
            altitude_ft=self.altitude_ft,
            cas_kt=cas_from_tas(state.tas_ms, self.air.state(state.height_m)) / KT,
            tas_ms=state.tas_ms,
            ground_speed_ms=math.hypot(east, north),
            heading_rad=state.heading_rad,
            track_rad=math.atan2(east, north) % (2.0 * math.pi),
            bank_rad=state.bank_rad,
            climb_ms=state.climb_ms,
            power=state.power,
            flap=state.flap,
            flap_lever=self.flap,
            gear=state.gear,
            speedbrake=state.speedbrake,
            is_on_ground=self.is_on_ground,
            localizer_state=self.localizer,
            localizer_dots=self.localizer_dots,
            localizer_offset_m=self.offset_m,
            glide_state=self.glide,
            glide_error_m=self.path_error_m,
            path_error_m=self.path_error_m,
            path_angle_rad=PATH,
            warmth=self.air.state(state.height_m).temperature_k
            / standard_temperature_k(self.air.pressure_altitude_m(state.height_m)),
            final_course_rad=COURSE,
            wind_gradient_ms_per_m=east_per_m * sine + north_per_m * cosine,
            localizer_course_rad=COURSE,
            glide_angle_rad=PATH,
            vor_state=vor.state,
            vor_dots=vor.dots,
            vor_offset_m=vor.offset_m,
            vor_distance_m=vor.distance_m,
            air_up_ms=0.0,
            track_state=self.track,
            service=self.service if self.track == "received" else "",
            final_offset_m=self.offset_m,
            final_distance_m=self.before_m,
            rnp_m=0.3 * NM,
        )

    # Acting -----------------------------------------------------------------------------------

    def press(self, *controls: str) -> list[ModeChange | Refusal]:
        """Press buttons one after another in the same moment; what the last one answered."""
        found: list[ModeChange | Refusal] = []
        for control in controls:
            found = self.guidance.press(control, self.sensed(), self.selectors)
            self.changes += [(self.step, c) for c in found if isinstance(c, ModeChange)]
        return found

    def fail(self, system: str) -> list[ModeChange]:
        """A system fails: "autopilot 1", "receiver 2"."""
        found = self.guidance.fail(system, self.sensed(), self.selectors)
        self.changes += [(self.step, change) for change in found]
        return found

    def select(self, name: str, value: float) -> list[ModeChange | Refusal]:
        """Turn a selector."""
        knobs = self.selectors
        self.selectors = {
            "speed": knobs._replace(speed_kt=value),
            "heading": knobs._replace(heading_deg=value),
            "altitude": knobs._replace(altitude_ft=value),
            "vertical speed": knobs._replace(vertical_speed_fpm=value),
            "direct to": knobs._replace(direct_to=value),
            "course": knobs._replace(course_deg=value),
            "frequency": knobs._replace(frequency=f"{value:.2f}"),
        }[name]
        found = self.guidance.selector_changed(name, self.sensed(), self.selectors)
        self.changes += [(self.step, c) for c in found if isinstance(c, ModeChange)]
        return found

    def fly(self, seconds: float, until: Callable[[Rig], bool] | None = None) -> list[ModeChange]:
        """Fly for `seconds` or until the moment `until`; the changes on the way."""
        seen: list[ModeChange] = []
        for _ in range(round(seconds * 10.0)):
            if until is not None and until(self):
                break
            sensed = self.sensed()
            changes = self.guidance.update(sensed, self.selectors)
            seen += changes
            self.changes += [(self.step, change) for change in changes]
            protection = self.guidance.protect(sensed, self.selectors)
            if protection is not None:
                self.protections.append(protection)
            self.command = self.guidance.command(sensed, self.selectors)
            self.state = self.airframe.advance(
                self.state, *self.command, float(self.flap), self.gear, 0.0
            )
            self.step += 1
            if self.state.height_m <= 0.0:
                self.is_on_ground = True
                self.state = self.state._replace(height_m=0.0, climb_ms=0.0)
        return seen


def refusals(found: Sequence[ModeChange | Refusal]) -> list[str]:
    return [one.reason for one in found if isinstance(one, Refusal)]


def accepted(found: Sequence[ModeChange | Refusal]) -> list[ModeChange]:
    return [one for one in found if isinstance(one, ModeChange)]


def shown(changes: Sequence[ModeChange | Refusal]) -> list[tuple[str, str]]:
    """(column, now shown) of each change, in order."""
    return [(c.column, c.after) for c in accepted(changes)]
