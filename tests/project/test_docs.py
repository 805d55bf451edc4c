"""The documentation is true: commands parse, blocks are valid, tables and pictures are as made."""

from __future__ import annotations

import re
import shlex
from functools import cache
from pathlib import Path
from typing import NamedTuple

import pytest

from tests.project import format_page, pictures
from tests.project.sources import ROOT
from trainer.app.keymap import DEFAULT
from trainer.cli import main
from trainer.cli.main import parser
from trainer.scenario import compose, crew_files, library, nodes
from trainer.scenario.exercise import Exercise
from trainer.scenario.moment_parser import PRIMITIVES, parse_moment
from trainer.scenario.reading import Reading
from trainer.scenario.references import names_of
from trainer.scenario.vocabulary.tables import KINDS, RECORDS

NOTICE = (
    "For training on fictional types; not for navigation or real flight; "
    "operator manuals, current charts and licensed instructors come first"
)
PAGES = [ROOT / "README.md", ROOT / "DEVELOPERS.md", *sorted((ROOT / "docs").rglob("*.md"))]
_FENCE = re.compile(r"^```([^\n]*)\n(.*?)^```$", re.M | re.S)
_COMMAND = re.compile(r"`((?:\.venv/bin/)?approach-drill [^`]*)`")
_LINK = re.compile(r"\]\(([^)#\s]+)(?:#[^)]*)?\)")
COMMANDS = (
    "fly", "brief", "list", "check", "debrief", "history",
    "regrade", "schema", "replay", "new", "resume",
)  # fmt: skip


class Block(NamedTuple):
    """A fenced block: the page, the line it begins on, what it claims to be, its text."""

    page: Path
    line: int
    kind: str
    text: str


def blocks() -> list[Block]:
    found = []
    for page in PAGES:
        text = page.read_text(encoding="utf-8")
        for match in _FENCE.finditer(text):
            line = text.count("\n", 0, match.start()) + 1
            found.append(Block(page, line, match[1].strip(), match[2]))
    return found


def named(block: Block) -> str:
    return f"{block.page.name}:{block.line}"


YAML = [block for block in blocks() if block.kind.startswith("yaml")]


@cache
def straight_in(name: str = "straight-in") -> Exercise:
    return compose.load(name, library.default_library())


# Blocks -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("block", YAML, ids=named)
def test_every_yaml_block_is_what_it_claims_to_be(block: Block, tmp_path: Path) -> None:
    check = {
        "yaml moments": check_moments,
        "yaml items": check_items,
        "yaml watches": check_watches,
        "yaml exercise": check_exercise,
        "yaml crew": check_crew,
        "yaml house": check_house,
        "yaml flow": check_flow,
        "yaml": check_comment,
        "yaml broken": check_broken,
    }[block.kind]
    check(block.text, tmp_path)


def check_moments(text: str, _folder: Path) -> None:
    node = nodes.parse(text, "moments")
    assert isinstance(node, nodes.Sequence)
    names = names_of(straight_in(), node.source)
    # The places of the other exercise are known here as well.
    names.fixes = (*names.fixes, "TULEP")
    reading = Reading()
    for item in node.items:
        assert parse_moment(item, reading) is not None or len(reading.problems), item
    names.check(reading.mentions, reading)
    reading.problems.raise_if_any()


def check_items(text: str, folder: Path) -> None:
    written = (ROOT / "scenarios/exercises/straight-in.yaml").read_text(encoding="utf-8")
    added = "".join(
        f"  - add:\n{indented(part, 6)}" for part in re.split(r"(?m)^(?=- )", text) if part.strip()
    )
    check_exercise(f"{written}changes:\n{added}", folder)


def check_watches(text: str, folder: Path) -> None:
    written = (ROOT / "scenarios/exercises/straight-in.yaml").read_text(encoding="utf-8")
    check_exercise(f"{written}watches:\n{text}", folder)


