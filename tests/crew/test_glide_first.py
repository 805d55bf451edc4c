"""A glide path that comes before the localizer: the level held until half scale, or not."""

from __future__ import annotations

import pytest

from tests.crew.crews import exercise, flown
from trainer.proof.prove import fly_perfect
from trainer.scenario.book import book_of
from trainer.scenario.draw import corners

HALF_SCALE_DOTS = 1.0
LEVEL_FT = 3000.0
CORNERS = dict(corners(exercise("glide-first")))


@pytest.mark.parametrize("label", CORNERS)
def test_a_good_crew_keeps_the_level_until_the_localizer_is_within_half_scale(label: str) -> None:
    found = CORNERS[label]
    session, judgement = fly_perfect(found, book_of(found))
    rows = session.flight.rows
    left = next(row for row in rows if row.altitude_ft < LEVEL_FT - 50.0)
    assert left.localizer_dots is not None
    assert abs(left.localizer_dots) < HALF_SCALE_DOTS
    assert judgement.points == 100.0


def test_the_shallow_vector_leads_past_the_path_and_the_one_in_time_does_not() -> None:
    shallow = flown("glide-first")[0].flight.rows
    met = next(row for row in shallow if (row.glide_dots or -1.0) > 0.0)
    assert met.localizer_dots is not None
    assert abs(met.localizer_dots) > HALF_SCALE_DOTS
    found = CORNERS["with vector in time"]
    in_time = fly_perfect(found, book_of(found))[0].flight.rows
    captured = next(row for row in in_time if row.modes.lateral == "LOC")
    assert captured.glide_dots is not None
    assert captured.glide_dots < -HALF_SCALE_DOTS


def test_armed_too_early_the_aircraft_goes_down_beside_the_localizer() -> None:
    found = exercise("glide-first")
    session, judgement = fly_perfect(found, book_of(found), found.traps[0].edits)
    beside = [
        row
        for row in session.flight.rows
        if row.modes.vertical == "GLIDE"
        and row.modes.lateral == "HDG"
        and abs(row.localizer_dots or 0.0) > HALF_SCALE_DOTS
    ]
    assert beside[-1].altitude_ft < LEVEL_FT - 50.0
    (watch,) = judgement.watches
    assert (watch.watch, watch.because) == ("down beside the localizer", "approach mode")
