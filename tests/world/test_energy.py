"""Drag, thrust and deceleration against hand calculation, published ranges and a library.

Golden rows: a hand calculation confirmed by a second implementation of the same equations.
Published ranges: FAA Airplane Flying Handbook, jet chapter ("about 10 knots per mile" level), and
the ranges of FSF ALAR Briefing Note 4.2 (from memory).
"""

from __future__ import annotations

import math

import pytest

from tests.world.types import business_jet, piston_single, turboprop, twin_jet
from trainer.units import DEG, FT, KT, G
from trainer.world.air import Air, cas_from_tas, tas_from_cas
from trainer.world.aircraft import AircraftType
from trainer.world.energy import Performance, spool_rate_per_s

MTJ, RTP, BZJ, SEP = twin_jet(), turboprop(), business_jet(), piston_single()
STANDARD = Air(0.0, 1013.25)


def glide_climb_ms(tas_ms: float, wind_kt: float, angle_deg: float = 3.0) -> tuple[float, float]:
    """Climb rate and load factor on a ground-fixed path with `wind_kt` of tailwind."""
    climb_ms = 0.0
    for _ in range(20):
        level_ms = math.sqrt(tas_ms * tas_ms - climb_ms * climb_ms)
        climb_ms = -(level_ms + wind_kt * KT) * math.tan(angle_deg * DEG)
    return climb_ms, math.sqrt(1.0 - (climb_ms / tas_ms) ** 2)


def idle_figures(
    kind: AircraftType,
    cas_kt: float,
    feet: float,
    flap: int,
    gear: float,
    path_deg: float = 0.0,
    tail_kt: float = 0.0,
    speedbrake: float = 0.0,
    mass_t: float | None = None,
) -> tuple[float, float, float, float, float, float]:
    """TAS kt, drag N, idle thrust N, dV/dt m/s², dCAS kt/s, dCAS kt/NM at idle."""
    performance = Performance(kind, mass_t or kind.mass_typical_t, 0.0)
    air = STANDARD.state(feet * FT)
    tas_ms = tas_from_cas(cas_kt * KT, air)
    climb_ms, load = glide_climb_ms(tas_ms, tail_kt, path_deg)
    drag_n = performance.drag_n(air, tas_ms, load, flap, gear, speedbrake)
    idle_n = performance.idle_thrust_n(air, tas_ms)
    change = (idle_n - drag_n) / performance.mass_kg - G * climb_ms / tas_ms
    # Exact rate of calibrated airspeed: what the pitot shows a tenth of a second later.
    later = STANDARD.state(feet * FT + 0.1 * climb_ms)
    cas_change = (cas_from_tas(tas_ms + 0.1 * change, later) / KT - cas_kt) / 0.1
    ground_kt = tas_ms * load / KT + tail_kt
    return tas_ms / KT, drag_n, idle_n, change, cas_change, cas_change * 3600.0 / ground_kt


GOLDEN = [
    (MTJ, 210, 3000, 0, 0, 0, 0, 219.21, 30597, 9674, -0.3607, -0.674, -11.1),
    (MTJ, 190, 3000, 1, 0, 0, 0, 198.39, 34379, 10281, -0.4155, -0.775, -14.1),
    (MTJ, 170, 3000, 2, 0, 0, 0, 177.54, 38558, 10888, -0.4771, -0.890, -18.0),
    (MTJ, 210, 3000, 0, 0, 3, 0, 219.21, 30557, 9674, 0.1532, 0.345, 5.7),
    (MTJ, 170, 2000, 2, 1, 3, 0, 174.98, 48155, 11392, -0.1206, -0.190, -3.9),
    (MTJ, 137, 1000, 4, 1, 3, 0, 139.00, 63052, 12955, -0.3505, -0.647, -16.8),
    (MTJ, 137, 1000, 4, 1, 3, -20, 139.00, 63077, 12955, -0.4247, -0.793, -24.0),
    (RTP, 210, 3000, 0, 0, 0, 0, 219.21, 13937, -2281, -0.8911, -1.664, -27.3),
    (RTP, 165, 3000, 1, 0, 0, 0, 172.33, 14453, -1299, -0.8655, -1.614, -33.7),
    (RTP, 150, 2000, 2, 1, 3, 0, 154.41, 21685, -972, -0.7316, -1.353, -31.6),
    (RTP, 112, 1000, 3, 1, 3, 0, 113.64, 22316, -143, -0.7208, -1.365, -43.3),
    (BZJ, 210, 3000, 0, 0, 0, 0, 219.21, 6998, 1287, -0.6881, -1.285, -21.1),
    (BZJ, 160, 2000, 1, 1, 3, 0, 164.70, 9842, 1551, -0.4856, -0.884, -19.4),
    (BZJ, 112, 1000, 2, 1, 3, 0, 113.64, 10698, 1818, -0.5567, -1.050, -33.3),
    (SEP, 100, 3000, 0, 0, 0, 0, 104.50, 1011, -317, -1.3691, -2.548, -87.8),
    (SEP, 65, 1000, 3, 0, 3, 0, 65.96, 1332, -168, -1.0328, -1.973, -107.8),
]


