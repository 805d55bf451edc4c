"""One published check: what a document says, what the program computes, how near they must be.

Each subject has a module `checks_SUBJECT.py` with a tuple `CHECKS`; `test_published.py` runs them
all, and `python -m tests.published.page` writes the table in `docs/checks.md` from the same rows.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import NamedTuple

KINDS = ("published", "library", "computed", "rule of thumb", "from memory")
"""How a figure is known: read in a document; given by a reference library; worked out from a
published relation; a rule of the trade; recalled and not seen."""


class Bounds(NamedTuple):
    """What a document gives as a range or a limit; infinite on a side that it leaves open."""

    least: float
    most: float


@dataclass(frozen=True, slots=True)
class Check:
    """A check value. `expected` and the result of `compute` in `unit`; `tolerance` absolute.

    `expected` is a figure, or `Bounds` where the document gives a range. `what` says what is
    compared, `source` names the document and section (or the library and its version, or "common
    practice").
    """

    what: str
    source: str
    kind: str
    expected: float | Bounds
    tolerance: float
    unit: str
    compute: Callable[[], float]

    def __post_init__(self) -> None:
        if self.kind not in KINDS:
            raise ValueError(f"{self.what}: no kind {self.kind}")

    def is_met(self, value: float) -> bool:
        """Whether what the program computed agrees."""
        low, high = self.bounds
        return low - self.tolerance <= value <= high + self.tolerance

    @property
    def bounds(self) -> Bounds:
        """The range expected, without the tolerance: a single figure is both its ends."""
        if isinstance(self.expected, Bounds):
            return self.expected
        return Bounds(self.expected, self.expected)
