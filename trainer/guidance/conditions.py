"""The named conditions of the transition tables, each with the sentence a refusal shows.

Owns the predicates and their words. Refuses to know the tables that use them. The surprising
rule: a condition reads one `Situation` and nothing else, so the same press in the same situation
is always answered the same way.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from trainer.guidance.capture import (
    is_altitude_captured,
    is_final_path_caught,
    is_level_at,
    is_localizer_captured,
    is_on_rnp_final,
    is_path_captured,
)
from trainer.guidance.coded import OnPath
from trainer.guidance.modes import RECEIVED, WITH_PATH, Selectors, Sensed
from trainer.guidance.radial import is_vor_captured, is_vor_received
from trainer.units import DEG, FT, steps_for
from trainer.world.aircraft import FlareLaw, GuidanceOptions, Handling

OTHER_COURSE = "course 2"
"""The course selector of the other side, once it has been turned away."""
COURSES_DIFFER = "the courses of the two sides differ"
ON_FINAL_VERTICAL = ("PATH", "GLIDE", "FLARE")
"""Vertical modes that belong to an approach."""
ON_CODED_LEGS = ("NAV", "LOC")
"""Lateral modes in which the distance to go along the coded legs means something."""
ON_FINAL_LATERAL = ("LOC", "ALIGN", "ROLLOUT")
"""Lateral modes that follow the localizer."""


class Situation(NamedTuple):
    """Everything a condition may look at: the columns, the sensed values, the type's options.

    `is_nav_near`: the coded legs can be joined now. `asked_rate_ms`: climb rate that VS asks for.
    `localizer_lost_steps`, `glide_lost_steps`,
    `vor_lost_steps`, `track_lost_steps`, `path_lost_steps`: steps without the signal, position or
    level of service of a captured mode. `is_final_left`: a go-around was begun.
    `is_committed`: reverse thrust has been selected. `has_descent`: the legs ahead have a
    coded descent; `path`: where the aircraft stands on it, None where nobody asked. `failed`:
    systems that have failed, as "autopilot 2" or "receiver 1", or turned away: "course 2".
    """

    sensed: Sensed
    selectors: Selectors
    options: GuidanceOptions
    handling: Handling
    is_autothrust_fitted: bool
    flare: FlareLaw
    lateral: str
    lateral_armed: str
    vertical: str
    vertical_armed: str
    thrust: str
    engagement: str
    capability: str
    is_flight_director_on: bool
    is_committed: bool
    is_nav_near: bool
    captured_altitude_ft: float
    asked_rate_ms: float
    localizer_lost_steps: int
    glide_lost_steps: int
    vor_lost_steps: int
    has_descent: bool
    path: OnPath | None
    track_lost_steps: int = 0
    path_lost_steps: int = 0
    is_final_left: bool = False
    failed: tuple[str, ...] = ()

    def working(self, system: str, fitted: int) -> int:
        """How many of `fitted` systems called "`system` 1" and so on have not failed."""
        names = [f"{system} {number + 1}" for number in range(fitted)]
        return len([name for name in names if name not in self.failed])

    @property
    def is_approach(self) -> bool:
        """Approach mode is in force: something vertical is armed or captured by it."""
        return self.vertical_armed in ("PATH", "GLIDE") or self.vertical in ON_FINAL_VERTICAL

    @property
    def is_landing_armed(self) -> bool:
        """An automatic landing will be made: both autopilots, shown as operational."""
        return self.capability == "OPERATIONAL"


class Condition(NamedTuple):
    """A predicate and what a refused press says when it is false."""

    test: Callable[[Situation], bool]
    refusal: str


def may_leave(now: Situation) -> bool:
    """Whether a basic mode may take over from the approach, by the type's option."""
    leaving = now.options.leaving
    if leaving == "until glide":
        return now.vertical not in ON_FINAL_VERTICAL
    if leaving == "until both captured":
        is_lateral = now.lateral in ON_FINAL_LATERAL or (now.sensed.is_rnp and now.lateral == "NAV")
        return not (is_lateral and now.vertical in ON_FINAL_VERTICAL)
    return True


def _is_above_go_around_height(now: Situation) -> bool:
    return now.sensed.radio_height_m >= now.options.go_around_lateral_ft * FT


def _is_nav_free(now: Situation) -> bool:
    inert = now.options.is_nav_inert_after_localizer
    is_inert = inert and now.is_approach and not now.sensed.is_rnp
    return not (is_inert and now.lateral in ON_FINAL_LATERAL)


def _is_localizer_leading(now: Situation) -> bool:
    return now.lateral in ON_FINAL_LATERAL or now.options.is_glide_before_localizer