@pytest.mark.parametrize(
    ("kind", "cas_kt", "feet", "flap", "gear", "path_deg", "tail_kt", "tas_kt", "drag_n",
     "idle_n", "change", "cas_change", "per_mile"),
    GOLDEN,
)  # fmt: skip
def test_forces_and_deceleration_match_the_golden_rows(
    kind: AircraftType, cas_kt: float, feet: float, flap: int, gear: float, path_deg: float,
    tail_kt: float, tas_kt: float, drag_n: float, idle_n: float, change: float,
    cas_change: float, per_mile: float,
) -> None:  # fmt: skip
    found = idle_figures(kind, cas_kt, feet, flap, gear, path_deg, tail_kt)
    assert found[0] == pytest.approx(tas_kt, abs=0.006)
    assert found[1] == pytest.approx(drag_n, rel=0.002, abs=0.51)
    assert found[2] == pytest.approx(idle_n, rel=0.002, abs=1.0)
    assert found[3] == pytest.approx(change, rel=0.002, abs=0.00006)
    assert found[4] == pytest.approx(cas_change, rel=0.002, abs=0.0006)
    assert found[5] == pytest.approx(per_mile, rel=0.002, abs=0.06)


# Twin jet at idle: flap, gear, CAS; level at 3,000 ft kt/NM; on 3° at 2,000 ft calm, 20 kt of
# tail, 20 kt of head (hand calculation).
DECELERATION = [
    (0, 0, 250, -10.9, 3.8, 4.6, 2.8),
    (0, 0, 210, -11.1, 6.1, 7.0, 4.9),
    (0, 1, 210, -18.8, -2.0, -0.3, -3.9),
    (1, 0, 190, -14.1, 4.6, 5.9, 3.0),
    (2, 0, 190, -16.3, 2.3, 3.9, 0.5),
    (2, 0, 170, -18.0, 2.6, 4.5, 0.2),
    (2, 1, 170, -24.3, -3.9, -1.4, -7.1),
    (3, 0, 170, -23.4, -3.0, -0.5, -6.1),
    (3, 1, 155, -31.4, -9.3, -5.7, -13.8),
    (4, 1, 155, -37.4, -15.5, -11.3, -21.0),
    (4, 1, 137, -41.4, -16.7, -11.5, -23.7),
]


@pytest.mark.parametrize(("flap", "gear", "cas_kt", "level", "calm", "tail", "head"), DECELERATION)
def test_the_twin_jet_slows_per_mile_as_calculated(
    flap: int, gear: float, cas_kt: float, level: float, calm: float, tail: float, head: float
) -> None:
    assert idle_figures(MTJ, cas_kt, 3000, flap, gear)[5] == pytest.approx(level, abs=0.06)
    for wind_kt, expected in ((0, calm), (20, tail), (-20, head)):
        found = idle_figures(MTJ, cas_kt, 2000, flap, gear, 3.0, wind_kt)[5]
        assert found == pytest.approx(expected, abs=0.06)


def test_the_speedbrake_about_halves_the_distance_to_slow_down() -> None:
    without = idle_figures(MTJ, 210, 3000, 0, 0)[5]
    with_it = idle_figures(MTJ, 210, 3000, 0, 0, speedbrake=1.0)[5]
    assert with_it == pytest.approx(-20.8, abs=0.06)
    assert without / with_it == pytest.approx(0.5, abs=0.06)


def test_level_and_clean_a_jet_slows_about_ten_knots_per_mile() -> None:
    # FAA Airplane Flying Handbook, jet descent planning.
    rates = [idle_figures(MTJ, cas_kt, 3000, 0, 0)[5] for cas_kt in (250, 240, 230, 220, 210)]
    assert math.fsum(rates) / len(rates) == pytest.approx(-10.0, abs=1.0)


def test_a_clean_jet_cannot_slow_down_on_the_glide_path() -> None:
    # FSF ALAR Briefing Note 4.2: usually not possible; gear and flap make it possible.
    assert idle_figures(MTJ, 200, 2000, 0, 0, 3.0)[5] > 0.0
    assert idle_figures(MTJ, 170, 2000, 2, 1, 3.0)[5] < 0.0


# Mean clean drag (kN) of seven narrow-body polars of the OpenAP 2.6 library at 58 t, and the range.
@pytest.mark.parametrize(
    ("cas_kt", "lowest_kn", "highest_kn"), [(250, 31.1, 38.7), (210, 28.9, 35.2)]
)
def test_clean_drag_lies_among_the_polars_of_openap(
    cas_kt: float, lowest_kn: float, highest_kn: float
) -> None:
    assert lowest_kn <= idle_figures(MTJ, cas_kt, 3000, 0, 0)[1] / 1000.0 <= highest_kn


