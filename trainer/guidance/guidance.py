"""Flight guidance of one aircraft: buttons in, annunciator and commands out.

Owns what the pilot reads: every change of a column and every refused press leaves here with its
reason. Refuses to know scenario, flow and judge. The surprising rule: the annunciator is never the
button; a press only offers something, and what is shown is what was accepted.

A change is *commanded* when a press of this moment caused it, otherwise it came by itself:
captures, steps of an automatic landing, follow-ups, reversions.
"""

from __future__ import annotations

from trainer.guidance.automatic import advance, drop_to_basic, fail, settle
from trainer.guidance.capture import altitude_rate_ms, glide_sink_ms, path_sink_ms
from trainer.guidance.coded import Coding
from trainer.guidance.conditions import ON_FINAL_VERTICAL, RECEIVED
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
from trainer.guidance.modes import (
    CODED,
    Command,
    ModeChange,
    Modes,
    Protection,
    Refusal,
    Selectors,
    Sensed,
)
from trainer.guidance.presses import press
from trainer.guidance.radial import is_vor_received
from trainer.guidance.speeds import FlownSpeed, flown, speed_range
from trainer.units import DEG, FPM, FT
from trainer.values import made
from trainer.world.aircraft import AircraftType, FlareLaw
from trainer.world.legs import Route
from trainer.world.motion import flare_climb_ms

GO_AROUND_FPM = 2000.0
"""Climb rate that the first press of a go-around gives on types with two presses, ft/min."""
CLIMB_POWER = 0.85
"""Climb thrust as a share of go-around thrust (common practice: a setting below the largest)."""

SPEED_WITH_PITCH = ("CLIMB", "DESCEND", "GA")
"""Vertical modes in which pitch holds the speed."""

_COLUMNS = (
    "lateral",
    "vertical",
    "lateral armed",
    "vertical armed",
    "thrust",
    "engagement",
    "capability",
)


