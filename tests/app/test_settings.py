"""The configuration file: what it settles, and how each mistake is told with its line."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest

from trainer.app.keymap import DEFAULT
from trainer.app.router import Ask, Draft, Router
from trainer.app.settings import NAMES, THEMES, Settings, is_key, load, parse
from trainer.errors import FileProblems

GOOD = """\
theme = "light"
ascii = true
bell = true

[keys]
gear = "Y"
"approach mode" = "é"
pause = "F9"
heading = "Q"
"""


def problems(text: str) -> list[str]:
    with pytest.raises(FileProblems) as caught:
        parse(text, "config.toml")
    return [problem.headline() for problem in caught.value.problems]


def test_no_file_and_an_empty_file_settle_nothing(tmp_path: Path) -> None:
    assert load(tmp_path / "config.toml") == Settings()
    assert parse("", "config.toml") == Settings()


def test_a_file_settles_looks_bell_and_keys() -> None:
    made = parse(GOOD, "config.toml")
    assert (made.theme, made.ascii, made.bell) == ("light", True, True)
    assert made.keymap.key_of("gear") == "Y"
    assert made.keymap.key_of("pause") == "f9"
    assert ("143Q", "heading", "heading selector") in made.keymap.table()
    assert ("F9", "pause", "pause (not in a check)") in made.keymap.table()


def test_changed_keys_do_what_they_were_changed_to() -> None:
    router = Router(parse(GOOD, "config.toml").keymap)
    assert router.feed("Y", "Y", 0) == [Draft("move", "gear", "toggle")]
    assert router.feed("é", "é", 0) == [Draft("press", "approach mode")]
    assert router.feed("f9", None, 0) == [Ask("pause")]
    assert router.feed("f2", None, 0) == []
    assert router.feed("h", "h", 0) == [Draft("press", "heading mode")]
    for character in "143":
        router.feed(character, character, 0)
    assert router.feed("Q", "Q", 0) == [Draft("set", "heading", "143")]


def test_two_rows_may_change_their_keys_with_each_other() -> None:
    made = parse('[keys]\ngear = "f"\nflaps = "g"\n', "config.toml").keymap
    assert made.key_of("gear") == "f"
    assert made.key_of("flaps") == "g"


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ('thme = "dark"', 'config.toml:1:1: no setting "thme"; known are theme, ascii'),
        ('theme = "drak"', 'config.toml:1:1: no theme "drak"; known are dark, light'),
        ("\nbell = 1", 'config.toml:2:1: bell is "1"; true or false would be right'),
        (
            '[keys]\ngaer = "y"',
            'config.toml:2:1: no control or action "gaer"; did you mean "gear"?',
        ),
        ('[keys]\ngear = "yy"', 'config.toml:2:1: "yy" is no key for gear; one character'),
        ('[keys]\ngear = "7"', 'config.toml:2:1: "7" is no key for gear; one character'),
        ('[keys]\nsay = "y"', 'config.toml:2:1: the key of "say" stays as it is'),
        (
            '[keys]\n\n  "gear" = "f"',
            "config.toml:3:4: gear and flaps are both on f; only a button and a value may share",
        ),
        ("keys = 3", "config.toml:1:1: keys is no table;"),
        ("a = = 3", "config.toml:1:5: no TOML: invalid value; expected a text in quotes"),
        ('[keys]\ngear = "y', "config.toml: no TOML: "),
    ],
)
def test_each_mistake_is_told_at_its_line(text: str, told: str) -> None:
    assert problems(text)[0].startswith(told)


def test_all_mistakes_of_a_file_are_told_at_once() -> None:
    assert len(problems('theme = 1\nbell = "x"\n[keys]\nnothing = "y"\ngear = ""\n')) == 4


def test_a_file_that_cannot_be_read_is_told(tmp_path: Path) -> None:
    (tmp_path / "config.toml").write_bytes(b"\xff\xfe")
    with pytest.raises(FileProblems, match="not UTF-8"):
        load(tmp_path / "config.toml")


def test_every_default_key_but_the_fixed_ones_is_a_key_that_may_be_chosen() -> None:
    fixed = {"space", "enter", "backspace"}
    assert {key for key in DEFAULT.bindings if not is_key(key)} == fixed


def test_the_settings_are_told_to_pilots() -> None:
    page = Path(__file__).parents[2] / "docs" / "for-pilots.md"
    text = page.read_text(encoding="utf-8")
    for name in (*NAMES, *THEMES):
        assert f"`{name}`" in text or f"[{name}]" in text, name


def test_the_example_told_to_pilots_is_a_right_file() -> None:
    page = Path(__file__).parents[2] / "docs" / "for-pilots.md"
    (example,) = re.findall(r"```toml\n(.*?)```", page.read_text(encoding="utf-8"), re.S)
    assert set(tomllib.loads(example)) == set(NAMES)
    assert parse(example, "config.toml") != Settings()
