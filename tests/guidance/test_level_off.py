"""How a level-off is stolen: the classic surprises around the selected altitude, step by step."""

from __future__ import annotations

import pytest

from tests.guidance.rig import Rig, modes, refusals
from tests.guidance.told import begin, told
from tests.world.types import business_jet, piston_single, turboprop, twin_jet
from trainer.guidance.commands import CLIMB_POWER
from trainer.guidance.modes import Modes
from trainer.world.aircraft import AircraftType

KEEPS = [twin_jet(), business_jet()]
FALLS_BACK = [turboprop(), piston_single()]


def start(kind: AircraftType, vertical: str) -> Modes:
    """A flight that begins in `vertical`, coupled where there is an autopilot."""
    return modes("HDG", vertical, engagement="AP" if kind.guidance.autopilots else "FD")


def level(kind: AircraftType | None = None, altitude_ft: float = 5000.0) -> Rig:
    """Level at `altitude_ft` far out."""
    kind = kind or twin_jet()
    is_slow = kind.family == "piston"
    return Rig(
        kind,
        start(kind, "ALT"),
        distance_nm=30.0,
        altitude_ft=altitude_ft,
        cas_kt=90.0 if is_slow else 180.0,
        flap=0 if is_slow else 2,
    )


def capturing(kind: AircraftType) -> Rig:
    """In the level-off at 3,000 ft, after a descent at 1,000 ft/min."""
    rig = level(kind, 4000.0)
    rig.select("altitude", 3000.0)
    rig.select("vertical speed", -1000.0 if kind.family != "piston" else -500.0)
    rig.press("vertical speed mode")
    rig.fly(120.0, lambda r: r.modes.vertical == "ALT CAP")
    assert rig.modes.vertical == "ALT CAP"
    begin(rig)
    return rig


# Selector turned in the level-off -------------------------------------------------------------


@pytest.mark.parametrize("kind", KEEPS, ids=lambda kind: kind.name)
def test_selector_turned_in_the_level_off_keeps_the_old_target(kind: AircraftType) -> None:
    rig = capturing(kind)
    rig.select("altitude", 4000.0)
    assert told(rig) == []
    rig.fly(40.0)
    assert told(rig) == ["vertical: ALT (level at the captured altitude)"]
    assert rig.altitude_ft == pytest.approx(3000.0, abs=20.0)
    # The new altitude is not flown to: somebody must press something.
    rig.fly(60.0)
    assert rig.altitude_ft == pytest.approx(3000.0, abs=10.0)


@pytest.mark.parametrize("kind", FALLS_BACK, ids=lambda kind: kind.name)
def test_selector_turned_in_the_level_off_falls_back_and_goes_through_the_old_altitude(
    kind: AircraftType,
) -> None:
    rig = capturing(kind)
    sink_ms = rig.state.climb_ms
    rig.select("altitude", 4000.0)
    assert told(rig) == [
        "vertical: VS (altitude selector turned in altitude capture: vertical speed held)"
    ]
    rig.fly(60.0)
    assert rig.modes.vertical == "VS"
    assert rig.state.climb_ms == pytest.approx(sink_ms, abs=0.3)
    assert rig.altitude_ft < 2900.0


@pytest.mark.parametrize("kind", FALLS_BACK, ids=lambda kind: kind.name)
def test_the_same_altitude_set_again_in_the_level_off_is_no_turn(kind: AircraftType) -> None:
    rig = capturing(kind)
    rig.select("altitude", 3000.0)
    rig.fly(40.0)
    assert told(rig) == ["vertical: ALT (level at the captured altitude)"]


def test_a_level_off_that_fell_back_is_caught_again_at_a_new_altitude_ahead() -> None:
    rig = capturing(turboprop())
    rig.select("altitude", 2500.0)
    rig.fly(150.0)
    assert told(rig) == [
        "vertical: VS (altitude selector turned in altitude capture: vertical speed held)",
        "vertical: ALT CAP (selected altitude captured)",
        "vertical: ALT (level at the captured altitude)",
    ]
    assert rig.altitude_ft == pytest.approx(2500.0, abs=20.0)


# Missed-approach altitude set too soon --------------------------------------------------------


def test_missed_approach_altitude_set_too_soon_in_descend_takes_the_level_off_away() -> None:
    rig = level()
    rig.select("altitude", 3000.0)
    rig.press("descend mode")
    rig.fly(60.0)
    assert 3200.0 < rig.altitude_ft < 4900.0
    rig.select("altitude", 4900.0)
    rig.fly(200.0, lambda r: r.altitude_ft < 2800.0)
    assert rig.altitude_ft < 2800.0
    assert told(rig) == [
        "vertical: DESCEND (descend mode pressed)",
        "thrust: IDLE (descending at idle)",
    ]
    # Altitude hold is the way out: at once, at the altitude of the press.
    rig.press("altitude hold")
    held = rig.altitude_ft
    rig.fly(40.0)
    assert rig.modes.vertical == "ALT"
    assert rig.altitude_ft == pytest.approx(held, abs=30.0)


def test_a_lower_altitude_set_too_soon_in_climb_takes_the_level_off_away() -> None:
    rig = level(altitude_ft=3000.0)
    rig.select("altitude", 5000.0)
    rig.press("climb mode")
    rig.fly(15.0)
    assert 3050.0 < rig.altitude_ft < 4000.0
    rig.select("altitude", 3000.0)
    rig.fly(120.0, lambda r: r.altitude_ft > 5300.0)
    assert rig.altitude_ft > 5300.0
    assert told(rig) == [
        "vertical: CLIMB (climb mode pressed)",
        "thrust: CLIMB (climbing at climb thrust)",
    ]


