"""The plan view's geometry: one scale, nothing left out, the order in which it is flown."""

from __future__ import annotations

import pytest

from tests.app.help import straight_in
from trainer.briefing.plan import frame_of, plan_of
from trainer.units import NM


def test_the_way_leads_from_the_start_over_the_fixes_to_the_threshold() -> None:
    exercise, plan = straight_in(), plan_of(straight_in())
    assert plan.route[0] == (exercise.start.x_m, exercise.start.y_m)
    assert plan.route[-1] == (0.0, 0.0)
    assert plan.fixes[exercise.approach.final_fix.name] in plan.route
    assert plan.missed[0] == (0.0, 0.0)
    assert len(plan.missed) == len(exercise.approach.missed_legs) + 1


@pytest.mark.parametrize(("width", "height"), [(120.0, 60.0), (60.0, 120.0)])
def test_a_frame_holds_every_place_and_has_one_scale_for_both_ways(
    width: float, height: float
) -> None:
    places = [(-10 * NM, 4 * NM), (3 * NM, -8 * NM), (0.0, 0.0)]
    frame = frame_of(places, width, height)
    drawn = [frame.at(place) for place in places]
    assert all(-1e-9 <= x <= width + 1e-9 and -1e-9 <= y <= height + 1e-9 for x, y in drawn)
    (ax, ay), (bx, by), _ = drawn
    assert (bx - ax) / (13 * NM) == pytest.approx((by - ay) / (12 * NM))


def test_north_is_up_and_east_is_right() -> None:
    frame = frame_of([(0.0, 0.0), (NM, NM)], 100.0, 100.0)
    here, there = frame.at((0.0, 0.0)), frame.at((NM, NM))
    assert there[0] > here[0]
    assert there[1] < here[1]
