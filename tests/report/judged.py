"""A judgement made by hand, of the flight in `sample`: one of each kind of finding."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from tests.briefing.sample import exercise
from tests.report.sample import row
from trainer.flight.acts import Fact
from trainer.flight.row import Row
from trainer.judge.judgement import (
    Annunciation,
    AreaPoints,
    FailedCriterion,
    GateResult,
    ItemVerdict,
    Judgement,
    WatchFinding,
)
from trainer.report.debrief import Debrief, debrief

ROWS: tuple[Row, ...] = tuple(row(step) for step in range(1206))
"""Two minutes and 0.6 s, from 5 NM to 0.18 NM."""
FACTS = (
    Fact(20, "event", "cleared to land", "Marrow Two One, runway 14, cleared to land"),
    Fact(300, "refused", "approach mode", reason="no localizer is received"),
    Fact(1190, "touchdown", "320", "2.4"),
)


def item(name: str, verdict: str, **changes: Any) -> ItemVerdict:
    """An item verdict opened at 10 s, due at 20 s, done at 15 s, weight 2."""
    made = ItemVerdict(
        item=name,
        area="energy",
        verdict=verdict,
        done=150,
        opened=100,
        due=200,
        closed=None,
        distance_nm=4.4,
        expected="gear down",
        found="gear down",
        better="",
        is_corrected=False,
        credit=1.0,
        weight=2.0,
        touches=("energy", "gear"),
        why="The gear is drag and needs 12 s.",
        source="common practice",
        began_at=None,
    )
    return replace(made, **changes)


ITEMS = (
    item("glide alive", "on time", area="awareness", weight=1.0, found='call "glide alive"'),
    item("gear down", "late", done=260, credit=0.25, distance_nm=3.96, closed=280, began_at=200),
    item("landing flap", "missed", done=None, credit=0.0, distance_nm=None, found="nothing",
         closed=300, weight=3.0, began_at=200, better="right from 0:10.0, until 0:20.0"),
    item("final speed", "wrong", done=160, credit=0.5, is_corrected=True, weight=1.0,
         expected="speed 137 kt", found="speed 147 kt", began_at=160),
    item("approach mode", "early", done=40, credit=0.0, area="modes", opened=None, due=None,
         distance_nm=4.84, weight=3.0, began_at=40),
    item("runway in sight", "not reached", done=None, opened=None, due=None, credit=None,
         distance_nm=None, found="", area="awareness"),
)  # fmt: skip
WATCHES = (
    WatchFinding("flap limit", "minor", 400, 431, 175.4, 172.0, "kt", None, "It overstresses.",
                 "type limits"),
    WatchFinding("low on the path", "major", 500, 520, None, None, "", "approach mode", "", ""),
)  # fmt: skip
GATES = (
    GateResult(
        "stable", 505, 2.98, "failed",
        (
            FailedCriterion("configuration", "flap 22, gear down", "flap 36, gear down", ""),
            FailedCriterion("speed above", 12.345, 10.0, "kt"),
        ),
        "landing flap",
    ),
)  # fmt: skip
MODES = (
    Annunciation(0, "LOC", "ALT", "", "GLIDE", "SPEED", "AP", "", None),
    Annunciation(90, "LOC", "GLIDE", "", "FLARE", "SPEED", "AP BOTH", "PASSIVE", "glide captured"),
)


def judgement(**changes: Any) -> Judgement:
    """The judgement; its points are those of the sum: 100 · (1+.5+.5) / 10 − 2."""
    made = Judgement(
        exercise="straight-in",
        exercise_digest="e" * 64,
        seed=7,
        outcome="repeat",
        reason="18.0 points, 80 are needed",
        points=18.0,
        areas=(
            ("awareness", AreaPoints(100.0, 1.0)),
            ("energy", AreaPoints(100.0 / 6.0, 6.0)),
            ("modes", AreaPoints(0.0, 3.0)),
        ),
        items=ITEMS,
        watches=WATCHES,
        gates=GATES,
        modes=MODES,
        unmatched=("2:01.0 heading mode",),
    )
    return replace(made, **changes)


def sample(**changes: Any) -> Debrief:
    """The debrief of that judgement."""
    house = replace(exercise().house, words=(("glide captured", ("glide captured",)),))
    return debrief(judgement(**changes), exercise(house=house), ROWS, FACTS)
