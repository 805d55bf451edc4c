"""From a draft to an act: which position a toggle means, which checklist comes next.

Keys say "the other position" or "the next stage"; acts, which are recorded, always name it.
"""

from __future__ import annotations

from collections.abc import Collection

from trainer.app.router import Draft, Note
from trainer.flight.acts import Act
from trainer.flight.row import Row, lever_field
from trainer.scenario.controls import CONTROLS
from trainer.scenario.exercise import Exercise

GESTURES = ("toggle", "next", "previous")


def act_from(draft: Draft, row: Row, exercise: Exercise, begun: Collection[str]) -> Act | Note:
    """The act of the pilot that `draft` means at `row`, or a note why there is none.

    `begun` holds the names of the checklists begun so far. Whoever flies the act numbers it.
    """
    control, value = draft.control, draft.value
    if draft.act == "move":
        position = _position(control, value, row, exercise)
        if isinstance(position, Note):
            return position
        value = position
    elif draft.act == "checklist":
        names = [checklist.name for checklist in exercise.flow.checklists]
        name = _checklist(names, value, begun)
        if not name:
            return Note(f"no such checklist; {_numbered(names)}")
        control, value = name, ""
    return Act(row.step, 0, "pilot", draft.act, control, value, draft.text, draft.began)


def _position(control: str, value: str, row: Row, exercise: Exercise) -> str | Note:
    """The position that a gesture, a name or the number of a position means."""
    if value in GESTURES:
        if control not in exercise.aircraft.controls:
            return Note(f"this type has no {control} control")
        return position_after(control, value, row, exercise) or Note(
            f"{control} is at its last position"
        )
    positions = CONTROLS[control].positions
    if not positions or value in positions:
        return value
    if value.isdigit() and int(value) < len(positions):
        return positions[int(value)]
    counted = ", ".join(f"{place} {name}" for place, name in enumerate(positions))
    return Note(f"no {control} level {value}; {counted}")


def position_after(control: str, gesture: str, row: Row, exercise: Exercise) -> str:
    """Where a gesture takes a lever; "" at the end of its travel."""
    if control == "flaps":
        names = [stage.name for stage in exercise.aircraft.flaps]
        at = row.flap_lever + (1 if gesture == "next" else -1)
        return names[at] if 0 <= at < len(names) else ""
    positions = CONTROLS[control].positions
    at = positions.index(lever_position(control, row))
    return positions[(at + 1) % len(positions)]


def lever_position(control: str, row: Row) -> str:
    """Where a lever other than the flap lever stands."""
    return str(getattr(row, lever_field(control)))


def _checklist(names: list[str], number: str, begun: Collection[str]) -> str:
    if number:
        at = int(number) - 1 if number.isdigit() else -1
        return names[at] if 0 <= at < len(names) else ""
    return next((name for name in names if name not in begun), "")


def _numbered(names: list[str]) -> str:
    if not names:
        return "this procedure has none"
    return ", ".join(f"{place}j {name}" for place, name in enumerate(names, 1))
