"""The command `check`: load, validate, fly the ends of the variation on paper, prove.

Owns the order of a check, its exit code and its JSON document; the words for people stand in
`proof.printing`, the judging in `proof.prove`. Surprising rule: an exercise that is flyable as it
is written but not at an end of its variation is a bad file, found before anything is flown.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

from trainer.errors import EXIT_JUDGED, EXIT_USAGE, FileProblems, Problem, UserError, sentence_of
from trainer.proof.printing import Printer, summary
from trainer.proof.prove import Flown, Proof, Reference, prove
from trainer.proof.timeline import Entry
from trainer.scenario.alone import check_alone, kind_of, unsaid
from trainer.scenario.compose import load
from trainer.scenario.ends import check_ends
from trainer.scenario.library import default_library
from trainer.text import NOTICE, quoted

Draw = Callable[[Reference], None]
"""What is done with the reference flight of each exercise besides."""


def check_command(
    paths: list[str], is_json: bool, jobs: int, limit: int, draw: Draw | None = None
) -> int:
    """Check every path; returns 0 proven, 1 valid but not proven, 2 invalid: the worst wins."""
    results: list[dict[str, Any]] = []
    proofs: list[Proof] = []
    worst = 0
    for path in paths:
        try:
            kind = _kind(path)
            if kind != "exercise":
                check_alone(Path(path), kind, default_library())
                results.append(_sound(path))
                if not is_json:
                    print(f"{path}: a valid {kind}; what is flown with it is proved by an exercise")
                    _print_unsaid(path, kind)
                continue
            exercise = load(path, default_library())
            check_ends(exercise, default_library().exercise_path(path))
        except UserError as error:
            worst = EXIT_USAGE
            results.append(_invalid(path, error))
            if not is_json:
                print(error, file=sys.stderr)
            continue
        printer = Printer(path, not is_json)
        try:
            proof = prove(exercise, limit, jobs, printer)
        except KeyboardInterrupt:
            printer.interrupted()
            raise
        finally:
            printer.close()
        proofs.append(proof)
        if draw is not None:
            draw(proof.reference)
        if not is_json:
            print("\n".join(summary(path, proof)))
        if not proof.is_proven:
            worst = max(worst, EXIT_JUDGED)
        results.append(_valid(path, proof))
    _conclude(results, proofs, is_json)
    return worst


def _print_unsaid(path: str, kind: str) -> None:
    """Say which flows a house cannot be flown with, because it has no words for their calls."""
    if kind != "house":
        return
    for flow, calls in unsaid(Path(path), default_library()).items():
        names = sentence_of([quoted(call) for call in calls], 4)
        print(f"  no words for {names}, which the flow {flow} says: not to be flown with it")


def _conclude(results: list[dict[str, Any]], proofs: list[Proof], is_json: bool) -> None:
    given = right = tried = exact = 0
    for proof in proofs:
        given += proof.given
        right += proof.right
        tried += len(proof.applicable)
        exact += proof.exact
    precision = right / given if given else 1.0
    recall = right / tried if tried else 1.0
    if is_json:
        document = {
            "format": "approach-drill/check",
            "version": 1,
            "notice": NOTICE,
            "results": results,
            "precision": precision,
            "recall": recall,
        }
        print(json.dumps(document, indent=2, ensure_ascii=False))
    elif tried:
        print(f"{exact} of {tried} mutants exact; precision {precision:.3f}, recall {recall:.3f}")


def _kind(path: str) -> str:
    """What kind of file a path means; a name means an exercise."""
    return kind_of(Path(path)) if path.endswith(".yaml") else "exercise"


# The document ----------------------------------------------------------------------------------


def _valid(path: str, proof: Proof) -> dict[str, Any]:
    reference, plan = proof.reference, proof.plan
    load = reference.workload
    return {
        "path": path,
        "valid": True,
        "proven": proof.is_proven,
        "problems": [],
        "perfect_points": reference.flown.points,
        "flights": plan.flights,
        "judged_without_flying": plan.spoken,
        "mutants": {
            "tried": len(proof.applicable),
            "exact": proof.exact,
            "not_applicable": len(proof.not_applicable),
            "untried": plan.untried,
        },
        "timeline": [_entry(entry) for entry in reference.timeline],
        "workload": None
        if load is None
        else {
            "from_s": load.start / 10.0,
            "busy_s": round(load.busy_s, 1),
            "distance_nm": round(load.distance_nm, 2),
            "acts": list(load.acts),
        },
        "matrix": [
            {
                "mutant": one.mutant.name,
                "item": one.mutant.item,
                "expected": one.mutant.verdict,
                "exact": one.is_exact,
            }
            for one in proof.applicable
        ],
        "imperfect": [_flown(one) for one in proof.imperfect],
        "other_crews": [_flown(one) for one in proof.others],
        "misjudged": [
            {"mutant": one.mutant.name, "found": [list(finding) for finding in one.found]}
            for one in proof.applicable
            if not one.is_exact
        ],
        "not_applicable": [
            {"mutation": one.name, "reason": one.reason} for one in proof.not_applicable
        ],
    }


def _flown(flown: Flown) -> dict[str, Any]:
    return {
        "drawn": flown.label,
        "points": flown.points,
        "found": [list(finding) for finding in flown.findings],
        "due_before_open": list(flown.squeezed),
    }


def _entry(entry: Entry) -> dict[str, Any]:
    return {
        "item": entry.item,
        "opened_s": _seconds(entry.opened),
        "aim_s": _seconds(entry.aim),
        "done_s": _seconds(entry.done),
        "due_s": _seconds(entry.due),
        "closes_s": _seconds(entry.closes),
        "margin_s": _seconds(entry.margin),
        "distance_nm": round(entry.distance_nm, 2),
        "altitude_ft": round(entry.altitude_ft),
    }


def _seconds(steps: int | None) -> float | None:
    return None if steps is None else steps / 10.0


def _sound(path: str) -> dict[str, Any]:
    """A valid file that is no exercise: it has nothing of its own to prove."""
    return {**_invalid(path, FileProblems(())), "valid": True}


def _invalid(path: str, error: UserError) -> dict[str, Any]:
    problems: tuple[Problem, ...] = (Problem(path, 0, 0, str(error)),)
    if isinstance(error, FileProblems):
        problems = error.problems
    return {
        "path": path,
        "valid": False,
        "proven": False,
        "problems": [
            {"file": one.file, "line": one.line, "column": one.column, "message": one.message}
            for one in problems
        ],
        "perfect_points": None,
        "mutants": {"tried": 0, "exact": 0, "not_applicable": 0, "untried": 0},
        "misjudged": [],
    }
