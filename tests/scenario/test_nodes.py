"""YAML as nodes: text stays as written, positions are right, and hostile files are refused."""

from __future__ import annotations

import json
from contextlib import suppress

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.errors import FileProblems
from trainer.scenario import nodes

LOADERS = pytest.mark.parametrize("pure", [False, True], ids=["libyaml", "python"])


def problem_of(text: str | bytes, *, pure: bool = False) -> str:
    with pytest.raises(FileProblems) as caught:
        nodes.parse(text, "t.yaml", pure=pure)
    return caught.value.problems[0].headline()


@LOADERS
def test_what_yaml_would_guess_stays_text(pure: bool) -> None:
    text = "{a: 010, b: on, c: 12:30, d: 1_000, e: ~, f: 2024-01-01, g: '09', h: 1e3}"
    node = nodes.parse(text, "t.yaml", pure=pure)
    assert nodes.plain(node) == {
        "a": "010", "b": "on", "c": "12:30", "d": "1_000", "e": "~", "f": "2024-01-01",
        "g": "09", "h": "1e3",
    }  # fmt: skip


@LOADERS
def test_a_node_knows_where_it_stands_and_how_it_was_written(pure: bool) -> None:
    node = nodes.parse('top:\n  inner: "quoted"\n', "t.yaml", pure=pure)
    assert isinstance(node, nodes.Mapping)
    inner = node.get("top")
    assert isinstance(inner, nodes.Mapping)
    value = inner.get("inner")
    assert isinstance(value, nodes.Scalar)
    assert (value.line, value.column, value.is_plain, value.length) == (2, 10, False, 8)


@LOADERS
@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("a: &x 1", "t.yaml:1:4: the anchor"),
        ("a: *x", "t.yaml:1:4: the alias"),
        ("a: !!python/object:os.system x", "t.yaml:1:4: the tag"),
        ("%YAML 1.2\n---\na: 1", "t.yaml:1:1: a % directive"),
        ("a: 1\n---\nb: 1", "t.yaml:2:1: a second document"),
        ("a: 1\n...\n---\nb: 1", "t.yaml:3:1: a second document"),
        ("<<: {a: 1}", "t.yaml:1:1: the merge key"),
        ("a: 1\nb: 2\na: 3", "t.yaml:3:1: the key"),
        ("[" * 25 + "]" * 25, "t.yaml:1:25: nested too deep"),
        ('a: "\\0"', "t.yaml:1:4: the text holds the character U+0000"),
        ("a: \x07", "t.yaml:1:4: the character U+0007"),
        ("a: b\u200dc", "t.yaml:1:5: the character U+200D"),
        ('a: "b\\nc"', "t.yaml:1:4: the text holds the character U+000A"),
        ("", "t.yaml: the file is empty"),
        ("a: [1", "t.yaml:1:4: the bracket that begins here is never closed"),
    ],
)
def test_what_the_format_has_no_use_for_is_refused_with_its_place(
    text: str, expected: str, pure: bool
) -> None:
    assert problem_of(text, pure=pure).startswith(expected)


@LOADERS
def test_an_alias_bomb_is_refused_before_it_is_walked(pure: bool) -> None:
    lines = ["a: &a [x, x, x, x, x, x, x, x, x]"]
    for before, name in zip("abcdefgh", "bcdefghi", strict=True):
        lines.append(f"{name}: &{name} [{', '.join([f'*{before}'] * 9)}]")
    assert "the anchor &a" in problem_of("\n".join(lines), pure=pure)


@LOADERS
def test_endless_nesting_is_refused_at_once(pure: bool) -> None:
    assert "nested too deep" in problem_of("[" * 200_000, pure=pure)
    assert "nested too deep" in problem_of("{a: " * 60_000, pure=pure)


def test_a_large_file_is_refused_by_its_size_alone() -> None:
    assert "bytes are too many" in problem_of(b"x" * (nodes.BYTES + 1))


def test_a_file_of_very_many_values_is_refused() -> None:
    assert "too many values" in problem_of("[" + "1," * 60_000 + "]")


def test_a_file_that_is_not_utf_8_is_refused_with_its_place() -> None:
    assert problem_of(b"a: 1\nb: \xe4\n").startswith("t.yaml:2:4: byte 0xe4 is not UTF-8")


def test_line_ends_of_other_systems_and_a_byte_order_mark_are_read() -> None:
    node = nodes.parse(b"\xef\xbb\xbfa: 1\r\nb: 2\r\n", "t.yaml")
    assert nodes.plain(node) == {"a": "1", "b": "2"}


def test_a_block_text_keeps_its_lines() -> None:
    node = nodes.parse("a: |\n  one\n  two\n", "t.yaml")
    assert nodes.plain(node) == {"a": "one\ntwo\n"}


_PLAIN = st.recursive(
    st.text(st.characters(min_codepoint=32, max_codepoint=126), max_size=20),
    lambda inner: (
        st.lists(inner, max_size=4)
        | st.dictionaries(
            st.text(st.characters(min_codepoint=97, max_codepoint=122), min_size=1, max_size=8),
            inner,
            max_size=4,
        )
    ),
    max_leaves=12,
)


@given(_PLAIN)
def test_plain_data_comes_back_from_its_nodes(value: object) -> None:
    node = nodes.from_plain(value, nodes.Source("stored"))
    assert nodes.plain(node) == value


@given(_PLAIN)
def test_json_is_read_as_yaml(value: object) -> None:
    if value == "":
        return
    node = nodes.parse(json.dumps(value), "t.json")
    assert nodes.plain(node) == value


@given(st.text(max_size=300))
def test_any_text_is_read_or_refused_and_nothing_else(text: str) -> None:
    for pure in (False, True):
        with suppress(FileProblems):
            nodes.parse(text, "t.yaml", pure=pure)


@given(st.binary(max_size=200))
def test_any_bytes_are_read_or_refused_and_nothing_else(data: bytes) -> None:
    with suppress(FileProblems):
        nodes.parse(data, "t.yaml")


def test_canonical_text_does_not_depend_on_the_order_of_keys() -> None:
    assert nodes.canonical({"b": "1", "a": ["ü"]}) == nodes.canonical({"a": ["ü"], "b": "1"})
    assert nodes.canonical({"a": "ü"}) == '{"a":"\\u00fc"}'
