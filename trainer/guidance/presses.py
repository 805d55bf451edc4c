"""What each button does: which triggers a press offers to which columns.

Owns the order of the offers. Refuses to move an axis itself. The surprising rule: a press whose
result is there already is not refused, a press that can have no result is.

The ways out of an approach that was armed too early, on a type that computes a path instead:
before the localizer is captured a second press disarms everything, and a press inside the signal
arms the glide path. Later, localizer mode drops the approach and keeps the localizer; or heading
mode takes the lateral axis, after which a press of approach mode arms afresh. A press of approach
mode with the localizer captured never re-arms by itself. Once both are captured only a go-around,
or autopilot and flight director off, leaves the approach.
"""

from __future__ import annotations

from collections.abc import Callable

from trainer.guidance.conditions import CONDITIONS, ON_FINAL_LATERAL, ON_FINAL_VERTICAL
from trainer.guidance.core import Core
from trainer.guidance.modes import CODED, RECEIVED, Selectors, Sensed
from trainer.guidance.radial import is_vor_frequency
from trainer.guidance.reversions import drop_vertical, leave_localizer

Press = Callable[[Core, Sensed, Selectors], str | None]

_NO_GUIDANCE = "autopilot and flight director off"


def _heading(core: Core, sensed: Sensed, selectors: Selectors) -> str | None:
    now = core.situation(sensed, selectors)
    refusal = core.fire("lateral", "press heading", now, "heading mode pressed")
    if refusal is None:
        core.held_heading_rad = None
        if "NAV" in now.lateral_armed:
            core.fire("lateral armed", "disarm nav", now, "heading mode pressed")
        if now.lateral in ON_FINAL_LATERAL:
            leave_localizer(core, sensed, selectors)
    return refusal


def _nav(core: Core, sensed: Sensed, selectors: Selectors) -> str | None:
    now = core.situation(sensed, selectors)
    if now.lateral == "NAV" or "NAV" in now.lateral_armed:
        return None
    now = now._replace(is_nav_near=core.legs.is_near(sensed))
    if not now.is_nav_near:
        return core.fire("lateral armed", "arm nav", now, "nav armed: coded leg not reached")
    refusal = core.fire("lateral", "press nav", now, "nav mode pressed")
    if refusal is None and now.lateral in ON_FINAL_LATERAL:
        leave_localizer(core, sensed, selectors)
    return refusal


def _localizer(core: Core, sensed: Sensed, selectors: Selectors) -> str | None:
    """One button for whatever course the receiver gives: a localizer, or a VOR if that is tuned."""
    if is_vor_frequency(selectors.frequency):
        return _vor(core, sensed, selectors)
    now = core.situation(sensed, selectors)
    if now.is_approach:
        column = "vertical" if now.vertical in ON_FINAL_VERTICAL else "vertical armed"
        refusal = core.fire(
            column, "leave approach", now, "localizer mode pressed: approach dropped"
        )
        if refusal is not None:
            return refusal
        if column == "vertical":
            core.held_climb_ms = sensed.climb_ms
    elif "LOC" in now.lateral_armed and core.options.second_press != "nothing":
        return core.fire("lateral armed", "disarm localizer", now, "localizer mode pressed again")
    if now.lateral in ON_FINAL_LATERAL or "LOC" in now.lateral_armed:
        return None
    return core.fire("lateral armed", "arm localizer", now, "localizer mode pressed")


def _vor(core: Core, sensed: Sensed, selectors: Selectors) -> str | None:
    now = core.situation(sensed, selectors)
    if "VOR" in now.lateral_armed and core.options.second_press != "nothing":
        return core.fire("lateral armed", "disarm vor", now, "localizer mode pressed again")
    if now.lateral == "VOR" or "VOR" in now.lateral_armed:
        return None
    reason = "localizer mode pressed with a VOR tuned"
    refusal = core.fire("lateral armed", "arm vor", now, reason)
    if refusal is None and now.is_approach:
        drop_vertical(core, sensed, selectors, reason)
    return refusal


