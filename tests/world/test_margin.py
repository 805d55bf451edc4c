"""The energy margin: check values of a second implementation, and how it falls while waiting."""

from __future__ import annotations

import itertools
import math
import random

import pytest

from tests.world.figures import margin
from tests.world.flyer import FLAT
from tests.world.types import business_jet, piston_single, turboprop, twin_jet
from trainer.units import DEG, FT, KT, NM
from trainer.world.air import Air, tas_from_cas
from trainer.world.aircraft import AircraftType
from trainer.world.margin import HOPELESS_NM, Energy, Path, energy_margin
from trainer.world.motion import Airframe
from trainer.world.wind import Wind

pytestmark = pytest.mark.dear

MTJ = twin_jet()


# NM, indicated ft, CAS kt, flap stage, gear down, tailwind kt, ISA offset; to the gate NM, needed
# NM, margin NM, CAS at the end kt (second implementation, 58 t, target 137 kt).
CHECK_VALUES = [
    (15, 3000, 210, 0, False, 0, 0, 12.02, 2.61, 9.40, 146.4),
    (12, 3000, 210, 0, False, 0, 0, 9.02, 2.61, 6.40, 146.4),
    (10.5, 3000, 210, 0, False, 0, 0, 7.52, 4.76, 2.75, 146.6),
    (9.3, 3000, 210, 0, False, 0, 0, 6.32, 8.43, -2.11, 146.6),
    (10.5, 3000, 230, 0, False, 0, 0, 7.52, 8.60, -1.08, 146.6),
    (10, 3000, 190, 1, False, 0, 0, 7.02, 3.08, 3.94, 146.6),
    (9.3, 3000, 175, 2, False, 0, 0, 6.32, 2.58, 3.74, 146.6),
    (8, 2597, 190, 1, False, 0, 0, 5.02, 4.77, 0.25, 146.6),
    (8, 2597, 175, 2, True, 0, 0, 5.02, 2.47, 2.55, 146.6),
    (6, 1961, 165, 2, True, 0, 0, 3.02, 1.66, 1.36, 146.6),
    (6, 1961, 155, 3, True, 0, 0, 3.02, 0.72, 2.30, 146.6),
    (6, 1961, 180, 2, False, 0, 0, 3.02, 3.19, -0.18, 146.6),
    (5, 1643, 155, 3, True, 0, 0, 2.02, 0.72, 1.30, 146.6),
    (4, 1324, 150, 3, True, 0, 0, 1.02, 0.39, 0.63, 147.7),
    (4, 1324, 140, 4, True, 0, 0, 1.02, 0.18, 0.84, 138.5),
    (12, 3000, 210, 0, False, 20, 0, 9.02, 2.89, 6.13, 147.5),
    (12, 3000, 210, 0, False, -20, 0, 9.02, 2.33, 6.68, 146.4),
    (8, 2597, 175, 2, True, 20, 0, 5.02, 3.45, 1.57, 146.6),
    (8, 2597, 175, 2, True, -20, 0, 5.02, 1.82, 3.19, 146.6),
    (6, 1961, 155, 3, True, 20, 0, 3.02, 0.98, 2.04, 146.6),
    (12, 3000, 210, 0, False, 0, -20, 9.24, 2.45, 6.78, 146.3),
    (12, 3000, 210, 0, False, 0, 20, 8.80, 3.60, 5.20, 146.6),
]


@pytest.mark.parametrize(
    ("distance_nm", "indicated_ft", "cas_kt", "stage", "gear", "tail_kt", "delta_isa_k",
     "to_gate_nm", "need_nm", "margin_nm", "end_kt"),
    CHECK_VALUES,
)  # fmt: skip
def test_the_check_values_are_reproduced(
    distance_nm: float, indicated_ft: float, cas_kt: float, stage: int, gear: bool,
    tail_kt: float, delta_isa_k: float, to_gate_nm: float, need_nm: float, margin_nm: float,
    end_kt: float,
) -> None:  # fmt: skip
    found = margin(distance_nm, indicated_ft, cas_kt, stage, gear, tail_kt, delta_isa_k)
    assert found.to_gate_nm == pytest.approx(to_gate_nm, abs=0.01)
    assert found.need_nm == pytest.approx(need_nm, abs=0.01)
    assert found.margin_nm == pytest.approx(margin_nm, abs=0.01)
    assert found.end_cas_kt == pytest.approx(end_kt, abs=0.06)


