"""Late approaches against the rungs of a second implementation of the same rules.

Its rungs are printed to 0.1 NM and it finds its idle point more coarsely, hence the tolerances.
"""

from __future__ import annotations

import pytest

from tests.world.types import twin_jet
from trainer.units import DEG, FT, KT
from trainer.world.air import Air
from trainer.world.ladders import Rung, energy_limit_ladder, last_chance_ladder
from trainer.world.margin import Path
from trainer.world.motion import Airframe
from trainer.world.wind import Wind, components

MTJ = twin_jet()
FLAT = Path(3.0 * DEG, 50.0 * FT, 0.0, 1000.0, 1013.25, is_curved=False)
TARGET_KT = MTJ.reference_kt(58.0) + 5.0
COURSE_RAD = 143.0 * DEG


def frame(tail_kt: float, delta_isa_k: float) -> Airframe:
    """The twin jet with `tail_kt` along the course, the same at every height."""
    wind = Wind([(0.0, *components(143.0 + 180.0, tail_kt))])
    return Airframe(MTJ, 58.0, Air(delta_isa_k, 1013.25), wind)


def places(rungs: tuple[Rung, ...]) -> dict[str, tuple[float, float, float]]:
    """Distance NM, indicated ft and CAS kt by step."""
    return {rung.step: (rung.distance_nm, rung.altitude_ft, rung.cas_kt) for rung in rungs}


# Tailwind kt, ISA offset: step → NM, ft, kt.
LAST_CHANCE: dict[tuple[float, float], dict[str, tuple[float, float, float]]] = {
    (0, 0): {
        "idle": (11.8, 3000, 210),
        "flap 4": (11.6, 3000, 208),
        "flap 12": (9.8, 3000, 184),
        "path captured": (9.3, 3000, 180),
        "gear": (9.3, 3000, 180),
        "flap 22": (5.7, 1870, 167),
        "flap 36": (3.9, 1290, 151),
        "thrust lever up": (3.6, 1210, 148),
        "configured": (3.5, 1170, 147),
        "thrust holds": (3.4, 1140, 146),
        "checklist done": (3.0, 1010, 146),
    },
    (20, 0): {
        "idle": (12.8, 3000, 210),
        "flap 12": (10.5, 3000, 184),
        "path captured": (9.3, 3000, 170),
        "flap 22": (6.9, 2250, 167),
        "flap 36": (4.0, 1320, 151),
        "checklist done": (3.0, 1010, 146),
    },
    (-20, 0): {
        "idle": (10.7, 3000, 210),
        "flap 12": (7.4, 2410, 184),
        "path captured": (9.3, 3000, 192),
        "flap 22": (5.0, 1640, 167),
        "flap 36": (3.7, 1240, 151),
    },
    (0, -20): {
        "idle": (11.0, 3000, 210),
        "path captured": (8.7, 3000, 180),
        "flap 22": (5.3, 1880, 167),
        "flap 36": (3.6, 1290, 151),
    },
    (0, 20): {
        "idle": (12.6, 3000, 210),
        "path captured": (10.0, 3000, 180),
        "flap 22": (6.1, 1860, 167),
        "flap 36": (4.1, 1280, 151),
    },
}


@pytest.mark.parametrize(("tail_kt", "delta_isa_k"), list(LAST_CHANCE))
def test_the_last_chance_falls_where_calculated(tail_kt: float, delta_isa_k: float) -> None:
    found = places(
        last_chance_ladder(
            frame(tail_kt, delta_isa_k), FLAT, COURSE_RAD, 4, TARGET_KT, 3000.0, 210.0
        )
    )
    for step, (distance_nm, altitude_ft, cas_kt) in LAST_CHANCE[tail_kt, delta_isa_k].items():
        assert found[step][0] == pytest.approx(distance_nm, abs=0.17)
        assert found[step][1] == pytest.approx(altitude_ft, abs=20.0)
        assert found[step][2] == pytest.approx(cas_kt, abs=1.0)


