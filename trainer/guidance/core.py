"""The life of guidance between two steps: six columns and what they hold on to.

Owns the axes, the references of the holding modes and the reasons of what changed. Refuses to
decide anything: `presses` and `automatic` offer triggers, the tables accept or refuse them. The
surprising rule: a reference of None means "follow the selector".
"""

from __future__ import annotations

from trainer.guidance.coded import Coding, OnPath
from trainer.guidance.conditions import ON_FINAL_VERTICAL, Situation
from trainer.guidance.legs import CodedLegs
from trainer.guidance.machines import Axis
from trainer.guidance.modes import CODED, Modes, Selectors, Sensed
from trainer.units import DEG, FPM
from trainer.world.aircraft import AircraftType
from trainer.world.legs import Route


def _shown(state: str) -> str:
    """The annunciator's word of a vertical state."""
    return "PATH" if state == CODED else state


class Core:
    """Columns, references and options of one aircraft in one flight.

    `held_heading_rad`, `held_climb_ms`: references after a reversion. `held_altitude_ft`: of
    ALT. `captured_altitude_ft`: target of ALT CAP. `held_track_rad`: of the go-around.
    `is_final_left`: a go-around ended the approach.
    """

    __slots__ = (
        "bank_limit_rad",
        "capability",
        "captured_altitude_ft",
        "engagement",
        "failed",
        "flare",
        "glide_lost_steps",
        "handling",
        "held_altitude_ft",
        "held_climb_ms",
        "held_heading_rad",
        "held_track_rad",
        "is_autothrust_fitted",
        "is_changed",
        "is_committed",
        "is_final_left",
        "is_flight_director_on",
        "is_full_go_around",
        "lateral",
        "lateral_armed",
        "legs",
        "localizer_lost_steps",
        "options",
        "path_lost_steps",
        "reasons",
        "thrust",
        "track_lost_steps",
        "vertical",
        "vertical_armed",
        "vor_lost_steps",
    )

    def __init__(
        self, aircraft: AircraftType, route: Route, initial: Modes, coding: Coding | None = None
    ) -> None:
        """Begin in `initial`; ValueError for a mode that no flight may begin in.

        Armed words that follow from the capability (ALIGN, FLARE, ROLLOUT) are left out, and a
        type without autothrust begins with thrust OFF whatever `initial` says.
        """
        self.options = aircraft.guidance
        self.handling = aircraft.handling
        self.flare = aircraft.flare
        self.bank_limit_rad = aircraft.handling.bank_deg * DEG
        self.is_autothrust_fitted = aircraft.autothrust is not None
        self.legs = CodedLegs(route, coding, aircraft.handling)
        armed = tuple(word for word in initial.lateral_armed if word in ("LOC", "NAV", "VOR"))
        path = [word for word in initial.vertical_armed if word in ("PATH", "GLIDE")]
        self.lateral = Axis("lateral", initial.lateral)
        self.lateral_armed = Axis("lateral armed", " ".join(armed) or "none")
        self.vertical = Axis("vertical", initial.vertical)
        self.vertical_armed = Axis("vertical armed", path[0] if path else "none")
        self.thrust = Axis("thrust", initial.thrust if self.is_autothrust_fitted else "OFF")
        self.engagement = Axis("engagement", initial.engagement)
        self.capability = initial.capability
        self.is_flight_director_on = initial.engagement != "OFF"
        self.is_full_go_around = False
        self.is_committed = False
        self.is_final_left = False
        self.is_changed = False
        self.held_heading_rad: float | None = None
        self.held_climb_ms: float | None = None
        self.held_altitude_ft: float | None = None
        self.held_track_rad = 0.0
        self.captured_altitude_ft = 0.0
        self.localizer_lost_steps = 0
        self.glide_lost_steps = 0
        self.failed: tuple[str, ...] = ()
        self.vor_lost_steps = 0
        self.track_lost_steps = 0
        self.path_lost_steps = 0
        self.reasons: dict[str, str] = {}

    @property
    def is_approach(self) -> bool:
        """Approach mode is in force: something vertical is armed or captured by it."""
        armed = self.vertical_armed.state in ("PATH", "GLIDE")
        return armed or self.vertical.state in ON_FINAL_VERTICAL

    def situation(
        self,
        sensed: Sensed,
        selectors: Selectors,
        is_nav_near: bool = False,
        path: OnPath | None = None,
    ) -> Situation:
        """What the conditions of the tables may look at, as of now.

        `is_nav_near` and `path` are the answers of the coded legs, from the caller: few triggers
        need them, and asking moves the active leg on.
        """
        return Situation(
            sensed=sensed,
            selectors=selectors,
            options=self.options,
            handling=self.handling,
            flare=self.flare,
            is_autothrust_fitted=self.is_autothrust_fitted,
            lateral=self.lateral.state,
            lateral_armed=self.lateral_armed.state,
            vertical=self.vertical.state,
            vertical_armed=self.vertical_armed.state,
            thrust=self.thrust.state,
            engagement=self.engagement.state,
            capability=self.capability,
            is_flight_director_on=self.is_flight_director_on,
            is_committed=self.is_committed,
            is_nav_near=is_nav_near,
            captured_altitude_ft=self.captured_altitude_ft,
            asked_rate_ms=self.asked_rate_ms(selectors),
            localizer_lost_steps=self.localizer_lost_steps,
            glide_lost_steps=self.glide_lost_steps,
            failed=self.failed,
            vor_lost_steps=self.vor_lost_steps,
            has_descent=self.legs.is_descent_ahead,
            path=path,
            track_lost_steps=self.track_lost_steps,
            path_lost_steps=self.path_lost_steps,
            is_final_left=self.is_final_left,
        )

    def asked_rate_ms(self, selectors: Selectors) -> float:
        """Climb rate that vertical speed mode asks for: the held one, or the selector's."""
        held_ms = self.held_climb_ms
        return selectors.vertical_speed_fpm * FPM if held_ms is None else held_ms

    def fire(self, column: str, trigger: str, now: Situation, reason: str) -> str | None:
        """Offer `trigger` to a column; None when taken (noting `reason`), else the refusal."""
        axis = self._axis(column)
        before = axis.state
        refusal = axis.fire(trigger, now)
        if axis.state != before:
            self.note(column, reason)
        return refusal

    def try_fire(self, column: str, trigger: str, now: Situation, reason: str) -> bool:
        """Like `fire`, where a refusal is an ordinary answer: whether the column changed."""
        before = self._axis(column).state
        self.fire(column, trigger, now, reason)
        return self._axis(column).state != before

    def note(self, column: str, reason: str) -> None:
        """Remember why `column` changed; the first reason of a step stands."""
        self.is_changed = True
        self.reasons.setdefault(column, reason)

    def _axis(self, column: str) -> Axis:
        axis: Axis = getattr(self, column.replace(" ", "_"))
        return axis

    def shown(self) -> Modes:
        """The annunciator now, with the armed words that follow from the capability."""
        lateral, vertical = self.lateral.state, self.vertical.state
        armed = self.lateral_armed.state
        lateral_armed = () if armed == "none" else tuple(armed.split(" "))
        armed = self.vertical_armed.state
        vertical_armed = () if armed == "none" else (_shown(armed),)
        vertical = _shown(vertical)
        if self.capability == "OPERATIONAL":
            options = self.options
            if lateral == "LOC" and options.align_ft > 0.0:
                lateral_armed = (*lateral_armed, "ALIGN")
            if lateral in ("LOC", "ALIGN") and options.rollout_fitted:
                lateral_armed = (*lateral_armed, "ROLLOUT")
            if vertical == "GLIDE":
                vertical_armed = (*vertical_armed, "FLARE")
        return Modes(
            lateral,
            vertical,
            tuple(sorted(lateral_armed)),
            tuple(sorted(vertical_armed)),
            self.thrust.state,
            self.engagement.state,
            self.capability,
        )