def _approach(core: Core, sensed: Sensed, selectors: Selectors) -> str | None:
    now = core.situation(sensed, selectors)
    is_leading = "LOC" in now.lateral_armed or now.lateral in ON_FINAL_LATERAL
    if sensed.is_rnp and not (now.is_approach and is_leading):
        return _rnp_approach(core, sensed, selectors)
    if now.is_approach and is_leading:
        return _approach_again(core, sensed, selectors)
    if now.lateral not in ON_FINAL_LATERAL and "LOC" not in now.lateral_armed:
        refusal = core.fire("lateral armed", "arm localizer", now, "approach mode pressed")
        if refusal is not None:
            return refusal
    elif now.sensed.localizer_state not in RECEIVED:
        return CONDITIONS["localizer received"].refusal
    if now.vertical_armed != "none":
        core.fire("vertical armed", "clear", now, "approach mode pressed")
    now = core.situation(sensed, selectors)
    refusal = core.fire("vertical armed", "press approach", now, _arming_reason(core, sensed))
    if refusal is None and now.lateral in ON_FINAL_LATERAL and "NAV" in now.lateral_armed:
        core.fire("lateral armed", "disarm nav", now, "approach mode pressed")
    return refusal


def _rnp_approach(core: Core, sensed: Sensed, selectors: Selectors) -> str | None:
    """Arm the path of the coded final, and NAV if nothing leads to it yet."""
    if core.is_approach:
        return _approach_again(core, sensed, selectors)
    now = core.situation(sensed, selectors)
    if now.vertical_armed != "none":
        core.fire("vertical armed", "clear", now, "approach mode pressed")
        now = core.situation(sensed, selectors)
    reason = f"approach mode pressed: {sensed.service} path armed"
    refusal = core.fire("vertical armed", "arm rnp path", now, reason)
    if refusal is None:
        refusal = _nav(core, sensed, selectors)
        now = core.situation(sensed, selectors)
        if refusal is not None:
            core.fire("vertical armed", "clear", now, "approach mode refused")
        for word in ("LOC", "VOR"):
            if refusal is None and word in now.lateral_armed:
                trigger = "disarm localizer" if word == "LOC" else "disarm vor"
                core.fire("lateral armed", trigger, now, reason)
                now = core.situation(sensed, selectors)
    return refusal


def _arming_reason(core: Core, sensed: Sensed) -> str:
    if sensed.glide_state in RECEIVED:
        return "approach mode pressed: glide path received"
    if core.options.early_arming == "computed path":
        return "glide path not received: computed path armed"
    return "glide path not received: armed and waiting"


def _approach_again(core: Core, sensed: Sensed, selectors: Selectors) -> str | None:
    """A second press while the approach is armed or captured."""
    now = core.situation(sensed, selectors)
    option = core.options.second_press
    is_captured = now.lateral in ON_FINAL_LATERAL or now.vertical in ON_FINAL_VERTICAL
    if option == "nothing":
        return "approach mode is armed or captured already"
    if is_captured and option != "disarms always":
        what = "path" if sensed.is_rnp else "localizer"
        return f"a second press disarms only before the {what} is captured"
    reason = "approach mode pressed again: disarmed"
    column = "vertical" if now.vertical in ON_FINAL_VERTICAL else "vertical armed"
    refusal = core.fire(column, "leave approach", now, reason)
    if refusal is not None:
        return refusal
    if column == "vertical":
        core.held_climb_ms = sensed.climb_ms
    if "LOC" in now.lateral_armed:
        core.fire("lateral armed", "disarm localizer", now, reason)
    if now.lateral in ON_FINAL_LATERAL:
        core.fire("lateral", "drop", now, reason)
        core.held_heading_rad = sensed.heading_rad
    return None


def _path(core: Core, sensed: Sensed, selectors: Selectors) -> str | None:
    """Arm the coded descent; again to disarm it."""
    now = core.situation(sensed, selectors)
    if now.vertical == CODED:
        return None
    if now.is_approach:
        return "approach mode armed or captured"
    if now.vertical_armed == CODED:
        return core.fire("vertical armed", "press path again", now, "path mode pressed again")
    return core.fire("vertical armed", "press path", now, "path mode pressed: coded descent armed")


def _altitude_hold(core: Core, sensed: Sensed, selectors: Selectors) -> str | None:
    now = core.situation(sensed, selectors)
    refusal = core.fire("vertical", "press altitude hold", now, "altitude hold pressed")
    if refusal is None and now.vertical != "ALT":
        core.held_altitude_ft = sensed.altitude_ft
    return refusal


def _vertical_speed(core: Core, sensed: Sensed, selectors: Selectors) -> str | None:
    now = core.situation(sensed, selectors)
    refusal = core.fire("vertical", "press vertical speed", now, "vertical speed mode pressed")
    if refusal is None:
        core.held_climb_ms = None
    return refusal


