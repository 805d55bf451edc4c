"""What the modes ask of the aircraft: which law flies in which mode, and at which speed.

Owns the choice of the law by the state of a column, and the speed that is flown. Refuses to change
a mode. The surprising rule: a law whose signal is missing flies on without correction; whether and
when that ends is for the tables.
"""

from __future__ import annotations

from trainer.guidance.capture import altitude_rate_ms, glide_sink_ms, path_sink_ms
from trainer.guidance.conditions import ON_FINAL_VERTICAL
from trainer.guidance.core import Core
from trainer.guidance.laws import (
    Performance,
    align_bank,
    heading_bank,
    hold_climb_ms,
    leg_bank,
    line_bank,
    path_climb_ms,
    track_bank,
)
from trainer.guidance.modes import CODED, RECEIVED, WITH_PATH, Command, Selectors, Sensed
from trainer.guidance.radial import is_vor_received
from trainer.guidance.speeds import FlownSpeed, flown, speed_range
from trainer.units import DEG, FPM, FT
from trainer.values import made
from trainer.world.aircraft import AircraftType, FlareLaw
from trainer.world.motion import flare_climb_ms

GO_AROUND_FPM = 2000.0
"""Climb rate that the first press of a go-around gives on types with two presses, ft/min."""
CLIMB_POWER = 0.85
"""Climb thrust as a share of go-around thrust (common practice: a setting below the largest)."""

SPEED_WITH_PITCH = ("CLIMB", "DESCEND", "GA")
"""Vertical modes in which pitch holds the speed."""


