"""The order of imports, who may use which library, and what keeps a flight repeatable."""

from __future__ import annotations

import ast

import pytest

from tests.project.sources import (
    ORDER,
    PACKAGE,
    PURE,
    imports,
    impurities,
    modules,
    own_imports,
    package_of,
    rank,
)

MODULES = sorted(name for name in modules() if name)

OWNERS = {
    "yaml": ("scenario.nodes",),
    "transitions": ("guidance",),
    "sqlite3": ("records",),
    "textual": ("app",),
    "rich": ("app",),
    "geographiclib": ("world", "scenario", "flight", "briefing"),
    "platformdirs": ("paths",),
    "fsrs": ("study",),
    "tomlkit": ("app.settling",),
    "argparse": ("cli",),
}
"""Libraries, and the packages or modules that alone may import them."""

ALLOWED = {
    # The one module that reads scenario files, and the command that shows progress.
    "scenario.library": ("calls .iterdir()", "calls .is_file()", "calls .is_dir()", "calls .cwd()",
                         "calls .stat()", "calls .exists()"),
    "proof.printing": ("imports time",),
    # Dates as values; the time now is a parameter.
    "study.due": ("imports datetime.UTC", "imports datetime.datetime"),
}  # fmt: skip
"""What a module of a pure package may do all the same."""


def is_owner(module: str, owners: tuple[str, ...]) -> bool:
    return any(module == owner or module.startswith(f"{owner}.") for owner in owners)


def test_every_package_has_its_place_in_the_order() -> None:
    known = {name for names in ORDER for name in names}
    assert {package_of(name) for name in MODULES} - {"__main__"} <= known


@pytest.mark.parametrize("module", [name for name in MODULES if name != "__main__"])
def test_a_module_imports_only_what_stands_before_it(module: str) -> None:
    place = rank(package_of(module))
    for line, name in own_imports(modules()[module]):
        assert rank(package_of(name)) <= place, f"{module}:{line} imports {name}"


def test_guidance_knows_only_the_world_units_and_values() -> None:
    for module in MODULES:
        if package_of(module) == "guidance":
            for line, name in own_imports(modules()[module]):
                assert package_of(name) in ("guidance", "world", "units", "values"), (
                    f"{module}:{line}"
                )


def test_the_judge_takes_from_the_flight_only_what_was_written_down() -> None:
    taken = (
        "flight.acts",
        "flight.row",
        "flight.moments",
        "flight.observers",
        "flight.ending",
        "flight.shown",
    )
    for module in MODULES:
        if package_of(module) == "judge":
            for line, name in own_imports(modules()[module]):
                if package_of(name) == "flight":
                    assert name.startswith(taken), f"{module}:{line} imports {name}"


@pytest.mark.parametrize("library", sorted(OWNERS))
def test_a_library_is_imported_only_by_its_owner(library: str) -> None:
    users = [
        module
        for module in MODULES
        if any(name.split(".")[0] == library for _, name in imports(modules()[module]))
    ]
    assert users, f"nobody imports {library}: take it out of the table"
    for module in users:
        assert is_owner(module, OWNERS[library]), f"{module} imports {library}"


def test_nothing_reaches_for_the_network() -> None:
    network = {"socket", "ssl", "http", "urllib", "ftplib", "smtplib", "socketserver", "xmlrpc"}
    for module in MODULES:
        for line, name in imports(modules()[module]):
            assert name.split(".")[0] not in network, f"{module}:{line} imports {name}"


def test_the_package_itself_and_its_packages_import_nothing() -> None:
    for path in sorted(PACKAGE.rglob("__init__.py")):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        assert not list(imports(tree)), path
        assert ast.get_docstring(tree), path


@pytest.mark.parametrize("module", [name for name in MODULES if package_of(name) in PURE])
def test_nothing_but_its_inputs_decides_a_flight(module: str) -> None:
    allowed = ALLOWED.get(module, ())
    found = [
        one
        for one in impurities(modules()[module])
        if not any(one.endswith(f": {what}") for what in allowed)
    ]
    assert not found, f"trainer/{module.replace('.', '/')}.py: {found}"


@pytest.mark.parametrize(
    ("source", "found"),
    [
        ("import random", "imports random"),
        ("from time import monotonic", "imports time.monotonic"),
        ("def f(x: list[float]) -> float:\n    return sum(x)", "calls sum()"),
        ("key = hash('a')", "calls hash()"),
        ("text = open('a')", "calls open()"),
        ("from pathlib import Path\ntext = Path('a').read_text()", "calls .read_text()"),
        ("import os\nhome = os.environ['HOME']", "reads os.environ"),
        ("for one in {1, 2}:\n    print(one)", "iterates over a set: {1, 2}"),
        ("known = {1, 2}\nshown = [one for one in known]", "iterates over a set: known"),
        ("known: set[int] = set()\nshown = tuple(known)", "iterates over a set: known"),
        ("for one in set([1]) - {2}:\n    pass", "iterates over a set: set([1]) - {2}"),
    ],
)
def test_what_would_make_flights_differ_is_found(source: str, found: str) -> None:
    assert [one.partition(": ")[2] for one in impurities(ast.parse(source))] == [found]


@pytest.mark.parametrize(
    "source",
    ["import math\ntotal = math.fsum([0.1])", "known = {1: 2}\nfor one in known:\n    pass",
     "known = {1, 2}\nis_known = 3 in known", "for one in sorted({2, 1}):\n    pass"],
)  # fmt: skip
def test_what_is_repeatable_is_let_through(source: str) -> None:
    assert impurities(ast.parse(source)) == []
