"""Runs the command as users do: a process of its own, an empty home, another folder."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import Any

COMMAND = [sys.executable, "-W", "error", "-m", "trainer"]


def run(
    *arguments: str, folder: Path | None = None, environment: Mapping[str, str] | None = None
) -> subprocess.CompletedProcess[str]:
    """The finished command; its environment is the tests' own unless given."""
    return subprocess.run(
        [*COMMAND, *arguments],
        cwd=folder,
        env=dict(os.environ if environment is None else environment),
        capture_output=True,
        text=True,
        encoding="utf-8",
    )


def document(*arguments: str, code: int = 0) -> dict[str, Any]:
    """The JSON that a command prints; it must end with `code` and say nothing else."""
    done = run(*arguments)
    assert done.returncode == code, done.stderr
    found = json.loads(done.stdout)
    assert isinstance(found, dict)
    return found
