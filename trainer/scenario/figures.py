"""Quantities, named values and controls as text: what stands on the right of a key.

Owns "reference speed plus 5 kt" and "flaps landing". Surprising rule: flap roles stay role names
here and become stage names only with a type.
"""

from __future__ import annotations

import re

from trainer.errors import did_you_mean, hint, nearest, sentence_of
from trainer.scenario import quantities
from trainer.scenario.controls import CONTROLS
from trainer.scenario.moments import Figure
from trainer.scenario.nodes import Node
from trainer.scenario.quantities import QuantityError
from trainer.scenario.reading import Reading, is_known
from trainer.scenario.vocabulary import words
from trainer.text import quoted

_OFFSET = re.compile(r"(.{1,40}?)(?: (plus|minus) (.{1,20}))?")


def control_and_position(
    text: str, node: Node, reading: Reading, *, is_position_needed: bool = True
) -> tuple[str, str] | None:
    """Control and position that `text` names (the longest control name wins).

    A button has the position "". Noted as mentions: the control, and for flaps the stage.
    None if a problem was noted.
    """
    fitting = [name for name in CONTROLS if text == name or text.startswith(name + " ")]
    if not fitting:
        word = text if nearest(text, CONTROLS) else text.split(" ")[0]
        reading.refuse(node, f"{quoted(text)} names no control{hint(word, CONTROLS)}")
        return None
    # A name may be both a button and a selector ("speed mode", "speed"); the longest is meant.
    name = max(fitting, key=len)
    control, position = CONTROLS[name], text[len(name) + 1 :]
    reading.mention("control", name, node)
    if control.kind == "selector" and (position or is_position_needed):
        reading.refuse(node, f"{name} is a selector; expected set: {{{name}: VALUE}}")
        return None
    if control.kind == "button" and position:
        reading.refuse(node, f"{name} is pressed and takes no position; found {quoted(position)}")
        return None
    if control.kind == "lever":
        if name == "flaps" and position:
            reading.mention("stage", position, node)
        elif not position and is_position_needed:
            known = control.positions or words.FLAP_ROLES
            reading.refuse(node, f"{name} needs a position; expected {sentence_of(known)}")
            return None
        elif position and not is_known(position, control.positions, node, reading):
            return None
    return name, position


def figure(
    node: Node, text: str, unit: str, low: float, high: float, named: str, reading: Reading
) -> Figure | None:
    """A plain quantity in `unit`, or a named value of the sort `named` with an offset.

    Bounds hold for plain values; an offset may have half the span either way.
    """
    match = _OFFSET.fullmatch(text)  # None for a text longer than any name and offset
    name = match.group(1) if match else ""
    fitting = [one for one, (_, sort) in words.NAMED_VALUES.items() if sort == named]
    if name in words.NAMED_VALUES:
        its_unit, sort = words.NAMED_VALUES[name]
        if not named or sort != named:
            others = f"{sentence_of(fitting)} or " if named and fitting else ""
            expected = f"{others}a value in {unit}"
            reading.refuse(node, f"{quoted(name)} does not fit here; expected {expected}")
            return None
        offset = 0.0
        if match is not None and match.group(2):
            amount = quantity(node, match.group(3), its_unit, 0.0, (high - low) / 2.0, reading)
            if amount is None:
                return None
            offset = amount if match.group(2) == "plus" else -amount
        return Figure(offset, name)
    if named and text[:1].isalpha():
        reading.refuse(
            node,
            f"{quoted(text)} is no named value; expected a value in {unit} or "
            f"{sentence_of(fitting)}{did_you_mean(name, fitting)}",
        )
        return None
    amount = quantity(node, text, unit, low, high, reading)
    return None if amount is None else Figure(amount)


def quantity(
    node: Node, text: str, unit: str, low: float, high: float, reading: Reading
) -> float | None:
    """The value of `text` in `unit` within bounds, or None with a problem noted at `node`."""
    try:
        value = quantities.parse(text, unit, low, high).in_unit(unit)
    except QuantityError as error:
        reading.refuse(node, str(error))
        return None
    if not low <= value <= high:
        reading.refuse(
            node,
            f"{quoted(text)} is out of bounds; expected {quantities.plain_number(low)} to "
            f"{quantities.written(high, unit)}",
        )
        return None
    return value
