"""Writing an export: never over something else by accident, never half.

Owns the one way in which this program writes a file for the user. Surprising rule: the new text
is complete beside the old file before it takes its place, so that a crash leaves the old one.
"""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

from trainer.errors import UserError
from trainer.text import shown


class OutputError(UserError):
    """The file was not written; the text says why."""


def write_output(path: Path, text: str, is_forced: bool = False) -> None:
    """Write `text` (UTF-8, line ends as they are) to `path`.

    Raises:
        OutputError: the file exists and `is_forced` is not given, or cannot be written.
    """
    name = shown(str(path))
    if path.is_dir():
        raise OutputError(f"{name}: is a folder; give the name of a file")
    if os.path.lexists(path) and not is_forced:
        raise OutputError(f"{name}: exists already; --force replaces it")
    beside: Path | None = None
    try:
        handle, made = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name[:50]}.")
        beside = Path(made)
        with open(handle, "w", encoding="utf-8", errors="replace", newline="") as file:
            file.write(text)
            file.flush()
            os.fsync(file.fileno())
        beside.chmod(0o666 & ~_umask())
        if is_forced:
            os.replace(beside, path)
        else:
            _take_place(beside, path)
    except FileExistsError as error:
        raise OutputError(f"{name}: exists already; --force replaces it") from error
    except OSError as error:
        raise OutputError(f"{name}: not written ({error.strerror})") from error
    finally:
        if beside is not None:
            beside.unlink(missing_ok=True)


def replace_own(path: Path, text: str) -> None:
    """Write a file of this user's own folders, which are made, over what it was.

    Raises OutputError.
    """
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise OutputError(f"{shown(str(path.parent))}: {error.strerror}") from error
    write_output(path, text, is_forced=True)


def _take_place(beside: Path, path: Path) -> None:
    """Give the finished file its name, unless somebody took the name in the meantime."""
    try:
        os.link(beside, path)
    except FileExistsError:
        raise
    except OSError:
        # The file system knows no links: a look and a rename are the best there is.
        if os.path.lexists(path):
            raise FileExistsError from None
        os.replace(beside, path)


def _umask() -> int:
    mask = os.umask(0o077)
    os.umask(mask)
    return mask
