"""What the debrief says first, and the sum that can be done again by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.briefing.sample import FLOW, exercise
from tests.report.judged import FACTS, GATES, ITEMS, ROWS, WATCHES, item, judgement, sample
from trainer.judge.judgement import WatchFinding
from trainer.judge.verdicts import UNFINISHED
from trainer.report.debrief import debrief, matters
from trainer.report.notes import clock, place_step
from trainer.report.page import html_page
from trainer.report.plain import markdown, plain_text
from trainer.report.sheet import csv_text
from trainer.report.sums import sum_of_points
from trainer.scenario.exercise import Act, Exercise, Item
from trainer.scenario.moments import Happened


def test_the_sum_is_the_published_formula() -> None:
    # By hand: weights 1+2+3+1+3 = 10, earned 1 + 2*.25 + 0 + .5 + 0 = 2, minor watch -2;
    # the major one follows from an item and deducts nothing.
    done = sum_of_points(judgement(), 80.0)
    assert (done.weight, done.earned) == (10.0, 2.0)
    assert done.before == pytest.approx(20.0)
    assert done.deductions == (("flap limit", 2.0),)
    assert done.after == pytest.approx(18.0)
    assert done.line() == "100 × 2.00 / 10.00 = 20.0 − 2 (flap limit) = 18.0; 80 are needed"


def test_the_areas_add_up_to_the_whole() -> None:
    done = sum_of_points(judgement(), 80.0)
    assert [(area.area, area.items) for area in done.areas] == [
        ("awareness", 1),
        ("energy", 3),
        ("modes", 1),
    ]
    assert done.areas[1].points == pytest.approx(100.0 / 6.0)


def test_deductions_never_lead_below_zero() -> None:
    watches = tuple(
        WatchFinding(f"w{number}", "critical", 0, 9, None, None, "", None, "", "")
        for number in range(12)
    )
    assert sum_of_points(judgement(watches=watches), 80.0).after == 0.0


def test_without_weight_there_are_no_points() -> None:
    done = sum_of_points(judgement(items=(ITEMS[5],)), 80.0)
    assert (done.before, done.after) == (None, None)
    assert "no points" in done.line()


def test_what_decided_the_outcome_matters_before_what_cost_more() -> None:
    found = matters(judgement(), sum_of_points(judgement(), 80.0), most=9)
    assert [one.is_decisive for one in found] == [True, False, False, False, False]
    assert found[0].text.startswith('"landing flap" was missed (−30.0 points)')
    assert "the stable gate not met" in found[0].text
    costs = [one.cost for one in found[1:]]
    assert costs == sorted(costs, reverse=True)


def test_a_consequence_is_told_with_its_item_and_never_alone() -> None:
    found = matters(judgement(), sum_of_points(judgement(), 80.0), most=9)
    texts = [one.text for one in found]
    assert not any(text.startswith(("low on the path", "the stable gate")) for text in texts)
    assert any("from it followed: low on the path" in text for text in texts)


def test_the_first_paragraph_has_outcome_two_matters_lesson_and_next_drill() -> None:
    outcome, mattered, why, lesson, following = sample().paragraph
    assert why == "The gear is drag and needs 12 s."
    assert outcome == "Repeat: 18.0 points, 80 are needed."
    assert mattered.startswith("The two things that mattered most:")
    assert mattered.count(";") == 1
    assert lesson == "The lesson: Each step at its own moment."
    assert following == ("Next: straight-in again from its start (approach-drill fly straight-in).")


def test_a_slip_late_in_the_flight_is_drilled_as_a_segment() -> None:
    only = judgement(
        items=(item("minimums", "missed", done=None, due=900, credit=0.0),), gates=(), watches=()
    )
    following = debrief(only, exercise(), ROWS).paragraph[-1]
    # At 90 s the flight is 1.4 NM out; two miles of run-in.
    assert following.startswith("Next: the segment of straight-in from 3 NM")
    assert following.endswith('(approach-drill fly straight-in --from "distance: below 3 NM").')


def test_the_same_flight_again_is_named_with_its_seed() -> None:
    drawn = debrief(judgement(), exercise(seed=7), ROWS).paragraph[-1]
    assert drawn.endswith("(approach-drill fly straight-in --seed 7).")


def test_a_flight_without_a_slip_says_so_and_sends_you_on() -> None:
    clean = judgement(items=ITEMS[:1], gates=(), watches=(), outcome="passed", points=100.0)
    paragraph = debrief(clean, exercise(), ROWS).paragraph
    assert paragraph[1] == "Nothing was missed, late, early or wrong."
    assert "a new seed" in paragraph[-1]
    assert paragraph[-1].endswith("(approach-drill fly straight-in --level check).")


def test_a_debrief_of_nothing_flown_is_still_one() -> None:
    empty = judgement(
        items=(), gates=(), watches=(), modes=(), points=None, reason="abandoned", unmatched=()
    )
    made = debrief(empty, exercise(), ())
    assert made.paragraph[0] == "Repeat with no points: abandoned."


def recurring() -> Exercise:
    """The exercise with a call at each announced change, and one that happens once."""
    call = Item(
        name="mode call", act=Act("say", intent="mode shown"), each=Happened("changed", "announced")
    )
    once = Item(name="cabin 2", act=Act("say", intent="checked"))
    return exercise(flow=replace(FLOW, items=(call, once)))


def test_an_instance_of_a_recurring_item_is_told_with_what_it_asked_for() -> None:
    late = item("mode call 2", "missed", expected='call "glide captured"', done=None, credit=0.0)
    made = debrief(
        judgement(
            items=(late, item("cabin 2", "late", expected='call "checked"'), item("x 3", "late")),
            watches=(replace(WATCHES[0], because="mode call 2"),),
            gates=(replace(GATES[0], because="cabin 2"),),
        ),
        recurring(),
        ROWS,
    )
    told = "mode call 2 (glide captured)"
    assert [one.item for one in made.findings] == [told, "cabin 2", "x 3"]
    assert made.judgement.watches[0].because == told
    assert made.judgement.gates[0].because == "cabin 2"
    assert any(one.what == told for one in made.timeline)
    assert f'"{told}" was missed' in " ".join(made.paragraph)
    for page in (plain_text(made), html_page(made)):
        assert f"{told}: missed" in page
    assert f"item,{told},energy,missed" in csv_text(made)
    assert f"### 1. {told}: missed" in markdown(made).replace("\\", "")


def test_nothing_is_put_in_brackets_where_nothing_was_expected() -> None:
    bare = item("mode call 1", "on time", expected='call ""')
    made = debrief(judgement(items=(bare,), gates=(), watches=()), recurring(), ROWS)
    assert made.others[0].item == "mode call 1"


def test_the_timeline_is_in_order_and_places_a_missed_item_where_it_was_due() -> None:
    lines = sample().timeline
    assert [one.step for one in lines] == sorted(one.step for one in lines)
    missed = next(one for one in lines if one.what == "landing flap")
    assert (missed.step, missed.verdict) == (200, "missed")
    assert missed.distance_nm == pytest.approx(4.2)
    assert not any(one.what == "runway in sight" for one in lines)  # never reached


def test_the_timeline_holds_radio_refusals_and_the_touchdown() -> None:
    texts = [one.what for one in sample().timeline]
    assert "Marrow Two One, runway 14, cleared to land" in texts
    assert "approach mode refused: no localizer is received" in texts
    assert "touchdown 320 m beyond the threshold" in texts
    assert len(FACTS) == 3


@pytest.mark.parametrize(
    ("step", "text"), [(0, "0:00.0"), (5, "0:00.5"), (599, "0:59.9"), (600, "1:00.0"), (None, "")]
)
def test_a_step_is_written_as_minutes_and_seconds(step: int | None, text: str) -> None:
    assert clock(step) == text


def test_an_item_without_any_time_has_no_place() -> None:
    assert place_step(item("x", "missed", done=None, due=None, opened=77)) == 77
    assert place_step(ITEMS[5]) is None


def test_a_flight_that_nothing_ended_has_points_for_what_came_due_and_no_outcome() -> None:
    made = debrief(judgement(reason=UNFINISHED), exercise(), ROWS, FACTS)
    assert made.heading == "Straight in: part of a flight, seed 7"
    assert made.paragraph[0] == "Part of a flight: 18.0 points for what came due."


def test_the_same_slip_again_and_again_is_one_thing_that_mattered() -> None:
    # Three of four checks: 3 x 2 of a weight of 8 is what was lost.
    missed = [
        item(f"mile check {number} (DME {10 - number})", "missed", credit=0.0, weight=2.0)
        for number in (1, 2, 3)
    ]
    done = item("mile check 4 (DME 6)", "on time", credit=1.0, weight=2.0)
    made = judgement(items=(*missed, done), gates=(), watches=())
    (only,) = matters(made, sum_of_points(made, 80.0), {"mile check"})
    assert only.text == '"mile check" was missed 3 times (−75.0 points)'
    assert only.item == "mile check 1 (DME 9)"
    assert len(matters(made, sum_of_points(made, 80.0), most=9)) == 3


def test_a_limit_that_was_exceeded_is_told_with_its_figures() -> None:
    watch = WatchFinding("flap limit", "advisory", 0, 9, 174.8, 172.0, "kt", None, "Metal.", "")
    made = judgement(items=(), gates=(), watches=(watch,))
    (only,) = matters(made, sum_of_points(made, 80.0))
    assert only.text == "flap limit: 175 kt where 172 are allowed (advisory, nothing deducted)"
