"""From a draft to an act: which position a toggle means, which checklist comes next.

Keys say "the other position" or "the next stage"; acts, which are recorded, always name it.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence

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
    if draft.act == "move" and value in GESTURES:
        if control not in exercise.aircraft.controls:
            return Note(f"this type has no {control} control")
        position = position_after(control, value, row, exercise)
        if not position:
            return Note(f"{control} is at its last position")
        value = position
    elif draft.act == "move" and control == "autobrake":
        positions = CONTROLS[control].positions
        if value in positions:
            value = str(positions.index(value))
        if not value.isdigit() or int(value) >= len(positions):
            return Note(f"no autobrake level {value}; {_counted(positions)}")
        value = positions[int(value)]
    elif draft.act == "checklist":
        names = [checklist.name for checklist in exercise.flow.checklists]
        name = _checklist(names, value, begun)
        if not name:
            return Note(f"no such checklist; {_numbered(names)}")
        control, value = name, ""
    return Act(row.step, 0, "pilot", draft.act, control, value, draft.text, draft.began)


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


def _counted(positions: Sequence[str]) -> str:
    return ", ".join(f"{place} {name}" for place, name in enumerate(positions))


def _checklist(names: list[str], number: str, begun: Collection[str]) -> str:
    if number:
        at = int(number) - 1 if number.isdigit() else -1
        return names[at] if 0 <= at < len(names) else ""
    return next((name for name in names if name not in begun), "")


def _numbered(names: list[str]) -> str:
    if not names:
        return "this procedure has none"
    return ", ".join(f"{place}j {name}" for place, name in enumerate(names, 1))
