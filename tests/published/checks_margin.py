"""The energy margin of the twin jet at 58 t: every row by a second implementation of its rules."""

from __future__ import annotations

import functools

from tests.published.record import Check
from tests.world.figures import margin
from tests.world.test_margin import CHECK_VALUES

SOURCE = "second implementation of the best effort, half-second steps (0.07 NM from finer ones)"


def margin_nm(distance_nm: float, indicated_ft: float, cas_kt: float, stage: int, gear: bool,
              tail_kt: float, delta_isa_k: float) -> float:  # fmt: skip
    """The margin of the twin jet in NM."""
    return margin(distance_nm, indicated_ft, cas_kt, stage, gear, tail_kt, delta_isa_k).margin_nm


def _checks() -> tuple[Check, ...]:
    checks = []
    for row in CHECK_VALUES:
        distance_nm, feet, cas_kt, stage, gear, tail_kt, offset_k = row[:7]
        what = f"margin at {distance_nm:g} NM, {feet:g} ft, {cas_kt:g} kt, stage {stage}"
        what += f"{', gear' if gear else ''}{f', tail {tail_kt:+g} kt' if tail_kt else ''}"
        what += f"{f', ISA{offset_k:+g}' if offset_k else ''}"
        given = (distance_nm, feet, cas_kt, int(stage), bool(gear), tail_kt, offset_k)
        checks.append(
            Check(what, SOURCE, "computed", row[9], 0.01, "NM",
                  functools.partial(margin_nm, *given))
        )  # fmt: skip
    return tuple(checks)


CHECKS = _checks()
