"""A file that is no exercise, checked on its own: an airport, a type, a flow or a house.

Owns which exercise such a file is put into so that every check sees it. Refuses to know the checks.
Surprising rule: only problems in the file itself are reported; what does not fit it in the exercise
around it (a start on a leg that another airport does not have) is nobody's mistake.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

from trainer.errors import FileProblems
from trainer.scenario import compose, library, nodes
from trainer.scenario.nodes import Mapping, Node, Scalar, Sequence, Source
from trainer.scenario.scalars import STEM
from trainer.scenario.vocabulary.tables import KINDS
from trainer.scenario.vocabulary.words import MODE_SHOWN

AROUND = "straight-in"
"""The exercise that came with the program into which a file is put."""
_TELLING = {"airport": "runways", "aircraft": "wing area", "house": "words", "flow": "items"}
_SAYING = ("say", "response", "said", "unless said")
_AROUND = Source("the exercise around it")


def kind_of(path: Path) -> str:
    """What the file at `path` is: by its folder, or else by its keys; "exercise" if unclear.

    Raises FileProblems if it is no YAML of this format.
    """
    for kind, folder in KINDS.items():
        if path.absolute().parent.name == folder:
            return kind
    node = library.parse_file(path)
    keys = node.index if isinstance(node, Mapping) else {}
    if "based on" in keys:
        return "flow"
    return next((kind for kind, key in _TELLING.items() if key in keys), "exercise")


def check_alone(path: Path, kind: str, found: library.Library) -> None:
    """Check the file at `path`, an airport, aircraft, flow or house.

    Raises FileProblems with everything wrong in it.
    """
    root = library.parse_file(path)
    shown = root.source.name
    problems = []
    name = path.stem if STEM.fullmatch(path.stem) else "this-file"
    entry = library.Entry(kind, name, path, path.parent)
    for document in _exercises(root, kind, found):
        document[kind] = name
        try:
            compose.compose(nodes.from_plain(document, _AROUND), "around", _With(entry, found))
        except FileProblems as error:
            problems += [one for one in error.problems if one.file == shown]
    if problems:
        raise FileProblems(dict.fromkeys(problems))


def unsaid(path: Path, found: library.Library) -> dict[str, list[str]]:
    """By flow of `found`: the calls that it says and the house at `path` has no words for.

    Flows that nobody can read are left out; `path` is a house that was checked.
    """
    house = library.parse_file(path)
    spoken = house.get("words") if isinstance(house, Mapping) else None
    known = {key.text for key, _ in spoken.pairs} if isinstance(spoken, Mapping) else set()
    missing: dict[str, list[str]] = {}
    for name in found.names("flow"):
        entry = found.find("flow", name)
        assert entry is not None
        try:
            root = library.parse_file(entry.path)
        except FileProblems:
            continue
        calls = dict.fromkeys(call for call in _calls(root) if call not in known)
        if calls:
            missing[name] = list(calls)
    return missing


def _calls(root: Node) -> Iterator[str]:
    """Every call that stands in a flow file, in its order."""
    waiting: list[tuple[str, Node]] = [("", root)]
    while waiting:
        key, node = waiting.pop()
        if isinstance(node, Scalar) and key in _SAYING and node.text != MODE_SHOWN:
            yield node.text
        elif isinstance(node, Sequence):
            waiting += [("", item) for item in reversed(node.items)]
        elif isinstance(node, Mapping):
            waiting += [(name.text, value) for name, value in reversed(node.pairs)]


class _With(library.Library):
    """A library with one file more, before all others of its name."""

    def __init__(self, entry: library.Entry, others: library.Library) -> None:
        super().__init__(others.roots)
        self._entry = entry

    def find(self, kind: str, name: str) -> library.Entry | None:
        """The file of `kind` called `name`, or None."""
        if (kind, name) == (self._entry.kind, self._entry.name):
            return self._entry
        return super().find(kind, name)


def _exercises(root: Node, kind: str, found: library.Library) -> list[dict[str, Any]]:
    """Exercises, as plain data, that use every part of the file `root`."""
    entry = found.find("exercise", AROUND)
    assert entry is not None, "the exercise came with the program"
    base: dict[str, Any] = nodes.plain(library.parse_file(entry.path))
    family = _text(root, "family")
    if kind == "flow" and not family:  # one that builds on another
        flow = found.find("flow", _text(root, "based on"))
        family = "" if flow is None else _text(library.parse_file(flow.path), "family")
    if kind == "aircraft":
        return [{**base, "flow": _of_family("flow", family, found) or base["flow"]}]
    if kind == "flow":
        return [{**base, "aircraft": _of_family("aircraft", family, found) or base["aircraft"]}]
    if kind != "airport":
        return [base]
    return [_starting(base, approach) for approach in _list(root, "approaches")] or [base]


def _starting(base: dict[str, Any], approach: Node) -> dict[str, Any]:
    first = next(iter(_list(approach, "legs")), None)
    start = {**base["start"], "before": _text(first, "fix") or "NONE"}
    return {**base, "approach": _text(approach, "approach") or "none", "start": start}


def _of_family(kind: str, family: str, found: library.Library) -> str:
    """Name of the first `kind` of file for `family`, or ""."""
    for name in found.names(kind):
        entry = found.find(kind, name)
        assert entry is not None
        try:
            if _text(library.parse_file(entry.path), "family") == family:
                return name
        except FileProblems:
            continue
    return ""


def _text(node: Node | None, key: str) -> str:
    value = node.get(key) if isinstance(node, Mapping) else None
    return value.text if isinstance(value, Scalar) else ""


def _list(node: Node, key: str) -> tuple[Node, ...]:
    value = node.get(key) if isinstance(node, Mapping) else None
    return value.items if isinstance(value, Sequence) else ()
