"""YAML text as nodes with positions: the only module that knows PyYAML.

Reads parser events, never objects: every scalar stays the text that was written, so that none of
YAML's guesses (`010` as eight, `12:30` as minutes, `on` as true) reaches the model. Refuses what
the format has no use for: anchors, aliases, merge keys, tags, directives, further documents,
control and format characters, duplicate keys, and more than `DEPTH` levels. Surprising rule: a
plain and a quoted scalar differ only in `is_plain`, which lets a reader advise quotes.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from dataclasses import field
from typing import Any

import yaml

from trainer import text as literal
from trainer.errors import FileProblems, Problem, Problems, hint
from trainer.scenario.broken_yaml import translated
from trainer.values import dataclass

try:
    from yaml.cyaml import CParser as _CParser  # type: ignore[attr-defined]

    class _FastLoader(_CParser, yaml.resolver.BaseResolver):
        """Only the parser of libyaml: nothing is resolved, nothing is constructed."""

        def __init__(self, stream: str) -> None:
            _CParser.__init__(self, stream)
            yaml.resolver.BaseResolver.__init__(self)

except ImportError:  # PyYAML built without libyaml
    _FastLoader = None  # type: ignore[assignment,misc]


class _PureLoader(
    yaml.reader.Reader, yaml.scanner.Scanner, yaml.parser.Parser, yaml.resolver.BaseResolver
):
    """The same parser in Python, for installations without libyaml."""

    def __init__(self, stream: str) -> None:
        yaml.reader.Reader.__init__(self, stream)
        yaml.scanner.Scanner.__init__(self)
        yaml.parser.Parser.__init__(self)
        yaml.resolver.BaseResolver.__init__(self)


BYTES = 256 * 1024
"""Largest file that is read."""
COMPOSED_BYTES = 1024 * 1024
"""Largest sum of the files of one exercise."""
DEPTH = 24
"""Deepest nesting that is read."""
NODES = 40_000
"""Most values in one file."""
_THOUSANDS = re.compile(r"[0-9]{3}(?: |$)")
_DECIMALS = re.compile(r"[0-9]{1,4}(?: |$)")
GUESSED = frozenset({"y", "n", "yes", "no", "on", "off", "true", "false", "null", "~", "none"})
"""Plain words that YAML readers may take for something other than text."""


@dataclass(frozen=True, slots=True, eq=False)
class Source:
    """The file a node came from: the name to show and its lines (for excerpts)."""

    name: str
    lines: tuple[str, ...] = ()

    def problem(self, line: int, column: int, length: int, message: str) -> Problem:
        """A problem at a place (from 1; line 0 = no place) with its excerpt."""
        excerpt = ""
        if 0 < line <= len(self.lines):
            excerpt = literal.excerpt(self.lines[line - 1], line, column, length)
        return Problem(literal.shown(self.name), line, column, literal.shown(message), excerpt)


@dataclass(slots=True, eq=False)
class Node:
    """Any node: where it starts (line and column from 1; 0 for stored documents).

    Nobody changes a node. It is not frozen only because a file has thousands of them, and a frozen
    one takes three times as long to make.
    """

    source: Source
    line: int
    column: int

    @property
    def length(self) -> int:
        """Number of characters to mark under this node."""
        return 1

    def problem(self, message: str) -> Problem:
        """A problem at this node."""
        return self.source.problem(self.line, self.column, self.length, message)

    @property
    def described(self) -> str:
        """What this is, for messages."""
        return "a value"


@dataclass(slots=True, eq=False)
class Scalar(Node):
    """A single value as text. `is_plain`: written without quotes; "" plain = no value."""

    text: str
    is_plain: bool = True
    is_block: bool = False

    @property
    def length(self) -> int:
        """Characters of the text (with its quotes), at least one."""
        return max(1, len(self.text) + (0 if self.is_plain else 2)) if not self.is_block else 1

    @property
    def described(self) -> str:
        """The text in quotes, or that there is none."""
        return literal.quoted(self.text) if self.text else "nothing"


@dataclass(slots=True, eq=False)
class Sequence(Node):
    """A list of nodes."""

    items: tuple[Node, ...]

    @property
    def described(self) -> str:
        """How many entries there are."""
        return f"a list of {len(self.items)}"


@dataclass(slots=True, eq=False)
class Mapping(Node):
    """Keys with values, in file order; keys are unique."""

    pairs: tuple[tuple[Scalar, Node], ...]
    index: dict[str, Node] = field(init=False, repr=False)

    def __post_init__(self) -> None:
        self.index = {key.text: value for key, value in self.pairs}

    def get(self, key: str) -> Node | None:
        """Value of `key`, or None."""
        return self.index.get(key)

    def key_node(self, key: str) -> Node:
        """The node of the key itself (this mapping if it has no such key)."""
        for node, _ in self.pairs:
            if node.text == key:
                return node
        return self

    @property
    def described(self) -> str:
        """The first keys."""
        names = ", ".join(literal.shown(key.text[:30]) for key, _ in self.pairs[:4])
        return f"a mapping with {names}" if names else "an empty mapping"


def parse(data: bytes | str, name: str, *, pure: bool = False) -> Node:
    """The one document in `data`, as nodes.

    Args:
        data: the file's bytes (UTF-8, at most `BYTES`) or text.
        name: how the file is called in reports.
        pure: use the parser in Python even where libyaml is there (for tests).

    Returns:
        The root node.

    Raises:
        FileProblems: everything wrong with the text as YAML of this format, with positions.
    """
    source, content = _decoded(data, name)
    problems = Problems()
    _check_characters(source, problems)
    problems.raise_if_any()
    loader = _PureLoader if pure or _FastLoader is None else _FastLoader
    try:
        root = _Builder(source, problems).build(_events(loader(content)))
    except yaml.MarkedYAMLError as error:
        problems.add(translated(error, source, DEPTH))
        root = None
    except yaml.YAMLError as error:
        problems.add(source.problem(0, 0, 1, f"not readable as YAML: {error}"))
        root = None
    except RecursionError:  # the parser in Python, on hostile nesting
        problems.add(source.problem(0, 0, 1, f"nested too deep; at most {DEPTH} levels"))
        root = None
    problems.raise_if_any()
    if root is None:
        raise FileProblems([source.problem(0, 0, 1, "the file is empty; expected a document")])
    return root


def _decoded(data: bytes | str, name: str) -> tuple[Source, str]:
    if len(data) > BYTES:
        message = f"{len(data):,} bytes are too many; at most {BYTES:,} are read"
        raise FileProblems([Source(name).problem(0, 0, 1, message)])
    if isinstance(data, bytes):
        try:
            content = data.decode("utf-8")
        except UnicodeDecodeError as error:
            before = data[: error.start]
            line = before.count(b"\n") + 1
            column = len(before[before.rfind(b"\n") + 1 :].decode("utf-8", "replace")) + 1
            message = f"byte {data[error.start]:#04x} is not UTF-8; save the file as UTF-8"
            raise FileProblems([Source(name).problem(line, column, 1, message)]) from None
    else:
        content = data
    content = content.removeprefix("\ufeff").replace("\r\n", "\n")
    return Source(name, tuple(content.split("\n"))), content


def _check_characters(source: Source, problems: Problems) -> None:
    tabbed: list[tuple[int, int]] = []
    for number, line in enumerate(source.lines, start=1):
        at = literal.first_refused(line)
        if at < 0:
            continue
        if line[at] == "\t":
            tabbed.append((number, at + 1))
            continue
        message = (
            f"the character {literal.code_of(line[at])} is not allowed in a scenario; "
            "remove it (control and format characters are refused)"
        )
        problems.add(source.problem(number, at + 1, 1, message))
    if tabbed:
        # One cause, one report: an editor that indents with tabs does so in every line.
        message = f"a tab{_and_more(len(tabbed) - 1)}; indent and separate with spaces"
        problems.add(source.problem(*tabbed[0], 1, message))


def _and_more(lines: int) -> str:
    return f", here and in {literal.counted(lines, 'more line')}" if lines else ""


def _events(loader: Any) -> Iterator[Any]:
    following = loader.get_event
    try:
        while (event := following()) is not None:
            yield event
    finally:
        dispose = getattr(loader, "dispose", None)
        if dispose is not None:
            dispose()


class _Open:
    """A collection that is being read."""

    __slots__ = ("children", "is_doubled", "is_mapping", "key", "keys", "mark", "pairs")

    def __init__(self, mark: Any, is_mapping: bool) -> None:
        self.mark = mark
        self.is_mapping = is_mapping
        self.is_doubled = False
        self.children: list[Node] = []
        self.pairs: list[tuple[Scalar, Node]] = []
        self.keys: dict[str, Scalar] = {}
        self.key: Scalar | None = None


class _Builder:
    """Turns parser events into nodes, without recursion; collects what is refused."""

    def __init__(self, source: Source, problems: Problems) -> None:
        self._source = source
        self._problems = problems
        self._stack: list[_Open] = []
        self._root: Node | None = None
        self._documents = 0
        self._count = 0

    def build(self, events: Iterator[Any]) -> Node | None:
        """The root node, or None for an empty file or one that was given up."""
        # Most of the time of reading a file is spent here: the commonest events come first.
        for event in events:
            kind = type(event)
            if kind is yaml.ScalarEvent:
                if event.anchor is not None or event.tag is not None:
                    self._refuse_decorations(event)
                self._put(self._scalar(event, event.value))
            elif kind is yaml.MappingEndEvent or kind is yaml.SequenceEndEvent:
                self._close()
            elif kind is yaml.MappingStartEvent or kind is yaml.SequenceStartEvent:
                self._refuse_decorations(event)
                self._stack.append(_Open(event.start_mark, kind is yaml.MappingStartEvent))
                if len(self._stack) > DEPTH:
                    self._refuse(event, f"nested too deep; at most {DEPTH} levels")
                    return None
            elif kind is yaml.AliasEvent:
                self._refuse(event, f"the alias *{event.anchor}; write the value out again")
                self._put(self._scalar(event, ""))
            elif kind is yaml.DocumentStartEvent and not self._start_document(event):
                return None
            if self._count > NODES:
                self._refuse(event, f"too many values; at most {NODES:,} in a file")
                return None
        return self._root

    def _start_document(self, event: Any) -> bool:
        self._documents += 1
        if event.version or event.tags:
            self._refuse(event, "a % directive; leave it out")
        if self._documents > 1:
            self._refuse(event, "a second document; a file holds exactly one")
            return False
        return True

    def _refuse(self, event: Any, message: str) -> None:
        mark = event.start_mark
        self._problems.add(self._source.problem(mark.line + 1, mark.column + 1, 1, message))

    def _refuse_decorations(self, event: Any) -> None:
        if event.anchor is not None:
            self._refuse(event, f"the anchor &{event.anchor}; write the value out where it is used")
        if event.tag is not None:
            self._refuse(event, f"the tag {event.tag}; leave it out, every value is read as text")

    def _scalar(self, event: Any, text: str) -> Scalar:
        mark = event.start_mark
        # The parsers differ: without quotes it is "" for one of them and None for the other.
        style = "" if event.__class__ is yaml.AliasEvent else event.style or ""
        is_block = style == "|" or style == ">"
        self._count += 1
        if not (text.isascii() and text.isprintable()):
            self._check_text(event, text.replace("\n", " ") if is_block else text)
        return Scalar(self._source, mark.line + 1, mark.column + 1, text, style == "", is_block)

    def _check_text(self, event: Any, text: str) -> None:
        at = literal.first_refused(text)
        if at >= 0:
            self._refuse(
                event,
                f"the text holds the character {literal.code_of(text[at])}; "
                "control and format characters are refused, also as an escape",
            )

    def _put(self, node: Node) -> None:
        if not self._stack:
            self._root = node
            return
        top = self._stack[-1]
        if not top.is_mapping:
            top.children.append(node)
        elif top.key is None:
            top.key = self._key(node, top)
        else:
            if top.keys.get(top.key.text) is top.key:
                top.pairs.append((top.key, node))
            top.key = None

    def _key(self, node: Node, top: _Open) -> Scalar:
        if not isinstance(node, Scalar):
            self._problems.add(node.problem("a key must be plain text; a list or mapping is none"))
            return Scalar(node.source, node.line, node.column, "")
        if node.text not in top.keys and node.text and node.text != "<<":
            top.keys[node.text] = node
            return node
        if node.text == "<<" and node.is_plain:
            self._problems.add(node.problem("the merge key <<; write the keys out"))
        elif not node.text:
            self._problems.add(node.problem("an empty key; expected a name before the colon"))
        first = top.keys.get(node.text)
        if first is None:
            top.keys[node.text] = node
        else:
            self._refuse_second(node, first, top)
        return node

    def _refuse_second(self, node: Scalar, first: Scalar, top: _Open) -> None:
        """Note a key that stands twice; in a list a dash is missing, which is told once."""
        is_entry = len(self._stack) > 1 and not self._stack[-2].is_mapping
        if is_entry and top.is_doubled:
            return
        top.is_doubled = True
        advice = ", or begin a new entry of the list with a dash" if is_entry else ""
        self._problems.add(
            node.problem(
                f"the key {literal.quoted(node.text)} stands here a second time; "
                f"the first is on line {first.line}; keep one{advice}"
            )
        )

    def _close(self) -> None:
        done = self._stack.pop()
        self._count += 1
        line, column = done.mark.line + 1, done.mark.column + 1
        node: Node
        if done.is_mapping:
            node = Mapping(self._source, line, column, tuple(done.pairs))
        else:
            node = Sequence(self._source, line, column, tuple(done.children))
        self._put(node)


def plain(node: Node) -> Any:
    """A node as plain lists, dictionaries and strings (every scalar as its text)."""
    if isinstance(node, Mapping):
        return {key.text: plain(value) for key, value in node.pairs}
    if isinstance(node, Sequence):
        return [plain(item) for item in node.items]
    assert isinstance(node, Scalar)
    return node.text


def from_plain(value: Any, source: Source) -> Node:
    """Nodes without places from plain lists, dictionaries and scalars (JSON or `plain`).

    Numbers and booleans become their JSON text. Depth is limited as in files.
    """
    return _from_plain(value, source, 0)


def _from_plain(value: Any, source: Source, depth: int) -> Node:
    if depth > DEPTH:
        raise FileProblems([source.problem(0, 0, 1, f"nested too deep; at most {DEPTH} levels")])
    if isinstance(value, dict):
        pairs = tuple(
            (Scalar(source, 0, 0, str(key), False), _from_plain(child, source, depth + 1))
            for key, child in value.items()
        )
        return Mapping(source, 0, 0, pairs)
    if isinstance(value, list):
        children = tuple(_from_plain(child, source, depth + 1) for child in value)
        return Sequence(source, 0, 0, children)
    content = value if isinstance(value, str) else json.dumps(value)
    if literal.first_refused(content.replace("\n", " ")) >= 0:
        raise FileProblems([source.problem(0, 0, 1, "the text holds a control character")])
    return Scalar(source, 0, 0, content, False)


def canonical(value: Any) -> str:
    """Canonical JSON of plain data: sorted keys, no spaces, ASCII only."""
    return json.dumps(value, sort_keys=True, separators=(",", ":"), ensure_ascii=True)


def end_of_number(node: Scalar, value: Node) -> str:
    """Advice if a key with this value is what follows the comma in a number, else ""."""
    if _THOUSANDS.match(node.text):
        return "it looks like the end of a number: write thousands without a comma"
    if _DECIMALS.match(node.text) and isinstance(value, Scalar) and not value.text:
        return "it looks like the end of a number: write a decimal point, not a comma"
    return ""


def unknown_key(node: Scalar, value: Node, known: list[str], where: str) -> Problem:
    """The problem of a key, with this value, that the format does not have there."""
    if node.is_plain and node.text.lower() in GUESSED:
        advice = "; put the key in quotes if it is meant as a name"
    elif end := end_of_number(node, value):
        advice = f"; {end}"
    elif isinstance(value, Scalar) and value.is_plain and not value.text and " " in node.text:
        advice = "; it has no colon: if it belongs to a text with a comma, put the text in quotes"
    else:
        advice = hint(node.text, known)
    return node.problem(f"unknown key {literal.quoted(node.text)} in {where}{advice}")