ENERGY_LIMIT: dict[tuple[float, float], dict[str, tuple[float, float, float]]] = {
    (0, 0): {
        "idle": (10.0, 3000, 210),
        "gear": (10.0, 3000, 210),
        "flap 4": (10.0, 3000, 210),
        "flap 12": (9.6, 3000, 205),
        "path captured": (9.3, 3000, 200),
        "flap 22": (7.2, 2330, 188),
        "flap 36": (5.0, 1630, 167),
        "final speed": (3.0, 1010, 137),
    },
    (20, 0): {"idle": (10.5, 3000, 210), "flap 22": (9.1, 2970, 188), "flap 36": (5.7, 1870, 167)},
    (-20, 0): {"idle": (9.3, 3000, 210), "flap 22": (6.0, 1970, 188), "flap 36": (4.4, 1460, 167)},
    (0, -20): {"idle": (9.3, 3000, 210), "flap 22": (6.6, 2330, 188), "flap 36": (4.6, 1630, 167)},
    (0, 20): {"idle": (10.7, 3000, 210), "flap 22": (7.7, 2320, 188), "flap 36": (5.3, 1620, 167)},
}


@pytest.mark.parametrize(("tail_kt", "delta_isa_k"), list(ENERGY_LIMIT))
def test_the_energy_limit_falls_where_calculated(tail_kt: float, delta_isa_k: float) -> None:
    found = places(
        energy_limit_ladder(
            frame(tail_kt, delta_isa_k), FLAT, COURSE_RAD, 4, TARGET_KT, 3000.0, 210.0
        )
    )
    for step, (distance_nm, altitude_ft, cas_kt) in ENERGY_LIMIT[tail_kt, delta_isa_k].items():
        assert found[step][0] == pytest.approx(distance_nm, abs=0.12)
        assert found[step][1] == pytest.approx(altitude_ft, abs=20.0)
        assert found[step][2] == pytest.approx(cas_kt, abs=1.0)


def test_the_energy_limit_is_later_than_the_last_chance() -> None:
    aircraft = frame(0.0, 0.0)
    last = last_chance_ladder(aircraft, FLAT, COURSE_RAD, 4, TARGET_KT, 3000.0, 210.0)
    limit = energy_limit_ladder(aircraft, FLAT, COURSE_RAD, 4, TARGET_KT, 3000.0, 210.0)
    assert places(limit)["idle"][0] < places(last)["idle"][0] - 1.0


def test_rungs_are_in_the_order_of_flight() -> None:
    rungs = last_chance_ladder(frame(10.0, 5.0), FLAT, COURSE_RAD, 4, TARGET_KT, 3000.0, 210.0)
    distances = [rung.distance_nm for rung in rungs]
    assert distances == sorted(distances, reverse=True)


def test_an_impossible_gate_gives_no_ladder() -> None:
    # The gate comes with the capture, and gear is selected only then.
    high = FLAT._replace(gate_ft=2995.0)
    rungs = last_chance_ladder(frame(0.0, 0.0), high, COURSE_RAD, 4, TARGET_KT, 3000.0, 210.0)
    assert rungs == ()


def test_a_reduced_landing_flap_ends_at_that_stage() -> None:
    target_kt = MTJ.reference_kt(58.0, 3) + 5.0
    rungs = last_chance_ladder(frame(0.0, 0.0), FLAT, COURSE_RAD, 3, target_kt, 3000.0, 210.0)
    steps = [rung.step for rung in rungs]
    assert "flap 22" in steps
    assert "flap 36" not in steps


def test_sinking_out_of_a_tailwind_still_leaves_a_last_chance() -> None:
    # 24 kt of tailwind at 5000 ft turning into 8 kt of headwind on the ground: while thrust holds
    # the speed the shear adds to it, and thrust has to give way.
    layers = ((0.0, 0.0, -8.0 * KT), (5000.0 * FT, 0.0, 24.0 * KT))
    aircraft = Airframe(MTJ, 58.0, Air(0.0, 1013.25), Wind(layers))
    rungs = last_chance_ladder(aircraft, FLAT, 0.0, 4, TARGET_KT, 3000.0, 210.0)
    calm = last_chance_ladder(frame(0.0, 0.0), FLAT, COURSE_RAD, 4, TARGET_KT, 3000.0, 210.0)
    assert places(rungs)["idle"][0] > places(calm)["idle"][0]
