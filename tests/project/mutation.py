"""Are the tests tested? Changes one thing in a module and asks whether a test notices.

    python -m tests.project.mutation trainer/judge/gates.py --sample 40 --seed 1

`--data` is a coverage file with a context for each test, `--times` the JUnit file of the same run
(docs/tested-tests.md has the commands).

Changes comparisons, boundaries, and/or, `not`, signs, constants and returned truth values. Each
change is tried in a fork that has everything below the module imported already, first with the
tests that reach the changed line, quickest first; what survives them meets whole `--tests`.
"""

from __future__ import annotations

import argparse
import ast
import copy
import importlib
import os
import random
import signal
import sys
from collections.abc import Iterator
from importlib.machinery import ModuleSpec, SourceFileLoader
from pathlib import Path
from types import CodeType
from xml.etree import ElementTree

import pytest

TIMEOUT_S = 120
QUICK_S = 8.0
"""Time the first round of tests may take together, s."""
WARM = (
    "hypothesis", "pytest_asyncio.plugin", "unittest.mock", "xml.etree.ElementTree",
    "trainer.scenario.library", "trainer.guidance.guidance", "trainer.flight.flight",
)  # fmt: skip
"""What everything here stands on, imported once; left out where it would import the module."""
PYTEST = (
    "-x", "-q", "-p", "no:cacheprovider", "-p", "no:xdist",
    "-W", "ignore::pytest.PytestAssertRewriteWarning",
)  # fmt: skip
COMPARISONS: dict[type[ast.cmpop], tuple[type[ast.cmpop], ...]] = {
    ast.Lt: (ast.LtE, ast.GtE),
    ast.LtE: (ast.Lt, ast.Gt),
    ast.Gt: (ast.GtE, ast.LtE),
    ast.GtE: (ast.Gt, ast.Lt),
    ast.Eq: (ast.NotEq,),
    ast.NotEq: (ast.Eq,),
    ast.Is: (ast.IsNot,),
    ast.IsNot: (ast.Is,),
    ast.In: (ast.NotIn,),
    ast.NotIn: (ast.In,),
}
OPERATORS: dict[type[ast.operator], type[ast.operator]] = {
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.Div,
    ast.Div: ast.Mult,
}


def others(node: ast.AST) -> Iterator[ast.AST]:
    """What `node` is changed to, one thing at a time."""
    match node:
        case ast.Compare(left, [operator], rest):
            for other in COMPARISONS[type(operator)]:
                yield ast.Compare(left, [other()], rest)
        case ast.Compare(left, [first, second], rest):
            for other in COMPARISONS[type(first)][:1]:
                yield ast.Compare(left, [other(), second], rest)
            for other in COMPARISONS[type(second)][:1]:
                yield ast.Compare(left, [first, other()], rest)
        case ast.BoolOp(operator, values):
            yield ast.BoolOp(ast.Or() if isinstance(operator, ast.And) else ast.And(), values)
            for left_out in range(len(values)):
                kept = values[:left_out] + values[left_out + 1 :]
                yield kept[0] if len(kept) == 1 else ast.BoolOp(operator, kept)
        case ast.UnaryOp(ast.Not() | ast.USub(), inner):
            yield inner
        case ast.Constant(bool(value)):
            yield ast.Constant(not value)
        case ast.Constant(int(value) | float(value)):
            yield ast.Constant(value + 1)
        case ast.BinOp(left, operator, right) if type(operator) in OPERATORS:
            yield ast.BinOp(left, OPERATORS[type(operator)](), right)
        case ast.IfExp(test, body, orelse):
            yield ast.IfExp(ast.UnaryOp(ast.Not(), test), body, orelse)
        case ast.Continue():
            yield ast.Break()


def mutants(source: str) -> list[tuple[int, str, ast.Module]]:
    """Every change of `source`: its line, what it is, and the changed module."""
    tree = ast.parse(source)
    left_out = {
        id(below)
        for node in ast.walk(tree)
        if isinstance(node, ast.Assert | ast.Raise)
        or (isinstance(node, ast.Call) and ast.unparse(node.func) == "dataclass")
        for below in ast.walk(node)
    }
    found: list[tuple[int, str, ast.Module]] = []
    for place, node in enumerate(ast.walk(tree)):
        if id(node) in left_out:
            continue
        for other in others(node):
            changed = copy.deepcopy(tree)
            target = next(one for at, one in enumerate(ast.walk(changed)) if at == place)
            ast.copy_location(other, target)
            replaced = _Replace(target, other).visit(changed)
            told = f"{ast.unparse(node)}  ->  {ast.unparse(other)}"
            line: int = getattr(node, "lineno", 0)
            assert isinstance(replaced, ast.Module)
            found.append((line, told, ast.fix_missing_locations(replaced)))
    return sorted(found, key=lambda one: one[:2])


