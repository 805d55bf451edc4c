"""Whatever a file holds, it is composed or refused with a report; nothing else happens."""

from __future__ import annotations

import random
import string
from collections.abc import Callable
from functools import partial
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.scenario import corpus
from trainer.errors import FileProblems
from trainer.scenario import compose, crew_files, nodes

pytestmark = pytest.mark.dear

GOOD = (corpus.ROOT / "good" / "everything.yaml").read_text(encoding="utf-8")
LIBRARY = corpus.corpus_library()
EXERCISE = corpus.smallest()


def is_sound(error: FileProblems | None) -> bool:
    """Whether a report (if there is one) says something, and nothing a terminal would obey."""
    if error is None:
        return True
    lines = str(error).split("\n")
    return bool(error.problems) and all(line and line.isprintable() for line in lines)


def refusal(act: Callable[[], object]) -> FileProblems | None:
    """What `act` is refused with, or None; anything else it raises ends the test."""
    try:
        act()
    except FileProblems as error:
        return error
    return None


def compose_text(text: str) -> None:
    found = refusal(lambda: compose.compose(nodes.parse(text, "t.yaml"), "t", LIBRARY))
    assert is_sound(found)


@st.composite
def mutated(draw: st.DrawFn) -> str:
    """A good file with a few lines removed, doubled, moved, or characters changed."""
    lines = GOOD.split("\n")
    for _ in range(draw(st.integers(1, 4))):
        at = draw(st.integers(0, len(lines) - 1))
        kind = draw(st.integers(0, 5))
        if kind == 0:
            del lines[at]
        elif kind == 1:
            lines.insert(at, lines[draw(st.integers(0, len(lines) - 1))])
        elif kind == 2 and lines[at]:
            place = draw(st.integers(0, len(lines[at]) - 1))
            new = draw(st.sampled_from(list(" :,[]{}&*!|>'\"%@`#-?0189abzNMft\u202e\x1b\t~")))
            lines[at] = lines[at][:place] + new + lines[at][place + 1 :]
        elif kind == 3:
            lines[at] = draw(st.integers(0, 6)) * " " + lines[at].strip()
        elif kind == 4:
            words = lines[at].split(" ")
            words[draw(st.integers(0, len(words) - 1))] = draw(
                st.sampled_from(["", "[]", "{}", "no", "99999 ft", "nothing", "{a: b}", "''"])
            )
            lines[at] = " ".join(words)
        else:
            lines[at] = lines[at][: draw(st.integers(0, 40))]
        if not lines:
            break
    return "\n".join(lines)


@settings(max_examples=120, deadline=None)
@given(mutated())
def test_a_damaged_good_file_is_composed_or_refused(text: str) -> None:
    compose_text(text)


@settings(max_examples=150, deadline=None)
@given(st.text(max_size=200))
def test_any_text_is_refused_as_an_exercise(text: str) -> None:
    with pytest.raises(FileProblems):
        compose.compose(nodes.parse(text, "t.yaml"), "t", LIBRARY)


_VALUES = st.recursive(
    st.sampled_from(["", "x", "3 s", "no", "gear down", "approach", "below 3 NM", "9" * 50]),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(
            st.sampled_from(
                ["when", "do", "set", "say", "at", "all", "not", "passed", "speed", "x"]
            ),
            inner,
            max_size=3,
        )
    ),
    max_leaves=8,
)


@settings(max_examples=200, deadline=None)
@given(_VALUES, st.sampled_from(sorted(nodes.plain(nodes.parse(GOOD, "g")))))
def test_any_value_under_any_key_is_composed_or_refused(value: object, key: str) -> None:
    plain = {**nodes.plain(nodes.parse(GOOD, "g")), key: value}
    node = nodes.from_plain(plain, nodes.Source("t"))
    assert is_sound(refusal(lambda: compose.compose(node, "t", LIBRARY)))


@settings(max_examples=200, deadline=None)
@given(_VALUES)
def test_any_crew_is_read_or_refused(value: object) -> None:
    for crew in (value, [value], {"crew": "1", "acts": [value], "edits": [value]}):
        assert is_sound(refusal(partial(crew_files.from_plain, crew, EXERCISE)))


def test_a_stored_exercise_with_any_part_replaced_is_rebuilt_or_refused() -> None:
    chance = random.Random(20)
    for _ in range(60):
        document = compose.document_of(EXERCISE)
        holder: Any = document
        for _ in range(chance.randint(1, 6)):
            keys = list(holder) if isinstance(holder, dict) else list(range(len(holder)))
            key = chance.choice(keys)
            if isinstance(holder[key], dict | list) and holder[key] and chance.random() < 0.8:
                holder = holder[key]
                continue
            holder[key] = chance.choice(["", "x", [], {}, "3 s", ["a"], {"b": "c"}, "-1 kt"])
            break
        assert is_sound(refusal(partial(compose.from_document, document)))


def test_many_long_names_are_refused_quickly() -> None:
    names = "\n".join(
        f"{''.join([string.ascii_lowercase[n % 26]] * 180)}{n}: 1" for n in range(900)
    )
    compose_text(GOOD + names)
