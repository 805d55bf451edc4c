"""The glossary: what every word on the screens means, one line each, read from `docs/glossary.md`.

It owns how that page is read and nothing else; the words themselves stand in the page. Surprising
rule: a term is looked up as it is written on the screen, in capitals.
"""

from __future__ import annotations

import re
from functools import cache

from trainer import paths

_ENTRY = re.compile(r"^- \*\*(.+?)\*\*: (.+)$", re.M)


@cache
def terms() -> dict[str, str]:
    """Every term in capitals with its definition, in alphabetical order."""
    text = paths.page("glossary.md").read_text(encoding="utf-8")
    return dict(_ENTRY.findall(text))


def meaning_of(term: str) -> str:
    """The definition of a term, "" for a word that has none."""
    return terms().get(term.upper(), "")
