"""What a person has settled in the configuration file: keys, looks, the bell.

Owns the names of the settings and what each may hold. It draws nothing and binds nothing.
Surprising rule: the reader of the standard library tells no positions, so a line is found by
looking for its key; where it is not found, none is shown.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from trainer.app.keymap import DEFAULT, FIXED, FUNCTION_KEYS, Keymap, KeysClash, shown_key
from trainer.errors import FileProblems, Problem, Problems, hint
from trainer.text import excerpt, is_refused, quoted
from trainer.values import dataclass

LEVELS = ("guided", "coached", "check")
THEMES = ("dark", "light", "high-contrast")
_SWITCHES = ("ascii", "bell")
NAMES = ("theme", *_SWITCHES, "level", "keys")


@dataclass(frozen=True, slots=True)
class Settings:
    """The settings. `ascii`: only ASCII characters are shown; None = as the terminal can.

    bell: the identification of a station also rings the terminal's bell. level: the one that the
    home screen begins with.
    """

    keymap: Keymap = DEFAULT
    theme: str = THEMES[0]
    ascii: bool | None = None
    bell: bool = False
    level: str = "coached"


USUAL = Settings()
"""What holds where nothing is settled."""


def load(path: Path) -> Settings:
    """The settings in the file at `path`; the usual ones if there is none.

    Raises FileProblems with everything wrong in it.
    """
    try:
        text = path.read_text(encoding="utf-8")
    except FileNotFoundError:
        return USUAL
    except (OSError, UnicodeDecodeError) as error:
        reason = error.strerror if isinstance(error, OSError) else "it is not UTF-8"
        raise FileProblems([Problem(str(path), 0, 0, f"cannot be read: {reason}")]) from error
    return parse(text, str(path))


def parse(text: str, file: str) -> Settings:
    """The settings in a TOML `text`. Raises FileProblems."""
    try:
        table = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise FileProblems([_misread(str(error), text, file)]) from error
    page = _Page(text, file)
    for name in table:
        if name not in NAMES:
            page.report("", name, f"no setting {quoted(name)}{hint(name, NAMES)}")
    theme = table.get("theme", THEMES[0])
    if theme not in THEMES:
        page.report("", "theme", f"no theme {_value(theme)}{hint(str(theme), THEMES)}")
    level = table.get("level", "coached")
    if level not in LEVELS:
        page.report("", "level", f"no level {_value(level)}{hint(str(level), LEVELS)}")
    for name in _SWITCHES:
        if not isinstance(table.get(name, False), bool):
            page.report("", name, f"{name} is {_value(table[name])}; true or false would be right")
    keymap = _keymap(table.get("keys", {}), page)
    page.problems.raise_if_any()
    return Settings(keymap, theme, table.get("ascii"), table.get("bell", False), level)


class _Page:
    """A file being judged: finds the line of a key, collects what is wrong."""

    def __init__(self, text: str, file: str) -> None:
        self._lines = text.splitlines()
        self._file = file
        self.problems = Problems()

    def report(self, table: str, key: str, message: str) -> None:
        """One more problem, at `key` of `table` ("" = the top of the file)."""
        number, column = self._place(table, key)
        shown = ""
        if number:
            shown = excerpt(self._lines[number - 1], number, column, len(key))
        self.problems.add(Problem(self._file, number, column, message, shown))

    def _place(self, table: str, key: str) -> tuple[int, int]:
        wanted = re.compile(rf"""\s*["']?(?P<key>{re.escape(key)})["']?\s*=""")
        inside = ""
        for number, line in enumerate(self._lines, 1):
            if header := re.match(r"\s*\[\s*([^\[\]]+?)\s*\]", line):
                inside = header.group(1)
                if not table and inside == key:
                    return number, header.start(1) + 1
            elif inside == table and (match := wanted.match(line)):
                return number, match.start("key") + 1
        return 0, 0


def _keymap(keys: Any, page: _Page) -> Keymap:
    if not isinstance(keys, Mapping):
        page.report("", "keys", 'keys is no table; [keys] and lines as gear = "y" would be right')
        return DEFAULT
    names = [row.name for row in DEFAULT.rows if row.name not in FIXED]
    chosen: dict[str, str] = {}
    for name, key in keys.items():
        if name in FIXED:
            page.report("keys", name, f"the key of {quoted(name)} stays as it is")
        elif name not in names:
            page.report("keys", name, f"no control or action {quoted(name)}{hint(name, names)}")
        elif not is_key(key):
            page.report(
                "keys", name,
                f"{_value(key)} is no key for {name}; one character that is no digit, dot, "
                "minus or space, or F1 to F12 would be right",
            )  # fmt: skip
        else:
            chosen[name] = key.lower() if key.lower() in FUNCTION_KEYS else key
    try:
        return DEFAULT.changed(chosen)
    except KeysClash as clash:
        first, second = clash.first, clash.second
        here, other = (second, first) if second.name in chosen else (first, second)
        page.report(
            "keys", here.name,
            f"{here.name} and {other.name} are both on {shown_key(here)}; "
            "only a button and a value may share a key",
        )  # fmt: skip
    return DEFAULT


def is_key(key: object) -> bool:
    """Whether `key` may be bound: one character that opens no number or call, or F1 to F12."""
    if not isinstance(key, str):
        return False
    if key.lower() in FUNCTION_KEYS:
        return True
    return len(key) == 1 and key not in "0123456789.- " and not is_refused(key)


def _value(value: Any) -> str:
    return quoted(value) if isinstance(value, str) else quoted(str(value).lower())


def _misread(message: str, text: str, file: str) -> Problem:
    """What the reader of the standard library says, with the place that it names."""
    what = message[:1].lower() + message[1:].partition(" (at ")[0]
    if what == "invalid value":
        what += "; expected a text in quotes, a number, true or false"
    match = re.search(r"\(at line (\d+), column (\d+)\)", message)
    if match is None:
        return Problem(file, 0, 0, f"no TOML: {what}")
    number, column = int(match.group(1)), int(match.group(2))
    lines = text.splitlines()
    shown = excerpt(lines[number - 1], number, column, 1) if number <= len(lines) else ""
    return Problem(file, number, column, f"no TOML: {what}", shown)
