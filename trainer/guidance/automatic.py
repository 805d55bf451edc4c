"""What guidance does by itself: captures, landing steps, lost signals, and what follows a change.

Owns when a trigger is worth offering. Refuses to move an axis itself. The surprising rule: this
runs every step, so each question is asked with a plain `if` first and the machines are troubled
only when the answer changes something.
"""

from __future__ import annotations

from trainer.guidance.capture import (
    glide_sink_ms,
    is_altitude_captured,
    is_level_at,
    is_localizer_captured,
    is_path_captured,
    path_sink_ms,
)
from trainer.guidance.conditions import ON_CODED_LEGS, ON_FINAL_LATERAL, RECEIVED
from trainer.guidance.core import Core
from trainer.guidance.modes import CODED, Selectors, Sensed
from trainer.guidance.presses import drop_vertical, leave_localizer
from trainer.guidance.radial import is_overhead, is_vor_captured, is_vor_received
from trainer.units import DEG, FT, steps_for

_BASIC_VERTICAL = ("ALT", "ALT CAP", "VS", "CLIMB", "DESCEND", CODED)


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


def fail(core: Core, system: str, sensed: Sensed, selectors: Selectors) -> None:
    """`system` ("autopilot 1", "receiver 2") has failed: the autopilot it takes away is gone."""
    if system in core.failed:
        return
    kind, _, number = system.rpartition(" ")
    # The autopilot that flies alone is the first that works.
    is_first = all(f"{kind} {lower}" in core.failed for lower in range(1, int(number)))
    core.failed = (*core.failed, system)
    engagement = core.engagement.state
    is_alone = engagement == "AP" and kind == "autopilot" and is_first
    if engagement == "AP BOTH" or is_alone:
        reason = f"{system} failed"
        if kind == "receiver":
            reason += f": autopilot {number} has no signal"
        core.fire("engagement", "fail", core.situation(sensed, selectors), reason)
        if core.engagement.state == "OFF":
            drop_to_basic(core, sensed, selectors)
    settle(core, sensed, selectors)


def settle(core: Core, sensed: Sensed, selectors: Selectors) -> None:
    """What follows from the columns as they stand: engagement, capability, thrust."""
    if CODED in (core.vertical.state, core.vertical_armed.state):
        _settle_coded_path(core, sensed, selectors)
    _settle_engagement(core, sensed, selectors)
    capability = _capability(core, sensed)
    if capability != core.capability:
        shown = capability or "lost"
        core.capability = capability
        core.note("capability", f"capability {shown.lower()}")
    _settle_thrust(core, sensed, selectors)


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
    elif "NAV" in armed and core.is_nav_near(sensed):
        now = core.situation(sensed, selectors, is_nav_near=True)
        if core.try_fire("lateral", "capture nav", now, "coded leg captured"):
            core.fire("lateral armed", "disarm nav", now, "coded leg captured")
            if now.lateral in ON_FINAL_LATERAL:
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
        and vertical in _BASIC_VERTICAL
        and _is_final_path_captured(core, sensed, armed)
    ):
        now = core.situation(sensed, selectors)
        trigger = "capture glide" if armed == "GLIDE" else "capture path"
        reason = "glide path captured" if armed == "GLIDE" else "computed path captured"
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
    now = core.situation(sensed, selectors, path=core.path(sensed))
    reason = "coded path captured"
    if not core.try_fire("vertical", "capture coded path", now, reason):
        return False
    core.fire("vertical armed", "clear", now, reason)
    return True


def _settle_coded_path(core: Core, sensed: Sensed, selectors: Selectors) -> None:
    """Without its legs a coded path has no distance to go: it is disarmed, or left for VS."""
    if core.vertical_armed.state == CODED:
        now = core.situation(sensed, selectors)
        core.fire("vertical armed", "leave coded legs", now, "coded path disarmed: nav left")
    if core.vertical.state == CODED:
        now = core.situation(sensed, selectors)
        reason = "coded path left with nav: vertical speed held"
        if core.fire("vertical", "leave coded legs", now, reason) is None:
            core.held_climb_ms = sensed.climb_ms