# Place (NM) where the margin of a clean aircraft at 200 or 210 kt is zero, level at 3,000 ft
# (second implementation).
@pytest.mark.parametrize(
    ("kind", "cas_kt", "tail_kt", "zero_nm"),
    [
        (MTJ, 210, 0, 9.84),
        (MTJ, 210, 20, 10.39),
        (MTJ, 200, 0, 9.61),
        (MTJ, 200, 20, 10.18),
        (MTJ, 200, -20, 7.85),
        (turboprop(), 200, 0, 7.17),
        (turboprop(), 200, 20, 8.45),
        (business_jet(), 200, 0, 5.86),
        (business_jet(), 200, 20, 6.53),
    ],
)
def test_the_margin_is_zero_where_calculated(
    kind: AircraftType, cas_kt: float, tail_kt: float, zero_nm: float
) -> None:
    def at(distance_nm: float) -> float:
        indicated_ft = min(3000.0, FLAT.height_m(distance_nm * NM) / FT)
        return margin(distance_nm, indicated_ft, cas_kt, 0, False, tail_kt, kind=kind).margin_nm

    assert at(zero_nm + 0.06) > 0.0
    assert at(zero_nm - 0.06) < 0.0


@pytest.mark.parametrize(
    ("cas_kt", "stage", "gear", "tail_kt", "delta_isa_k", "level_ft", "path"),
    [
        (210, 0, False, 0, 0, 3000, FLAT),
        (205, 1, False, 20, -20, 3000, FLAT),
        (185, 2, True, -20, 20, 4000, FLAT),
        (160, 3, False, 10, 0, 2500, FLAT),
        (200, 1, True, 5, 10, 3000, FLAT._replace(is_curved=True)),
        (175, 2, False, -10, -10, 2500, FLAT._replace(elevation_m=300.0 * FT, is_curved=True)),
    ],
)
def test_while_waiting_the_margin_only_falls_and_crosses_zero_once(
    cas_kt: float,
    stage: int,
    gear: bool,
    tail_kt: float,
    delta_isa_k: float,
    level_ft: float,
    path: Path,
) -> None:
    # Speed and configuration held by thrust, from 5 NM before the intercept down to 600 ft.
    air = Air(delta_isa_k, 1013.25)
    frame = Airframe(MTJ, 58.0, air, Wind())
    level_m = air.height_at_indicated_m(level_ft, 1013.25)
    distance_m = path.distance_m(level_m) + 5.0 * NM
    margins: list[float] = []
    while True:
        height_m = min(level_m, path.height_m(distance_m))
        if height_m < 600.0 * FT + path.elevation_m:
            break
        energy = Energy(
            distance_m, height_m, cas_kt, float(stage), stage, float(gear), gear, tail_kt * KT
        )
        margins.append(energy_margin(frame, energy, path, 4, MTJ.reference_kt(58.0) + 5.0)[0])
        ground_ms = tas_from_cas(cas_kt * KT, air.state(height_m)) + tail_kt * KT
        distance_m -= 2.0 * ground_ms
    pairs = list(itertools.pairwise(margins))
    assert margins[0] > 0.0 > margins[-1]
    assert all(later <= before + 1e-9 for before, later in pairs)
    assert [before > 0.0 >= later for before, later in pairs].count(True) == 1


def waiting(number: int) -> list[float]:
    """Margins, one a second, of random start `number` (the same every time) down to 600 ft."""
    dice = random.Random(number)
    kind = dice.choice([MTJ, MTJ, turboprop(), business_jet()])
    mass_t = dice.uniform(kind.mass_min_t, kind.mass_max_landing_t)
    landing = kind.stage_for("landing")
    target_kt = kind.reference_kt(mass_t) + 5.0
    stage, gear = dice.randrange(landing), dice.random() < 0.5
    limits_kt = [kind.flaps[stage].limit_kt, kind.gear.extended_limit_kt if gear else None, 250.0]
    fastest_kt = min(limit_kt for limit_kt in limits_kt if limit_kt is not None)
    slowest_kt = max(kind.manoeuvre_kt(mass_t, stage), target_kt + 12.0)
    cas_kt = dice.uniform(slowest_kt, fastest_kt)
    tail_ms = dice.uniform(-20.0, 20.0) * KT
    air = Air(dice.choice([-20.0, 0.0, 20.0]), 1013.25)
    frame = Airframe(kind, mass_t, air, Wind())
    level_m = air.height_at_indicated_m(dice.choice([2500.0, 3000.0, 4000.0]), 1013.25)
    distance_m = FLAT.distance_m(level_m) + dice.uniform(4.0, 8.0) * NM
    margins: list[float] = []
    while True:
        height_m = min(level_m, FLAT.height_m(distance_m))
        if height_m < 600.0 * FT:
            return margins
        energy = Energy(
            distance_m, height_m, cas_kt, float(stage), stage, float(gear), gear, tail_ms
        )
        margins.append(energy_margin(frame, energy, FLAT, landing, target_kt).margin_nm)
        distance_m -= tas_from_cas(cas_kt * KT, air.state(height_m)) + tail_ms


