"""The four type files: what they hold, and what a file outside what could fly is told.

Files with one mistake in the twin jet stand in the corpus; here are those of the other types.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.world.types import business_jet, piston_single, turboprop, twin_jet
from trainer import paths
from trainer.scenario import aircraft_types, fields, nodes
from trainer.scenario.reading import Reading
from trainer.world.aircraft import AircraftType

TYPES = {kind.name: kind for kind in (twin_jet(), turboprop(), business_jet(), piston_single())}
FOLDER = paths.built_in_scenarios() / "aircraft"


def text_of(name: str) -> str:
    return (FOLDER / f"{name}.yaml").read_text(encoding="utf-8")


def read(name: str, text: str) -> tuple[AircraftType | None, list[str]]:
    reading = Reading()
    found = fields.read(nodes.parse(text, f"{name}.yaml"), "aircraft", reading)
    assert found is not None
    kind = None if reading.problems else aircraft_types.build(name, found, reading)
    return kind, [problem.message for problem in reading.problems]


def test_these_are_all_the_types_there_are() -> None:
    assert sorted(path.stem for path in FOLDER.glob("*.yaml")) == sorted(TYPES)


@pytest.mark.parametrize("name", TYPES)
def test_a_file_holds_the_figures_the_world_is_checked_with(name: str) -> None:
    kind, problems = read(name, text_of(name))
    assert not problems
    assert kind is not None
    assert replace(kind, controls=()) == replace(TYPES[name], controls=())


def test_no_two_types_have_the_same_guidance() -> None:
    options = [kind.guidance for kind in TYPES.values()]
    for name in ("early_arming", "leaving", "second_press", "ident", "signal_hold_s"):
        assert len({str(getattr(one, name)) for one in options}) > 1
    assert len({str(one) for one in options}) == len(options)


def test_the_reference_speed_follows_the_root_of_the_mass() -> None:
    # Hand calculation: kt at t.
    rows = {
        "twin-jet": ((44.0, 115), (52.0, 125), (58.0, 132), (64.0, 138)),
        "turboprop": ((14.0, 93), (16.0, 100), (18.2, 106), (19.8, 111)),
        "business-jet": ((6.5, 95), (7.5, 102), (8.3, 107), (9.1, 112)),
        "piston-single": ((0.80, 55), (0.90, 58), (0.97, 60), (1.04, 62)),
    }
    for name, speeds in rows.items():
        for mass_t, expected_kt in speeds:
            assert TYPES[name].reference_kt(mass_t) == pytest.approx(expected_kt, abs=0.5)


def test_the_icing_table_is_nine_per_cent_faster_on_the_turboprop_only() -> None:
    kind = TYPES["turboprop"]
    iced = kind.in_icing()
    for stage in range(len(kind.flaps)):
        normal_kt = kind.manoeuvre_kt(18.2, stage)
        assert iced.manoeuvre_kt(18.2, stage) == pytest.approx(1.09 * normal_kt)
    assert iced.reference_kt(18.2) == pytest.approx(1.09 * kind.reference_kt(18.2))
    assert iced.in_icing() is iced
    jet = TYPES["twin-jet"]
    assert jet.in_icing() is jet


def test_in_icing_no_stage_is_planned_below_what_the_one_before_may_fly() -> None:
    iced = TYPES["turboprop"].in_icing()
    planned = [stage.select_kt for stage in iced.flaps]
    assert planned == [None, 185.0, 162.0, 139.0]
    for index in (1, 2, 3):
        select_kt, limit_kt = planned[index], iced.flaps[index].limit_kt
        assert select_kt is not None
        assert limit_kt is not None
        assert iced.manoeuvre_kt(18.2, index - 1) <= select_kt <= limit_kt


# Type, what stands in its file, what is put there, words of the report.
WRONG = [
    ("turboprop", "cruise: 0.85", "cruise: 1.0", ""),
    ("turboprop", "high: 1.00", "high: 0.80", "settings: cruise gives more thrust than high"),
    ("turboprop", "cruise: 0.85", "cruise: 0.15", "0.15 is out of bounds"),
    ("turboprop", "power: 1660 kW", "power: 160 kW", "power: shaft power over maximum mass"),
    ("turboprop", "static thrust: 23 kN", "static thrust: 3 kN", "static thrust over maximum"),
    ("turboprop", "idle thrust: 1.15 kN", "idle thrust: 9 kN", "idle thrust: more than a third"),
    ("turboprop", "turbine: true", "turbine: false", "family: the engine is that of a piston"),
    ("turboprop", "reverse fraction: 0.30", "reverse fraction: 0", "reverse without a reverse"),
    ("turboprop", "icing speed factor: 1.09", "icing speed factor: 1.9", "out of bounds"),
    ("turboprop", "look: 2 s", "look: 20 s", "out of bounds"),
    ("turboprop", "minimums, final speed", "minimums, speed mode, final speed", "speed mode"),
    ("turboprop", "final speed, flaps, gear,", "final speed, flaps,", "retractable gear without"),
    ("business-jet", "optional: true", "optional: false", ""),
    ("business-jet", "altitude hold,", "altitude hold, autobrake,", "autobrake without autobrake"),
    ("business-jet", "signal hold: 10 s", "signal hold: 100 s", "out of bounds"),
    ("piston-single", "autopilots: 0", "autopilots: 1", "an autopilot without its control"),
    ("piston-single", "fixed: true, drag: 0", "fixed: true, down: 9 s, drag: 0", "does not travel"),
    ("piston-single", "drag: 0}\nmaximum", "extend limit: 90 kt, drag: 0}\nmaximum", "has none"),
    ("piston-single", "wing area: 15.2 m2", "wing area: 152 m2", "wing loading at maximum mass"),
]


@pytest.mark.parametrize(("name", "stands", "put", "told"), WRONG, ids=lambda value: str(value))
def test_what_could_not_fly_is_refused_by_name(name: str, stands: str, put: str, told: str) -> None:
    text = text_of(name)
    assert text.count(stands) == 1
    kind, problems = read(name, text.replace(stands, put))
    if not told:
        assert kind is not None
        assert not problems
        return
    assert kind is None
    assert any(told in problem for problem in problems), problems


def test_autothrust_that_can_be_switched_off_needs_a_hand() -> None:
    lines = [line for line in text_of("twin-jet").split("\n") if not line.startswith("hand:")]
    _, problems = read("twin-jet", "\n".join(lines))
    assert problems == ["hand: with autothrust off power is set by hand; expected its figures"]


def test_without_a_hand_and_without_autothrust_nobody_sets_power() -> None:
    lines = [line for line in text_of("turboprop").split("\n") if not line.startswith("hand:")]
    _, problems = read("turboprop", "\n".join(lines))
    assert [problem for problem in problems if problem.startswith("hand:")]
