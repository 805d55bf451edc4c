"""What the set-up screen says: what hands have set, and the numbers of the briefing.

Lines only; it knows no key and no rule of judging. Surprising rule: what was set stands there as it
is set, right or wrong, and never what should be set.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence

from trainer.app.keymap import Keymap
from trainer.app.view import View
from trainer.app.widgets.lines import Line, cut
from trainer.scenario.briefed import Slot
from trainer.text import shown

_KEYS = (
    "frequency", "identify", "course", "minimums", "final speed", "altimeter", "altitude", "speed",
    "heading", "autobrake", "ice protection",
)  # fmt: skip
NAME_CELLS = 21
NUMBER_CELLS = 9


def set_lines(
    view: View, keymap: Keymap, controls: Collection[str], light: bool | None
) -> list[Line]:
    """Every value that is set before an approach, with its key.

    `controls`: those that the type has; `light`: of an ident being sent.
    """
    lines: list[Line] = [((" AS SET", "label"),)]
    for name in (one for one in _KEYS if one in controls):
        value, meaning = _as_set(name, view, light)
        lines.append(
            ((f" {keymap.key_of(name)} ", "selected"), (f"{name:<14} ", "label"), (value, meaning))
        )
    return lines


def _as_set(name: str, view: View, light: bool | None) -> tuple[str, str]:
    match name:
        case "frequency":
            return (f"{view.frequency} MHz", "selected") if view.frequency else ("none", "label")
        case "identify":
            if light is not None:
                return ("●●●" if light else "···", "active")
            return (view.identified, "active") if view.identified else ("not identified", "label")
        case "course":
            return f"{view.course_deg:03.0f}°", "selected"
        case "minimums":
            return _number(view.minimums_ft, "ft")
        case "final speed":
            return _number(view.final_speed_kt, "kt")
        case "altimeter":
            return _number(view.altimeter_hpa, "hPa")
        case "altitude":
            return _number(view.selected_altitude_ft, "ft")
        case "speed":
            return _number(view.selected_speed_kt, "kt")
        case "heading":
            return f"{view.selected_heading_deg:03.0f}°", "selected"
    position = view.ice_protection if name == "ice protection" else view.autobrake
    return position, "active" if position != "off" else "label"


def _number(value: float, unit: str) -> tuple[str, str]:
    return (f"{value:.0f} {unit}", "selected") if value else ("not set", "label")


def briefing_lines(
    slots: Sequence[Slot], said: Mapping[str, str], chosen: int, is_told: bool, width: int
) -> tuple[list[Line], int]:
    """The numbers under their headings, and which line has the chosen one.

    `is_told`: whether the pilot is told at once if a number is right (not in a check).
    """
    lines: list[Line] = [((" BRIEFING", "label"),)]
    heading, at = "", 0
    for place, slot in enumerate(slots):
        if slot.heading != heading:
            heading = slot.heading
            lines.append(((f" {heading.capitalize()}", "title"),))
        if place == chosen:
            at = len(lines)
        lines.append(cut(_slot(slot, said.get(slot.name, ""), place == chosen, is_told), width))
    return lines, at


def _slot(slot: Slot, said: str, is_chosen: bool, is_told: bool) -> Line:
    sign, meaning = ("▸", "selected") if is_chosen else (" ", "")
    number = f"{shown(said):>{NUMBER_CELLS}}" if said else f"{'·····':>{NUMBER_CELLS}}"
    line: Line = (
        (f" {sign} {slot.name:<{NAME_CELLS}}", meaning),
        (number, "value" if said else "label"),
        (f" {slot.unit:<4}", "label"),
    )
    if not said:
        return line
    if not is_told:
        return (*line, ("noted", "label"))
    if slot.is_right(said):
        return (*line, ("✓ right", "active"))
    return (*line, ("✗ wrong", "caution"))


def ready_text(slots: Sequence[Slot], said: Mapping[str, str]) -> str:
    """How much has been briefed."""
    return f"{sum(1 for slot in slots if slot.name in said)} of {len(slots)} briefed"
