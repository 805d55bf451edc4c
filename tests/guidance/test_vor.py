"""Mode VOR: armed with the localizer button, captured, overhead, lost; step by step."""

from __future__ import annotations

import pytest

from tests.guidance.rig import COURSE_DEG, Rig, along, modes, refusals
from tests.guidance.test_captures import crosswind
from tests.guidance.test_presses import type_with
from tests.guidance.told import begin, told
from tests.world.types import business_jet, turboprop, twin_jet
from trainer.guidance.radial import is_vor_frequency
from trainer.units import NM
from trainer.world.aircraft import AircraftType
from trainer.world.vor import VorStation

ARMED = "lateral armed: VOR (localizer mode pressed with a VOR tuned)"


def inbound(kind: AircraftType | None = None, cut_deg: float = 30.0, wind_kt: float = 0.0) -> Rig:
    """Left of the 143° course to a VOR at the threshold, 15 NM before it, on a cut."""
    kind = kind or twin_jet()
    rig = Rig(
        kind,
        modes(),
        distance_nm=15.0,
        offset_m=-3500.0,
        heading_deg=COURSE_DEG + cut_deg,
        cas_kt=180.0,
        flap=min(2, len(kind.flaps) - 2),
        wind=crosswind(wind_kt) if wind_kt else (),
    )
    rig.localizer = rig.glide = "none"
    rig.vor = VorStation(*along(0.0))
    rig.select("frequency", 113.4)
    begin(rig)
    return rig


@pytest.mark.parametrize(
    ("frequency", "is_vor"),
    [
        ("", False),
        ("108.10", False),
        ("108.20", True),
        ("110.35", False),
        ("111.95", False),
        ("111.85", True),
        ("112.00", True),
        ("113.40", True),
        ("117.95", True),
    ],
)
def test_odd_tenths_below_112_are_localizers_and_all_else_is_a_vor(
    frequency: str, is_vor: bool
) -> None:
    # ICAO Annex 10 Vol I 3.1.6.1 (108.10, 108.15, 108.30 ... 111.95 are localizers), from memory.
    assert is_vor_frequency(frequency) is is_vor


@pytest.mark.parametrize("kind", [twin_jet(), business_jet(), turboprop()])
@pytest.mark.parametrize("wind_kt", [0.0, 25.0])
def test_a_vor_course_is_armed_captured_and_followed_to_the_station(
    kind: AircraftType, wind_kt: float
) -> None:
    rig = inbound(kind, wind_kt=wind_kt)
    rig.press("localizer mode")
    assert told(rig) == [ARMED]
    rig.fly(400.0, lambda r: r.modes.lateral == "VOR")
    assert told(rig)[1:] == [
        "lateral: VOR (VOR course captured)",
        "lateral armed: - (VOR course captured)",
    ]
    rig.fly(400.0, lambda r: r.before_m < 5.0 * NM)
    assert abs(rig.offset_m) < 60.0


def test_overhead_the_course_is_held_as_a_track_and_the_radial_beyond_is_followed() -> None:
    rig = inbound(wind_kt=25.0)
    rig.press("localizer mode")
    rig.fly(400.0, lambda r: r.before_m < 0.5 * NM)
    begin(rig)
    rig.fly(20.0, lambda r: r.sensed().vor_state == "flagged")
    assert rig.sensed().vor_state == "flagged"
    rig.fly(60.0, lambda r: r.sensed().vor_state != "flagged")
    assert told(rig) == []
    assert rig.modes.lateral == "VOR"
    rig.fly(120.0)
    assert rig.before_m < -4.0 * NM
    assert abs(rig.offset_m) < 100.0
    assert told(rig) == []


def test_a_course_turned_overhead_takes_the_aircraft_out_on_another_radial() -> None:
    rig = inbound()
    rig.press("localizer mode")
    rig.fly(400.0, lambda r: r.before_m < 0.0)
    rig.select("course", COURSE_DEG + 40.0)
    begin(rig)
    rig.fly(200.0)
    assert told(rig) == []
    outbound = rig.sensed()
    assert outbound.vor_distance_m < -3.0 * NM
    assert abs(outbound.vor_offset_m) < 100.0


def test_a_vor_lost_far_from_the_station_is_held_for_the_time_of_the_type_and_then_left() -> None:
    kind = type_with(signal_hold_s=5.0)
    rig = inbound(kind)
    rig.press("localizer mode")
    rig.fly(400.0, lambda r: r.modes.lateral == "VOR")
    rig.fly(30.0)
    begin(rig)
    heading = rig.state.heading_rad
    rig.vor = None
    rig.fly(4.9)
    assert told(rig) == []
    rig.fly(0.3)
    assert told(rig) == ["lateral: HDG (VOR lost for 5 s: present flight held)"]
    rig.fly(20.0)
    assert rig.state.heading_rad == pytest.approx(heading, abs=0.02)


def test_without_a_vor_signal_nothing_arms() -> None:
    rig = inbound()
    rig.vor = None
    assert refusals(rig.press("localizer mode")) == ["localizer ignored: no VOR received"]


def test_approach_mode_is_refused_with_a_vor_tuned() -> None:
    rig = inbound()
    assert refusals(rig.press("approach mode")) == ["approach ignored: no localizer received"]
    assert told(rig) == []


def test_a_second_press_disarms_where_the_type_does_that() -> None:
    rig = inbound()
    rig.press("localizer mode", "localizer mode")
    assert told(rig) == [ARMED, "lateral armed: - (localizer mode pressed again)"]
    stays = inbound(business_jet())
    stays.press("localizer mode", "localizer mode")
    assert told(stays) == [ARMED]


def test_a_wrong_course_is_followed_as_faithfully_as_the_right_one() -> None:
    # On the 143° inbound with 150° set: the aircraft goes to the line of 150°, 6 NM from it.
    rig = inbound(cut_deg=10.0)
    rig.select("course", 150.0)
    rig.press("localizer mode")
    rig.fly(400.0, lambda r: r.before_m < 3.0 * NM)
    assert rig.modes.lateral == "VOR"
    assert abs(rig.sensed().vor_offset_m) < 60.0
    assert abs(rig.offset_m) > 500.0


def test_arming_a_vor_drops_an_approach_that_was_armed() -> None:
    rig = Rig(offset_m=-4000.0)
    rig.press("approach mode")
    rig.vor = VorStation(*along(0.0))
    rig.select("frequency", 113.4)
    begin(rig)
    rig.press("localizer mode")
    assert told(rig) == [ARMED, "vertical armed: - (localizer mode pressed with a VOR tuned)"]
