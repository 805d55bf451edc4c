"""Scenario files as text again: the normal layout of a file, with or without its explanations.

Owns layout: keys in the order of the vocabulary, quotes only where a word would be taken for
something else, short values in braces on one line. Refuses to know what a value means. Surprising
rule: no text changes, not even `8s` to `8 s`, so that what is read back is the same exercise with
the same digest; only comments and layout are lost.
"""

from __future__ import annotations

import json
import re
import textwrap
from dataclasses import field

from trainer.errors import sentence_of
from trainer.scenario.nodes import GUESSED, Mapping, Node, Scalar, Sequence
from trainer.scenario.vocabulary.shapes import Key, Record, Shape
from trainer.scenario.vocabulary.tables import RECORDS
from trainer.values import dataclass

WIDTH = 98
"""Columns of a line."""

_PLAIN = re.compile(r"-?[A-Za-z0-9](?:[A-Za-z0-9 ./+()-]*[A-Za-z0-9./+()-])?")
_PLAIN_ALONE = re.compile(r"-?[A-Za-z0-9](?:[A-Za-z0-9 ./+(),;'!?-]*[A-Za-z0-9./+()!?-])?")
_NUMBER_LIKE = re.compile(
    r"[-+]?[0-9.]+(?:[eE][-+]?[0-9]+)?|0[xXoObB][0-9a-fA-F]+|[0-9]{4}-[0-9]{1,2}-.*"
)
_FREE = Shape("")
_FEW = 8
"""Up to so many words of a closed list are told beside a key."""


@dataclass(slots=True)
class _Writer:
    """Lines so far; `explained`: the keys whose meaning has been told, None = tell none."""

    lines: list[str] = field(default_factory=list)
    explained: set[tuple[str, str]] | None = None


def yaml_text(node: Node, record: str, *, is_explained: bool = False) -> str:
    """The file whose root is `node`, a mapping of the record `record`, in the normal layout.

    Args:
        node: as read by `nodes.parse`.
        record: name of the record in the vocabulary, such as "exercise".
        is_explained: put the meaning before each key when it first stands, and list the keys
            that were left out.

    Returns:
        YAML text that reads as the same values.
    """
    writer = _Writer(explained=set() if is_explained else None)
    if isinstance(node, Mapping):
        _mapping(writer, 0, "", node, RECORDS[record])
    else:
        _value(writer, 0, "", node, _FREE)
    return "\n".join(writer.lines) + "\n"


# Blocks ------------------------------------------------------------------------------------------


def _mapping(writer: _Writer, indent: int, lead: str, node: Mapping, record: Record | None) -> None:
    """The pairs of `node` on lines of their own; `lead` stands before the first ("- " or "")."""
    keys = {} if record is None else {key.name: key for key in record.keys}
    order = {name: place for place, name in enumerate(keys)}
    pairs = sorted(node.pairs, key=lambda pair: order.get(pair[0].text, len(order)))
    is_told = writer.explained is None or record is None or _is_told(writer, record)
    for place, (name, value) in enumerate(pairs):
        key = keys.get(name.text)
        before = lead if place == 0 else " " * len(lead)
        text = f"{before}{_scalar(name.text, _FREE)}:"
        start = len(writer.lines)
        _value(writer, indent, text, value, _FREE if key is None else key.shape)
        if record is not None and key is not None:
            _explain(writer, start, indent if place == 0 else indent + len(lead), record, key)
    if not is_told and record is not None:
        _tell_others(writer, indent + len(lead), record, node)


def _value(writer: _Writer, indent: int, lead: str, node: Node, shape: Shape) -> None:
    """A value behind `lead` (a key with its colon, or a dash), on as many lines as it needs."""
    inline = _inline(node, shape, is_alone=True)
    space = " " if lead else ""
    is_open = _opens_up(writer, node, shape)
    if inline is not None and not is_open and indent + len(lead) + len(inline) < WIDTH:
        writer.lines.append(f"{' ' * indent}{lead}{space}{inline}")
        return
    record = RECORDS.get(shape.record) if shape.kind in ("record", "records") else None
    if isinstance(node, Mapping) and node.pairs:
        if lead.endswith("-"):
            _mapping(writer, indent, f"{lead} ", node, record)
            return
        writer.lines.append(f"{' ' * indent}{lead}")
        rows = _inner(shape)
        if rows is _FREE:
            _mapping(writer, indent + _step(lead), "", node, record)
            return
        for name, value in node.pairs:
            _value(writer, indent + _step(lead), f"{_scalar(name.text, _FREE)}:", value, rows)
    elif isinstance(node, Sequence) and node.items:
        if lead:
            writer.lines.append(f"{' ' * indent}{lead}")
        for item in node.items:
            _value(writer, indent + _step(lead), "-", item, shape)
    else:
        _long(writer, indent, lead, node, shape)


def _step(lead: str) -> int:
    """How far what stands below `lead` is moved in: its own place, and two columns more."""
    return (len(lead) - len(lead.lstrip(" -"))) + 2 if lead.endswith(":") else 2


def _opens_up(writer: _Writer, node: Node, shape: Shape) -> bool:
    """Whether a value that fits on one line is laid out all the same."""
    if isinstance(node, Sequence):
        return bool(node.items) and shape.kind == "records"
    if not isinstance(node, Mapping) or not node.pairs:
        return False
    if shape.kind in ("named records", "named texts"):
        return True
    record = RECORDS.get(shape.record)
    return (
        writer.explained is not None
        and record is not None
        and any((record.name, key.text) not in writer.explained for key, _ in node.pairs)
    )


