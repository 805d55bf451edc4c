"""The program's own source as syntax trees, and what a reader of them can tell.

Used by the tests of the architecture. Every check takes a tree, so that a test can show it one
that is wrong.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator
from functools import cache
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PACKAGE = ROOT / "trainer"

ORDER = (
    ("errors", "units", "paths", "text", "values", "garbage"),
    ("world",),
    ("scenario",),
    ("guidance",),
    ("flight",),
    ("judge",),
    ("crew",),
    ("proof",),
    ("briefing",),
    ("study",),
    ("records",),
    ("report",),
    ("app",),
    ("cli",),
)
"""Each may import what stands before it, and its own kind."""

PURE = ("world", "scenario", "guidance", "flight", "judge", "crew", "proof", "briefing", "study")
"""Packages that read no clock, no file, no environment and no random source."""


@cache
def modules() -> dict[str, ast.Module]:
    """Every module of the package by its dotted name without `trainer.`, as a tree."""
    found = {}
    for path in sorted(PACKAGE.rglob("*.py")):
        parts = path.relative_to(PACKAGE).with_suffix("").parts
        name = ".".join(parts[:-1] if parts[-1] == "__init__" else parts)
        found[name] = ast.parse(path.read_text(encoding="utf-8"), str(path))
    return found


def package_of(module: str) -> str:
    """The first part of a module name, "" for the package itself."""
    return module.split(".")[0]


def rank(package: str) -> int:
    """The place of a package in the order of imports. Raises KeyError if it has none."""
    for place, names in enumerate(ORDER):
        if package in names:
            return place
    raise KeyError(package)


def imports(tree: ast.Module) -> Iterator[tuple[int, str]]:
    """Every import, at whatever depth, as (line, dotted name)."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            for alias in node.names:
                yield node.lineno, alias.name
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, "imports are absolute"
            assert node.module is not None
            for alias in node.names:
                yield node.lineno, f"{node.module}.{alias.name}"


def own_imports(tree: ast.Module) -> Iterator[tuple[int, str]]:
    """Imports of this program, as (line, dotted name without `trainer.`)."""
    for line, name in imports(tree):
        own = name.removeprefix("trainer.")
        # `from trainer import ENGINE` and the like: values of the package itself.
        if name.startswith("trainer.") and not own.isupper() and not own.startswith("__"):
            yield line, own


CLOCKS = ("time", "datetime", "random", "secrets", "uuid", "tempfile", "socket", "threading")
_WORLDLY = ("os.environ", "os.getenv", "os.urandom", "sys.stdin", "sys.argv")
_FILE_METHODS = (
    "read_text", "read_bytes", "write_text", "write_bytes", "exists", "is_file", "is_dir",
    "iterdir", "glob", "rglob", "stat", "mkdir", "unlink", "cwd", "home", "expanduser",
)  # fmt: skip


_ORDERLESS = ("any", "all", "sorted", "set", "frozenset", "len", "min", "max")
"""What takes its argument in any order and gives the same."""


def impurities(tree: ast.Module) -> list[str]:
    """What makes a module depend on more than its inputs, as "line: what", as far as told."""
    found = []
    for line, name in imports(tree):
        if name.split(".")[0] in CLOCKS:
            found.append((line, f"imports {name}"))
    for node in ast.walk(tree):
        if isinstance(node, ast.Call):
            found += _impure_call(node)
        elif isinstance(node, ast.Attribute) and ast.unparse(node) in _WORLDLY:
            found.append((node.lineno, f"reads {ast.unparse(node)}"))
    for scope in _scopes(tree):
        sets = _set_names(scope)
        for iterated in _iterated(scope):
            if _is_set(iterated, sets):
                found.append((iterated.lineno, f"iterates over a set: {ast.unparse(iterated)}"))
    return [f"{line}: {what}" for line, what in sorted(set(found))]


def _impure_call(node: ast.Call) -> list[tuple[int, str]]:
    if isinstance(node.func, ast.Name) and node.func.id in ("open", "hash", "sum", "input", "id"):
        if node.func.id == "sum" and _counts(node.args[0]):
            return []
        return [(node.lineno, f"calls {node.func.id}()")]
    if isinstance(node.func, ast.Attribute) and node.func.attr in _FILE_METHODS:
        return [(node.lineno, f"calls .{node.func.attr}()")]
    return []


def _counts(node: ast.expr) -> bool:
    """Whether a sum is plainly one of whole numbers: lengths and literals."""
    if isinstance(node, ast.GeneratorExp | ast.ListComp):
        return _counts(node.elt)
    if isinstance(node, ast.BinOp):
        return _counts(node.left) and _counts(node.right)
    if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
        return node.func.id == "len"
    return isinstance(node, ast.Constant) and isinstance(node.value, int)


def _scopes(tree: ast.Module) -> list[list[ast.AST]]:
    """The nodes of the module outside functions, then those of each outermost function."""
    outside: list[ast.AST] = []
    functions: list[ast.AST] = []
    waiting: list[ast.AST] = [tree]
    while waiting:
        for child in ast.iter_child_nodes(waiting.pop()):
            if isinstance(child, ast.FunctionDef | ast.AsyncFunctionDef):
                functions.append(child)
            else:
                outside.append(child)
                waiting.append(child)
    return [outside, *([*ast.walk(one)] for one in functions)]


def _iterated(scope: list[ast.AST]) -> list[ast.expr]:
    """What is gone through one by one where the order could matter."""
    orderless = {
        id(node.args[0])
        for node in scope
        if _is_call_of(node, _ORDERLESS) and isinstance(node, ast.Call)
    }
    found = []
    for node in scope:
        if isinstance(node, ast.For):
            found.append(node.iter)
        elif isinstance(node, ast.ListComp | ast.GeneratorExp | ast.DictComp):
            if id(node) not in orderless:
                found += [one.iter for one in node.generators]
        elif _is_call_of(node, ("list", "tuple", "enumerate", "iter")):
            assert isinstance(node, ast.Call)
            found.append(node.args[0])
    return found


def _is_call_of(node: ast.AST, names: tuple[str, ...]) -> bool:
    return (
        isinstance(node, ast.Call)
        and isinstance(node.func, ast.Name)
        and node.func.id in names
        and bool(node.args)
    )


def _is_set(node: ast.expr, names: frozenset[str]) -> bool:
    if isinstance(node, ast.Set | ast.SetComp):
        return True
    if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
        return node.func.id in ("set", "frozenset")
    if isinstance(node, ast.BinOp):
        return _is_set(node.left, names) or _is_set(node.right, names)
    return isinstance(node, ast.Name) and node.id in names


def _set_names(scope: list[ast.AST]) -> frozenset[str]:
    """Names that are given a set in this scope and never anything else."""
    given: dict[str, list[bool]] = {}
    for node in scope:
        if isinstance(node, ast.Assign):
            for target in node.targets:
                if isinstance(target, ast.Name):
                    given.setdefault(target.id, []).append(_is_set(node.value, frozenset()))
        elif isinstance(node, ast.AnnAssign) and isinstance(node.target, ast.Name):
            is_set = ast.unparse(node.annotation).startswith(("set[", "frozenset["))
            given.setdefault(node.target.id, []).append(is_set)
    return frozenset(name for name, kinds in given.items() if all(kinds))
