"""Every check value of every subject, and enough of them."""

from __future__ import annotations

import importlib
import pkgutil

import pytest

import tests.published
from tests.published.record import Check


def subjects() -> dict[str, tuple[Check, ...]]:
    """All checks by subject, in alphabetical order."""
    found: dict[str, tuple[Check, ...]] = {}
    for module in sorted(pkgutil.iter_modules(tests.published.__path__), key=lambda one: one.name):
        if module.name.startswith("checks_"):
            checks = importlib.import_module(f"tests.published.{module.name}").CHECKS
            found[module.name.removeprefix("checks_").replace("_", " ")] = checks
    return found


ALL = [(subject, check) for subject, checks in subjects().items() for check in checks]


@pytest.mark.parametrize(
    "check", [check for _, check in ALL], ids=[f"{subject}: {one.what}" for subject, one in ALL]
)
def test_a_published_figure_is_met(check: Check) -> None:
    value = check.compute()
    assert check.is_met(value), f"{value} is not {check.expected}: {check.source}"


def test_no_two_checks_of_a_subject_say_the_same() -> None:
    for checks in subjects().values():
        names = [check.what for check in checks]
        assert len(names) == len(set(names))
