"""What the aircraft shows and senses where it is: from its state to the row of a step.

Owns the reading of everything: air data, receivers, geometry and the units of a flight deck. It
changes nothing in flight but what guidance senses, which is one object brought up to date at each
step. The surprising rule: this is the innermost work of a flight, so each quantity is computed here
once, stands in a local name, and goes from there to the row and to the sensed values.
"""

from __future__ import annotations

from math import atan2, cos, hypot, pi, sin, sqrt, tan

from trainer.flight.cockpit import Cockpit
from trainer.flight.levers import SpeedTrend, is_torque_set_by_hand
from trainer.flight.navigation import Navigation
from trainer.flight.outside import Outside
from trainer.flight.radios import Radios
from trainer.flight.row import Row
from trainer.flight.surroundings import Surroundings
from trainer.flight.thrust import ThrustLaws
from trainer.flight.unsteady import UnsteadyAir
from trainer.guidance.guidance import Guidance
from trainer.guidance.modes import Sensed
from trainer.scenario.exercise import Exercise
from trainer.units import DEG, FPM, FT, KT, NM
from trainer.values import made
from trainer.world.air import cas_from_tas, setting_altitude_m, standard_temperature_k
from trainer.world.earth import drop_m
from trainer.world.ground import derived_on_ground
from trainer.world.motion import State
from trainer.world.reception import USABLE

_TURN_RAD = 2.0 * pi


