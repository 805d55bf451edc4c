"""Turbulence, visual range by part and shear as an exercise writes them."""

from __future__ import annotations

from pathlib import Path

import pytest

from trainer.errors import FileProblems
from trainer.paths import built_in_scenarios
from trainer.scenario.compose import load
from trainer.scenario.exercise import Exercise, ShearEvent
from trainer.scenario.library import default_library


def composed(folder: Path, weather: str, event: str) -> Exercise:
    """The shipped straight-in with more weather and one more event."""
    text = (built_in_scenarios() / "exercises" / "straight-in.yaml").read_text(encoding="utf-8")
    text = text.replace("weather:\n", f"weather:\n  {weather}\n").replace(
        "events:\n", f"events:\n  - {event}\n"
    )
    path = folder / "rough.yaml"
    path.write_text(text, encoding="utf-8")
    return load(path, default_library())


SHEAR = (
    "{event: windshear, when: {height: below 900 ft}, "
    "shear: {from: 320 deg, speed: 20 kt, bottom: 0 ft, top: 800 ft, rise: 4 s, for: 20 s}}"
)


def test_turbulence_range_and_shear_reach_the_exercise(tmp_path: Path) -> None:
    found = composed(
        tmp_path, "turbulence: light\n  visual range: {touchdown: 600 m, stop end: 300 m}", SHEAR
    )
    # 15 kt at 20 ft stand for light turbulence: MIL-F-8785C 3.7.3.4.
    assert found.weather.turbulence_kt == 15.0
    assert found.weather.runway_ranges_m == (600.0, None, 300.0)
    event = next(one for one in found.events if one.name == "windshear")
    assert event.shear == ShearEvent(320.0, 20.0, 0.0, 800.0, 4.0, 20.0)


def test_a_shear_upside_down_is_refused_at_its_top(tmp_path: Path) -> None:
    with pytest.raises(FileProblems, match="expected top above bottom"):
        composed(tmp_path, "turbulence: none", SHEAR.replace("top: 800 ft", "top: 100 ft").replace(
            "bottom: 0 ft", "bottom: 500 ft"))  # fmt: skip


def test_without_them_the_air_is_steady() -> None:
    found = load("straight-in", default_library())
    assert found.weather.turbulence_kt == 0.0
    assert found.weather.runway_ranges_m == (None, None, None)