class Commands:
    """Commands of one flight from the columns of its `Core`."""

    __slots__ = ("_aircraft", "_core", "_flown", "_mass_t", "_performance", "_speed_key")

    def __init__(
        self, core: Core, aircraft: AircraftType, mass_t: float, performance: Performance
    ) -> None:
        """`mass_t` sets the manoeuvring speeds; `performance` knows thrust and drag."""
        self._core = core
        self._aircraft = aircraft
        self._mass_t = mass_t
        self._performance = performance
        self._speed_key: tuple[object, ...] = ()
        self._flown = FlownSpeed(0.0, "")

    def command(self, sensed: Sensed, selectors: Selectors) -> Command:
        """Bank, climb rate and power that the modes ask for now."""
        climb_ms = self._climb_ms(sensed, selectors)
        bank_rad = self._bank_rad(sensed, selectors)
        return made(Command, (bank_rad, climb_ms, self._power(sensed, selectors, climb_ms)))

    def speed(self, sensed: Sensed, selectors: Selectors) -> FlownSpeed:
        """The speed that thrust or pitch holds; looked up again when something changes."""
        core = self._core
        vertical = core.vertical.state
        limit = core.legs.limit(sensed) if vertical == CODED else None
        bug_kt = 0.0
        if core.options.is_approach_speed_flown and vertical in ON_FINAL_VERTICAL:
            bug_kt = selectors.final_speed_kt
        coded_kt = 0.0 if limit is None else limit.speed_kt
        key = (selectors, sensed.flap, sensed.flap_lever, sensed.gear, coded_kt, bug_kt)
        if key != self._speed_key:
            self._speed_key = key
            allowed = speed_range(
                self._aircraft, self._mass_t, sensed.flap, sensed.flap_lever, sensed.gear
            )
            self._flown = flown(bug_kt or selectors.speed_kt, allowed, limit)
            if bug_kt and not self._flown.why and bug_kt != selectors.speed_kt:
                self._flown = FlownSpeed(bug_kt, "final speed bug after capture")
        return self._flown

    def _bank_rad(self, sensed: Sensed, selectors: Selectors) -> float:
        core = self._core
        lateral, limit_rad = core.lateral.state, core.bank_limit_rad
        if lateral == "HDG":
            target_rad = core.held_heading_rad
            if target_rad is None:
                target_rad = selectors.heading_deg * DEG
            return heading_bank(target_rad, sensed.heading_rad, limit_rad)
        speed_ms = sensed.ground_speed_ms
        if speed_ms < 1.0:
            speed_ms = 1.0
        track_rad = sensed.track_rad
        if lateral == "NAV":
            if sensed.track_state == "flagged":
                return 0.0  # nobody knows where the leg lies: wings level while NAV is held
            return leg_bank(core.legs.view(sensed), track_rad, speed_ms, limit_rad)
        if lateral == "GA":
            return track_bank(core.held_track_rad, track_rad, speed_ms, limit_rad)
        # The law steers by the course that is set: the needle alone tells no direction.
        course_rad = selectors.course_deg * DEG
        if lateral == "VOR":
            if not is_vor_received(sensed):
                return track_bank(course_rad, track_rad, speed_ms, limit_rad)
            return line_bank(sensed.vor_offset_m, course_rad, track_rad, speed_ms, limit_rad)
        if sensed.localizer_state not in RECEIVED:
            return track_bank(course_rad, track_rad, speed_ms, limit_rad)
        offset_m = sensed.localizer_offset_m
        if lateral == "ALIGN":
            return align_bank(offset_m, course_rad, track_rad, speed_ms)
        return line_bank(offset_m, course_rad, track_rad, speed_ms, limit_rad)

    def _climb_ms(self, sensed: Sensed, selectors: Selectors) -> float:
        core = self._core
        vertical = core.vertical.state
        if vertical == "ALT":
            held_ft = core.held_altitude_ft
            target_ft = sensed.altitude_ft if held_ft is None else held_ft
            return hold_climb_ms(target_ft, sensed.altitude_ft)
        if vertical == "GLIDE":
            return path_climb_ms(self._glide_error_m(sensed), glide_sink_ms(sensed))
        if vertical == "PATH":
            return path_climb_ms(_path_error_m(sensed), path_sink_ms(sensed))
        if vertical == CODED:
            path = core.legs.path(sensed)
            assert path is not None
            return path_climb_ms(path.error_m, path.sink_ms)
        if vertical == "VS":
            return core.asked_rate_ms(selectors)
        if vertical == "ALT CAP":
            to_go_m = (core.captured_altitude_ft - sensed.altitude_ft) * FT
            return altitude_rate_ms(to_go_m, core.handling.vertical_tau_s)
        if vertical == "FLARE":
            flare_ms = _flare_ms(sensed, core.flare, core.handling.vertical_tau_s)
            return max(
                min(0.0, path_climb_ms(self._glide_error_m(sensed), glide_sink_ms(sensed))),
                flare_ms,
            )
        speed_kt = self.speed(sensed, selectors).speed_kt
        climb_ms = self._performance.level_change_climb(sensed, speed_kt, sensed.power)
        if vertical == "DESCEND":
            return min(0.0, climb_ms)
        return max(0.0, climb_ms) if vertical == "CLIMB" else climb_ms

    def _glide_error_m(self, sensed: Sensed) -> float:
        """Height above the glide path; without the signal the path angle is held uncorrected."""
        return sensed.glide_error_m if sensed.glide_state in RECEIVED else 0.0

    def _power(self, sensed: Sensed, selectors: Selectors, climb_ms: float) -> float:
        thrust = self._core.thrust.state
        if thrust == "SPEED":
            speed_kt = self.speed(sensed, selectors).speed_kt
            return self._performance.speed_power(sensed, speed_kt, climb_ms)
        if thrust == "IDLE":
            return 0.0
        if thrust == "CLIMB":
            return CLIMB_POWER
        if thrust == "OFF":
            return sensed.power
        if self._core.is_full_go_around:
            return 1.0
        speed_kt = self.speed(sensed, selectors).speed_kt
        return self._performance.speed_power(sensed, speed_kt, GO_AROUND_FPM * FPM)


def _path_error_m(sensed: Sensed) -> float:
    """Height above the computed path; without a level of service its slope is held uncorrected."""
    is_lost = sensed.is_rnp and sensed.service not in WITH_PATH
    return 0.0 if is_lost else sensed.path_error_m


def _flare_ms(sensed: Sensed, law: FlareLaw, tau_s: float) -> float:
    """Climb rate of the flare: the law asks for a sink over the ground, so what the air adds is
    taken off again."""
    up_ms = sensed.air_up_ms
    sink_ms = flare_climb_ms(sensed.radio_height_m, sensed.climb_ms + up_ms, law, tau_s)
    return min(0.0, sink_ms - up_ms)
