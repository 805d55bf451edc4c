"""What the twin jet arms in place of a glide path: a path of the altimeter, beside a beam in space.

Cold air and a wrong setting move it over the ground, and the height above it that is shown agrees
with itself. The coded descent does the same: guidance/test_coded_path.py.
"""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from tests.crew.crews import exercise
from tests.flight.test_rnp_final import height_at
from trainer.flight.flight import Flight
from trainer.flight.row import Row
from trainer.scenario.book import book_of
from trainer.units import DEG, NM

STANDARD_C = 15.0
"""Standard temperature of a field at the sea (Marrow Atoll lies at 25 ft)."""


def flown(name: str, *, temperature_c: float, wrong_hpa: float = 0.0) -> list[Row]:
    """The rows of an exercise flown without a crew in calm air, down to 1,000 ft on PATH."""
    written = exercise(name)
    calm = replace(written.weather, temperature_c=temperature_c, wind=(), turbulence_kt=0.0)
    start = replace(written.start, altimeter_hpa=written.weather.qnh_hpa + wrong_hpa)
    found = replace(written, weather=calm, start=start, events=())
    flight = Flight(found, book_of(found))
    while flight.row.radio_ft > 1000.0 and flight.row.step < 4000:
        flight.step()
    rows = [row for row in flight.rows if row.modes.vertical == "PATH"]
    return rows[200:]


def off_ft(rows: list[Row]) -> float:
    """The largest height off the path that PATH follows."""
    return max(abs(row.followed_error_ft or 0.0) for row in rows)


def angle_deg(rows: list[Row]) -> float:
    first, last = rows[0], rows[-1]
    run_m = (first.along_nm - last.along_nm) * NM
    return math.degrees(math.atan((first.height_m - last.height_m) / run_m))


@pytest.mark.parametrize("below_standard_k", [0.0, 20.0, 40.0])
def test_what_is_armed_in_place_of_a_glide_path_is_shallower_in_the_cold(
    below_standard_k: float,
) -> None:
    """3° become 2.79° at ISA −20, 2.58° at ISA −40 (tan 3° · T / T standard)."""
    rows = flown("path-captured", temperature_c=STANDARD_C - below_standard_k)
    assert off_ft(rows) < 5.0
    # The middle of the stretch lies at some 2,000 ft, 4 K below the field.
    warmth = (284.0 - below_standard_k) / 284.0
    expected = math.degrees(math.atan(math.tan(3.0 * DEG) * warmth))
    assert angle_deg(rows) == pytest.approx(expected, abs=0.02)


def test_a_wrong_setting_moves_it_and_only_the_beam_tells() -> None:
    """27 ft a hectopascal near the sea (EASA SIB 2023-03)."""
    right, wrong = (
        flown("path-captured", temperature_c=STANDARD_C, wrong_hpa=hpa) for hpa in (0.0, 10.0)
    )
    assert height_at(right, 5.0) - height_at(wrong, 5.0) == pytest.approx(270.0, abs=15.0)
    assert off_ft(wrong) < 5.0
    needle = min(wrong, key=lambda row: abs(row.along_nm - 5.0)).glide_dots
    assert needle is not None
    assert needle < -1.0


def test_at_nine_miles_it_runs_below_the_straight_beam_by_what_the_sea_has_fallen_away() -> None:
    """d²/2R: 71 ft at 9 NM (reference table: 57 ft at 8, 88 ft at 10)."""
    rows = flown("path-captured", temperature_c=STANDARD_C)
    row = min(rows, key=lambda row: abs(row.along_nm - 9.0))
    assert row.path_error_ft == pytest.approx(-71.0, abs=6.0)