class Guidance:
    """The modes of one flight and the laws behind them.

    `modes`: what the annunciator shows. `protected_kt`: the speed flown instead of the one asked
    for, kt, and `protected_why` the reason; 0 and "" while that one is flown.
    """

    __slots__ = (
        "_aircraft",
        "_core",
        "_flown",
        "_mass_t",
        "_performance",
        "_protected_side",
        "_speed_key",
        "modes",
        "protected_kt",
        "protected_why",
    )

    def __init__(
        self,
        aircraft: AircraftType,
        mass_t: float,
        route: Route,
        initial: Modes,
        performance: Performance,
        coding: Coding | None = None,
    ) -> None:
        """Begin in `initial` on `route`; ValueError for a mode no flight may begin in.

        `coding`: what the procedure asks of a descent along the route.
        """
        self._aircraft = aircraft
        self._mass_t = mass_t
        self._core = Core(aircraft, route, initial, coding)
        self._performance = performance
        self._speed_key: tuple[float, ...] = ()
        self._flown = FlownSpeed(0.0, "")
        self._protected_side = ""
        self.protected_kt = 0.0
        self.protected_why = ""
        self.modes = self._core.shown()

    @property
    def is_flight_director_on(self) -> bool:
        """Whether a flight director is left when the autopilot comes off."""
        return self._core.is_flight_director_on

    def coded_error_ft(self, sensed: Sensed) -> float | None:
        """Height above the coded descent, ft; None while it is neither armed nor active."""
        core = self._core
        if CODED not in (core.vertical.state, core.vertical_armed.state):
            return None
        path = core.path(sensed)
        return None if path is None else path.error_m / FT

    def press(
        self, control: str, sensed: Sensed, selectors: Selectors
    ) -> list[ModeChange | Refusal]:
        """Press a button; the changes it made, and its refusal if it (or a part) was refused.

        A press whose result is there already gives an empty list. ValueError for a control that
        is not a button of guidance.
        """
        core = self._core
        was_off = core.engagement.state == "OFF"
        refusal = press(core, control, sensed, selectors)
        if core.engagement.state == "OFF" and not was_off:
            drop_to_basic(core, sensed, selectors)
        settle(core, sensed, selectors)
        found: list[ModeChange | Refusal] = [*self._changes(is_commanded=True)]
        if refusal is not None:
            found.append(Refusal(control, refusal))
        return found

    def selector_changed(
        self, name: str, sensed: Sensed, selectors: Selectors
    ) -> list[ModeChange | Refusal]:
        """Tell guidance that the selector `name` was turned (`selectors` holds the new value).

        HDG and VS follow their selectors again after a reversion. Turning the altitude selector
        in ALT CAP is the type's option.
        """
        core = self._core
        if name == "heading":
            core.held_heading_rad = None
        elif name == "vertical speed":
            core.held_climb_ms = None
        elif name == "direct to":
            core.direct_to(round(selectors.direct_to), sensed)
        elif name == "altitude" and core.vertical.state == "ALT CAP":
            now = core.situation(sensed, selectors)
            reason = "altitude selector turned in altitude capture: vertical speed held"
            if core.try_fire("vertical", "turn altitude selector", now, reason):
                core.held_climb_ms = sensed.climb_ms
        return [*self._changes(is_commanded=False)]

    def fail(self, system: str, sensed: Sensed, selectors: Selectors) -> list[ModeChange]:
        """`system` fails for good: "autopilot 1", "receiver 2"; a second failure changes nothing.

        A receiver feeds the autopilot of its number: without it the two do not fly together.
        """
        fail(self._core, system, sensed, selectors)
        return self._changes(is_commanded=False)

    def reverse_selected(self) -> None:
        """Reverse thrust was selected: from now on a go-around is refused."""
        self._core.is_committed = True

    def update(self, sensed: Sensed, selectors: Selectors) -> list[ModeChange]:
        """The automatic transitions of this step; call once a step, before `command`."""
        advance(self._core, sensed, selectors)
        return self._changes(is_commanded=False)

    def protect(self, sensed: Sensed, selectors: Selectors) -> Protection | None:
        """Whether the speed flown has just become another than the one asked for, or ceased to.

        From too slow to too fast is told as well; which bound of one side it is, is not.
        Call once a step, after `update`. Speed is guidance's affair while thrust or pitch holds it.
        """
        core = self._core
        asked_kt = selectors.speed_kt
        holds = core.thrust.state == "SPEED" or core.vertical.state in SPEED_WITH_PITCH
        why = self._speed(sensed, selectors).why if holds and not sensed.is_on_ground else ""
        self.protected_why = why
        self.protected_kt = self._flown.speed_kt if why else 0.0
        side = why and ("slower" if self._flown.speed_kt < asked_kt else "faster")
        before, self._protected_side = self._protected_side, side
        if side == before:
            return None
        if not why:
            return Protection(asked_kt, asked_kt, "the selected speed is flown again")
        return Protection(self._flown.speed_kt, asked_kt, why)

    def command(self, sensed: Sensed, selectors: Selectors) -> Command:
        """Bank, climb rate and power that the modes ask for now."""
        climb_ms = self._climb_ms(sensed, selectors)
        bank_rad = self._bank_rad(sensed, selectors)
        return made(Command, (bank_rad, climb_ms, self._power(sensed, selectors, climb_ms)))

    def _speed(self, sensed: Sensed, selectors: Selectors) -> FlownSpeed:
        """The speed that thrust or pitch holds; looked up again when something changes."""
        core = self._core
        vertical = core.vertical.state
        limit = core.coded_limit(sensed) if vertical == CODED else None
        bug_kt = 0.0
        if core.options.is_approach_speed_flown and vertical in ON_FINAL_VERTICAL:
            bug_kt = selectors.final_speed_kt
        coded_kt = 0.0 if limit is None else limit.speed_kt
        key = (selectors.speed_kt, sensed.flap, sensed.flap_lever, sensed.gear, coded_kt, bug_kt)
        if key != self._speed_key:
            self._speed_key = key
            allowed = speed_range(
                self._aircraft, self._mass_t, sensed.flap, sensed.flap_lever, sensed.gear
            )
            self._flown = flown(bug_kt or selectors.speed_kt, allowed, limit)
            if bug_kt and not self._flown.why and bug_kt != selectors.speed_kt:
                self._flown = FlownSpeed(bug_kt, "final speed bug after capture")
        return self._flown

    def _changes(self, is_commanded: bool) -> list[ModeChange]:
        core = self._core
        if not core.is_changed:
            return []
        before, after = self.modes, core.shown()
        # An armed word that leaves with a capture has no reason of its own: the step's first one.
        first = next(iter(core.reasons.values()))
        changes = [
            ModeChange(column, old, new, core.reasons.get(column, first), is_commanded)
            for column, old, new in zip(_COLUMNS, _texts(before), _texts(after), strict=True)
            if old != new
        ]
        core.is_changed = False
        core.reasons.clear()
        self.modes = after
        return changes

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
        if lateral == "GA":
            return track_bank(core.held_track_rad, sensed.track_rad, speed_ms, limit_rad)
        if lateral == "NAV":
            leg = core.leg(sensed)
            return leg_bank(leg, sensed.track_rad, speed_ms, limit_rad)
        if lateral == "VOR":
            course_rad = selectors.course_deg * DEG
            if not is_vor_received(sensed):
                return track_bank(course_rad, sensed.track_rad, speed_ms, limit_rad)
            return line_bank(sensed.vor_offset_m, course_rad, sensed.track_rad, speed_ms, limit_rad)
        # The law steers by the course that is set: the needle alone tells no direction.
        course_rad = selectors.course_deg * DEG
        if sensed.localizer_state not in RECEIVED:
            return track_bank(course_rad, sensed.track_rad, speed_ms, limit_rad)
        if lateral == "ALIGN":
            return align_bank(sensed.localizer_offset_m, course_rad, sensed.track_rad, speed_ms)
        return line_bank(
            sensed.localizer_offset_m,
            course_rad,
            sensed.track_rad,
            speed_ms,
            limit_rad,
        )

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
            return path_climb_ms(sensed.path_error_m, path_sink_ms(sensed))
        if vertical == CODED:
            path = core.path(sensed)
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
        speed_kt = self._speed(sensed, selectors).speed_kt
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
            speed_kt = self._speed(sensed, selectors).speed_kt
            return self._performance.speed_power(sensed, speed_kt, climb_ms)
        if thrust == "IDLE":
            return 0.0
        if thrust == "CLIMB":
            return CLIMB_POWER
        if thrust == "OFF":
            return sensed.power
        if self._core.is_full_go_around:
            return 1.0
        speed_kt = self._speed(sensed, selectors).speed_kt
        return self._performance.speed_power(sensed, speed_kt, GO_AROUND_FPM * FPM)


def _flare_ms(sensed: Sensed, law: FlareLaw, tau_s: float) -> float:
    """Climb rate of the flare: the law asks for a sink over the ground, so what the air adds is
    taken off again."""
    up_ms = sensed.air_up_ms
    sink_ms = flare_climb_ms(sensed.radio_height_m, sensed.climb_ms + up_ms, law, tau_s)
    return min(0.0, sink_ms - up_ms)


def _texts(modes: Modes) -> tuple[str, ...]:
    return (
        modes.lateral,
        modes.vertical,
        ", ".join(modes.lateral_armed),
        ", ".join(modes.vertical_armed),
        modes.thrust,
        modes.engagement,
        modes.capability,
    )