def check_waiting(number: int) -> bool:
    """One start; False if it had no margin to begin with."""
    margins = waiting(number)
    if margins[0] <= 0.0:
        return False
    pairs = list(itertools.pairwise(margins))
    assert [before > 0.0 >= after for before, after in pairs].count(True) == 1, number
    assert [before <= 0.0 < after for before, after in pairs].count(True) == 0, number
    assert margins[-1] < 0.0
    return True


@pytest.mark.parametrize("number", range(12))
def test_from_a_random_start_the_margin_crosses_zero_once(number: int) -> None:
    assert check_waiting(number)


@pytest.mark.long
def test_from_two_hundred_random_starts_the_margin_crosses_zero_once() -> None:
    positive = [check_waiting(number) for number in range(12, 232)]
    assert positive.count(True) >= 200


def test_more_speed_never_gives_more_margin() -> None:
    margins = [margin(9.0, 2900, cas_kt, 2, True).margin_nm for cas_kt in range(150, 206, 5)]
    assert margins == sorted(margins, reverse=True)


def test_a_tailwind_takes_margin_away_and_a_headwind_gives_some() -> None:
    tail, calm, head = (margin(8, 2597, 175, 2, True, wind).margin_nm for wind in (20, 0, -20))
    assert tail < calm < head


def test_a_hopeless_state_says_so() -> None:
    # Best effort from a speed at which nothing may be selected, on a path too steep to slow down.
    steep = FLAT._replace(angle_rad=7.0 * DEG)
    found = margin(3.0, 2300, 300, 0, False, path=steep)
    assert found.margin_nm == HOPELESS_NM
    assert math.isinf(found.need_nm)


def test_fixed_gear_counts_as_down() -> None:
    found = margin(3.0, 1000, 100, 1, False, kind=piston_single(), path=FLAT._replace(gate_ft=500))
    assert found.margin_nm > 0.0
    assert found == margin(
        3.0, 1000, 100, 1, True, kind=piston_single(), path=FLAT._replace(gate_ft=500)
    )


# 0.883 d² ft of rise over the curved surface, d in NM (d²/2R with R = 6,371 km; computed).
@pytest.mark.parametrize(("distance_nm", "rise_ft"), [(1, 1), (4, 14), (6, 32), (8, 57), (10, 88)])
def test_a_curved_path_rises_above_the_flat_one(distance_nm: float, rise_ft: float) -> None:
    curved = FLAT._replace(is_curved=True)
    rise_m = curved.height_m(distance_nm * NM) - FLAT.height_m(distance_nm * NM)
    assert rise_m / FT == pytest.approx(rise_ft, abs=0.6)


# Height (ft) above the threshold of a 3° path crossing it at 50 ft, flat (published table).
@pytest.mark.parametrize(
    ("distance_nm", "height_ft"),
    [(1, 368), (2, 687), (3, 1005), (4, 1324), (6, 1961), (8, 2597), (10, 3234)],
)
def test_the_flat_path_has_the_published_heights(distance_nm: float, height_ft: float) -> None:
    assert FLAT.height_m(distance_nm * NM) / FT == pytest.approx(height_ft, abs=1.0)


@pytest.mark.parametrize("is_curved", [False, True])
def test_distance_and_height_on_the_path_convert_there_and_back(is_curved: bool) -> None:
    path = FLAT._replace(is_curved=is_curved, elevation_m=120.0)
    for distance_nm in (0.0, 0.5, 3.0, 9.3, 14.0):
        height_m = path.height_m(distance_nm * NM)
        assert path.distance_m(height_m) == pytest.approx(distance_nm * NM, abs=1e-6)
