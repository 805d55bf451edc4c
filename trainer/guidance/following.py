"""What follows from the columns as they stand: engagement, capability, thrust, failures.

Owns the columns that nobody needs to press. Refuses to capture anything: that is `automatic`. The
surprising rule: it runs after every press and every step, so that no column is ever shown beside
one that it contradicts.
"""

from __future__ import annotations

from trainer.guidance.conditions import COURSES_DIFFER, ON_FINAL_LATERAL, OTHER_COURSE, Situation
from trainer.guidance.core import Core
from trainer.guidance.modes import CODED, WITH_PATH, Selectors, Sensed
from trainer.guidance.reversions import drop_to_basic, drop_vertical
from trainer.units import FT

WITH_SERVICE = frozenset((*WITH_PATH, "LNAV"))
"""Levels of service, shown in the column of the capability."""


def settle(core: Core, sensed: Sensed, selectors: Selectors) -> None:
    """What follows from the columns as they stand: engagement, capability, thrust."""
    if CODED in (core.vertical.state, core.vertical_armed.state):
        _settle_coded_path(core, sensed, selectors)
    if sensed.is_rnp and core.is_approach:
        _settle_rnp_final(core, sensed, selectors)
    _settle_engagement(core, sensed, selectors)
    capability = _capability(core, sensed)
    if capability != core.capability:
        shown, before = capability or "lost", core.capability
        core.capability = capability
        is_service = WITH_SERVICE.isdisjoint((capability, before))
        what = "capability" if is_service else "level of service"
        core.note("capability", f"{what} {shown.lower() if is_service else shown}")
    _settle_thrust(core, sensed, selectors)


def fail(core: Core, system: str, sensed: Sensed, selectors: Selectors) -> None:
    """`system` ("autopilot 1", "receiver 2") has failed: the autopilot it takes away is gone.

    "course 2" is no failure, but as long as it stands elsewhere the two do not fly together.
    """
    if system in core.failed:
        return
    kind, _, number = system.rpartition(" ")
    # The autopilot that flies alone is the first that works.
    is_first = all(f"{kind} {lower}" in core.failed for lower in range(1, int(number)))
    core.failed = (*core.failed, system)
    engagement = core.engagement.state
    is_alone = engagement == "AP" and kind == "autopilot" and is_first
    if engagement == "AP BOTH" or is_alone:
        reason = COURSES_DIFFER if system == OTHER_COURSE else f"{system} failed"
        if kind == "receiver":
            reason += f": autopilot {number} has no signal"
        core.fire("engagement", "fail", core.situation(sensed, selectors), reason)
        if core.engagement.state == "OFF":
            drop_to_basic(core, sensed, selectors)
    settle(core, sensed, selectors)


def _settle_rnp_final(core: Core, sensed: Sensed, selectors: Selectors) -> None:
    """Without NAV, flown or armed, nothing leads to an RNP final: the approach is dropped."""
    if core.lateral.state != "NAV" and "NAV" not in core.lateral_armed.state:
        drop_vertical(core, sensed, selectors, "approach left with nav")


def _settle_coded_path(core: Core, sensed: Sensed, selectors: Selectors) -> None:
    """Without its legs a coded path has no distance to go: it is disarmed, or left for VS."""
    now = core.situation(sensed, selectors)
    if now.vertical_armed == CODED:
        core.fire("vertical armed", "leave coded legs", now, "coded path disarmed: nav left")
        core.fire("vertical armed", "end coded descent", now, "coded path disarmed: none ahead")
    if now.vertical == CODED:
        leave_coded_path(core, "leave coded legs", "left with nav", now)
        leave_coded_path(core, "end coded descent", "ended: none ahead", now)


def leave_coded_path(core: Core, trigger: str, why: str, now: Situation) -> None:
    """If the table allows it, the coded path is left for VS at the present rate."""
    reason = f"coded path {why}: vertical speed held"
    if core.try_fire("vertical", trigger, now, reason):
        core.held_climb_ms = now.sensed.climb_ms


def _capability(core: Core, sensed: Sensed) -> str:
    """What the capability column shows.

    Only types with two autopilots show one: PASSIVE with one engaged, OPERATIONAL with both, from
    the type's height down while localizer and received glide path are captured. A lost signal
    takes it away at once. Below the alert height nothing is gained any more, and OPERATIONAL
    stays as long as one autopilot lands the aircraft (ICAO Annex 6, definition of alert height).
    """
    if sensed.is_rnp:
        return _service(core, sensed)
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


def _service(core: Core, sensed: Sensed) -> str:
    """The level of service of an RNP final: shown from arming on, while NAV leads to it."""
    if core.engagement.state == "OFF" or sensed.is_on_ground or core.is_final_left:
        return ""
    if core.lateral.state != "NAV" and "NAV" not in core.lateral_armed.state:
        return ""
    is_shown = core.is_approach or core.capability in WITH_SERVICE
    return sensed.service if is_shown and sensed.final_distance_m > 0.0 else ""


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
