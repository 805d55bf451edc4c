"""Conventions a linter does not know: a physical quantity carries its unit in its name."""

from __future__ import annotations

import ast

import pytest

from tests.project.sources import modules, package_of

UNITS = (
    "c", "deg", "dots", "fpm", "ft", "hpa", "kt", "m", "ms", "ms2", "n", "nm",
    "rad", "s", "t",
)  # fmt: skip
"""Endings of names that hold a quantity: "ms" is m/s, "n" newton, "rad" radian."""

PLAIN = {
    "power": "share of full thrust, 0 to 1",
    "command": "share of full thrust, 0 to 1",
    "power_command": "share of full thrust, 0 to 1",
    "flap": "stage, continuous while it travels",
    "flap_target": "stage",
    "gear": "0 up, 1 down",
    "gear_target": "0 up, 1 down",
    "speedbrake": "0 in, 1 out",
    "speedbrake_target": "0 in, 1 out",
    "load_factor": "lift in weights",
    "index": "place in a list, continuous",
    "value": "of whatever is moved",
    "target": "of whatever is moved",
    "step": "of whatever is moved",
    "relief": "part of the field limit",
    "glide_low": "in glide path angles, as published",
    "mach": "in speeds of sound",
}
"""Parameters without a unit, and what they are."""

WORLD = [name for name in modules() if package_of(name) == "world" and name != "world"]


def float_parameters(tree: ast.Module) -> list[tuple[int, str, str]]:
    """Parameters of public functions annotated `float`, as (line, function, parameter)."""
    found = []
    for node in ast.walk(tree):
        if not isinstance(node, ast.FunctionDef) or node.name.startswith("_"):
            continue
        for argument in (*node.args.posonlyargs, *node.args.args, *node.args.kwonlyargs):
            if argument.annotation is not None and ast.unparse(argument.annotation) in (
                "float", "float | None",
            ):  # fmt: skip
                found.append((node.lineno, node.name, argument.arg))
    return found


def carries_unit(name: str) -> bool:
    return name in PLAIN or name.rsplit("_", 1)[-1] in UNITS


@pytest.mark.parametrize("module", WORLD)
def test_a_quantity_carries_its_unit_in_its_name(module: str) -> None:
    bare = [
        f"{line}: {function}({name})"
        for line, function, name in float_parameters(modules()[module])
        if not carries_unit(name)
    ]
    assert not bare


def test_a_bare_quantity_is_found() -> None:
    tree = ast.parse("def climb(height: float, cas_kt: float) -> float:\n    return height")
    found = float_parameters(tree)
    assert [name for _, _, name in found if not carries_unit(name)] == ["height"]


def test_the_lists_hold_nothing_that_is_not_used() -> None:
    names = {name for module in WORLD for _, _, name in float_parameters(modules()[module])}
    assert set(PLAIN) <= names
    assert set(UNITS) <= {name.rsplit("_", 1)[-1] for name in names}
