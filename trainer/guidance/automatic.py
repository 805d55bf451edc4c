"""What guidance does by itself: captures, landing steps, lost signals.

Owns when a trigger is worth offering. Refuses to move an axis itself. The surprising rule: this
runs every step, so each question is asked with a plain `if` first and the machines are troubled
only when the answer changes something.
"""

from __future__ import annotations

from trainer.guidance.capture import (
    is_altitude_captured,
    is_final_path_caught,
    is_level_at,
    is_localizer_captured,
)
from trainer.guidance.conditions import ON_CODED_LEGS, ON_FINAL_LATERAL
from trainer.guidance.core import Core
from trainer.guidance.following import settle
from trainer.guidance.modes import BASIC_VERTICAL, CODED, RECEIVED, WITH_PATH, Selectors, Sensed
from trainer.guidance.radial import is_overhead, is_vor_captured, is_vor_received
from trainer.guidance.reversions import drop_vertical, leave_localizer
from trainer.units import DEG, FT, steps_for


def advance(core: Core, sensed: Sensed, selectors: Selectors) -> None:
    """Every automatic transition of this step, lateral before vertical before the rest."""
    if core.held_altitude_ft is None and core.vertical.state == "ALT":
        core.held_altitude_ft = sensed.altitude_ft
    if not sensed.is_on_ground:
        _watch_signals(core, sensed, selectors)
        if core.lateral_armed.state != "none":
            _capture_lateral(core, sensed, selectors)
        _capture_vertical(core, sensed, selectors)
    _land(core, sensed, selectors)
    settle(core, sensed, selectors)


# Lateral --------------------------------------------------------------------------------------


def _capture_lateral(core: Core, sensed: Sensed, selectors: Selectors) -> None:
    armed = core.lateral_armed.state
    if "VOR" in armed and is_vor_captured(sensed, selectors.course_deg, core.handling):
        now = core.situation(sensed, selectors)
        if core.try_fire("lateral", "capture vor", now, "VOR course captured"):
            core.fire("lateral armed", "clear", now, "VOR course captured")
            core.vor_lost_steps = 0
    elif "LOC" in armed and is_localizer_captured(
        sensed, selectors.course_deg * DEG, core.handling
    ):
        now = core.situation(sensed, selectors)
        if core.try_fire("lateral", "capture localizer", now, "localizer captured"):
            core.fire("lateral armed", "clear", now, "localizer captured")
            core.localizer_lost_steps = 0
    elif "NAV" in armed and sensed.track_state != "flagged" and core.legs.is_near(sensed):
        now = core.situation(sensed, selectors, is_nav_near=True)
        if core.try_fire("lateral", "capture nav", now, "coded leg captured"):
            core.fire("lateral armed", "disarm nav", now, "coded leg captured")
            if now.lateral in ON_FINAL_LATERAL and not sensed.is_rnp:
                leave_localizer(core, sensed, selectors)


def _watch_signals(core: Core, sensed: Sensed, selectors: Selectors) -> None:
    """Count the steps without a captured signal and revert after the type's holding time."""
    if core.lateral.state in ("LOC", "ALIGN"):
        if sensed.localizer_state in RECEIVED:
            core.localizer_lost_steps = 0
        else:
            core.localizer_lost_steps += 1
            if core.localizer_lost_steps >= steps_for(core.options.signal_hold_s):
                _lose_localizer(core, sensed, selectors)
    if core.lateral.state == "VOR":
        _watch_vor(core, sensed, selectors)
    if sensed.is_rnp:
        _watch_rnp_final(core, sensed, selectors)
    if core.vertical.state == "GLIDE":
        if sensed.glide_state in RECEIVED:
            core.glide_lost_steps = 0
        else:
            core.glide_lost_steps += 1
            if core.glide_lost_steps >= steps_for(core.options.signal_hold_s):
                now = core.situation(sensed, selectors)
                core.fire("vertical", "lose glide", now, _lost_reason(core, "glide path"))
                core.held_climb_ms = sensed.climb_ms


def _watch_vor(core: Core, sensed: Sensed, selectors: Selectors) -> None:
    """A VOR lost anywhere but overhead reverts to the present heading after the holding time."""
    if is_vor_received(sensed):
        core.vor_lost_steps = 0
    elif not (sensed.vor_state == "flagged" and is_overhead(sensed)):
        core.vor_lost_steps += 1
        if core.vor_lost_steps >= steps_for(core.options.signal_hold_s):
            now = core.situation(sensed, selectors)
            core.fire("lateral", "lose vor", now, _lost_reason(core, "VOR"))
            core.held_heading_rad = sensed.heading_rad