def indented(part: str, width: int) -> str:
    lines = part.replace("- ", "  ", 1).splitlines(keepends=True)
    return "".join(" " * (width - 2) + line for line in lines)


def check_exercise(text: str, folder: Path) -> None:
    path = folder / "example.yaml"
    path.write_text(text, encoding="utf-8")
    compose.load(path, library.default_library())


def check_crew(text: str, _folder: Path) -> None:
    crew_files.from_text(text, straight_in())


def check_broken(text: str, _folder: Path) -> None:
    # It stands for mistakes; the walk through the tutorial compares its report.
    assert isinstance(nodes.parse(text, "broken"), nodes.Mapping)


def check_comment(text: str, _folder: Path) -> None:
    assert all(line.startswith("#") for line in text.splitlines()), "say what the block is"


def check_house(text: str, folder: Path) -> None:
    (folder / "houses").mkdir()
    (folder / "exercises").mkdir()
    (folder / "houses" / "standard.yaml").write_text(text, encoding="utf-8")
    written = (ROOT / "scenarios/exercises/straight-in.yaml").read_text(encoding="utf-8")
    path = folder / "exercises" / "example.yaml"
    path.write_text(written, encoding="utf-8")
    compose.load(path, library.default_library())


def check_flow(text: str, folder: Path) -> None:
    (folder / "flows").mkdir()
    (folder / "exercises").mkdir()
    (folder / "flows" / "example.yaml").write_text(text, encoding="utf-8")
    written = (ROOT / "scenarios/exercises/straight-in.yaml").read_text(encoding="utf-8")
    path = folder / "exercises" / "example.yaml"
    path.write_text(written.replace("flow: jet-ils", "flow: example"), encoding="utf-8")
    assert compose.load(path, library.default_library()).flow.name == "example"


def test_a_block_that_is_not_what_it_claims_is_found(tmp_path: Path) -> None:
    with pytest.raises(Exception, match="no moment"):
        check_moments("- {distanze: below 6 NM}\n", tmp_path)
    with pytest.raises(Exception, match="last chance"):
        check_items(
            "- item: x\n  do: gear down\n  due: 8 s\n  area: energy\n  why: x\n  source: x\n",
            tmp_path,
        )
    with pytest.raises(Exception, match="no item"):
        check_crew("crew: 1\nbase: perfect\nedits: [{omit: nothing like it}]\n", tmp_path)


# Commands ---------------------------------------------------------------------------------------


def command_lines() -> list[tuple[str, str]]:
    found = []
    for page in PAGES:
        for match in _COMMAND.finditer(page.read_text(encoding="utf-8")):
            found.append((page.name, " ".join(match[1].split())))
    for block in blocks():
        if block.kind in ("sh", "console", ""):
            for line in block.text.splitlines():
                for part in line.split("&&"):
                    if "approach-drill " in part and "pip" not in part:
                        found.append((block.page.name, part.strip().removeprefix("$ ")))
    return found


@pytest.mark.parametrize(("page", "line"), command_lines(), ids=str)
def test_every_command_line_in_the_documentation_is_understood(page: str, line: str) -> None:
    words = shlex.split(line, comments=True)
    assert words[0].removeprefix(".venv/bin/") == "approach-drill"
    if any(word.isupper() and len(word) > 1 for word in words):
        return  # a pattern such as EXERCISE, not a line to type
    options = parser().parse_args(words[1:])
    for name in ("from_moment", "until_moment"):
        if text := getattr(options, name, None):
            crew_files.parse_moment_text(text, straight_in())


def test_every_command_is_told_to_pilots_or_instructors() -> None:
    told = "".join(
        page.read_text(encoding="utf-8") for page in PAGES if "decisions" not in str(page)
    )
    for command in COMMANDS:
        assert f"approach-drill {command}" in told, command


def test_a_parser_of_one_command_understands_it_and_its_neighbours() -> None:
    assert [name for names in main.COMMANDS.values() for name in names] == re.findall(
        r"^    ([a-z]+) ", parser().format_help(), re.M
    )
    for names in main.COMMANDS.values():
        few = parser(names[0])
        assert re.findall(r"^    ([a-z]+) ", few.format_help(), re.M) == list(names)
    assert parser("no such").format_help() == parser().format_help()