def _is_altitude_ahead(now: Situation) -> bool:
    """Whether the selected altitude lies where the vertical mode leads.

    What the mode asks for counts, not what the aircraft still does: a go-around begins in a
    descent, and must not level off at the altitude that the descent was made to.
    """
    to_go_ft = now.selectors.altitude_ft - now.sensed.altitude_ft
    if now.vertical == "VS":
        return now.asked_rate_ms * to_go_ft > 0.0
    return to_go_ft > 0.0 if now.vertical in ("CLIMB", "GA") else to_go_ft < 0.0


def _are_legs_in_use(now: Situation) -> bool:
    return now.lateral in ON_CODED_LEGS or "NAV" in now.lateral_armed


def is_altitude_lowered(now: Situation) -> bool:
    """Whether the altitude selector allows a descent: 100 ft below the aircraft, or lower."""
    return now.selectors.altitude_ft <= now.sensed.altitude_ft - 100.0


def _is_coded_path_caught(now: Situation) -> bool:
    path = now.path
    return path is not None and is_path_captured(path.error_m, path.sink_ms, now.handling)


def _is_lost(lost_steps: int, now: Situation) -> bool:
    return lost_steps > 0 and lost_steps >= steps_for(now.options.signal_hold_s)


def _is_above_minimum(now: Situation) -> bool:
    return now.sensed.radio_height_m >= now.options.autopilot_minimum_ft * FT


def _is_all_flown(now: Situation) -> bool:
    """Whether the autopilot flies whatever is active and armed now."""
    flown = now.options.autopilot_modes
    is_armed = now.lateral_armed != "none" or now.vertical_armed != "none"
    return not flown or (now.lateral in flown and now.vertical in flown and not is_armed)


def _does_pitch_leave_speed(now: Situation) -> bool:
    return now.vertical not in ("CLIMB", "DESCEND", "GA", "FLARE") and not now.sensed.is_on_ground


