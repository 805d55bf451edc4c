"""An attempt written to a file from inside the app, where nobody types a name.

Owns the name and the place. It never replaces a file: the next free name is taken.
"""

from __future__ import annotations

from pathlib import Path

from trainer.records.attempt_file import SUFFIX, attempt_text
from trainer.records.stored import Stored
from trainer.report.output import OutputError, write_output

NAMES_MAX = 1000
"""So many files of one attempt may lie in one folder."""


def write_attempt(stored: Stored, *folders: Path) -> str:
    """Write `stored` into the folder, or else the user's home; says where, or why not."""
    text = attempt_text(stored)
    why = ""
    for folder in (*folders, Path.home()):
        try:
            path = _free(folder, f"{stored.exercise}-{stored.number}")
            write_output(path, text)
        except OutputError as error:
            why = str(error)
        else:
            return f"written: {path}"
    return why


def _free(folder: Path, stem: str) -> Path:
    stem = "".join(sign if sign.isalnum() or sign in "-_" else "-" for sign in stem)
    for number in range(1, NAMES_MAX):
        mark = "" if number == 1 else f"-{number}"
        path = folder / f"{stem}{mark}{SUFFIX}"
        if not path.exists():
            return path
    raise OutputError(f"{folder}: it holds {NAMES_MAX} files of this attempt already")