def _long(writer: _Writer, indent: int, lead: str, node: Node, shape: Shape) -> None:
    """A scalar that does not fit on its line: folded if it may be, or line by line."""
    text = node.text if isinstance(node, Scalar) else ""
    start, inner = f"{' ' * indent}{lead}", " " * (indent + _step(lead))
    body = text.removesuffix("\n")
    if shape.kind in ("prose", "text") and body and not re.search(r"^ | $|  |\n", body):
        folded = textwrap.wrap(
            body, WIDTH - len(inner), break_long_words=False, break_on_hyphens=False
        )
        mark = ">" if text.endswith("\n") else ">-"
        writer.lines += [f"{start} {mark}", *(inner + one for one in folded)]
    elif "\n" in text:
        # Only a block may hold line ends; how far it is moved in is said where it is not seen.
        moved = "2" if re.match(r"[ \n]", text) else ""
        ends = len(text) - len(text.rstrip("\n"))
        mark = f"|{moved}{'+' if ends > 1 or not body else '' if ends else '-'}"
        kept = text.removesuffix("\n").split("\n")
        writer.lines += [f"{start} {mark}", *(inner + one if one else "" for one in kept)]
    else:
        inline = _inline(node, shape, is_alone=True)
        writer.lines.append(f"{start} {inline}" if lead else f"{start}{inline}")


# One line ----------------------------------------------------------------------------------------


def _inline(node: Node, shape: Shape, *, is_alone: bool = False) -> str | None:
    """`node` on one line; None for a text of several lines, and for what holds one."""
    if isinstance(node, Scalar):
        return None if "\n" in node.text else _scalar(node.text, shape, is_alone=is_alone)
    if isinstance(node, Sequence):
        items = [_inline(item, shape) for item in node.items]
        return None if None in items else f"[{', '.join(str(item) for item in items)}]"
    assert isinstance(node, Mapping)
    record = RECORDS.get(shape.record) if shape.kind in ("record", "records") else None
    keys = {} if record is None else {key.name: key for key in record.keys}
    order = {name: place for place, name in enumerate(keys)}
    parts: list[str] = []
    for name, value in sorted(node.pairs, key=lambda pair: order.get(pair[0].text, len(order))):
        key = keys.get(name.text)
        text = _inline(value, _inner(shape) if key is None else key.shape)
        if text is None:
            return None
        parts.append(f"{_scalar(name.text, _FREE)}: {text}")
    return f"{{{', '.join(parts)}}}"


def _inner(shape: Shape) -> Shape:
    """The shape of what stands under a free name."""
    if shape.kind == "named record":
        return Shape("record", record=shape.record)
    return Shape("records", record=shape.record) if shape.kind == "named records" else _FREE


def _scalar(text: str, shape: Shape, *, is_alone: bool = False) -> str:
    """`text` without quotes if no reader can take it for anything else.

    `is_alone`: it stands on a line of its own and not between brackets.
    """
    if shape.kind in ("flag", "integer", "number") and re.fullmatch(r"[-+a-z0-9.]+", text):
        return text
    pattern = _PLAIN_ALONE if is_alone else _PLAIN
    is_plain = pattern.fullmatch(text) and not _NUMBER_LIKE.fullmatch(text)
    if is_plain and text.lower() not in GUESSED:
        return text
    return json.dumps(text, ensure_ascii=False)


# Explanations ------------------------------------------------------------------------------------


def _is_told(writer: _Writer, record: Record) -> bool:
    return writer.explained is not None and any(
        (record.name, key.name) in writer.explained for key in record.keys
    )


def _explain(writer: _Writer, start: int, indent: int, record: Record, key: Key) -> None:
    """The meaning of `key`, whose lines begin at `start`, the first time it is in its record.

    Behind a short value, before a longer one.
    """
    if writer.explained is None or (record.name, key.name) in writer.explained:
        return
    writer.explained.add((record.name, key.name))
    comment = f"# {key.help}{_allowed(key)}"
    if len(writer.lines) == start + 1 and len(writer.lines[-1]) + len(comment) + 2 <= WIDTH:
        writer.lines[-1] += f"  {comment}"
    else:
        space = " " * indent
        wrapped = textwrap.wrap(comment[2:], WIDTH - indent - 2)
        writer.lines[start:start] = [f"{space}# {line}" for line in wrapped]


def _allowed(key: Key) -> str:
    """The words or whole numbers of which one is to stand, if they are few and not told yet."""
    shape = key.shape
    if shape.kind == "integer" and shape.low < shape.high:
        return f"; {shape.low:.0f} to {shape.high:.0f}"
    is_told = all(word in key.help for word in shape.choices)
    if shape.kind == "choice" and len(shape.choices) <= _FEW and not is_told:
        return f"; {sentence_of(shape.choices)}"
    return ""


def _tell_others(writer: _Writer, indent: int, record: Record, node: Mapping) -> None:
    """The keys that were left out, with their meaning."""
    settled = [
        name
        for group in (*record.one_of, *record.at_most_one)
        if any(node.get(one) is not None for one in group)
        for name in group
    ]
    left = [one for one in record.keys if node.get(one.name) is None and one.name not in settled]
    if not left:
        return
    space = " " * indent
    writer.lines.append(f"{space}# may also stand here:")
    for key in left:
        default = f" (default: {key.default})" if key.default else ""
        unit = f", in {key.shape.unit}" if key.shape.kind in ("quantity", "when") else ""
        told = f"{key.name}: {key.help}{unit}{_allowed(key)}{default}"
        first, *rest = textwrap.wrap(told, WIDTH - indent - 6)
        writer.lines += [f"{space}#   {first}", *(f"{space}#     {one}" for one in rest)]
