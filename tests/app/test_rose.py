"""The bearing pointer: it points at the station, and its tail end shows the passage."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.app.help import driver, straight_in
from trainer.app.scribe import Scribe
from trainer.app.view import View, view_of
from trainer.app.widgets import instruments
from trainer.app.widgets.lines import Line, plain
from trainer.text import width as cells

STATION = next(one for one in straight_in().airport.stations if one.is_vor)


def seen(east_m: float, north_m: float, heading_deg: float = 360.0, state: str = "covered") -> View:
    """From a place relative to the station, with its course 360 set."""
    row = driver("check").row
    row = row._replace(
        x_m=STATION.x_m + east_m, y_m=STATION.y_m + north_m, heading_deg=heading_deg, vor=state,
        vor_dots=0.0 if state == "covered" else None,
        selectors=row.selectors._replace(frequency=STATION.frequency, course_deg=360.0),
    )  # fmt: skip
    return view_of(row, Scribe(straight_in(), row))


def tip(view: View) -> tuple[int, int]:
    """Line and cell of the pointer's tip among the lines of the pointer itself."""
    for y, line in enumerate(instruments.raw_data(view, 28)):
        right = plain(line)[18:]
        if "◆" in right:
            return y, right.index("◆")
    raise AssertionError("no pointer")


@pytest.mark.parametrize(
    ("east_m", "north_m", "bearing", "sense"),
    [
        (0.0, -9000.0, 360.0, "TO"),
        (0.0, 9000.0, 180.0, "FROM"),
        (9000.0, -9000.0, 315.0, "TO"),
        (-9000.0, 9000.0, 135.0, "FROM"),
    ],
)
def test_the_bearing_leads_to_the_station_and_the_course_to_it_or_from_it(
    east_m: float, north_m: float, bearing: float, sense: str
) -> None:
    view = seen(east_m, north_m)
    assert view.bearing_deg is not None
    assert view.bearing_deg % 360.0 == pytest.approx(bearing % 360.0)
    assert view.to_from == sense
    assert f"{bearing:03.0f} {sense}" in "\n".join(map(plain, instruments.raw_data(view, 28)))


def test_the_pointer_swings_from_the_nose_over_the_beam_to_the_tail_at_passage() -> None:
    ahead, abeam, behind = (tip(seen(-500.0, north)) for north in (-90000.0, 0.0, 90000.0))
    assert ahead[0] < abeam[0] < behind[0]
    assert abeam[1] > ahead[1]  # the station is to the right


def test_the_pointer_is_relative_to_the_nose_and_the_number_to_north() -> None:
    north, east = seen(0.0, -9000.0), seen(0.0, -9000.0, heading_deg=90.0)
    assert north.bearing_deg == east.bearing_deg
    assert tip(east)[1] < tip(north)[1]  # the station is to the left of an eastbound nose


def test_in_the_cone_there_is_no_pointer_and_a_word_says_so() -> None:
    view = seen(0.0, 0.0, state="flagged")
    lines: list[Line] = instruments.raw_data(view, 28)
    assert view.bearing_deg is None
    assert "FLAG" in plain(lines[2])
    assert not any("◆" in plain(line) for line in lines)


@pytest.mark.parametrize("heading", range(0, 360, 7))
def test_the_pointer_stays_inside_its_block(heading: int) -> None:
    lines = instruments.raw_data(seen(3000.0, -9000.0, float(heading)), 28)
    assert len(lines) == 9
    assert all(cells(plain(line)) == 28 for line in lines)


def test_the_height_above_a_computed_path_stands_below_the_pointer() -> None:
    lines = [
        plain(line) for line in instruments.raw_data(replace(seen(0.0, -9000.0), path_ft=118.0), 28)
    ]
    assert "PATH ft" in lines[7]
    assert lines[8].rstrip().endswith(" 120 high")
