"""How the sheet writes its tables; the geometry is tested with `world`."""

from __future__ import annotations

import pytest

from trainer.briefing.tables import GROUND_SPEEDS_KT, minutes_text
from trainer.world.tables import seconds_to_fly


def test_the_ground_speeds_of_published_tables_are_all_there() -> None:
    # Rate of descent table of the FAA terminal procedures publication.
    for ground_speed_kt in (60, 75, 90, 105, 120, 135, 150, 165, 180):
        assert ground_speed_kt in GROUND_SPEEDS_KT
    assert list(GROUND_SPEEDS_KT) == sorted(GROUND_SPEEDS_KT)


@pytest.mark.parametrize(
    ("ground_speed_kt", "published"), [(90, "3:20"), (120, "2:30"), (150, "2:00")]
)
def test_five_miles_take_the_published_times(ground_speed_kt: int, published: str) -> None:
    # Time from the final fix to the missed approach point as printed on charts, 5 NM.
    assert minutes_text(seconds_to_fly(5.0, ground_speed_kt)) == published


@pytest.mark.parametrize(
    ("time_s", "text"), [(0.0, "0:00"), (59.4, "0:59"), (59.6, "1:00"), (119.7, "2:00")]
)
def test_a_time_is_rounded_to_the_second_before_it_is_split(time_s: float, text: str) -> None:
    assert minutes_text(time_s) == text
