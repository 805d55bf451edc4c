"""Every test runs with an empty home, in UTC, without colour settings and without animation.

The environment is set when pytest starts, before anything of the program is imported, because
some libraries read it only then. Programs that tests start inherit it.
"""

from __future__ import annotations

import os
import shutil
import tempfile
from pathlib import Path

import pytest

_HOME = Path(tempfile.mkdtemp(prefix="approach-drill-home-"))
_FOLDERS = {
    "HOME": "",
    "XDG_DATA_HOME": "data",
    "XDG_CONFIG_HOME": "config",
    "XDG_CACHE_HOME": "cache",
    "XDG_STATE_HOME": "state",
}
_UNSET = (
    "NO_COLOR", "FORCE_COLOR", "CLICOLOR", "CLICOLOR_FORCE", "COLORTERM", "COLUMNS", "LINES",
    "TEXTUAL", "TEXTUAL_THEME", "PYTHONWARNINGS", "APPROACH_DRILL_TRACEBACK",
)  # fmt: skip


def _settle_environment() -> None:
    for name, folder in _FOLDERS.items():
        os.environ[name] = str(_HOME / folder)
    for name in _UNSET:
        os.environ.pop(name, None)
    os.environ["TZ"] = "UTC"
    os.environ["TERM"] = "xterm-256color"
    os.environ["LC_ALL"] = "C.UTF-8"
    os.environ["TEXTUAL_ANIMATIONS"] = "none"


_settle_environment()


def pytest_unconfigure() -> None:
    """Take the empty home away again."""
    shutil.rmtree(_HOME, ignore_errors=True)


def pytest_make_parametrize_id(val: object) -> str | None:
    """Names of tests are the same in every worker: a process number in one would not be."""
    if isinstance(val, str) and val.startswith(f"{os.getpid()}:"):
        return val.replace(str(os.getpid()), "own", 1)
    return None


@pytest.fixture
def empty_home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A home of this test alone, for tests that keep attempts."""
    for name, folder in _FOLDERS.items():
        monkeypatch.setenv(name, str(tmp_path / folder))
    return tmp_path
