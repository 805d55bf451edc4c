"""Writes the configuration file: one setting at a time, everything else left as it stands.

Owns how a change gets into the file; what a setting may be is told by `settings`, which reads the
new text before it is written. Surprising rule: comments, order and blank lines of the user stay,
and a setting that is put back to what is usual is taken out of the file.
"""

from __future__ import annotations

from collections.abc import MutableMapping
from pathlib import Path
from typing import NamedTuple

from trainer.app.settings import Settings, parse
from trainer.errors import UserError
from trainer.report.output import replace_own


class Change(NamedTuple):
    """A setting by its name, of the table of keys where `is_key`; `value` None: as usual."""

    name: str
    value: str | bool | None
    is_key: bool = False


def changed(text: str, change: Change) -> str:
    """The TOML `text` with one setting changed; what it says of anything else stays."""
    import tomlkit

    document = tomlkit.parse(text)
    if not change.is_key:
        if change.value is None:
            document.pop(change.name, None)
        elif change.name in document:
            document[change.name] = change.value
        else:
            # At the very top: below a table it would belong to that table.
            return f"{tomlkit.dumps({change.name: change.value})}{text}"
        return tomlkit.dumps(document)
    keys = document.get("keys")
    if keys is None:
        if change.value is None:
            return text
        keys = document["keys"] = tomlkit.table()
    assert isinstance(keys, MutableMapping)
    if change.value is None:
        keys.pop(change.name, None)
    else:
        keys[change.name] = change.value
    return tomlkit.dumps(document)


def settle(path: Path, change: Change) -> Settings:
    """Write one change into the file at `path`; returns the settings as they now are.

    Raises UserError (FileProblems, with nothing written) if the file would not be right with it.
    """
    file = path.resolve()
    try:
        text = file.read_text(encoding="utf-8")
    except FileNotFoundError:
        text = ""
    except (OSError, UnicodeDecodeError) as error:
        raise UserError(f"{path}: cannot be read, so nothing was changed") from error
    new = changed(text, change)
    settings = parse(new, str(path))
    if new != text:
        replace_own(file, new)
    return settings