def test_the_commands_listed_here_are_those_there_are() -> None:
    whole = parser()
    needs = {"fly": ["x"], "brief": ["x"], "check": ["x"], "new": ["flow"]}
    for command in COMMANDS:
        whole.parse_args([command, *needs.get(command, [])])
    assert set(re.findall(r"^    ([a-z]+) ", whole.format_help(), re.M)) == set(COMMANDS)


def test_the_two_lines_to_start_with_need_nothing_else() -> None:
    lines = [block.text.strip() for block in blocks()
             if block.page.name == "README.md" and block.kind == "sh"]  # fmt: skip
    assert len(lines) == 2
    for line in lines:
        assert "\n" not in line
        assert line.startswith("python3 -m venv .venv && .venv/bin/pip install ")
    assert "approach-drill fly straight-in --level guided" in lines[0]
    assert lines[1].endswith(".venv/bin/pytest -n 2")


# Keys, format, picture --------------------------------------------------------------------------


def test_every_key_is_told_to_pilots() -> None:
    text = (ROOT / "docs" / "for-pilots.md").read_text(encoding="utf-8")
    for key, name, meaning in DEFAULT.table():
        assert f"| `{key}` | {name} | {meaning} |" in text, key


def test_the_tables_of_the_format_are_those_of_the_vocabulary() -> None:
    text = format_page.PAGE.read_text(encoding="utf-8")
    assert text == format_page.page(text), "run: python -m tests.project.format_page"


def test_every_top_level_key_and_every_moment_is_in_the_format_page() -> None:
    text = format_page.PAGE.read_text(encoding="utf-8")
    for kind in (*KINDS, "crew"):
        for key in RECORDS[kind].names():
            assert f"| `{key}` |" in text, (kind, key)
    before = text.partition(format_page.BEGIN)[0]
    for word in PRIMITIVES:
        assert f"{{{word}: " in before, word


@pytest.mark.parametrize("name", pictures.PICTURES)
async def test_a_picture_is_what_the_program_shows(name: str) -> None:
    stored = pictures.path_of(name).read_text(encoding="utf-8")
    shown = await pictures.made(name)
    assert pictures.words(stored) == pictures.words(shown), "run: python -m tests.project.pictures"


def test_every_picture_is_used_and_is_one_that_is_made() -> None:
    kept = {path.stem for path in pictures.FOLDER.iterdir()}
    assert kept == set(pictures.PICTURES)
    text = "".join(page.read_text(encoding="utf-8") for page in PAGES)
    assert all(f"pictures/{name}.svg)" in text for name in kept)


# Pages ------------------------------------------------------------------------------------------


def test_the_safety_notice_stands_where_it_is_read() -> None:
    for name in ("README.md", "docs/safety.md", "docs/for-pilots.md", "docs/for-instructors.md"):
        assert NOTICE in (ROOT / name).read_text(encoding="utf-8"), name


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_every_link_leads_somewhere(page: Path) -> None:
    for target in _LINK.findall(page.read_text(encoding="utf-8")):
        if "://" not in target:
            assert (page.parent / target).exists(), target


def test_every_decision_has_its_four_parts_and_is_listed() -> None:
    folder = ROOT / "docs" / "decisions"
    index = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    pages = sorted(folder.glob("*.md"))
    assert pages
    for page in pages:
        text = page.read_text(encoding="utf-8")
        for part in ("## Context", "## Choice", "## Cost", "## When to reconsider"):
            assert part in text, (page.name, part)
        assert f"docs/decisions/{page.name}" in index, page.name


def test_the_changelog_names_this_version() -> None:
    from trainer import __version__

    text = (ROOT / "docs" / "changelog.md").read_text(encoding="utf-8")
    assert f"## {__version__}" in text
    assert "### Scenario format" in text
