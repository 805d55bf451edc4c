"""The sum that docs/judging.md does by hand is the one that the judge does."""

from __future__ import annotations

import re

import pytest

from tests.crew.crews import edited
from tests.project.sources import ROOT

SLIPS = (
    "{omit: glide alive}",
    "{replace: missed approach call, with: {say: missed approach 5000 set}}",
    "{delay: final speed, by: 4 s}",
)


def by_hand() -> str:
    text = (ROOT / "docs" / "judging.md").read_text(encoding="utf-8")
    return text[text.index("### A sum by hand") : text.index("**Passed** means")]


def test_weights_of_the_areas_are_those_of_the_page() -> None:
    rows = dict(re.findall(r"^\| ([a-z]+) \| (\d+) \|$", by_hand(), re.MULTILINE))
    together = float(rows.pop("together"))
    areas = {name: area.weight for name, area in edited("straight-in", *SLIPS).areas if area.weight}
    assert areas == pytest.approx({name: float(weight) for name, weight in rows.items()})
    assert together == sum(float(weight) for weight in rows.values())


def test_slips_and_points_are_those_of_the_page() -> None:
    judgement = edited("straight-in", *SLIPS)
    page = by_hand()
    lost = 0.0
    for one in judgement.items:
        if not one.is_finding:
            continue
        assert one.credit is not None
        lost += one.weight * (1.0 - one.credit)
        (row,) = re.findall(rf"^\| {one.item}, {one.verdict}.*$", page, re.MULTILINE)
        assert row.rstrip(" |").endswith(f"{one.weight * (1.0 - one.credit):.3g}"), row
        if one.verdict == "late":
            assert None not in (one.due, one.done, one.closed)
            times = (one.due or 0, one.done or 0, one.closed or 0)
            due, done, closed = (f"{step / 10.0:.1f} s" for step in times)
            assert f"due {due}, done {done}, closed {closed}" in row
    assert judgement.watches == ()
    assert judgement.points == pytest.approx(100.0 * (113.0 - lost) / 113.0, abs=1e-5)
    (said,) = re.findall(r"/ 113 = (\d+\.\d+)\.", page)
    assert f"{judgement.points:.2f}" == said
