"""What holds for every measurement."""

from __future__ import annotations

import compileall
from pathlib import Path

import pytest

import trainer


@pytest.fixture(autouse=True, scope="package")
def bytecode() -> None:
    """Compile the program as an installed one is; the environment may forbid it to do so."""
    assert compileall.compile_dir(Path(trainer.__file__).parent, quiet=1)