def test_climb_levels_off_at_the_selected_altitude_and_gives_thrust_back_to_the_speed() -> None:
    rig = level(altitude_ft=3000.0)
    rig.select("altitude", 5000.0)
    rig.press("climb mode")
    rig.fly(10.0)
    assert rig.command.power == CLIMB_POWER
    assert rig.state.climb_ms > 5.0
    rig.fly(120.0)
    assert told(rig) == [
        "vertical: CLIMB (climb mode pressed)",
        "thrust: CLIMB (climbing at climb thrust)",
        "vertical: ALT CAP (selected altitude captured)",
        "thrust: SPEED (ALT CAP holds the path, thrust the speed)",
        "vertical: ALT (level at the captured altitude)",
    ]
    assert rig.altitude_ft == pytest.approx(5000.0, abs=10.0)
    assert rig.sensed().cas_kt == pytest.approx(180.0, abs=3.0)


def test_climb_holds_the_selected_speed_with_pitch() -> None:
    # Thrust comes faster than the nose rises, so the speed goes above first and then comes back.
    rig = level(altitude_ft=3000.0)
    rig.select("altitude", 9000.0)
    rig.press("climb mode")
    rig.fly(75.0)
    assert rig.modes.vertical == "CLIMB"
    assert rig.sensed().cas_kt == pytest.approx(180.0, abs=2.0)


def test_speed_mode_is_refused_while_pitch_holds_the_speed() -> None:
    rig = level()
    rig.press("climb mode")
    assert refusals(rig.press("speed mode")) == [
        "speed ignored: thrust belongs to the vertical mode in use"
    ]


# Away from the altitude that is being captured -------------------------------------------------


@pytest.mark.parametrize("kind", [*KEEPS, *FALLS_BACK], ids=lambda kind: kind.name)
def test_a_go_around_in_the_level_off_at_the_minimum_climbs_away(kind: AircraftType) -> None:
    # The selector still stands at the minimum, and the aircraft still sinks towards it.
    rig = capturing(kind)
    rig.press("go-around")
    if rig.modes.thrust == "OFF":
        rig.state = rig.state._replace(power=1.0)  # the levers, by hand
    rig.fly(40.0)
    words = [line for line in told(rig) if line.startswith(("vertical", "thrust"))]
    assert words[0] == "vertical: GA (go-around pressed)"
    assert not any("ALT" in line for line in words)
    assert rig.altitude_ft > 3300.0


@pytest.mark.parametrize("kind", [*KEEPS, *FALLS_BACK], ids=lambda kind: kind.name)
def test_climbing_again_out_of_a_level_off_does_not_capture_what_lies_below(
    kind: AircraftType,
) -> None:
    for button in ("climb mode", "vertical speed mode"):
        rig = capturing(kind)
        rig.select("vertical speed", 500.0)
        rig.press(button)
        assert rig.state.climb_ms < -2.0
        rig.fly(5.0)
        assert rig.modes.vertical == {"climb mode": "CLIMB", "vertical speed mode": "VS"}[button]


def test_descend_pressed_in_a_climb_does_not_capture_the_altitude_above() -> None:
    rig = level(altitude_ft=3000.0)
    rig.select("altitude", 4000.0)
    rig.select("vertical speed", 1500.0)
    rig.press("vertical speed mode")
    rig.fly(60.0, lambda r: r.modes.vertical == "ALT CAP")
    rig.press("descend mode")
    assert rig.state.climb_ms > 5.0
    rig.fly(5.0)
    assert rig.modes.vertical == "DESCEND"


# The wrong side ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("button", "selected_ft", "sign"), [("descend mode", 6000.0, -1.0), ("climb mode", 4000.0, 1.0)]
)
def test_with_the_selected_altitude_on_the_wrong_side_the_mode_flies_away_from_it(
    button: str, selected_ft: float, sign: float
) -> None:
    rig = level()
    rig.select("altitude", selected_ft)
    rig.press(button)
    rig.fly(90.0)
    assert rig.modes.vertical == button.split()[0].upper()
    assert sign * (rig.altitude_ft - 5000.0) > 500.0


@pytest.mark.parametrize("rate_fpm", [-800.0, 800.0])
def test_vertical_speed_away_from_the_selected_altitude_never_captures_it(rate_fpm: float) -> None:
    rig = level()
    rig.select("altitude", 5000.0 - 10.0 * rate_fpm / abs(rate_fpm))
    rig.select("vertical speed", rate_fpm)
    rig.press("vertical speed mode")
    rig.fly(90.0)
    assert told(rig) == ["vertical: VS (vertical speed mode pressed)"]
    assert (rig.altitude_ft - 5000.0) * rate_fpm > 500.0


def test_vertical_speed_turned_through_zero_flies_away_from_the_altitude_it_was_set_for() -> None:
    rig = level()
    rig.select("altitude", 3000.0)
    rig.select("vertical speed", -1000.0)
    rig.press("vertical speed mode")
    rig.fly(30.0)
    rig.select("vertical speed", 1000.0)
    rig.fly(120.0)
    assert rig.modes.vertical == "VS"
    assert rig.altitude_ft > 6000.0
