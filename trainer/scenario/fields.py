"""Reads mappings by the vocabulary table: every value typed, every problem noted.

Owns the step from nodes to typed values; one function per form of value. Knows no key by name.
Surprising rule: reading never stops at a problem. Whoever builds from a mapping first asks whether
it `is_sound`, and then may rely on every required value being there; of an unsound one the values
that were read can still be checked.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar, cast

from trainer.errors import nearest, sentence_of, with_article
from trainer.scenario import scalars
from trainer.scenario.figures import control_and_position, figure, quantity
from trainer.scenario.moment_parser import parse_moment
from trainer.scenario.moments import Figure, Moment
from trainer.scenario.nodes import Mapping, Node, Scalar, Sequence, unknown_key
from trainer.scenario.reading import Mention, Reading
from trainer.scenario.vocabulary import words
from trainer.scenario.vocabulary.shapes import Key, Record, Shape
from trainer.scenario.vocabulary.tables import RECORDS

_T = TypeVar("_T")


class Fields:
    """The values of one mapping, by key; typed access for those who build from it.

    `is_sound`: nothing in it, or below it, was refused while it was read.
    """

    __slots__ = ("_values", "is_sound", "mentions", "node")

    def __init__(self, node: Mapping) -> None:
        self.node = node
        self.is_sound = True
        self.mentions: tuple[Mention, ...] = ()
        self._values: dict[str, object] = {}

    def put(self, key: str, value: object) -> None:
        """Keep the value of `key`."""
        self._values[key] = value

    def __contains__(self, key: str) -> bool:
        return key in self._values

    def is_written(self, key: str) -> bool:
        """Whether `key` stands in the file, its value readable or not."""
        return self.node.get(key) is not None

    def at(self, key: str) -> Node:
        """The node of the value of `key` (the mapping itself if it was not written)."""
        return self.node.get(key) or self.node

    def entry(self, key: str, place: int) -> Node:
        """The node of one entry (from 0) of the list under `key`, or of the value itself."""
        node = self.at(key)
        if isinstance(node, Sequence) and place < len(node.items):
            return node.items[place]
        return node

    def text(self, key: str) -> str:
        """A text, or "" if there is none."""
        return cast(str, self._values.get(key, ""))

    def number(self, key: str) -> float:
        """A number that the table requires or has a default for."""
        return cast(float, self._values[key])

    def maybe(self, key: str) -> float | None:
        """A number, or None if it was not written."""
        return cast("float | None", self._values.get(key))

    def flag(self, key: str) -> bool:
        """A truth value."""
        return cast(bool, self._values[key])

    def texts(self, key: str) -> tuple[str, ...]:
        """Texts or choices; empty if there are none."""
        return cast("tuple[str, ...]", self._values.get(key, ()))

    def record(self, key: str) -> Fields | None:
        """A nested mapping, or None."""
        return cast("Fields | None", self._values.get(key))

    def part(self, key: str) -> Fields:
        """A nested mapping that stands for sure: the table requires it, or it was asked for."""
        return cast(Fields, self._values[key])

    def records(self, key: str) -> tuple[Fields, ...]:
        """Nested mappings; empty if there are none."""
        return cast("tuple[Fields, ...]", self._values.get(key, ()))

    def named(self, key: str) -> dict[str, tuple[Fields, ...]]:
        """Lists of mappings by free names."""
        return cast("dict[str, tuple[Fields, ...]]", self._values.get(key, {}))

    def named_record(self, key: str) -> dict[str, Fields]:
        """Mappings by free names."""
        return cast("dict[str, Fields]", self._values.get(key, {}))

    def named_texts(self, key: str) -> dict[str, tuple[str, ...]]:
        """Lists of texts by free names."""
        return cast("dict[str, tuple[str, ...]]", self._values.get(key, {}))

    def named_text(self, key: str) -> dict[str, str]:
        """Texts by free names."""
        return cast("dict[str, str]", self._values.get(key, {}))

    def moment(self, key: str) -> Moment | None:
        """A moment, or None."""
        return cast("Moment | None", self._values.get(key))

    def moments(self, key: str) -> tuple[Moment, ...]:
        """Moments; empty if there are none."""
        return cast("tuple[Moment, ...]", self._values.get(key, ()))

    def when(self, key: str) -> Moment | float | None:
        """A moment, a duration in s, or None."""
        return cast("Moment | float | None", self._values.get(key))

    def figure(self, key: str) -> Figure:
        """A figure that was written."""
        return cast(Figure, self._values[key])

    def lever(self, key: str) -> tuple[str, str]:
        """Control and position."""
        return cast("tuple[str, str]", self._values[key])

    def position(self, key: str) -> tuple[float, float]:
        """Latitude and longitude, °."""
        return cast("tuple[float, float]", self._values[key])


def read(node: Node, name: str, reading: Reading) -> Fields | None:
    """The fields of the record `name` in `node`; None if it is no mapping at all."""
    table = RECORDS[name]
    if not isinstance(node, Mapping):
        reading.refuse(
            node, f"found {node.described}; expected keys with values, such as {_example(table)}"
        )
        return None
    fields = Fields(node)
    noted, refused = len(reading.mentions), reading.refusals
    known = table.names()
    missing: list[Key] = []
    meant: list[str] = []  # keys that a misspelt one stands for are not missing as well
    for key, its_value in node.pairs:
        if key.text not in known:
            meant.append(nearest(key.text, known))
            reading.note(unknown_key(key, its_value, known, with_article(name)))
    for key_row in table.keys:
        value_node = node.get(key_row.name)
        if value_node is None:
            if key_row.required:
                if key_row.name not in meant:
                    missing.append(key_row)
            elif key_row.default:
                value_node = Scalar(node.source, node.line, node.column, key_row.default, False)
        if value_node is not None:
            value = _read_value(value_node, key_row, reading)
            if value is not None:
                fields.put(key_row.name, value)
    if missing:
        what = " and ".join(f"{key_row.name}:" for key_row in missing)
        helps = ", ".join(key_row.help for key_row in missing)
        reading.refuse(node, f"{what} missing in {with_article(name)}; expected {helps}")
    _check_groups(node, table, meant, reading)
    fields.mentions = tuple(reading.mentions[noted:])
    fields.is_sound = reading.refusals == refused
    return fields


def _example(table: Record) -> str:
    """What a mapping looks like: its keys that must stand, or the first three."""
    names = [key.name for key in table.keys if key.required]
    names += [group[0] for group in table.one_of]
    shown = names or table.names()[:3]
    return f"{{{', '.join(f'{name}: …' for name in shown)}}}"


def sound(fields: Fields | None) -> Fields | None:
    """`fields` if they are there and sound, or None."""
    return fields if fields is not None and fields.is_sound else None


def _check_groups(node: Mapping, table: Record, meant: list[str], reading: Reading) -> None:
    for group in table.one_of:
        found = [name for name in group if node.get(name) is not None]
        if not found and not any(name in meant for name in group):
            reading.refuse(
                node, f"{with_article(table.name)} needs one of {sentence_of(group, 20)}"
            )
    for group in (*table.one_of, *table.at_most_one):
        found = [name for name in group if node.get(name) is not None]
        if len(found) > 1:
            reading.refuse(
                node.key_node(found[1]),
                f"{found[0]}: and {found[1]}: exclude each other in {with_article(table.name)}; "
                "keep one",
            )


def _read_value(node: Node, key: Key, reading: Reading) -> object:
    if isinstance(node, Scalar) and node.is_plain and node.text == "":
        reading.refuse(node, f"{key.name}: has no value; expected {key.help}")
        return None
    return _READERS[key.shape.kind](node, key.shape, reading)


def _list(
    node: Node, shape: Shape, reading: Reading, one: Callable[[Node], _T | None]
) -> tuple[_T, ...] | None:
    if not isinstance(node, Sequence):
        entry = f"- {_example(RECORDS[shape.record])}" if shape.record else "- A"
        reading.refuse(
            node, f"found {node.described}; expected a list, each entry with a dash: {entry}"
        )
        return None
    if len(node.items) > shape.most:
        reading.refuse(node, f"{len(node.items)} entries; at most {shape.most} are allowed")
        return None
    found = [one(item) for item in node.items]
    sound = tuple(value for value in found if value is not None)
    return sound if len(sound) == len(found) else None


def _choices(node: Node, shape: Shape, reading: Reading) -> tuple[str, ...] | None:
    if isinstance(node, Scalar):
        one = scalars.choice_of(node, shape, reading)
        return None if one is None else (one,)
    return _list(node, shape, reading, lambda item: scalars.choice_of(item, shape, reading))


def _texts(node: Node, shape: Shape, reading: Reading) -> tuple[str, ...] | None:
    single = Shape("text", most=200)
    if isinstance(node, Scalar):
        one = scalars.line_of(node, single, reading)
        return None if one is None else (one,)
    return _list(node, shape, reading, lambda item: scalars.line_of(item, single, reading))


def _named(
    node: Node, shape: Shape, reading: Reading, one: Callable[[Node], _T | None]
) -> dict[str, _T] | None:
    if not isinstance(node, Mapping):
        reading.refuse(node, f"found {node.described}; expected names with values")
        return None
    most = shape.most or 60
    if len(node.pairs) > most:
        reading.refuse(node, f"{len(node.pairs)} names; at most {most} are allowed")
        return None
    found: dict[str, _T] = {}
    for key, value_node in node.pairs:
        if len(key.text) > 200:
            reading.refuse(key, f"a name of {len(key.text)} characters; at most 200 are allowed")
            continue
        value = one(value_node)
        if value is not None:
            found[key.text] = value
    return found if len(found) == len(node.pairs) else None


def _named_records(node: Node, shape: Shape, reading: Reading) -> object:
    inner = Shape("records", record=shape.record, most=shape.most)
    return _named(node, Shape("", most=60), reading, lambda item: _records(item, inner, reading))


def _records(node: Node, shape: Shape, reading: Reading) -> tuple[Fields, ...] | None:
    # Whatever is a mapping stays, so that a problem in one entry does not hide the others.
    found: list[Fields] = []
    whole = _list(
        node, shape, reading, lambda item: _kept(read(item, shape.record, reading), found)
    )
    return whole if whole is not None or not found else tuple(found)


def _kept(fields: Fields | None, found: list[Fields]) -> Fields | None:
    if fields is not None:
        found.append(fields)
    return fields


def _when(node: Node, shape: Shape, reading: Reading) -> Moment | float | None:
    if isinstance(node, Mapping):
        return parse_moment(node, reading)
    text = scalars.word_of(node, reading, "a duration such as 8 s, or a moment")
    if text is None:
        return None
    return quantity(node, text, shape.unit, shape.low, shape.high, reading)


def _moments(node: Node, shape: Shape, reading: Reading) -> tuple[Moment, ...] | None:
    if isinstance(node, Sequence):
        return _list(node, shape, reading, lambda item: parse_moment(item, reading))
    moment = parse_moment(node, reading)
    return None if moment is None else (moment,)


def _figure(node: Node, shape: Shape, reading: Reading) -> Figure | None:
    text = scalars.word_of(node, reading, f"a value in {shape.unit} or a named value")
    if text is None:
        return None
    sort = words.SELECTOR_SORTS.get(shape.subject, "")
    return figure(node, text, shape.unit, shape.low, shape.high, sort, reading)


def _lever(node: Node, shape: Shape, reading: Reading) -> tuple[str, str] | None:
    text = scalars.word_of(node, reading, "CONTROL [POSITION]")
    return None if text is None else control_and_position(text, node, reading)


_READERS: dict[str, Callable[[Node, Shape, Reading], object]] = {
    "text": scalars.line_of,
    "prose": scalars.line_of,
    "capitals": scalars.capitals_of,
    "stem": scalars.stem_of,
    "choice": scalars.choice_of,
    "choices": _choices,
    "texts": _texts,
    "flag": scalars.flag_of,
    "integer": scalars.integer_of,
    "number": scalars.number_of,
    "quantity": scalars.quantity_of,
    "position": scalars.position_of,
    "record": lambda node, shape, reading: read(node, shape.record, reading),
    "records": _records,
    "named records": _named_records,
    "named record": lambda node, shape, reading: _named(
        node, shape, reading, lambda item: read(item, shape.record, reading)
    ),
    "named texts": lambda node, shape, reading: _named(
        node, shape, reading, lambda item: _texts(item, Shape("texts", most=60), reading)
    ),
    "named text": lambda node, shape, reading: _named(
        node, shape, reading, lambda item: scalars.line_of(item, Shape("text", most=200), reading)
    ),
    "moment": lambda node, shape, reading: parse_moment(node, reading),
    "moments": _moments,
    "each": lambda node, shape, reading: parse_moment(node, reading, is_recurring=True),
    "when": _when,
    "figure": _figure,
    "lever": _lever,
}
