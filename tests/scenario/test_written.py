"""The normal layout of a file says the same: whatever is valid survives being written and read.

Valid files are the shipped and the good ones, changed at random in ways that keep them valid or
not; a file that is refused must be refused with a report.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.project.sources import ROOT
from tests.scenario import corpus
from trainer.errors import FileProblems
from trainer.scenario import alone, compose, library, nodes
from trainer.scenario.nodes import Mapping, Node
from trainer.scenario.vocabulary.tables import KINDS
from trainer.scenario.written import WIDTH, yaml_text
from trainer.text import first_refused

FILES = [(kind, path) for kind, folder in KINDS.items()
         for path in sorted((ROOT / "scenarios" / folder).glob("*.yaml"))]  # fmt: skip
FILES += [("exercise", path) for path in corpus.GOOD]
FILES += [("flow", path) for path in sorted((corpus.ROOT / "library" / "flows").glob("*.yaml"))]
LIBRARY = corpus.corpus_library()


def parsed(path: Path) -> Mapping:
    node = nodes.parse(path.read_bytes(), path.name)
    assert isinstance(node, Mapping)
    return node


def record_of(kind: str, node: Mapping) -> str:
    return "based flow" if kind == "flow" and node.get("based on") is not None else kind


# Layout -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("is_explained", [False, True], ids=["bare", "explained"])
@pytest.mark.parametrize(("kind", "path"), FILES, ids=str)
def test_every_good_file_reads_back_as_the_same_values(
    kind: str, path: Path, is_explained: bool
) -> None:
    node = parsed(path)
    text = yaml_text(node, record_of(kind, node), is_explained=is_explained)
    again = nodes.parse(text, "again")
    assert nodes.plain(again) == nodes.plain(node)
    assert isinstance(again, Mapping)
    assert yaml_text(again, record_of(kind, node), is_explained=is_explained) == text


def test_keys_stand_in_the_order_of_the_vocabulary_and_short_values_on_one_line() -> None:
    text = (
        "flow: drill\ntitle: 'Ten'\nformat: 1\nstart: {speed: 200 kt, before: OMBRY,\n"
        "  altitude: 3000 ft}\nlesson: 'It says: no'\nweather: {lights: off}\n"
    )
    assert yaml_text(nodes.parse(text, "t"), "exercise") == (
        'format: 1\ntitle: Ten\nlesson: "It says: no"\nflow: drill\n'
        'start: {before: OMBRY, altitude: 3000 ft, speed: 200 kt}\nweather: {lights: "off"}\n'
    )


def test_each_key_is_explained_once_and_those_left_out_are_listed() -> None:
    node = parsed(corpus.ROOT / "good" / "smallest.yaml")
    text = yaml_text(node, "exercise", is_explained=True)
    assert "title: Ten lines  # name shown\n" in text
    assert text.count("calibrated airspeed") == 1
    assert "#   level: difficulty; 1 to 5 (default: 1)\n" in text
    assert "#   gear: gear; default: up where it can be; up or down\n" in text
    assert "#   selected altitude: altitude selector" in text


def test_lines_stay_within_their_width_where_a_space_allows_it() -> None:
    for kind, path in FILES:
        if kind in ("exercise", "airport", "aircraft"):
            text = yaml_text(parsed(path), kind, is_explained=True)
            long = [line for line in text.split("\n") if len(line) > WIDTH]
            assert all('"' in line or "{" in line for line in long), long


# Any text ---------------------------------------------------------------------------------------

_CHARACTERS = st.characters(exclude_categories=("Cc", "Cf", "Cs", "Zl", "Zp"))
_TEXTS = st.text(_CHARACTERS, min_size=1, max_size=150).filter(lambda text: text.strip() != "")
_PROSE = st.lists(st.text(_CHARACTERS, max_size=120), min_size=1, max_size=4).map("\n".join)
_AWKWARD = st.sampled_from(
    ["no", "on", "null", "~", "12:30", "010", "0x1F", "1e5", "- a", "a: b", "a #b", "#a", "{a}",
     "[a", "a,b", "'a'", '"a"', "\\n", "*a", "&a", "!a", "%a", "@a", "`a", "? a", "|", ">", "---",
     "2001-01-01", "+.5", "-", "=", "<<", " a ", "a  b", "ä ö", "一二", ".", "..."]
)  # fmt: skip


@settings(max_examples=300, deadline=None)
@given(_TEXTS | _AWKWARD, _PROSE, _TEXTS | _AWKWARD)
def test_any_text_survives(title: str, notes: str, event: str) -> None:
    plain = {"title": title, "notes": notes, "events": [{"event": event}], event: [title, [notes]]}
    node = nodes.from_plain(plain, nodes.Source("t"))
    assert first_refused(title) < 0
    for is_explained in (False, True):
        text = yaml_text(node, "exercise", is_explained=is_explained)
        assert nodes.plain(nodes.parse(text, "t")) == nodes.plain(node), text


# Any valid exercise -----------------------------------------------------------------------------

_MOMENTS = st.recursive(
    st.sampled_from(
        [{"distance": "below 9.5 NM"}, {"passed": "final fix"}, {"granted": "approach"},
         {"signal": {"glideslope": "received"}}, {"mode": {"vertical": ["GLIDE", "PATH"]}},
         {"speed": "below reference speed plus 12 kt"}, {"config": {"flaps": "landing"}},
         {"mode": {"capability": ""}}, {"lever": {"flaps": "22"}}, {"changed": "announced"},
         {"gate": {"stable": "passed"}}, {"said": "glide alive"}, {"acted": "gear down"},
         {"selected": {"altitude": "missed approach altitude"}}, {"last chance": "stable"},
         {"distance": "below 2 NM", "for": "3 s"}, {"passed": "threshold", "plus": "0.5 NM"}]
    ),
    lambda inner: (
        st.builds(lambda a, b: {"all": [a, b]}, inner, inner)
        | st.builds(lambda a, b: {"any": [a, b], "plus": "2 s"}, inner, inner)
        | st.builds(lambda a, b: {"then": [a, b]}, inner, inner)
        | st.builds(lambda a: {"not": a}, inner)
    ),
    max_leaves=5,
)  # fmt: skip


@st.composite
def exercises(draw: st.DrawFn) -> dict[str, Any]:
    """A valid exercise as plain data: the smallest one with anything it may hold besides."""
    plain: dict[str, Any] = nodes.plain(parsed(corpus.ROOT / "good" / "smallest.yaml"))
    plain["title"] = draw(_TEXTS | _AWKWARD)
    plain["notes"] = draw(_TEXTS)
    plain["level"] = str(draw(st.integers(1, 5)))
    plain["start"]["speed"] = f"{draw(st.integers(205, 225))} kt"
    plain["weather"] = {
        "qnh": f"{draw(st.integers(960, 1040))} hPa",
        "visibility": draw(st.sampled_from(["800 m", "4km", "9.5 km"])),
        "lights": draw(st.sampled_from(["on", "off"])),
        "wind": [{"height": "0 ft", "from": "160 deg", "speed": f"{draw(st.integers(0, 30))} kt"}],
    }
    names = draw(st.lists(_TEXTS | _AWKWARD, max_size=3, unique_by=str.strip))
    # One clearance comes in any case: what waits for one that never comes is refused.
    whens: list[tuple[str, Any]] = [("given in any case", {"distance": "below 9.5 NM"})]
    whens += [(name, draw(_MOMENTS)) for name in names]
    plain["events"] = [
        {"event": name, "when": when, "grants": "approach", "items": "none"} for name, when in whens
    ]
    plain["changes"] = [{"change": "slow", "opens": draw(_MOMENTS), "why": draw(_TEXTS)}]
    return plain


@settings(max_examples=60, deadline=None)
@given(exercises())
def test_a_valid_exercise_survives_being_written_and_read(plain: dict[str, Any]) -> None:
    node = nodes.from_plain(plain, nodes.Source("t"))
    first = compose.compose(node, "t", LIBRARY)
    again = compose.compose(nodes.parse(yaml_text(node, "exercise"), "t"), "t", LIBRARY)
    assert again == first
    assert again.digest == first.digest


# Mutations --------------------------------------------------------------------------------------

_BITS = (
    "", "~", "no", "[]", "{}", "{a: b}", "''", "99999 ft", "-3 NM", "nothing", "12 s", "below 3 NM",
    "{passed: TULEP}", "{not: {phase: final}}", "[1, 2]", "0", "landing", "gear down", "approach",
    "!!python/object:os.system x", "*a", "&a b", "> x", "'", '"', "\u202e", "\x1b[2J", "9" * 400,
)  # fmt: skip


def damaged(chance: random.Random, text: str) -> str:
    """`text` with a few lines or words exchanged, removed, doubled, moved in or cut."""
    lines = text.split("\n")
    for _ in range(chance.randint(1, 3)):
        at = chance.randrange(len(lines))
        kind = chance.randrange(6)
        if kind == 0 and len(lines) > 1:
            del lines[at]
        elif kind == 1:
            lines.insert(at, chance.choice(lines))
        elif kind == 2:
            lines[at] = " " * chance.randint(0, 6) + lines[at].strip()
        elif kind == 3:
            words = lines[at].split(" ")
            words[chance.randrange(len(words))] = chance.choice(_BITS)
            lines[at] = " ".join(words)
        elif kind == 4:
            words = lines[at].split(" ")
            words[chance.randrange(len(words))] = chance.choice(chance.choice(lines).split(" "))
            lines[at] = " ".join(words)
        else:
            lines[at] = lines[at][: chance.randint(0, 40)]
    return "\n".join(lines)


def replaced(chance: random.Random, plain: Any, other: Any) -> None:
    """Replace, remove or double one value somewhere in `plain` by one from `other`."""
    holder = plain
    while True:
        keys: list[Any] = list(holder) if isinstance(holder, dict) else list(range(len(holder)))
        if not keys:
            return
        key = chance.choice(keys)
        if isinstance(holder[key], dict | list) and holder[key] and chance.random() < 0.8:
            holder = holder[key]
            continue
        kind = chance.randrange(4)
        if kind == 0:
            del holder[key]
        elif kind == 1 and isinstance(holder, list):
            holder.append(holder[key])
        else:
            holder[key] = anywhere(chance, other)
        return


def anywhere(chance: random.Random, value: Any) -> Any:
    while isinstance(value, dict | list) and value and chance.random() < 0.85:
        value = chance.choice(list(value.values()) if isinstance(value, dict) else value)
    return value


@cache
def texts() -> list[tuple[str, str]]:
    return [(kind, path.read_text(encoding="utf-8")) for kind, path in FILES]


def refused(act: Callable[[], object]) -> bool:
    """Whether `act` is refused, with a report that is safe to show; nothing else may be raised."""
    found: FileProblems | None = None
    try:
        act()
    except FileProblems as error:
        found = error
    if found is None:
        return False
    assert found.problems
    assert all(line and line.isprintable() for line in str(found).split("\n"))
    return True


def try_mutation(chance: random.Random, file: Path) -> bool:
    """Check one damaged file; True if it is still valid (and then survives being written)."""
    kind, text = chance.choice(texts())
    if chance.random() < 0.5:
        text = damaged(chance, text)
    else:
        plain = nodes.plain(nodes.parse(text, "t"))
        replaced(chance, plain, nodes.plain(nodes.parse(chance.choice(texts())[1], "t")))
        if not plain:
            return False
        text = yaml_text(nodes.from_plain(plain, nodes.Source("t")), kind)
    file.write_text(text, encoding="utf-8")
    if refused(lambda: checked(kind, file)):
        return False
    node: Node = nodes.parse(text, "t")
    assert isinstance(node, Mapping)
    again = nodes.parse(yaml_text(node, record_of(kind, node)), "t")
    if kind == "exercise":
        assert compose.compose(again, "t", LIBRARY) == compose.compose(node, "t", LIBRARY)
    assert nodes.plain(again) == nodes.plain(node)
    return True


def checked(kind: str, file: Path) -> None:
    if kind == "exercise":
        compose.load(file, LIBRARY)
    else:
        alone.check_alone(file, kind, LIBRARY)


def mutate(count: int, seed: int, folder: Path) -> float:
    chance = random.Random(seed)
    valid = 0
    for number in range(count):
        if number % 100 == 0:
            library.parsed.cache_clear()  # it keeps the nodes of every file
        valid += try_mutation(chance, folder / f"file-{number}.yaml")
    return valid / count


def test_a_mutation_is_valid_or_refused_with_a_report(tmp_path: Path) -> None:
    share = mutate(150, 5, tmp_path)
    assert 0.02 < share < 0.9, "both kinds are tried"


@pytest.mark.long
@pytest.mark.parametrize("seed", range(20))
def test_20_000_mutations_are_valid_or_refused_with_a_report(seed: int, tmp_path: Path) -> None:
    mutate(1000, 1000 + seed, tmp_path)
