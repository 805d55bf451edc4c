"""The points as a sum that can be done again by hand.

points = 100 · Σ weight·credit / Σ weight over the items that were reached, less the published
deduction of each primary watch, never below zero. Surprising rule: this redoes the sum from the
items; a test holds it against what the judge says.
"""

from __future__ import annotations

from collections.abc import Sequence

from trainer.judge.judgement import DEDUCTIONS, ItemVerdict, Judgement, WatchFinding
from trainer.values import dataclass


@dataclass(frozen=True, slots=True)
class AreaSum:
    """One area: how many items counted, Σ weight·credit, Σ weight, and 100 times their ratio."""

    area: str
    items: int
    earned: float
    weight: float

    @property
    def points(self) -> float | None:
        """Points of the area, 0..100; None without weight."""
        return None if self.weight == 0.0 else 100.0 * self.earned / self.weight


@dataclass(frozen=True, slots=True)
class Sum:
    """The whole sum: areas, deductions as (watch, points), and what is needed to pass."""

    areas: tuple[AreaSum, ...]
    deductions: tuple[tuple[str, float], ...]
    needed: float

    @property
    def earned(self) -> float:
        """Σ weight·credit over all areas."""
        return _total([area.earned for area in self.areas])

    @property
    def weight(self) -> float:
        """Σ weight over all areas."""
        return _total([area.weight for area in self.areas])

    @property
    def before(self) -> float | None:
        """Points before deductions; None without weight."""
        return None if self.weight == 0.0 else 100.0 * self.earned / self.weight

    @property
    def after(self) -> float | None:
        """Points after deductions, at least 0; None without weight."""
        before = self.before
        if before is None:
            return None
        return max(0.0, before - _total([points for _, points in self.deductions]))

    def cost_of(self, item: ItemVerdict) -> float:
        """Points that `item` cost."""
        if item.credit is None or self.weight == 0.0:
            return 0.0
        return 100.0 * item.weight * (1.0 - item.credit) / self.weight

    @staticmethod
    def deduction_of(watch: WatchFinding) -> float:
        """Points that `watch` cost; a consequence costs nothing."""
        return DEDUCTIONS[watch.severity] if watch.because is None else 0.0

    def line(self) -> str:
        """The sum on one line, as it would be written down."""
        before = self.before
        if before is None:
            return "no item was reached, so there are no points"
        text = f"100 × {self.earned:.2f} / {self.weight:.2f} = {before:.1f}"
        for name, points in self.deductions:
            text += f" − {points:.0f} ({name})"
        after = self.after
        assert after is not None
        if self.deductions:
            text += f" = {after:.1f}"
        return f"{text}; {self.needed:.0f} are needed"


def sum_of_points(judgement: Judgement, needed: float) -> Sum:
    """The sum of `judgement`, done again from its items and watches."""
    groups: dict[str, list[ItemVerdict]] = {}
    for item in judgement.items:
        if item.credit is not None:
            groups.setdefault(item.area, []).append(item)
    areas = tuple(_area(name, items) for name, items in groups.items())
    deductions = tuple(
        (watch.watch, Sum.deduction_of(watch))
        for watch in judgement.watches
        if Sum.deduction_of(watch) > 0.0
    )
    return Sum(areas, deductions, needed)


def _area(name: str, items: Sequence[ItemVerdict]) -> AreaSum:
    earned = _total([item.weight * (item.credit or 0.0) for item in items])
    return AreaSum(name, len(items), earned, _total([item.weight for item in items]))


def _total(values: Sequence[float]) -> float:
    total = 0.0
    for value in values:
        total += value
    return total
