"""The page `docs/checks.md`, made of the checks themselves: `python -m tests.published.page`."""

from __future__ import annotations

import math
from pathlib import Path

from tests.published.record import Bounds
from tests.published.test_published import subjects

PAGE = Path(__file__).parents[2] / "docs" / "checks.md"

HEAD = """# Checks against the world

Every figure below is computed by the program and compared by the tests with a figure from outside
it. Kinds: *published* was read in the document named; *library* comes from a reference package;
*computed* was worked out from a published relation or from first principles; *rule of thumb* and
*from memory* are what they say; *as quoted* means read in a text that quotes the document. The
tolerance of a rule of thumb is how far the rule is off.
This page is written by `python -m tests.published.page`; a test compares it.

For training on fictional types; not for navigation or real flight; operator manuals, current charts
and licensed instructors come first.
"""


def page() -> str:
    """The whole page."""
    lines = [HEAD]
    total = 0
    for subject, checks in subjects().items():
        total += len(checks)
        lines.append(f"\n## {subject.capitalize()}\n")
        lines.append("| check | source | kind | expected | computed | tolerance | unit |")
        lines.append("| --- | --- | --- | --- | --- | --- | --- |")
        for one in checks:
            cells = (
                one.what, one.source, one.kind, _expected(one.expected), _shown(one.compute()),
                _shown(one.tolerance), one.unit,
            )  # fmt: skip
            lines.append("| " + " | ".join(cell.replace("|", "\\|") for cell in cells) + " |")
    lines.append(f"\n{total} checks.\n")
    return "\n".join(lines)


def _expected(value: float | Bounds) -> str:
    if not isinstance(value, Bounds):
        return _shown(value)
    if math.isinf(value.most):
        return f"at least {_shown(value.least)}"
    if math.isinf(value.least):
        return f"at most {_shown(value.most)}"
    return f"{_shown(value.least)} to {_shown(value.most)}"


def _shown(value: float) -> str:
    return f"{value:.5g}"


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8")
