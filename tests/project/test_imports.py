"""What a fresh interpreter has loaded after one statement: heavy libraries only where needed.

A command pays only for what it uses: the screen library costs more than most commands do.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.project.sources import ORDER, modules, package_of

HEAVY = ("textual", "rich", "transitions", "sqlite3", "yaml", "geographiclib", "platformdirs",
         "fsrs", "tomlkit")  # fmt: skip
PRESENT = {package_of(name) for name in modules()}
PACKAGES = [name for names in ORDER for name in names if name in PRESENT]


def loaded_after(statement: str, folder: Path) -> list[str]:
    """Which heavy libraries a fresh interpreter has loaded after `statement`."""
    program = (
        f"import sys\n{statement}\nimport json\n"
        f"print('\\n' + json.dumps([one for one in {HEAVY!r} if one in sys.modules]))"
    )
    done = subprocess.run(
        [sys.executable, "-W", "error", "-c", program],
        cwd=folder, env=os.environ, capture_output=True, text=True, check=True,
    )  # fmt: skip
    found: list[str] = json.loads(done.stdout.splitlines()[-1])
    return found


def submodules(package: str) -> str:
    """A statement that imports every module of a package."""
    names = [name for name in modules() if package_of(name) == package]
    return "; ".join(f"import trainer.{name}" for name in names)


@pytest.mark.parametrize("package", PACKAGES)
def test_a_package_loads_no_library_that_is_not_its_own(package: str, tmp_path: Path) -> None:
    found = loaded_after(submodules(package), tmp_path)
    assert ("textual" in found) == (package == "app")
    assert ("sqlite3" in found) == (package in ("records", "app"))
    assert ("fsrs" in found) == (package == "study")
    before_guidance = PACKAGES.index(package) < PACKAGES.index("guidance")
    assert not (before_guidance and "transitions" in found)
    if package in ("errors", "units", "text", "world", "guidance"):
        assert "yaml" not in found
    if package == "guidance":
        assert "transitions" in found


@pytest.mark.parametrize("arguments", [["--help"], ["--version"], ["check", "--help"],
                                       ["fly", "--help"], ["debrief", "--help"]])  # fmt: skip
def test_help_loads_nothing_heavy(arguments: list[str], tmp_path: Path) -> None:
    assert loaded_after(f"from trainer.cli.main import run; run({arguments!r})", tmp_path) == []


@pytest.mark.parametrize(
    ("arguments", "never"),
    [
        (["list"], ("textual", "rich", "transitions", "sqlite3")),
        (["list", "--keys"], ("textual", "rich", "sqlite3")),
        (["history"], ("textual", "rich", "transitions", "yaml")),
        (["schema"], ("textual", "rich", "transitions", "yaml", "sqlite3")),
        (["brief", "straight-in"], ("textual", "rich", "sqlite3")),
    ],
    ids=lambda value: "-".join(value),
)
def test_a_command_loads_only_what_it_uses(
    arguments: list[str], never: tuple[str, ...], tmp_path: Path
) -> None:
    found = loaded_after(f"from trainer.cli.main import run; run({arguments!r})", tmp_path)
    assert not set(found) & set(never), found


def test_a_flight_on_the_screen_loads_nothing_that_reads_files(tmp_path: Path) -> None:
    """A fork reads them while textual is imported (`app/ahead.py`)."""
    found = loaded_after(
        "import trainer.app.app, trainer.app.local, trainer.app.takeoff\n"
        "import trainer.app.screens.flight, trainer.app.ahead",
        tmp_path,
    )
    assert "textual" in found
    assert not {"yaml", "geographiclib"} & set(found)


def test_a_flight_does_load_the_state_machines(tmp_path: Path) -> None:
    found = loaded_after("import trainer.flight.flight", tmp_path)
    assert "transitions" in found
    assert "textual" not in found