class Instruments:
    """The instruments of one flight; `sensed` is what guidance knows as of the last look."""

    __slots__ = (
        "_air",
        "_airframe",
        "_altimeter_hpa",
        "_altimeter_m",
        "_cockpit",
        "_cos_course",
        "_crossing_m",
        "_elevation_m",
        "_field_m",
        "_guidance",
        "_navigation",
        "_outside",
        "_path_tan",
        "_radios",
        "_sin_course",
        "_thrust",
        "_trend",
        "_unsteady",
        "_wind",
        "sensed",
    )

    def __init__(
        self,
        exercise: Exercise,
        around: Surroundings,
        cockpit: Cockpit,
        radios: Radios,
        navigation: Navigation,
        unsteady: UnsteadyAir,
        thrust: ThrustLaws,
        guidance: Guidance,
        outside: Outside,
    ) -> None:
        slope = exercise.approach.glideslope
        self._airframe, self._air, self._wind = around.airframe, around.air, around.wind
        self._cockpit, self._radios, self._guidance = cockpit, radios, guidance
        self._navigation = navigation
        self._unsteady, self._thrust, self._outside = unsteady, thrust, outside
        self._trend = SpeedTrend() if is_torque_set_by_hand(exercise.aircraft) else None
        self._altimeter_hpa = self._altimeter_m = 0.0
        self._elevation_m = around.elevation_m
        self._field_m = setting_altitude_m(around.air.qnh_hpa) + around.elevation_m
        self._crossing_m = slope.crossing_ft * FT
        self._path_tan = tan(slope.angle_deg * DEG)
        self._sin_course = sin(around.final_course_rad)
        self._cos_course = cos(around.final_course_rad)
        self.sensed = Sensed(slope.angle_deg * DEG, around.final_course_rad)

    def look(
        self, step: int, state: State, is_on_ground: bool, phase: str, margin_nm: float | None
    ) -> Row:
        """The row of `step` for an aircraft in `state`, in a phase and with a margin (NM)."""
        cockpit, radios, guidance, sensed = (
            self._cockpit, self._radios, self._guidance, self.sensed,
        )  # fmt: skip
        (
            x_m, y_m, height_m, tas_ms, heading_rad, bank_rad, climb_ms, power, flap, gear,
            speedbrake, flown_m,
        ) = state  # fmt: skip
        selectors, lever = cockpit.selectors, cockpit.flap_lever

        pressure_m = self._air.pressure_altitude_m(height_m)
        self._thrust.air = air = self._air.state_at(pressure_m)
        setting_hpa = selectors.altimeter_hpa
        if setting_hpa != self._altimeter_hpa:
            self._altimeter_hpa, self._altimeter_m = setting_hpa, setting_altitude_m(setting_hpa)
        sensed.altitude_ft = altitude_ft = (pressure_m - self._altimeter_m) / FT
        sensed.cas_kt = cas_kt = cas_from_tas(tas_ms, air) / KT

        east_ms, north_ms, east_per_m, north_per_m = self._wind.sample(height_m)
        sin_heading, cos_heading = sin(heading_rad), cos(heading_rad)
        sensed.wind_gradient_ms_per_m = east_per_m * sin_heading + north_per_m * cos_heading
        added_east_ms, added_north_ms, sensed.air_up_ms = self._unsteady.now
        if is_on_ground:  # wheels do not drift with the wind
            _, east_ms, north_ms = derived_on_ground(self._airframe, state)
        else:
            slope = climb_ms / tas_ms
            share = 1.0 - slope * slope
            level_ms = tas_ms * sqrt(share if share > 0.0 else 0.0)
            east_ms += level_ms * sin_heading + added_east_ms
            north_ms += level_ms * cos_heading + added_north_ms
        sensed.ground_speed_ms = ground_ms = hypot(east_ms, north_ms)
        sensed.track_rad = track_rad = atan2(east_ms, north_ms) % _TURN_RAD

        sine, cosine = self._sin_course, self._cos_course
        distance_m = hypot(x_m, y_m)
        along_m, cross_m = -(x_m * sine + y_m * cosine), x_m * cosine - y_m * sine
        sensed.radio_height_m = radio_m = height_m - self._elevation_m
        plane_m = radio_m - drop_m(distance_m)
        path_error_m = plane_m - (self._crossing_m + along_m * self._path_tan)
        sensed.warmth = air.temperature_k / standard_temperature_k(pressure_m)
        navigation = self._navigation
        navigation.look(along_m, cross_m, path_error_m, altitude_ft)
        sensed.path_error_m = navigation.path_error_m
        if navigation.track != "none":
            path_error_m = navigation.path_error_m
        sensed.track_state, sensed.service = navigation.track, navigation.service
        sensed.final_distance_m, sensed.final_offset_m = along_m, cross_m
        sensed.rnp_m, sensed.is_path_barometric = navigation.rnp_m, navigation.is_barometric

        outside = self._outside
        sees = "" if along_m > outside.reach_m else outside.sees(along_m, radio_m)
        radios.receive(step, x_m, y_m, plane_m, selectors)
        localizer, glide, vor = radios.localizer, radios.glide, radios.vor
        sensed.localizer_state = localizer.state
        sensed.localizer_dots, sensed.localizer_offset_m = localizer.dots, localizer.offset_m
        sensed.glide_state, sensed.glide_error_m = glide.state, glide.offset_m
        sensed.vor_state, sensed.vor_dots = vor.state, vor.dots
        sensed.vor_offset_m, sensed.vor_distance_m = vor.offset_m, vor.distance_m
        sensed.localizer_course_rad = radios.course_rad
        sensed.glide_angle_rad = radios.angle_rad

        sensed.x_m, sensed.y_m, sensed.height_m = x_m, y_m, height_m
        sensed.tas_ms, sensed.climb_ms, sensed.power = tas_ms, climb_ms, power
        sensed.heading_rad, sensed.bank_rad = heading_rad, bank_rad
        sensed.flap, sensed.flap_lever = flap, lever
        sensed.gear, sensed.speedbrake = gear, speedbrake
        sensed.is_on_ground = is_on_ground
        rate_kt_s = astray_kt = None
        if self._trend is not None:
            self._trend.look(cas_kt, selectors.speed_kt, selectors.torque_percent)
            rate_kt_s, astray_kt = self._trend.rate_kt_s, self._trend.astray_kt
        return made(Row, (
            step, x_m, y_m, height_m, altitude_ft, (pressure_m - self._field_m) / FT, radio_m / FT,
            distance_m / NM, along_m / NM, flown_m / NM, radios.dme_nm, cas_kt, ground_ms / KT,
            climb_ms / FPM, heading_rad / DEG, track_rad / DEG, bank_rad / DEG,
            power, flap, lever, gear, cockpit.gear_lever, speedbrake,
            cockpit.speedbrake_lever, cockpit.spoilers, cockpit.autobrake, cockpit.reverse,
            localizer.state, localizer.dots if localizer.state in USABLE else None,
            glide.state, glide.dots if glide.state in USABLE else None,
            vor.state, vor.dots if vor.state in USABLE else None,
            path_error_m / FT, cross_m, selectors, guidance.modes,
            phase, sees, margin_nm, is_on_ground,
            radios.identified, cockpit.checklist, cockpit.challenge, guidance.protected_kt,
            guidance.protected_why, guidance.followed_error_ft(sensed),
            cockpit.propellers, cockpit.ice_protection, self._outside.is_icing,
            rate_kt_s, astray_kt, navigation.track, navigation.dots,
        ))  # fmt: skip
