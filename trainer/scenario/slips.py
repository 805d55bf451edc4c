"""What goes wrong on purpose: traps that tempt the pilot, slips of the colleague who is monitored.

Owns which item must find each. Refuses to know how a crew acts or a judge finds. Surprising rule:
every edit of one trap, and every slip of an exercise, is of another item.
"""

from __future__ import annotations

from trainer.scenario.edits import check_item, edit_of, refuse_second_edits
from trainer.scenario.exercise import Slip, Trap
from trainer.scenario.fields import Fields
from trainer.scenario.reading import Reading
from trainer.scenario.references import Names
from trainer.text import quoted


def traps(exercise: Fields, names: Names, reading: Reading) -> tuple[Trap, ...]:
    """The traps of an exercise."""
    found: list[Trap] = []
    for fields in exercise.records("traps"):
        names.check(fields.mentions, reading)
        edits = [edit_of(edit, names, reading) for edit in fields.records("crew")]
        refuse_second_edits(fields.records("crew"), names, reading)
        caught = fields.record("caught as")
        if caught is None:
            continue
        item = caught.text("item")
        _check_item(caught, "item", names, reading)
        if fields.is_sound:
            made = tuple(edit for edit in edits if edit is not None)
            found.append(Trap(fields.text("trap"), made, item, caught.text("verdict")))
    return tuple(found)


def slips(exercise: Fields, names: Names, reading: Reading) -> tuple[Slip, ...]:
    """The slips of an exercise: edits of the colleague's acts, one for each item."""
    found: list[Slip] = []
    for fields in exercise.records("slips"):
        names.check(fields.mentions, reading)
        edit = edit_of(fields, names, reading)
        _check_item(fields, "caught by", names, reading)
        caught_by = fields.text("caught by")
        if edit is not None and caught_by in (edit.item, edit.other):
            reading.refuse(
                fields.at("caught by"),
                f"{quoted(caught_by)} is what is slipped; expected the item that finds it",
            )
        elif edit is not None:
            found.append(Slip(edit, caught_by))
    refuse_second_edits(exercise.records("slips"), names, reading)
    return tuple(found)


def _check_item(fields: Fields, key: str, names: Names, reading: Reading) -> None:
    if key in fields:
        check_item(fields.text(key), fields.at(key), names, reading)
