"""Crew files: who flies, with which changes, and what a script does when.

Owns the file format and the moments typed on a command line. Refuses to know how a crew acts.
Surprising rules: a bare list means acts without a base crew, and a read-back without `with` is
right in every value.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

from trainer.errors import FileProblems
from trainer.scenario import library, nodes
from trainer.scenario.edits import edit_of, refuse_second_edits, spoken_act
from trainer.scenario.exercise import Act, Edit, Exercise
from trainer.scenario.fields import Fields, read
from trainer.scenario.moment_parser import parse_moment
from trainer.scenario.moments import Moment
from trainer.scenario.nodes import Mapping, Node, Scalar, Sequence, Source
from trainer.scenario.reading import Reading
from trainer.scenario.references import Names, names_of
from trainer.text import quoted
from trainer.values import dataclass

BASES = ("none", "perfect")
"""Who acts besides the script."""
_SLOTS = ("runway", "altitude", "heading", "speed", "setting", "distance")


@dataclass(frozen=True, slots=True)
class ScriptedAct:
    """One act of a script.

    at_s: seconds from the start (None = by moment). when: the first time this is so. plus_s: so
    much later. act: what is done; `say` carries the words in `text`. slots: values of a read-back
    that differ from the clearance.
    """

    at_s: float | None
    when: Moment | None
    plus_s: float
    act: Act
    slots: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class CrewFile:
    """A scripted crew: base "none" or "perfect", edits of the base, acts in file order."""

    base: str
    edits: tuple[Edit, ...] = ()
    acts: tuple[ScriptedAct, ...] = ()


def load(path: Path, exercise: Exercise) -> CrewFile:
    """The crew in the file at `path`, for `exercise`.

    Raises FileProblems with everything wrong in it.
    """
    return crew_of(library.parse_file(path), exercise)


def from_text(text: str, exercise: Exercise, name: str = "crew") -> CrewFile:
    """The crew that a YAML or JSON `text` describes (JSON is read as YAML)."""
    return crew_of(nodes.parse(text, name), exercise)


def from_plain(value: Any, exercise: Exercise, name: str = "crew") -> CrewFile:
    """The crew that plain lists and dictionaries describe."""
    return crew_of(nodes.from_plain(value, Source(name)), exercise)


def crew_of(node: Node, exercise: Exercise) -> CrewFile:
    """The crew in `node`: a mapping of the record `crew`, or a bare list of acts."""
    reading = Reading()
    if isinstance(node, Sequence):
        version = Scalar(node.source, node.line, node.column, "1", False)
        keys = (("crew", version), ("acts", node))
        pairs = tuple(
            (Scalar(node.source, node.line, node.column, key, False), value) for key, value in keys
        )
        node = Mapping(node.source, node.line, node.column, pairs)
    fields = read(node, "crew", reading)
    if fields is None:
        raise FileProblems(reading.problems)
    names = names_of(exercise, node.source)
    names.check(fields.mentions, reading)
    if fields.is_written("edits") and fields.text("base") == "none":
        reading.refuse(
            fields.node.key_node("edits"), "edits: without a crew to edit; expected base: perfect"
        )
    edits = tuple(edit_of(edit, names, reading) for edit in fields.records("edits"))
    refuse_second_edits(fields.records("edits"), names, reading)
    acts = tuple(_act(act, names, exercise, reading) for act in fields.records("acts"))
    reading.problems.raise_if_any()
    return CrewFile(
        base=fields.text("base"),
        edits=tuple(edit for edit in edits if edit is not None),
        acts=tuple(act for act in acts if act is not None),
    )


def _act(fields: Fields, names: Names, exercise: Exercise, reading: Reading) -> ScriptedAct | None:
    if "at" in fields and (fields.maybe("plus") or 0.0) > 0.0:
        reading.refuse(fields.node.key_node("plus"), "plus: has no meaning beside at:")
    slots = fields.named_text("with")
    if slots and not fields.is_written("read back"):
        reading.refuse(fields.node.key_node("with"), "with: stands only beside read back:")
    act = _what(fields, names, reading)
    if act is None:
        return None
    if act.kind == "read back":
        _check_slots(fields, slots, act.event, exercise, reading)
    if not fields.is_sound:
        return None
    when = fields.moment("when")
    return ScriptedAct(
        at_s=fields.maybe("at"),
        when=names.resolve_maybe(when),
        plus_s=fields.number("plus"),
        act=act,
        slots=tuple(slots.items()),
    )


def _what(fields: Fields, names: Names, reading: Reading) -> Act | None:
    if "line" in fields:
        return Act("line", text=fields.text("line"))
    if "checklist" in fields:
        name = fields.text("checklist")
        if name not in names.checklists:
            known = ", ".join(names.checklists) or "none"
            reading.refuse(
                fields.at("checklist"), f"there is no checklist {quoted(name)}; known are {known}"
            )
            return None
        return Act("checklist", checklist=name)
    return spoken_act(fields, names, reading)


def _check_slots(
    fields: Fields, slots: dict[str, str], event: str, exercise: Exercise, reading: Reading
) -> None:
    given = next((one for one in exercise.events if one.name == event), None)
    known = [name for name, _ in given.slots] if given is not None else []
    for name in slots:
        if name not in _SLOTS or name not in known:
            expected = ", ".join(known) or "none"
            values = fields.at("with")
            at = values.key_node(name) if isinstance(values, Mapping) else values
            reading.refuse(
                at, f"{quoted(name)} is no value of {quoted(event)}; its values are {expected}"
            )


def parse_moment_text(text: str, exercise: Exercise) -> Moment:
    """The moment a command line gives, such as `passed: TULEP`, for `exercise`.

    Raises FileProblems if it is none, or names what the exercise does not have.
    """
    reading = Reading()
    node = nodes.parse(text, "moment")
    moment = parse_moment(node, reading)
    names = names_of(exercise, node.source)
    names.check(reading.mentions, reading)
    reading.problems.raise_if_any()
    assert moment is not None
    return names.resolve(moment)