CONDITIONS: dict[str, Condition] = {
    "may leave": Condition(
        may_leave,
        "approach captured: only a go-around, or autopilot and flight director off, leaves it",
    ),
    "rnp final may be left": Condition(
        lambda now: not now.sensed.is_rnp or may_leave(now),
        "approach captured: only a go-around, or autopilot and flight director off, leaves it",
    ),
    "position known": Condition(
        lambda now: now.sensed.track_state != "flagged", "position without integrity"
    ),
    "position lost": Condition(
        lambda now: _is_lost(now.track_lost_steps, now), "position known or held"
    ),
    "rnp final ahead": Condition(
        lambda now: (
            now.sensed.is_rnp and now.sensed.final_distance_m > 0.0 and not now.is_final_left
        ),
        "no coded final ahead",
    ),
    "service with path": Condition(
        lambda now: now.sensed.service in WITH_PATH, "the level of service in use has no path"
    ),
    "service lost": Condition(
        lambda now: _is_lost(now.path_lost_steps, now), "level of service with a path, or held"
    ),
    "rnp final followed": Condition(
        lambda now: now.lateral == "NAV" and is_on_rnp_final(now.sensed),
        "final course not followed",
    ),
    "lateral released": Condition(
        lambda now: now.lateral != "GA" or _is_above_go_around_height(now),
        "go-around below the height for other modes",
    ),
    "vertical released": Condition(
        lambda now: now.vertical != "GA" or _is_above_go_around_height(now),
        "go-around below the height for other modes",
    ),
    "not landing": Condition(
        lambda now: now.lateral not in ("ALIGN", "ROLLOUT"), "automatic landing in progress"
    ),
    "localizer received": Condition(
        lambda now: now.sensed.localizer_state in RECEIVED, "no localizer received"
    ),
    "descent coded": Condition(lambda now: now.has_descent, "no coded descent ahead"),
    "no descent coded": Condition(lambda now: not now.has_descent, "coded descent ahead"),
    "coded legs in use": Condition(_are_legs_in_use, "nav mode neither active nor armed"),
    "coded legs not in use": Condition(
        lambda now: not _are_legs_in_use(now), "nav mode active or armed"
    ),
    "coded legs followed": Condition(
        lambda now: now.lateral in ON_CODED_LEGS, "coded legs not followed"
    ),
    "coded legs left": Condition(
        lambda now: now.lateral not in ON_CODED_LEGS, "coded legs followed"
    ),
    "altitude lowered": Condition(is_altitude_lowered, "selected altitude not lowered"),
    "coded path caught": Condition(_is_coded_path_caught, "coded path not reached"),
    "coded path elsewhere": Condition(
        lambda now: now.path is not None and not _is_coded_path_caught(now), "coded path reached"
    ),
    "vor received": Condition(lambda now: is_vor_received(now.sensed), "no VOR received"),
    "vor caught": Condition(
        lambda now: is_vor_captured(now.sensed, now.selectors.course_deg, now.handling),
        "course not reached",
    ),
    "vor lost": Condition(lambda now: _is_lost(now.vor_lost_steps, now), "VOR received or held"),
    "nav free": Condition(_is_nav_free, "localizer captured in approach mode"),
    "nav near": Condition(lambda now: now.is_nav_near, "coded leg not reached"),
    "localizer caught": Condition(
        lambda now: is_localizer_captured(now.sensed, now.selectors.course_deg * DEG, now.handling),
        "localizer not reached",
    ),
    "localizer lost": Condition(
        lambda now: _is_lost(now.localizer_lost_steps, now), "localizer received or held"
    ),
    "landing armed": Condition(lambda now: now.is_landing_armed, "no automatic landing armed"),
    "align height": Condition(
        lambda now: now.sensed.radio_height_m < now.options.align_ft * FT, "above align height"
    ),
    "rollout fitted": Condition(lambda now: now.options.rollout_fitted, "no rollout mode fitted"),
    "on ground": Condition(lambda now: now.sensed.is_on_ground, "airborne"),
    "not committed": Condition(
        lambda now: not now.is_committed, "reverse thrust selected: committed to stop"
    ),
    "altitude ahead": Condition(_is_altitude_ahead, "the mode leads away from the altitude"),
    "altitude caught": Condition(
        lambda now: is_altitude_captured(now.selectors.altitude_ft, now.sensed, now.handling),
        "selected altitude not reached",
    ),
    "level": Condition(
        lambda now: is_level_at(now.captured_altitude_ft, now.sensed), "not level yet"
    ),
    "turning falls back": Condition(
        lambda now: now.options.altitude_capture_turn == "falls back to vertical speed",
        "altitude capture keeps its target",
    ),
    "localizer leads": Condition(_is_localizer_leading, "localizer not captured"),
    "glide caught": Condition(
        lambda now: is_final_path_caught(now.sensed, "GLIDE", now.handling),
        "glide path not reached",
    ),
    "path caught": Condition(
        lambda now: is_final_path_caught(now.sensed, "PATH", now.handling),
        "computed path not reached",
    ),
    "glide lost": Condition(
        lambda now: _is_lost(now.glide_lost_steps, now), "glide path received or held"
    ),
    "glide received": Condition(
        lambda now: now.sensed.glide_state in RECEIVED, "no glide path received"
    ),
    "glide missing": Condition(
        lambda now: now.sensed.glide_state not in RECEIVED, "glide path received"
    ),
    "glide waits": Condition(
        lambda now: now.options.early_arming == "waits", "no glide path received"
    ),
    "path computed": Condition(
        lambda now: now.options.early_arming == "computed path", "no glide path received"
    ),
    "flare height": Condition(
        lambda now: now.sensed.radio_height_m < now.flare.start_ft * FT, "above flare height"
    ),
    "autothrust fitted": Condition(
        lambda now: now.is_autothrust_fitted, "no autothrust fitted: speed by hand"
    ),
    "pitch leaves speed": Condition(
        _does_pitch_leave_speed, "thrust belongs to the vertical mode in use"
    ),
    "above idle height": Condition(
        lambda now: now.sensed.radio_height_m >= now.flare.idle_ft * FT,
        "thrust is closed for the landing",
    ),
    "autopilot fitted": Condition(lambda now: now.options.autopilots >= 1, "no autopilot fitted"),
    "autopilot works": Condition(
        lambda now: now.working("autopilot", now.options.autopilots) >= 1,
        "every autopilot has failed",
    ),
    "modes flown": Condition(_is_all_flown, "it does not fly the modes that are active or armed"),
    "few modes flown": Condition(
        lambda now: bool(now.options.autopilot_modes), "the autopilot flies every mode"
    ),
    "second autopilot fitted": Condition(
        lambda now: now.options.autopilots >= 2, "no second autopilot fitted"
    ),
    "second autopilot works": Condition(
        lambda now: now.working("autopilot", now.options.autopilots) >= 2,
        "the other autopilot has failed",
    ),
    "receivers work": Condition(
        lambda now: now.working("receiver", 2) >= 2, "one navigation receiver has failed"
    ),
    "courses agree": Condition(lambda now: OTHER_COURSE not in now.failed, COURSES_DIFFER),
    "approach in force": Condition(
        lambda now: now.is_approach, "both autopilots only with approach mode armed or captured"
    ),
    "no rnp final": Condition(
        lambda now: not now.sensed.is_rnp, "no automatic landing from an RNP final"
    ),
    "approach left": Condition(
        lambda now: not now.is_approach and now.vertical != "GA", "approach mode in force"
    ),
    "above minimum": Condition(_is_above_minimum, "below the minimum height of the autopilot"),
    "below minimum": Condition(
        lambda now: not _is_above_minimum(now) and not now.is_landing_armed,
        "above the minimum height of the autopilot",
    ),
    "director on": Condition(lambda now: now.is_flight_director_on, "flight director off"),
    "director off": Condition(lambda now: not now.is_flight_director_on, "flight director on"),
}
"""Every condition a table may name."""
