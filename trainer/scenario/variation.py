"""What an exercise varies as values: ranges and choices, checked against what is written in it.

Surprising rule: only what stands in the exercise file can be varied, so that seed 0 shows it.
"""

from __future__ import annotations

from trainer.errors import hint
from trainer.scenario import quantities
from trainer.scenario.exercise import Choose, Vary
from trainer.scenario.fields import Fields
from trainer.scenario.figures import quantity
from trainer.scenario.listing import is_complete
from trainer.scenario.nodes import Mapping, Node, Scalar, Sequence
from trainer.scenario.quantities import QuantityError
from trainer.scenario.reading import Reading
from trainer.scenario.vocabulary.shapes import Shape
from trainer.scenario.vocabulary.tables import RECORDS
from trainer.text import quoted


def variations(exercise: Fields, reading: Reading) -> tuple[Vary | Choose, ...]:
    """What a seed draws, checked against what is written in the exercise."""
    events = [event.text("event") for event in exercise.records("events")]
    is_whole = is_complete(exercise, "events", "event")
    found: list[Vary | Choose] = []
    for fields in exercise.records("vary"):
        if not fields.is_sound:
            continue
        if "choose" in fields:
            options = fields.texts("choose")
            for place, option in enumerate(options):
                if option != "nothing" and option not in events and is_whole:
                    reading.refuse(
                        fields.entry("choose", place),
                        f"there is no event {quoted(option)}{hint(option, ['nothing', *events])}",
                    )
                taken = (one.options for one in found if isinstance(one, Choose))
                if option != "nothing" and any(option in options for options in taken):
                    reading.refuse(
                        fields.entry("choose", place),
                        f"{quoted(option)} stands in another choose: already; "
                        "expected an event in one of them",
                    )
            if not options:
                reading.refuse(fields.at("choose"), "nothing to choose from; expected names")
            found.append(Choose(options))
            continue
        vary = _vary(fields, exercise, reading)
        if vary is not None:
            if any(isinstance(one, Vary) and one.path == vary.path for one in found):
                reading.refuse(fields.at("value"), f"{quoted(vary.path)} is varied twice")
            found.append(vary)
    return tuple(found)


def _vary(fields: Fields, exercise: Fields, reading: Reading) -> Vary | None:
    path = fields.text("value")
    if "from" not in fields or "to" not in fields:
        reading.refuse(fields.node, "value: needs from: and to:, each with its unit")
        return None
    steps = path.split(".")
    shape = _shape_at(steps)
    written = _scalar_at(exercise.node, steps)
    if shape is None or written is None:
        part = exercise.record(steps[0])
        if shape is not None and part is not None and not part.is_sound:
            return None  # told where it stands
        what = "is no quantity of start or weather" if shape is None else "is not written here"
        if "0" in steps:
            what += " (places in a list count from 1)"
        reading.refuse(
            fields.at("value"),
            f"{quoted(path)} {what}; expected a path such as weather.wind.1.speed "
            "to a value that stands in this file",
        )
        return None
    ends: list[float] = []
    for key in ("from", "to"):
        value = quantity(
            fields.at(key), fields.text(key), shape.unit, shape.low, shape.high, reading
        )
        if value is not None:
            ends.append(value)
    if len(ends) < 2:
        return None
    if ends[0] >= ends[1]:
        reading.refuse(fields.at("from"), "the range is empty; expected from below to")
        return None
    try:
        units = {quantities.parse(fields.text(key), shape.unit).unit.name for key in ("from", "to")}
    except QuantityError as error:
        raise RuntimeError("a checked quantity does not parse") from error
    if len(units) > 1:
        reading.refuse(fields.at("to"), "from: and to: have different units; expected the same")
        return None
    return Vary(path, fields.text("from"), fields.text("to"))


def _shape_at(steps: list[str]) -> Shape | None:
    if steps[0] not in ("start", "weather"):
        return None
    record, rest = RECORDS["exercise"], steps
    while rest:
        key = next((key for key in record.keys if key.name == rest[0]), None)
        if key is None:
            return None
        rest = rest[1:]
        if key.shape.kind == "quantity" and not rest:
            return key.shape
        if key.shape.kind == "records" and rest:
            rest = rest[1:]
        if not key.shape.record:
            return None
        record = RECORDS[key.shape.record]
    return None


def _scalar_at(node: Node, steps: list[str]) -> Scalar | None:
    for step in steps:
        child: Node | None = None
        if isinstance(node, Mapping):
            child = node.get(step)
        elif isinstance(node, Sequence) and step.isascii() and step.isdigit():
            place = int(step[:6]) - 1
            child = node.items[place] if 0 <= place < len(node.items) else None
        if child is None:
            return None
        node = child
    return node if isinstance(node, Scalar) else None
