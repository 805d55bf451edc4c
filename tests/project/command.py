"""Runs the command as users do: in this process, or where that matters in one of its own."""

from __future__ import annotations

import contextlib
import io
import json
import os
import subprocess
import sys
from collections.abc import Mapping
from pathlib import Path
from subprocess import CompletedProcess
from typing import Any

from trainer.cli import main

COMMAND = [sys.executable, "-W", "error", "-m", "trainer"]


def run(*arguments: str, folder: Path | None = None) -> CompletedProcess[str]:
    """The command as its entry runs it, in the environment of the tests and `folder`."""
    out, talk = io.StringIO(), io.StringIO()
    with (
        contextlib.chdir(folder or Path.cwd()),
        contextlib.redirect_stdout(out),
        contextlib.redirect_stderr(talk),
    ):
        code = main.run(arguments)
    return CompletedProcess(arguments, code, out.getvalue(), talk.getvalue())


def start(
    *arguments: str, folder: Path | None = None, environment: Mapping[str, str] | None = None
) -> CompletedProcess[str]:
    """The command after it has ended as a process of its own; some 0.2 s dearer than `run`."""
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