# Trim thrust at 2,000 ft, kN: level and on 3° (hand calculation).
@pytest.mark.parametrize(
    ("kind", "cas_kt", "flap", "gear", "level_kn", "path_kn"),
    [
        (MTJ, 210, 0, 0, 30.6, -1.0),
        (MTJ, 190, 1, 0, 34.4, 3.1),
        (MTJ, 175, 2, 1, 48.5, 17.5),
        (MTJ, 155, 3, 1, 55.2, 24.4),
        (MTJ, 137, 4, 1, 63.1, 32.5),
        (RTP, 112, 3, 1, 22.3, 12.8),
        (BZJ, 112, 2, 1, 10.7, 6.4),
        (SEP, 65, 3, 0, 1.3, 0.8),
    ],
)
def test_trim_thrust_matches_the_hand_calculation(
    kind: AircraftType, cas_kt: float, flap: int, gear: float, level_kn: float, path_kn: float
) -> None:
    performance = Performance(kind, kind.mass_typical_t, 0.0)
    air = STANDARD.state(2000.0 * FT)
    tas_ms = tas_from_cas(cas_kt * KT, air)
    for angle_deg, expected in ((0.0, level_kn), (3.0, path_kn)):
        climb_ms, load = glide_climb_ms(tas_ms, 0.0, angle_deg)
        drag_n = performance.drag_n(air, tas_ms, load, flap, gear, 0.0)
        # The figures hold calibrated airspeed.
        thrust_n = performance.balance_n(air, tas_ms, drag_n, climb_ms, 0.0, 0.0)
        assert thrust_n / 1000.0 == pytest.approx(expected, abs=0.1)


def test_the_power_that_holds_final_speed_is_twelve_per_cent() -> None:
    performance = Performance(MTJ, 58.0, 0.0)
    air = STANDARD.state(2000.0 * FT)
    tas_ms = tas_from_cas(137.0 * KT, air)
    climb_ms, load = glide_climb_ms(tas_ms, 0.0)
    drag_n = performance.drag_n(air, tas_ms, load, 4, 1.0, 0.0)
    power = performance.holding_power(air, tas_ms, climb_ms, drag_n)
    assert power == pytest.approx(0.12, abs=0.005)
    same = performance.autothrust_power(air, tas_ms, 60.0, 60.0, climb_ms, drag_n)
    assert same == pytest.approx(power)
    more = performance.autothrust_power(air, tas_ms, 60.0, 65.0, climb_ms, drag_n)
    assert more > power


# 1 g stall speed at typical landing mass, kt (hand calculation).
@pytest.mark.parametrize(
    ("kind", "speeds_kt"),
    [
        (MTJ, (146, 129, 120, 112, 106)),
        (RTP, (109, 99, 92, 86)),
        (BZJ, (102, 91, 84)),
        (SEP, (52, 49, 47, 45)),
    ],
)
def test_stall_speeds_match_the_hand_calculation(
    kind: AircraftType, speeds_kt: tuple[int, ...]
) -> None:
    performance = Performance(kind, kind.mass_typical_t, 0.0)
    found = tuple(round(performance.stall_cas_ms(stage) / KT) for stage in range(len(speeds_kt)))
    assert found == speeds_kt
    in_turn = performance.stall_cas_ms(0.0, 1.0 / math.cos(60.0 * DEG))
    assert in_turn == pytest.approx(performance.stall_cas_ms(0.0) * math.sqrt(2.0))


def test_a_hot_day_weakens_the_jet() -> None:
    air = STANDARD.state(0.0)
    cold = Performance(MTJ, 58.0, 15.0).max_thrust_n(air, 70.0)
    hot = Performance(MTJ, 58.0, 35.0).max_thrust_n(air, 70.0)
    assert hot / cold == pytest.approx(0.86)


# Seconds from idle to 95 % of power: 14 CFR 33.73 asks for not over 5 s.
@pytest.mark.parametrize(("kind", "expected_s"), [(MTJ, 4.9), (BZJ, 4.2), (RTP, 3.0), (SEP, 1.2)])
def test_engines_reach_95_per_cent_within_five_seconds(
    kind: AircraftType, expected_s: float
) -> None:
    power, elapsed_s, step_s = 0.0, 0.0, 0.001
    while power < 0.95:
        power += step_s * spool_rate_per_s(power, 1.0, kind.engine.spool)
        elapsed_s += step_s
    assert elapsed_s <= 5.0
    assert elapsed_s == pytest.approx(expected_s, abs=0.06)


def test_level_change_keeps_up_to_four_tenths_of_a_knot_per_second_for_speed() -> None:
    performance = Performance(MTJ, 58.0, 0.0)
    on_speed = performance.level_change_climb_ms(110.0, 108.0, 108.0, 10000.0, 30000.0)
    assert on_speed == pytest.approx(110.0 * -20000.0 / 58000.0 / G)
    too_slow = performance.level_change_climb_ms(110.0, 98.0, 108.0, 10000.0, 30000.0)
    assert on_speed - too_slow == pytest.approx(110.0 * 0.4 * KT / G)
    assert performance.level_change_climb_ms(110.0, 108.0, 108.0, 3e5, 3e4) == 20.0