class _Replace(ast.NodeTransformer):
    def __init__(self, target: ast.AST, other: ast.AST) -> None:
        self.target, self.other = target, other

    def visit(self, node: ast.AST) -> ast.AST:
        return self.other if node is self.target else self.generic_visit(node)


class _Changed(SourceFileLoader):
    """Loads the module under test from its changed tree."""

    tree: ast.Module

    def get_code(self, fullname: str) -> CodeType:
        return compile(self.tree, self.path, "exec", dont_inherit=True)


class _Finder:
    def __init__(self, name: str, path: str, tree: ast.Module) -> None:
        self.name, self.path, self.tree = name, path, tree

    def find_spec(self, name: str, *_: object) -> ModuleSpec | None:
        if name != self.name:
            return None
        loader = _Changed(name, self.path)
        loader.tree = self.tree
        return importlib.util.spec_from_file_location(name, self.path, loader=loader)


def survives(name: str, path: str, tree: ast.Module, tests: list[str]) -> bool:
    """Whether all `tests` pass with the changed module; a crash or the timeout is a failure."""
    child = os.fork()
    if child == 0:
        signal.alarm(TIMEOUT_S)
        sink = os.open(os.devnull, os.O_WRONLY)
        os.dup2(sink, 1)
        os.dup2(sink, 2)
        sys.meta_path.insert(0, _Finder(name, path, tree))
        code = 1
        try:
            code = pytest.main([*PYTEST, *tests])
        finally:
            os._exit(int(code))
    return os.waitpid(child, 0)[1] == 0


def times(path: str) -> dict[str, float]:
    """How long each test took (s), by dotted name, from a JUnit file; parameters added up."""
    taken: dict[str, float] = {}
    for case in ElementTree.parse(path).iter("testcase"):
        name = f"{case.get('classname')}.{(case.get('name') or '').split('[')[0]}"
        taken[name] = taken.get(name, 0.0) + float(case.get("time") or 0.0)
    return taken


def reaching(path: str, data: str, taken: dict[str, float]) -> dict[int, list[str]]:
    """The tests that reach each line of `path`, quickest first, as far as time allows."""
    coverage = importlib.import_module("coverage")
    reader = coverage.CoverageData(data)
    reader.read()
    measured = next(one for one in reader.measured_files() if one.endswith(path))
    lines: dict[int, list[str]] = {}
    for line, contexts in reader.contexts_by_lineno(measured).items():
        lines[line] = []
        left_s = QUICK_S
        for one in sorted(taken.keys() & set(contexts), key=lambda name: taken[name]):
            left_s -= taken[one]
            if left_s < 0.0:
                break
            file, _, function = one.rpartition(".")
            lines[line].append(f"{file.replace('.', '/')}.py::{function}")
    return lines


def main() -> None:
    """Try the changes of one module, and print those that no test noticed."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("module")
    parser.add_argument("--tests", nargs="+", default=["tests/judge"])
    parser.add_argument("--data", default=".coverage")
    parser.add_argument("--times", default="times.xml")
    parser.add_argument("--sample", type=int, default=0, help="how many changes (0: all)")
    parser.add_argument("--seed", type=int, default=1)
    chosen = parser.parse_args()
    path: str = chosen.module
    name = path.removesuffix(".py").replace("/", ".")
    every = mutants(Path(path).read_text())
    tried = every
    if 0 < chosen.sample < len(every):
        tried = sorted(
            random.Random(chosen.seed).sample(every, chosen.sample), key=lambda one: one[:2]
        )
    lines = reaching(path, chosen.data, times(chosen.times))
    for below in WARM:
        if not name.startswith(below.rsplit(".", 1)[0]):
            importlib.import_module(below)
    assert name not in sys.modules, "the changed module must not be imported yet"
    if not survives(name, path, ast.parse(Path(path).read_text()), chosen.tests):
        parser.error("the tests fail, or take too long, before anything is changed")
    survived = 0
    for line, told, tree in tried:
        quick = lines.get(line, [])
        if quick and not survives(name, path, tree, quick):
            continue
        if survives(name, path, tree, chosen.tests):
            survived += 1
            print(f"{path}:{line}: {told}", flush=True)
    print(f"{path}: {len(tried)} of {len(every)} changes tried, {survived} survived", flush=True)


if __name__ == "__main__":
    main()