def _is_final_path_captured(core: Core, sensed: Sensed, armed: str) -> bool:
    if armed == "PATH":
        error_m, sink_ms = sensed.path_error_m, path_sink_ms(sensed)
    elif sensed.glide_state in RECEIVED:
        error_m, sink_ms = sensed.glide_error_m, glide_sink_ms(sensed)
    else:
        return False
    is_led = core.lateral.state in ON_FINAL_LATERAL or core.options.is_glide_before_localizer
    return is_led and is_path_captured(error_m, sink_ms, core.handling)


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


def _capability(core: Core, sensed: Sensed) -> str:
    """What the capability column shows.

    Only types with two autopilots show one: PASSIVE with one engaged, OPERATIONAL with both, from
    the type's height down while localizer and received glide path are captured. A lost signal
    takes it away at once. Below the alert height nothing is gained any more, and OPERATIONAL
    stays as long as one autopilot lands the aircraft (ICAO Annex 6, definition of alert height).
    """
    options = core.options
    if options.autopilots < 2 or core.engagement.state not in ("AP", "AP BOTH"):
        return ""
    if core.vertical.state not in ("GLIDE", "FLARE"):
        return ""
    if core.lateral.state not in ON_FINAL_LATERAL:
        return ""
    radio_m = sensed.radio_height_m
    is_below_alert = radio_m <= options.alert_height_ft * FT
    if not core.capability and (radio_m >= options.capability_ft * FT or is_below_alert):
        return ""
    if is_below_alert and core.capability == "OPERATIONAL":
        return "OPERATIONAL"
    if core.localizer_lost_steps > 0 or core.glide_lost_steps > 0:
        return ""
    is_operational = core.engagement.state == "AP BOTH" and not is_below_alert
    return "OPERATIONAL" if is_operational else "PASSIVE"


# Engagement and thrust ------------------------------------------------------------------------


def _settle_engagement(core: Core, sensed: Sensed, selectors: Selectors) -> None:
    engagement = core.engagement.state
    if engagement == "AP BOTH" and not core.is_approach and core.vertical.state != "GA":
        now = core.situation(sensed, selectors)
        core.fire("engagement", "leave approach", now, "one autopilot outside the approach")
    if sensed.is_on_ground or engagement in ("OFF", "FD"):
        return
    if core.capability == "OPERATIONAL" or core.vertical.state == "GA":
        return
    if sensed.radio_height_m < core.options.autopilot_minimum_ft * FT:
        now = core.situation(sensed, selectors)
        reason = "autopilot below its minimum height"
        core.fire("engagement", "descend below minimum", now, reason)
        if core.engagement.state == "OFF":
            drop_to_basic(core, sensed, selectors)


def drop_to_basic(core: Core, sensed: Sensed, selectors: Selectors) -> None:
    """Autopilot and flight director off: present heading and climb rate, nothing armed."""
    if sensed.is_on_ground:
        return
    now = core.situation(sensed, selectors)
    reason = "autopilot and flight director off"
    if now.lateral_armed != "none":
        core.fire("lateral armed", "clear", now, reason)
    if now.vertical_armed != "none":
        core.fire("vertical armed", "clear", now, reason)
    if now.lateral != "HDG":
        core.fire("lateral", "drop", now, reason)
    if now.vertical != "VS":
        core.fire("vertical", "drop", now, reason)
    core.held_heading_rad = sensed.heading_rad
    core.held_climb_ms = sensed.climb_ms


def _settle_thrust(core: Core, sensed: Sensed, selectors: Selectors) -> None:
    """Thrust follows the vertical mode: it holds what pitch does not."""
    thrust, vertical = core.thrust.state, core.vertical.state
    if thrust == "OFF" or vertical == "GA":
        return
    if vertical == "DESCEND":
        wanted, trigger, reason = "IDLE", "close", "descending at idle"
    elif vertical == "CLIMB":
        wanted, trigger, reason = "CLIMB", "open", "climbing at climb thrust"
    elif sensed.radio_height_m < core.flare.idle_ft * FT:
        if thrust != "SPEED":
            return
        reason = f"{core.flare.idle_ft:g} ft: thrust closed for the landing"
        wanted, trigger = "IDLE", "close"
    elif vertical == "FLARE" or sensed.is_on_ground:
        return
    else:
        wanted, trigger = "SPEED", "hold speed"
        reason = f"{vertical} holds the path, thrust the speed"
    if thrust != wanted:
        core.fire("thrust", trigger, core.situation(sensed, selectors), reason)
