"""What is left when something is taken away: the localizer, a path, or all guidance.

Owns the modes and references that a loss leaves behind. Refuses to know why it came to that: the
caller gives the reason. The surprising rule: what is left is always the present heading and the
present climb rate, never a selector that nobody has looked at.
"""

from __future__ import annotations

from trainer.guidance.conditions import ON_FINAL_VERTICAL
from trainer.guidance.core import Core
from trainer.guidance.modes import Selectors, Sensed


def leave_localizer(core: Core, sensed: Sensed, selectors: Selectors) -> None:
    """Without the localizer nothing vertical can be captured: most types drop the approach."""
    if core.options.leaving != "until both captured":
        drop_vertical(core, sensed, selectors, "approach left with the localizer")


def drop_vertical(core: Core, sensed: Sensed, selectors: Selectors, reason: str) -> None:
    """Disarm PATH or GLIDE and turn a captured one into VS at the present climb rate."""
    now = core.situation(sensed, selectors)
    if now.vertical_armed != "none":
        core.fire("vertical armed", "clear", now, reason)
    if now.vertical in ON_FINAL_VERTICAL:
        core.fire("vertical", "drop", now, reason)
        core.held_climb_ms = sensed.climb_ms


def drop_to_basic(core: Core, sensed: Sensed, selectors: Selectors) -> None:
    """Autopilot and flight director off: nothing armed; in the air heading and climb rate held."""
    now = core.situation(sensed, selectors)
    reason = "autopilot and flight director off"
    if now.lateral_armed != "none":
        core.fire("lateral armed", "clear", now, reason)
    if now.vertical_armed != "none":
        core.fire("vertical armed", "clear", now, reason)
    if sensed.is_on_ground:
        return
    if now.lateral != "HDG":
        core.fire("lateral", "drop", now, reason)
    if now.vertical != "VS":
        core.fire("vertical", "drop", now, reason)
    core.held_heading_rad = sensed.heading_rad
    core.held_climb_ms = sensed.climb_ms
