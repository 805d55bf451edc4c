"""An assigned speed after the capture of the glide path: kept by hand, lost to the bug."""

from __future__ import annotations

from collections.abc import Sequence

from tests.crew.crews import exercise, flown
from trainer.flight.row import Row
from trainer.proof.prove import fly_perfect
from trainer.scenario.book import book_of
from trainer.scenario.draw import corners

ASSIGNED_KT = 160.0
ENDS_NM = 6.0


def speeds_kt(rows: Sequence[Row]) -> list[float]:
    """Airspeed on the glide path, outside the miles at which the assigned speed ends."""
    return [
        row.cas_kt for row in rows if row.modes.vertical == "GLIDE" and row.distance_nm > ENDS_NM
    ]


def test_by_hand_the_assigned_speed_is_kept_within_ten_knots() -> None:
    # Within 10 kt: AIM 4-4-12.
    session, judgement = flown("whose-speed")
    assert all(abs(speed - ASSIGNED_KT) < 10.0 for speed in speeds_kt(session.flight.rows))
    assert judgement.points == 100.0


def test_with_the_autothrust_on_the_reference_speed_of_the_stage_is_flown_whatever_is_dialled() -> (
    None
):
    found = exercise("whose-speed")
    session, _ = fly_perfect(found, book_of(found), found.traps[0].edits)
    rows = session.flight.rows
    mass_t = found.start.mass_t
    first = found.aircraft.stage_index("12")
    reference_kt = found.aircraft.reference_kt(mass_t, first)
    assert abs(min(speeds_kt(rows)) - reference_kt) < 2.0
    captured = next(row for row in rows if row.modes.vertical == "GLIDE")
    assert captured.selectors.speed_kt == ASSIGNED_KT


def test_a_localizer_that_comes_back_is_followed_once_its_letters_have() -> None:
    found = dict(corners(exercise("whose-speed")))["with localizer off"]
    session, judgement = fly_perfect(found, book_of(found))
    rows, facts = session.flight.rows, session.flight.facts
    lost = next(fact for fact in facts if "localizer lost for 10 s" in fact.reason)
    again = next(
        fact for fact in facts if fact.step > lost.step and fact.reason == "localizer captured"
    )
    assert rows[lost.step + 1].modes.lateral == "HDG"
    assert rows[again.step - 1].identified == found.approach.localizer.ident
    assert judgement.points == 100.0