def _offering(column: str, trigger: str, reason: str, *already: str) -> Press:
    """A button that offers `trigger` to `column` unless that is in a state of `already`."""

    def act(core: Core, sensed: Sensed, selectors: Selectors) -> str | None:
        now = core.situation(sensed, selectors)
        is_there = getattr(now, column) in already
        return None if is_there else core.fire(column, trigger, now, reason)

    return act


def _autothrust_off(core: Core, sensed: Sensed, selectors: Selectors) -> str | None:
    now = core.situation(sensed, selectors)
    if now.thrust == "OFF":
        return None if now.is_autothrust_fitted else CONDITIONS["autothrust fitted"].refusal
    return core.fire("thrust", "press autothrust off", now, "autothrust off pressed: power by hand")


def _flight_director(core: Core, sensed: Sensed, selectors: Selectors) -> str | None:
    now = core.situation(sensed, selectors)
    core.is_flight_director_on = not core.is_flight_director_on
    if now.engagement not in ("OFF", "FD"):
        return None
    return core.fire("engagement", "press flight director", now, "flight director pressed")


def _go_around(core: Core, sensed: Sensed, selectors: Selectors) -> str | None:
    now = core.situation(sensed, selectors)
    if now.vertical == "GA":
        if core.is_full_go_around:
            return "go-around engaged already"
        core.is_full_go_around = True
        return None
    reason = "go-around pressed"
    refusal = core.fire("vertical", "go around", now, reason)
    if refusal is not None:
        return refusal
    if now.lateral != "GA":
        core.fire("lateral", "go around", now, reason)
    if now.lateral_armed != "none":
        core.fire("lateral armed", "clear", now, reason)
    if now.vertical_armed != "none":
        core.fire("vertical armed", "clear", now, reason)
    if core.is_autothrust_fitted:
        core.fire("thrust", "go around", now, reason)
    if now.engagement == "OFF" or core.options.autopilot_modes:
        core.is_flight_director_on = True
        core.fire("engagement", "go around", now, reason)
    core.held_track_rad = sensed.track_rad
    core.is_final_left = True
    core.legs.begin_missed_approach()
    core.is_full_go_around = not core.options.go_around_second_press
    return None


GUIDED: dict[str, tuple[str, Press]] = {
    "heading mode": ("heading", _heading),
    "nav mode": ("nav", _nav),
    "localizer mode": ("localizer", _localizer),
    "approach mode": ("approach", _approach),
    "path mode": ("path", _path),
    "altitude hold": ("altitude hold", _altitude_hold),
    "vertical speed mode": ("vertical speed", _vertical_speed),
    "climb mode": ("climb", _offering("vertical", "press climb", "climb mode pressed")),
    "descend mode": ("descend", _offering("vertical", "press descend", "descend mode pressed")),
}
"""Buttons that need an autopilot or flight director: short name and what a press does."""

_FLOWN_BY = {"heading mode": "HDG", "altitude hold": "ALT"}
"""The mode of a button that an autopilot of few modes may fly."""

ALWAYS: dict[str, tuple[str, Press]] = {
    "speed mode": ("speed", _offering("thrust", "press speed", "speed mode pressed")),
    "autothrust off": ("autothrust off", _autothrust_off),
    "autopilot": (
        "autopilot",
        _offering("engagement", "press autopilot", "autopilot pressed", "AP", "AP BOTH"),
    ),
    "second autopilot": (
        "second autopilot",
        _offering("engagement", "press second autopilot", "second autopilot pressed", "AP BOTH"),
    ),
    "autopilot off": (
        "autopilot off",
        _offering("engagement", "press autopilot off", "autopilot off pressed", "OFF", "FD"),
    ),
    "flight director": ("flight director", _flight_director),
    "go-around": ("go-around", _go_around),
}
"""Buttons that answer whatever is engaged."""


def press(core: Core, control: str, sensed: Sensed, selectors: Selectors) -> str | None:
    """Press the button called `control`; the refusal as a sentence, or None.

    ValueError for a control that is not a button of guidance.
    """
    if control in GUIDED:
        name, act = GUIDED[control]
        if core.engagement.state == "OFF":
            return f"{name} ignored: {_NO_GUIDANCE}"
        flown = core.options.autopilot_modes
        if flown and core.engagement.state == "AP" and _FLOWN_BY.get(control) not in flown:
            return f"{name} ignored: the autopilot flies {' and '.join(flown)} only"
    elif control in ALWAYS:
        name, act = ALWAYS[control]
    else:
        raise ValueError(f"no guidance button {control}")
    refusal = act(core, sensed, selectors)
    return None if refusal is None else f"{name} ignored: {refusal}"
