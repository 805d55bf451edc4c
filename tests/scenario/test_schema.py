"""The schema agrees with the reader: same keys, every good file valid, shape mistakes refused.

Files are handed to the validator as an editor sees them: YAML 1.2 with its core words and numbers.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from tests.project.sources import ROOT
from tests.scenario import corpus
from trainer.errors import FileProblems
from trainer.scenario import nodes
from trainer.scenario.moment_parser import PRIMITIVES
from trainer.scenario.nodes import Mapping, Node, Scalar, Sequence
from trainer.scenario.schema import FILES, schema
from trainer.scenario.vocabulary.tables import KINDS, RECORDS

SCHEMAS = {kind: schema(kind) for kind in FILES}
VALIDATORS = {kind: Draft202012Validator(made) for kind, made in SCHEMAS.items()}
SHIPPED = [(kind, path) for kind, folder in KINDS.items()
           for path in sorted((ROOT / "scenarios" / folder).glob("*.yaml"))]  # fmt: skip
GOOD = [("exercise", path) for path in corpus.GOOD]
GOOD += [("flow", path) for path in sorted((corpus.ROOT / "library" / "flows").glob("*.yaml"))]

# What only the composed files, other places or bounds can tell; a schema cannot.
BEYOND = re.compile(
    "the debrief needs|there is no|unknown (fix|item|event|gate|call|checklist|flap|control)|"
    "names no|out of bounds"
)


def core(node: Node) -> Any:
    """A node as YAML 1.2 resolves it (core schema): plain words and numbers get their types."""
    if isinstance(node, Mapping):
        return {key.text: core(value) for key, value in node.pairs}
    if isinstance(node, Sequence):
        return [core(item) for item in node.items]
    assert isinstance(node, Scalar)
    if not node.is_plain:
        return node.text
    if node.text in ("", "~", "null", "Null", "NULL"):
        return None
    if re.fullmatch("true|True|TRUE|false|False|FALSE", node.text):
        return node.text.lower() == "true"
    if re.fullmatch(r"[-+]?[0-9]+", node.text):
        return int(node.text)
    if re.fullmatch(r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?", node.text):
        return float(node.text)
    return node.text


def errors(kind: str, text: str | bytes) -> list[str]:
    found = VALIDATORS[kind].iter_errors(core(nodes.parse(text, "t.yaml")))
    return [f"{error.json_path}: {error.message[:160]}" for error in found]


@pytest.mark.parametrize("kind", FILES)
def test_a_schema_is_one_of_its_dialect_and_says_what_it_is(kind: str) -> None:
    Draft202012Validator.check_schema(SCHEMAS[kind])
    assert SCHEMAS[kind]["title"] == f"Approach Drill: {kind} file"
    assert "not for real flight" in SCHEMAS[kind]["$comment"]


@pytest.mark.parametrize(("kind", "path"), [*SHIPPED, *GOOD], ids=str)
def test_every_good_file_is_valid(kind: str, path: Path) -> None:
    assert errors(kind, path.read_bytes()) == []


def test_the_keys_of_each_record_are_those_of_the_vocabulary() -> None:
    seen = set()
    for made in SCHEMAS.values():
        for name, record in made["$defs"].items():
            if name.endswith("moment"):
                assert list(record["properties"]) == [*PRIMITIVES, "for", "plus"]
                continue
            assert list(record["properties"]) == RECORDS[name].names()
            required = [key.name for key in RECORDS[name].keys if key.required]
            assert record.get("required", []) == required
            for key in RECORDS[name].keys:
                assert record["properties"][key.name]["description"].startswith(key.help)
            seen.add(name)
    assert seen == set(RECORDS)


def test_a_closed_list_is_an_enumeration_without_words_that_yaml_takes_for_values() -> None:
    def words(value: Any) -> list[Any]:
        if isinstance(value, list):
            return [word for one in value for word in words(one)]
        if not isinstance(value, dict):
            return []
        return [*value.get("enum", ()), *words(list(value.values()))]

    found = words(list(SCHEMAS.values()))
    assert "glideslope" in found
    for word in found:
        assert core(nodes.parse(f"- {word}" if word else '- ""', "t")) == [word]


def bad_files() -> list[Path]:
    """Bad files whose mistake is one of shape: a schema can see it."""
    found = []
    for path in corpus.BAD:
        try:
            nodes.parse(path.read_bytes(), path.name)
        except FileProblems:
            continue  # no YAML of this format at all
        found.append(path)
    return found


SHAPE = (
    "unknown key", "missing in", "is no comparison", "has no unit", "is not a quantity",
    "is no unit", "expected a list", "is not a moment", "is no moment", "exclude each other",
    "needs one of", "is no position", "two moments in one", "expected a mapping with",
    "a moment needs exactly one", "is no name of a file",
)  # fmt: skip
"""What reports say of mistakes of shape."""


def shape_mistakes() -> list[Path]:
    found = []
    for path in bad_files():
        report = path.with_suffix(".txt").read_text(encoding="utf-8").split("\n")[0]
        if any(part in report for part in SHAPE) and not BEYOND.search(report):
            found.append(path)
    return found


@pytest.mark.parametrize("path", shape_mistakes(), ids=lambda path: path.stem)
def test_a_mistake_of_shape_is_refused_by_the_schema_too(path: Path) -> None:
    kind = path.stem.split("-")[0]
    assert errors(kind, path.read_bytes())


def test_enough_mistakes_of_shape_are_tried() -> None:
    assert len(shape_mistakes()) >= 15


@pytest.mark.parametrize(
    ("text", "where"),
    [
        ("when: {distance: below 6}", "distance"),
        ("when: {distance: below 6 NM, passed: TULEP}", "when"),
        ("when: {altitude: below final approach speed}", "altitude"),
        ("when: {distance: every 1 NM}", "distance"),
        ("when: {mode: {vertical: GLYDE}}", "vertical"),
        ("when: {any: []}", "any"),
        ("when: {passed: TULEP}\n    grants: aproach", "grants"),
        (
            "when: {passed: TULEP}\n    fault: {signal: glideslope, becomes: flagged, for: 12}",
            "for",
        ),
    ],
)
def test_a_mistake_is_shown_where_it_stands(text: str, where: str) -> None:
    smallest = (corpus.ROOT / "good" / "smallest.yaml").read_text(encoding="utf-8")
    assert errors("exercise", smallest) == []
    found = errors("exercise", f"{smallest}events:\n  - event: x\n    {text}\n")
    assert found
    assert any(where in one.partition(":")[0] for one in found), found
