"""A leg on an arc: written in the airport file, told in the briefing, flown by nav mode."""

from __future__ import annotations

import math
import re
from pathlib import Path

import pytest

from trainer.briefing.paper import sheet_text
from trainer.briefing.route import route
from trainer.briefing.sheet import sheet
from trainer.errors import FileProblems
from trainer.flight.flight import Flight
from trainer.scenario import compose, library
from trainer.scenario.book import book_of
from trainer.scenario.exercise import Exercise
from trainer.units import DEG, NM
from trainer.world.earth import Plane

SWEEP_DEG = 50.0


def written(x_m: float, y_m: float) -> str:
    """A position as a file has it, in the plane of runway 14."""
    latitude_deg, longitude_deg = Plane(-33.41260, -117.26840, 19.0).place(x_m, y_m)
    return f"{-latitude_deg:.5f} S {-longitude_deg:.5f} W"


def composed(tmp_path: Path, arc: str, before: str = "VUREL") -> Exercise:
    """Straight in, but coming from the west on an arc round the VOR onto the final course."""
    found = library.default_library()
    base = compose.load("straight-in", found)
    vor = next(one for one in base.airport.stations if one.ident == "MRW")
    # 16 NM out on the final course, and the point that lies 50 degrees round the VOR before it.
    end_x_m, end_y_m = -16.0 * NM * math.sin(140 * DEG), -16.0 * NM * math.cos(140 * DEG)
    east_m, north_m = end_x_m - vor.x_m, end_y_m - vor.y_m
    cos, sin = math.cos(SWEEP_DEG * DEG), math.sin(SWEEP_DEG * DEG)
    begin_x_m = vor.x_m + east_m * cos - north_m * sin
    begin_y_m = vor.y_m + east_m * sin + north_m * cos
    entry = found.find("airport", "qxma")
    assert entry is not None
    text = entry.path.read_text(encoding="utf-8")
    fixes = (
        f"fixes:\n  - {{fix: VUREL, position: {written(begin_x_m, begin_y_m)}}}\n"
        f"  - {{fix: GIMOL, position: {written(end_x_m, end_y_m)}}}\n"
    )
    text = text.replace("fixes:\n", fixes, 1)
    legs = f"{{fix: VUREL, above: 3000 ft}}\n        - {{fix: GIMOL, above: 3000 ft, {arc}}}\n"
    text = text.replace("arrivals:\n", f"arrivals:\n      VUREL:\n        - {legs}", 1)
    for folder, name, what in (
        ("airports", "qxma-arc", text),
        ("exercises", "round", found.exercise_path("straight-in").read_text(encoding="utf-8")),
    ):
        (tmp_path / folder).mkdir(exist_ok=True)
        what = what.replace("airport: qxma", "airport: qxma-arc")
        what = re.sub(r"before: OMBRY, distance: 9 NM", f"before: {before}, distance: 6 NM", what)
        (tmp_path / folder / f"{name}.yaml").write_text(what, encoding="utf-8")
    return compose.load(tmp_path / "exercises" / "round.yaml", found)


ARC = "arc: {round: MRW, turn: right}"


def test_an_arc_is_flown_on_its_circle(tmp_path: Path) -> None:
    drill = composed(tmp_path, ARC)
    vor = next(one for one in drill.airport.stations if one.ident == "MRW")
    flight = Flight(drill, book_of(drill))
    end = next(leg.fix for leg in drill.approach.legs if leg.fix.name == "GIMOL")
    radius_m = math.hypot(end.x_m - vor.x_m, end.y_m - vor.y_m)
    beside_m: list[float] = []
    for _ in range(6000):
        flight.step()
        leg = flight.guidance._core.legs.view(flight._sensed)
        if leg.name == "GIMOL":
            beside_m.append(math.hypot(flight.row.x_m - vor.x_m, flight.row.y_m - vor.y_m))
        elif beside_m:
            break
    assert len(beside_m) > 1500
    # The entry is a turn of nearly a right angle; after it the circle is kept.
    assert all(abs(one - radius_m) < 120.0 for one in beside_m[600:])
    assert flight.row.modes.lateral == "NAV"


def test_the_sheet_tells_the_arc_and_its_length(tmp_path: Path) -> None:
    drill = composed(tmp_path, ARC)
    passed = next(one for one in route(drill) if one.leg.fix.name == "GIMOL")
    vor = next(one for one in drill.airport.stations if one.ident == "MRW")
    fix = passed.leg.fix
    radius_nm = math.hypot(fix.x_m - vor.x_m, fix.y_m - vor.y_m) / NM
    assert passed.leg_nm == pytest.approx(radius_nm * SWEEP_DEG * DEG, abs=0.02)
    assert "To GIMOL: arc right round MRW" in " ".join(sheet_text(sheet(drill)).split())


@pytest.mark.parametrize(
    ("arc", "before", "told"),
    [
        ("arc: {round: OMBRY, turn: right}", "VUREL", "expected the same distance"),
        ("arc: {round: MRV, turn: right}", "VUREL", 'unknown fix or station "MRV"'),
        (ARC, "GIMOL", "the leg to GIMOL is an arc"),
    ],
)
def test_an_arc_that_is_none_is_refused(tmp_path: Path, arc: str, before: str, told: str) -> None:
    with pytest.raises(FileProblems) as error:
        composed(tmp_path, arc, before)
    assert told in str(error.value)
