"""What is shipped: the wheel holds every file the program reads, and nothing that is only ours."""

from __future__ import annotations

import os
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

from tests.project.command import start as run
from tests.project.sources import ROOT
from trainer import __version__, paths


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The wheel, built as an installer would build it."""
    folder = tmp_path_factory.mktemp("wheel")
    subprocess.run(
        [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(folder)],
        cwd=ROOT, check=True, capture_output=True,
    )  # fmt: skip
    (found,) = folder.glob("*.whl")
    return found


def names_in(wheel: Path) -> set[str]:
    with zipfile.ZipFile(wheel) as archive:
        return set(archive.namelist())


def test_the_wheel_holds_every_module_stylesheet_and_scenario(wheel: Path) -> None:
    names = names_in(wheel)
    own = [*(ROOT / "trainer").rglob("*.py"), *(ROOT / "trainer").rglob("*.tcss")]
    expected = {path.relative_to(ROOT).as_posix() for path in own}
    scenarios = (ROOT / "scenarios").rglob("*.yaml")
    expected |= {f"trainer/{path.relative_to(ROOT).as_posix()}" for path in scenarios}
    expected |= {"trainer/docs/glossary.md", "trainer/docs/screens.md"}
    assert any(name.endswith(".tcss") for name in expected)
    assert any(name.endswith(".yaml") for name in expected)
    assert expected <= names


def test_the_wheel_holds_nothing_else(wheel: Path) -> None:
    about = f"approach_drill-{__version__}.dist-info/"
    for name in names_in(wheel):
        assert name.startswith(("trainer/", about)), name
        assert "test" not in name.lower(), name
        assert "__pycache__" not in name, name
        assert name.startswith(about) or name.endswith((".py", ".tcss", ".yaml", ".md")), name


def test_the_wheel_says_what_it_is(wheel: Path) -> None:
    about = f"approach_drill-{__version__}.dist-info"
    with zipfile.ZipFile(wheel) as archive:
        metadata = archive.read(f"{about}/METADATA").decode()
        entries = archive.read(f"{about}/entry_points.txt").decode()
    assert "Requires-Python: >=3.11" in metadata
    assert "not for navigation or real flight" in metadata  # the README is the description
    assert "approach-drill = trainer.__main__:main" in entries


def test_what_is_in_the_wheel_finds_its_own_scenarios(wheel: Path, tmp_path: Path) -> None:
    with zipfile.ZipFile(wheel) as archive:
        archive.extractall(tmp_path / "site")
    environment = {**os.environ, "PYTHONPATH": str(tmp_path / "site")}
    done = run("list", "--json", folder=tmp_path, environment=environment)
    assert done.returncode == 0, done.stderr
    assert str(tmp_path / "site" / "trainer" / "scenarios") in done.stdout
    assert str(ROOT / "scenarios") not in done.stdout


def test_beside_a_checkout_the_scenarios_are_those_of_the_checkout() -> None:
    assert paths.built_in_scenarios() == ROOT / "scenarios"


@pytest.mark.long
def test_the_wheel_installs_into_an_empty_environment_and_flies(
    wheel: Path, tmp_path: Path
) -> None:
    subprocess.run([sys.executable, "-m", "venv", str(tmp_path / "venv")], check=True)
    python = tmp_path / "venv" / "bin" / "python"
    subprocess.run([python, "-m", "pip", "install", "-q", str(wheel)], check=True, cwd=tmp_path)
    command = tmp_path / "venv" / "bin" / "approach-drill"
    done = subprocess.run(
        [command, "fly", "straight-in", "--crew", "perfect"],
        cwd=tmp_path, capture_output=True, text=True, check=True,
    )  # fmt: skip
    assert "Passed with 100.0 points" in done.stdout
