"""The help of the screens, read from `docs/screens.md`: what stands where on each.

Owns how that page is read; the words stand in the page. Surprising rule: marks of Markdown are for
readers of the page, and are left out on the screen.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import cache

from trainer import paths

_SECTION = re.compile(r"^## (.+)$", re.M)
_ENTRY = re.compile(r"^- \*\*(.+?)\*\*(.*?)(?=^- |\Z)", re.M | re.S)
_MARKS = re.compile(r"[`*]")
NAME_CELLS = 24


@cache
def sections() -> dict[str, tuple[tuple[str, str], ...]]:
    """Every section by its title: names of what is seen, each with its explanation."""
    text = paths.page("screens.md").read_text(encoding="utf-8")
    _, *parts = _SECTION.split(text)
    return {
        title: tuple((name, _plain(about)) for name, about in _ENTRY.findall(body))
        for title, body in zip(parts[::2], parts[1::2], strict=True)
    }


def help_lines(title: str) -> Sequence[str]:
    """The explanation of a screen, a line each, to be wrapped by whoever shows it."""
    return [f"{name:<{NAME_CELLS}}  {about}" for name, about in sections()[title]]


def _plain(about: str) -> str:
    words = _MARKS.sub("", " ".join(about.split())).lstrip(": ")
    return words[:1].upper() + words[1:]
