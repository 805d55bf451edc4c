"""The twin jet beside published drag polars and thrust of real jets of its size (OpenAP library).

Wanted only when asked for (`-m long`, with the extra `reference`): the library takes seconds to
import. Polars are chosen by wing area and maximum mass and averaged, all at 58 t, so that no single
type is the pattern; their wings are a little larger than that of the fictional jet. Clean drag,
idle thrust and clean deceleration must agree. With flaps the library is known to be low (its flap
drag is a small parasite term), so there only the order is compared: the model has more drag.
"""

from __future__ import annotations

import math
from typing import Any

import pytest

from tests.published.checks_energy import REFERENCE_DRAG_N, REFERENCE_IDLE_N
from tests.world.figures import MTJ, STANDARD, idle_figures
from trainer.units import DEG, FT, KT, G
from trainer.world.air import cas_from_tas, tas_from_cas
from trainer.world.energy import Performance

pytestmark = pytest.mark.long

MASS_KG = 58000.0
WING_M2 = (120.0, 130.0)
LARGEST_KG = (68000.0, 86000.0)


@pytest.fixture(scope="module")
def jets() -> list[tuple[Any, Any]]:
    """Drag and thrust models of all jets of this size, as the library has them."""
    pytest.importorskip("openap")
    from openap import Drag, Thrust, prop

    found = []
    for code in prop.available_aircraft(use_synonym=False):
        figures = prop.aircraft(code)
        is_size = WING_M2[0] <= figures["wing"]["area"] <= WING_M2[1]
        if not is_size or not LARGEST_KG[0] <= figures["mtow"] <= LARGEST_KG[1]:
            continue
        try:
            found.append((Drag(code), Thrust(code)))
        except ValueError:
            # Listed, but without a polar of its own.
            continue
    assert len(found) >= 5
    return found


def mean(values: list[float]) -> float:
    return math.fsum(values) / len(values)


def tas_kt(cas_kt: float, feet: float) -> float:
    return tas_from_cas(cas_kt * KT, STANDARD.state(feet * FT)) / KT


def per_mile(drag_n: float, idle_n: float, cas_kt: float, feet: float, path_deg: float) -> float:
    """Change of calibrated airspeed (kt/NM) of the library's forces, calm air."""
    tas_ms = tas_kt(cas_kt, feet) * KT
    climb_ms = -tas_ms * math.sin(path_deg * DEG)
    change_ms2 = (idle_n - drag_n) / MASS_KG - G * climb_ms / tas_ms
    later = STANDARD.state(feet * FT + 0.1 * climb_ms)
    per_s = (cas_from_tas(tas_ms + 0.1 * change_ms2, later) / KT - cas_kt) / 0.1
    return per_s * 3600.0 * KT / (tas_ms * math.cos(path_deg * DEG))


# The model is held against these means by the table of checks, at every run of the tests.
@pytest.mark.parametrize(("cas_kt", "kept_n"), REFERENCE_DRAG_N)
def test_the_kept_mean_of_clean_drag_is_the_librarys(
    jets: list[tuple[Any, Any]], cas_kt: float, kept_n: float
) -> None:
    drags = [float(drag.clean(MASS_KG, tas_kt(cas_kt, 3000.0), 3000.0)) for drag, _ in jets]
    assert kept_n == pytest.approx(mean(drags), rel=1e-3)
    assert 0.97 * min(drags) <= idle_figures(MTJ, cas_kt, 3000.0, 0, 0.0)[1] <= 1.03 * max(drags)


@pytest.mark.parametrize(("cas_kt", "feet", "kept_n"), [row[:3] for row in REFERENCE_IDLE_N])
def test_the_kept_mean_of_idle_thrust_is_the_librarys(
    jets: list[tuple[Any, Any]], cas_kt: float, feet: float, kept_n: float
) -> None:
    idles = [float(thrust.descent_idle(tas_kt(cas_kt, feet), feet)) for _, thrust in jets]
    assert kept_n == pytest.approx(mean(idles), rel=1e-3)


def test_full_thrust_is_near_the_mean(jets: list[tuple[Any, Any]]) -> None:
    feet = 2000.0
    tas = tas_kt(150.0, feet)
    full = [float(thrust.takeoff(tas, feet)) for _, thrust in jets]
    found = Performance(MTJ, 58.0, 0.0).max_thrust_n(STANDARD.state(feet * FT), tas * KT)
    assert found == pytest.approx(mean(full), rel=0.10)


@pytest.mark.parametrize("path_deg", [0.0, 3.0])
@pytest.mark.parametrize("cas_kt", [250.0, 210.0])
def test_clean_deceleration_is_that_of_the_mean(
    jets: list[tuple[Any, Any]], cas_kt: float, path_deg: float
) -> None:
    tas = tas_kt(cas_kt, 3000.0)
    drag_n = mean([float(drag.clean(MASS_KG, tas, 3000.0)) for drag, _ in jets])
    idle_n = mean([float(thrust.descent_idle(tas, 3000.0)) for _, thrust in jets])
    theirs = per_mile(drag_n, idle_n, cas_kt, 3000.0, path_deg)
    ours = idle_figures(MTJ, cas_kt, 3000.0, 0, 0.0, path_deg)[5]
    assert ours == pytest.approx(theirs, abs=0.6)


@pytest.mark.parametrize(
    ("cas_kt", "feet", "stage", "flap_deg", "gear"),
    [(170.0, 3000.0, 2, 12.0, True), (155.0, 2000.0, 3, 22.0, True),
     (137.0, 1000.0, 4, 36.0, True)],
)  # fmt: skip
def test_with_flap_and_gear_the_model_has_more_drag_by_a_tenth_to_a_half(
    jets: list[tuple[Any, Any]], cas_kt: float, feet: float, stage: int, flap_deg: float, gear: bool
) -> None:
    tas = tas_kt(cas_kt, feet)
    drags = [
        float(drag.nonclean(MASS_KG, tas, feet, flap_deg, landing_gear=gear)) for drag, _ in jets
    ]
    found = idle_figures(MTJ, cas_kt, feet, stage, 1.0)[1]
    assert 1.05 < found / mean(drags) < 1.5
