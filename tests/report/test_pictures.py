"""The three pictures show what was flown, and where it should have been done."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.briefing.sample import exercise
from tests.report.judged import ROWS, item, judgement, sample
from tests.report.sample import row
from trainer.report.debrief import debrief
from trainer.report.pictures import MARGIN_MOST_NM, margin, pictures, profile, speeds
from trainer.report.sketch import SIGNS, sketch
from trainer.scenario.exercise import RnpFinal
from trainer.text import width
from trainer.world.ladders import Rung

RUNGS = (Rung("gear", 4.5, 1480.0, 170.0), Rung("idle", 4.2, 1400.0, 160.0))


def test_a_late_item_has_its_mark_where_it_was_done_and_one_where_it_was_due() -> None:
    picture = speeds(sample())
    assert picture is not None
    gear = [mark for mark in picture.marks if mark.text.startswith("gear down")]
    assert [(mark.verdict, mark.number) for mark in gear] == [("right here", None), ("late", 1)]
    # Due at 20 s and done at 26 s, at 0.04 NM a second from 5 NM.
    assert [round(mark.at[0], 2) for mark in gear] == [4.2, 3.96]


def test_flap_and_gear_stand_in_a_lane_where_their_levers_were_moved() -> None:
    rows = [row(step, flap_lever=3 if step < 400 else 4) for step in range(900)]
    rows = [one._replace(gear_lever="up") if one.step < 500 else one for one in rows]
    picture = speeds(debrief(judgement(), exercise(), rows, last_chance=RUNGS))
    assert picture is not None
    flown, last = picture.lanes
    names = [stage.name for stage in exercise().aircraft.flaps]
    assert [(round(place, 2), what) for place, what in flown.steps] == [
        (3.4, f"flap {names[4]}"),
        (3.0, "gear"),
    ]
    assert last.steps == ((4.5, "gear"),)  # idle is no lever of configuration


def test_only_a_path_that_is_not_barometric_is_drawn_bent() -> None:
    beam = exercise()
    final = RnpFinal(0.3, "LNAV/VNAV", -30.0, 50.0)
    barometric = replace(beam, approach=replace(beam.approach, rnp=final))
    # A straight line in space is met 0.883 ft times the square of the miles higher (d²/2R).
    for one, bend in ((beam, 0.883), (barometric, 0.0)):
        picture = profile(debrief(judgement(), one, [row(step) for step in range(900)]))
        assert picture is not None
        points = picture.curves[0].points
        (far, high), (at, altitude), (near, low) = points[0], points[len(points) // 2], points[-1]
        chord = low + (high - low) * (at - near) / (far - near)
        assert chord - altitude == pytest.approx(bend * (far - at) * (at - near), abs=0.01)


def test_the_margin_is_drawn_while_there_is_one_and_held_at_its_most() -> None:
    rows = [one._replace(margin_nm=9.0) if one.step < 100 else one for one in ROWS]
    picture = margin(debrief(judgement(), exercise(), rows))
    assert picture is not None
    flown = next(curve for curve in picture.curves if curve.style == "flown")
    assert flown.points[0][1] == MARGIN_MOST_NM
    assert flown.points[-1][1] == 1.25
    assert min(distance for distance, _ in flown.points) > 3.0  # none is computed further in
    assert {mark.text.partition(":")[0] for mark in picture.marks} == {
        "glide alive", "gear down", "landing flap", "final speed", "approach mode",
    }  # fmt: skip


def test_only_what_costs_energy_is_marked_on_the_margin() -> None:
    items = (item("identified", "on time", touches=("awareness",)), item("gear down", "on time"))
    picture = margin(debrief(judgement(items=items), exercise(), ROWS))
    assert picture is not None
    assert [mark.text for mark in picture.marks] == ["gear down: on time"]


def test_a_sketch_keeps_to_its_width_and_shows_every_finding_by_its_number() -> None:
    for cells in (50, 80, 120):
        for picture in pictures(debrief(judgement(), exercise(), ROWS, last_chance=RUNGS)):
            lines = sketch(picture, cells)
            assert max(width(line) for line in lines) <= cells
            drawing = "".join(line[7:] for line in lines[1:11])
            assert all(number in drawing for number in "1234")
            assert SIGNS["flown"] in drawing


def test_a_sketch_puts_a_value_at_its_line() -> None:
    picture = speeds(sample())
    assert picture is not None
    lines = sketch(picture, 80, height=11)
    # 120 kt (low) to 160 kt (high) on eleven lines: 140 kt is the sixth.
    assert (picture.low, picture.high) == (120.0, 160.0)
    assert lines[6].startswith("   140 ")
    assert lines[6][7] == SIGNS["flown"]
