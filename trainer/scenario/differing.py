"""Where our procedure differs: the line that says so, put into the text of a house file and out.

Owns the wording of the line and its place. It reads and writes no file. Surprising rule: the text
is changed by that one line only, so that whatever was written by hand stays to the letter, and the
same line taken out again leaves the text as it was.
"""

from __future__ import annotations

import json
import re

_KEY = re.compile(r"^changes:[ \t]*(#.*)?$", re.MULTILINE)
_ANY_KEY = re.compile(r"^changes[ \t]*:", re.MULTILINE)
_ENTRY = re.compile(r"\n([ ]*)- ")
HEAD = "# Where our procedure differs, as the debrief wrote it; it may be edited.\nchanges:\n"
"""What is put at the end of a house file that has no changes yet."""
SIGN = "  # our procedure differs"
"""What stands behind each line written here."""


def change_line(flow: str, item: str, **keys: str) -> str:
    """The override of `item` of `flow`, as one entry: what replaces its keys, or that it is none.

    Without `keys` the item does not exist in this house.
    """
    pairs = {"change" if keys else "remove": json.dumps(item, ensure_ascii=False), "flow": flow}
    inside = ", ".join(f"{key}: {value}" for key, value in {**pairs, **keys}.items())
    return f"- {{{inside}}}{SIGN}"


def holds(text: str, line: str) -> bool:
    """Whether the house file `text` has that entry."""
    return any(one.strip() == line for one in text.splitlines())


def with_change(text: str, line: str) -> str | None:
    """`text` of a house file with the entry `line` first among its changes.

    None where the changes are not written one to a line: then nothing is safe to put in.
    """
    if not _ANY_KEY.search(text):
        end = "" if not text or text.endswith("\n") else "\n"
        return f"{text}{end}\n{HEAD}  {line}\n"
    key = _KEY.search(text)
    if key is None:
        return None
    entry = _ENTRY.match(text, key.end()) or _ENTRY.search(text, key.end())
    indent = entry.group(1) if entry is not None else "  "
    return f"{text[: key.end()]}\n{indent}{line}{text[key.end() :]}"


def without_change(text: str, line: str) -> str:
    """`text` without that entry, and without the key put in for it if nothing else stands there."""
    kept = [one for one in text.splitlines(keepends=True) if one.strip() != line]
    return "".join(kept).removesuffix(f"\n{HEAD}")