def _watch_rnp_final(core: Core, sensed: Sensed, selectors: Selectors) -> None:
    """A position without integrity takes NAV away, a level of service without a path takes PATH."""
    hold_steps = steps_for(core.options.signal_hold_s)
    is_lost = sensed.track_state == "flagged" and core.lateral.state == "NAV"
    core.track_lost_steps = core.track_lost_steps + 1 if is_lost else 0
    is_path = "PATH" in (core.vertical.state, core.vertical_armed.state)
    is_lost = is_path and sensed.service not in WITH_PATH
    core.path_lost_steps = core.path_lost_steps + 1 if is_lost else 0
    if core.path_lost_steps >= hold_steps and is_path:
        now = core.situation(sensed, selectors)
        reason = _lost_reason(core, "level of service with a path")
        if now.vertical_armed == "PATH":
            core.fire("vertical armed", "lose path", now, reason)
        if core.try_fire("vertical", "lose path", now, reason):
            core.held_climb_ms = sensed.climb_ms
    if core.track_lost_steps >= hold_steps and core.track_lost_steps:
        now = core.situation(sensed, selectors)
        core.fire("lateral", "lose position", now, _lost_reason(core, "position"))
        core.held_heading_rad = sensed.heading_rad


def _lost_reason(core: Core, signal: str) -> str:
    hold_s = core.options.signal_hold_s
    since = f" for {hold_s:g} s" if hold_s else ""
    return f"{signal} lost{since}: present flight held"


def _lose_localizer(core: Core, sensed: Sensed, selectors: Selectors) -> None:
    now = core.situation(sensed, selectors)
    reason = _lost_reason(core, "localizer")
    core.fire("lateral", "lose localizer", now, reason)
    core.held_heading_rad = sensed.heading_rad
    if now.vertical != "FLARE":
        drop_vertical(core, sensed, selectors, reason)


# Vertical -------------------------------------------------------------------------------------


def _capture_vertical(core: Core, sensed: Sensed, selectors: Selectors) -> None:
    vertical = core.vertical.state
    armed = core.vertical_armed.state
    if (
        armed in ("PATH", "GLIDE")
        and vertical in BASIC_VERTICAL
        and is_final_path_caught(sensed, armed, core.handling)
    ):
        now = core.situation(sensed, selectors)
        trigger, reason = "capture path", "computed path captured"
        if armed == "GLIDE":
            trigger, reason = "capture glide", "glide path captured"
        elif sensed.is_rnp:
            trigger, reason = "capture rnp path", f"{sensed.service} path captured"
        if core.try_fire("vertical", trigger, now, reason):
            core.fire("vertical armed", "clear", now, reason)
            core.glide_lost_steps = 0
            return
    if armed == CODED and _is_coded_path_taken(core, sensed, selectors):
        return
    if vertical in ("VS", "CLIMB", "DESCEND", "GA", CODED):
        if core.engagement.state == "OFF":
            return
        if is_altitude_captured(selectors.altitude_ft, sensed, core.handling):
            now = core.situation(sensed, selectors)
            if core.try_fire("vertical", "capture altitude", now, "selected altitude captured"):
                core.captured_altitude_ft = selectors.altitude_ft
    elif vertical == "ALT CAP" and is_level_at(core.captured_altitude_ft, sensed):
        now = core.situation(sensed, selectors)
        core.fire("vertical", "level off", now, "level at the captured altitude")
        core.held_altitude_ft = core.captured_altitude_ft


def _is_coded_path_taken(core: Core, sensed: Sensed, selectors: Selectors) -> bool:
    """Capture the armed coded path if it is reached and the selected altitude allows it."""
    if core.lateral.state not in ON_CODED_LEGS or core.vertical.state == "GA":
        return False
    now = core.situation(sensed, selectors, path=core.legs.path(sensed))
    reason = "coded path captured"
    if not core.try_fire("vertical", "capture coded path", now, reason):
        return False
    core.fire("vertical armed", "clear", now, reason)
    return True


# Landing --------------------------------------------------------------------------------------


def _land(core: Core, sensed: Sensed, selectors: Selectors) -> None:
    """ALIGN, FLARE and ROLLOUT of an automatic landing."""
    if core.capability != "OPERATIONAL":
        return
    lateral, radio_m = core.lateral.state, sensed.radio_height_m
    if sensed.is_on_ground:
        if lateral in ("LOC", "ALIGN") and core.options.rollout_fitted:
            now = core.situation(sensed, selectors)
            core.fire("lateral", "roll out", now, "touchdown")
        return
    if lateral == "LOC" and radio_m < core.options.align_ft * FT:
        now = core.situation(sensed, selectors)
        core.fire("lateral", "align", now, f"{core.options.align_ft:g} ft in an automatic landing")
    if core.vertical.state == "GLIDE" and radio_m < core.flare.start_ft * FT:
        now = core.situation(sensed, selectors)
        core.fire("vertical", "flare", now, f"{core.flare.start_ft:g} ft in an automatic landing")
