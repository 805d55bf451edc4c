"""Competencies are observed behaviours with counts and times; the grade is the instructor's.

Per published code (EASA AMC1 ORO.FC.231(b)) it is counted what was called for and what was shown,
and said when not. There is no number that sums a code up, no level, no word for good or bad.
"""

from __future__ import annotations

from functools import cache

from tests.crew.crews import exercise
from tests.judge.driven import Pilot
from trainer.report.competencies import NAMES, Observed, observed
from trainer.report.debrief import debrief
from trainer.report.plain import plain_text
from trainer.scenario.exercise import Edit

GRADING = ("grade ", "excellent", "good", "satisfactory", "poor", "below standard", "level of")


@cache
def flown() -> tuple[str, tuple[Observed, ...]]:
    """A check flown through the driver by a pilot without gear who is silent on the glide."""
    pilot = Pilot("check", edits=(Edit("omit", "gear down"), Edit("omit", "glide alive")))
    judgement = pilot.flown()
    found, rows = exercise("straight-in"), pilot.driver.session.flight.rows
    return plain_text(debrief(judgement, found, rows), 100), observed(judgement, found, rows)


def test_what_was_not_shown_is_said_with_its_time_under_its_published_code() -> None:
    _, behaviours = flown()
    lapses = {one.code: [lapse.what for lapse in one.lapses] for one in behaviours if one.lapses}
    assert "glide alive: missed" in lapses["SAW"]
    assert any("gear down" in what for what in lapses["FPA"])
    assert set(lapses) <= set(NAMES)
    for one in behaviours:
        assert all(lapse.step is not None for lapse in one.lapses)


def test_each_behaviour_is_counted_and_nothing_sums_a_code_up() -> None:
    _, behaviours = flown()
    for one in behaviours:
        assert 0 <= one.shown <= one.occasions
        assert not {"grade", "level", "points", "score"} & set(one.__class__.__annotations__)


def test_the_page_says_whose_the_grade_is_and_gives_none() -> None:
    page, _ = flown()
    text = " ".join(page[page.index("Observed\n") : page.index("Not reached")].split())
    assert "counted, not graded: the grade is the instructor's" in text
    rest = text.replace("the grade is the instructor's", "")
    assert not [word for word in GRADING if word in rest.lower()]
