"""Flight guidance of one aircraft: buttons in, annunciator and commands out.

Owns what the pilot reads: every change of a column and every refused press leaves here with its
reason. Refuses to know scenario, flow and judge. The surprising rule: the annunciator is never the
button; a press only offers something, and what is shown is what was accepted.

A change is *commanded* when a press of this moment caused it, otherwise it came by itself:
captures, steps of an automatic landing, follow-ups, reversions.
"""

from __future__ import annotations

from trainer.guidance.automatic import advance
from trainer.guidance.coded import Coding
from trainer.guidance.commands import SPEED_WITH_PITCH, Commands
from trainer.guidance.conditions import OTHER_COURSE
from trainer.guidance.core import Core
from trainer.guidance.following import fail, leave_coded_path, settle
from trainer.guidance.laws import Performance
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
from trainer.guidance.reversions import drop_to_basic
from trainer.units import FT
from trainer.world.aircraft import AircraftType
from trainer.world.legs import Route

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
        "_commands",
        "_core",
        "_followed",
        "_protected_side",
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
        self._core = Core(aircraft, route, initial, coding)
        self._commands = Commands(self._core, aircraft, mass_t, performance)
        self._protected_side = ""
        self.protected_kt = 0.0
        self.protected_why = ""
        self.modes = self._core.shown()
        self._followed = self._path_now()

    @property
    def is_flight_director_on(self) -> bool:
        """Whether a flight director is left when the autopilot comes off."""
        return self._core.is_flight_director_on

    def followed_error_ft(self, sensed: Sensed) -> float | None:
        """Height above the path that PATH follows, ft; None while it is neither armed nor active.

        The coded descent comes before the final path that may be armed with it.
        """
        if not self._followed:
            return None
        if self._followed == CODED:
            path = self._core.legs.path(sensed)
            return None if path is None else path.error_m / FT
        return sensed.path_error_m / FT

    def _path_now(self) -> str:
        """The path that is armed or active, "" for none: it follows from the annunciator."""
        states = (self._core.vertical.state, self._core.vertical_armed.state)
        return CODED if CODED in states else "PATH" if "PATH" in states else ""

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
        in ALT CAP is the type's option. A coded path is left when a direct-to lays it elsewhere.
        """
        core = self._core
        if name == "heading":
            core.held_heading_rad = None
        elif name == "vertical speed":
            core.held_climb_ms = None
        elif name == "course":
            # One knob sets both sides, so setting it puts the other side right.
            core.failed = tuple(system for system in core.failed if system != OTHER_COURSE)
        elif name == "direct to":
            core.legs.direct_to(round(selectors.direct_to), sensed)
            if core.vertical.state == CODED:
                now = core.situation(sensed, selectors, path=core.legs.path(sensed))
                leave_coded_path(core, "lay legs anew", "laid anew, elsewhere", now)
            settle(core, sensed, selectors)
        elif name == "altitude" and self._is_turned_in_capture(selectors):
            now = core.situation(sensed, selectors)
            reason = "altitude selector turned in altitude capture: vertical speed held"
            if core.try_fire("vertical", "turn altitude selector", now, reason):
                core.held_climb_ms = sensed.climb_ms
        return [*self._changes(is_commanded=False)]

    def _is_turned_in_capture(self, selectors: Selectors) -> bool:
        """Whether the altitude selector stands elsewhere than at the altitude being captured."""
        core = self._core
        is_elsewhere = selectors.altitude_ft != core.captured_altitude_ft
        return core.vertical.state == "ALT CAP" and is_elsewhere

    def fail(self, system: str, sensed: Sensed, selectors: Selectors) -> list[ModeChange]:
        """`system` fails for good: "autopilot 1", "receiver 2"; a second failure changes nothing.

        "course 2" is turned away, until a course is set. A receiver feeds the autopilot of its
        number: without it the two do not fly together.
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
        flown = self._commands.speed(sensed, selectors)
        speed_kt, why = flown.speed_kt, flown.why
        if not holds or sensed.is_on_ground:
            why = ""
        self.protected_kt, self.protected_why = speed_kt if why else 0.0, why
        side = why and ("slower" if speed_kt < asked_kt else "faster")
        before, self._protected_side = self._protected_side, side
        if side == before:
            return None
        if not why:
            return Protection(asked_kt, asked_kt, "the selected speed is flown again")
        return Protection(speed_kt, asked_kt, why)

    def command(self, sensed: Sensed, selectors: Selectors) -> Command:
        """Bank, climb rate and power that the modes ask for now."""
        return self._commands.command(sensed, selectors)

    def _changes(self, is_commanded: bool) -> list[ModeChange]:
        core = self._core
        if not core.is_changed:
            return []
        before, after = self.modes, core.shown()
        # An armed word that leaves with a capture has no reason of its own: the step's first one.
        first = next(iter(core.reasons.values()))
        changes = [
            ModeChange(column, old, new, core.reasons.get(column, first), is_commanded)
            for column, old, new in zip(_COLUMNS, before.texts(), after.texts(), strict=True)
            if old != new
        ]
        core.is_changed = False
        core.reasons.clear()
        self.modes, self._followed = after, self._path_now()
        return changes
