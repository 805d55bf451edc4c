"""The command `check`: load, validate, prove, and say so as it goes.

Prints for people or as JSON; the judging itself is in `proof.prove`.
"""

from __future__ import annotations

import json
import sys
import time
from pathlib import Path
from typing import Any

from trainer.errors import EXIT_JUDGED, EXIT_USAGE, FileProblems
from trainer.proof.prove import Proof, prove
from trainer.scenario.alone import check_alone, kind_of
from trainer.scenario.compose import load
from trainer.scenario.library import default_library


def check_command(paths: list[str], is_json: bool, jobs: int, limit: int) -> int:
    """Check every path; returns 0 proven, 1 valid but not proven, 2 invalid: the worst wins."""
    results: list[dict[str, Any]] = []
    worst = 0
    given = right = tried = exact = 0
    for path in paths:
        try:
            kind = _kind(path)
            if kind != "exercise":
                check_alone(Path(path), kind, default_library())
                results.append(_sound(path))
                if not is_json:
                    print(f"{path}: a valid {kind}; what is flown with it is proved by an exercise")
                continue
            exercise = load(path, default_library())
        except FileProblems as problems:
            worst = EXIT_USAGE
            results.append(_invalid(path, problems))
            if not is_json:
                print(problems, file=sys.stderr)
            continue
        bar = None if is_json else _Bar(path)
        proof = prove(exercise, limit, jobs, bar)
        if not is_json:
            _print(path, proof)
        if not proof.is_proven:
            worst = max(worst, EXIT_JUDGED)
        given += proof.given
        right += proof.right
        tried += len(proof.applicable)
        exact += proof.exact
        results.append(_valid(path, proof))
    precision = right / given if given else 1.0
    recall = right / tried if tried else 1.0
    if is_json:
        document = {
            "format": "approach-drill/check",
            "version": 1,
            "results": results,
            "precision": precision,
            "recall": recall,
        }
        print(json.dumps(document, indent=2, ensure_ascii=False))
    elif tried:
        print(f"{exact} of {tried} mutants exact; precision {precision:.3f}, recall {recall:.3f}")
    return worst


def _kind(path: str) -> str:
    """What kind of file a path means; a name means an exercise."""
    return kind_of(Path(path)) if path.endswith(".yaml") else "exercise"


class _Bar:
    """Progress on standard error, with an estimate of what is left."""

    def __init__(self, path: str) -> None:
        self._path = path
        self._since = time.monotonic()

    def __call__(self, done: int, total: int) -> None:
        if not sys.stderr.isatty():
            if done == 0:
                print(f"{self._path}: {total} flights", file=sys.stderr)
            return
        spent = time.monotonic() - self._since
        left = spent / done * (total - done) if done else 0.0
        filled = 30 * done // max(total, 1)
        bar = "#" * filled + "." * (30 - filled)
        end = "\n" if done == total else "\r"
        text = f"{self._path} [{bar}] {done}/{total} flights, {left:.0f} s left "
        print(text, end=end, file=sys.stderr, flush=True)


def _print(path: str, proof: Proof) -> None:
    points = "none" if proof.perfect_points is None else f"{proof.perfect_points:.1f}"
    print(f"{path}: perfect crew {points} points", end="")
    for item, verdict in proof.perfect_findings:
        print(f"; {item}: {verdict}", end="")
    print(f"; {proof.exact} of {len(proof.applicable)} mutants found as exactly themselves")
    for result in proof.applicable:
        if not result.is_exact:
            found = ", ".join(f"{item}: {verdict}" for item, verdict in result.found) or "nothing"
            print(f"  {result.mutant.name}: found {found}")
    for label, findings in proof.imperfect:
        found = ", ".join(f"{item}: {verdict}" for item, verdict in findings) or "fewer points"
        print(f"  the perfect crew at {label}: {found}")
    if not proof.is_complete:
        print("  not every mutant was tried: nothing is proven by a part of them")
    if proof.not_applicable:
        print(
            f"  {len(proof.not_applicable)} mutations have no meaning here (for example a wrong "
            "value of a button); listed with --json"
        )


def _valid(path: str, proof: Proof) -> dict[str, Any]:
    return {
        "path": path,
        "valid": True,
        "proven": proof.is_proven,
        "problems": [],
        "perfect_points": proof.perfect_points,
        "mutants": {
            "tried": len(proof.applicable),
            "exact": proof.exact,
            "not_applicable": len(proof.not_applicable),
        },
        "imperfect": [
            {"drawn": label, "found": [list(finding) for finding in findings]}
            for label, findings in proof.imperfect
        ],
        "misjudged": [
            {"mutant": one.mutant.name, "found": [list(finding) for finding in one.found]}
            for one in proof.applicable
            if not one.is_exact
        ],
        "not_applicable": [
            {"mutation": one.name, "reason": one.reason} for one in proof.not_applicable
        ],
    }


def _sound(path: str) -> dict[str, Any]:
    """A valid file that is no exercise: it has nothing of its own to prove."""
    return {**_invalid(path, FileProblems(())), "valid": True}


def _invalid(path: str, problems: FileProblems) -> dict[str, Any]:
    return {
        "path": path,
        "valid": False,
        "proven": False,
        "problems": [
            {"file": one.file, "line": one.line, "column": one.column, "message": one.message}
            for one in problems.problems
        ],
        "perfect_points": None,
        "mutants": {"tried": 0, "exact": 0, "not_applicable": 0},
        "misjudged": [],
    }
