"""The path of a coded descent against hand calculation."""

from __future__ import annotations

import math

import pytest

from trainer.units import DEG, FT, NM
from trainer.world.coded_descent import Constraint, Final, lay, slowing_m

ANGLE = 3.0 * DEG
PER_NM_FT = math.tan(ANGLE) * NM / FT
"""318.4 ft per NM on 3 degrees (published rule of thumb: about 300, three miles per 1,000 ft)."""
FINAL = Final(9.0 * NM, 3000.0, 75.0, 150.0, 150.0)


def at_nm(
    to_go_nm: float, altitude_ft: float, kind: str = "at", limit_kt: float = 0.0
) -> Constraint:
    return Constraint(f"F{to_go_nm:g}", to_go_nm * NM, kind, altitude_ft, limit_kt)


def altitudes(*constraints: Constraint, final: Final = FINAL) -> dict[float, float]:
    path = lay(constraints, final, ANGLE)
    return {nm: round(path.at(nm * NM)[0], 1) for nm in (0.0, 9.0, 12.0, 15.0, 20.0, 30.0)}


def test_without_constraints_the_path_rises_at_its_angle_from_the_final_fix() -> None:
    found = altitudes()
    assert found[0.0] == 75.0
    assert found[9.0] == 3000.0
    assert found[12.0] == pytest.approx(3000.0 + 3.0 * PER_NM_FT, abs=0.1)
    assert pytest.approx(318.4, abs=0.1) == PER_NM_FT


def test_slowing_down_takes_a_mile_for_ten_knots_and_is_level() -> None:
    # Rule of thumb for jets, level, clean: 10 kt per NM (FAA Airplane Flying Handbook).
    assert slowing_m(210.0, 180.0) == pytest.approx(3.0 * NM)
    assert slowing_m(180.0, 210.0) == 0.0
    final = FINAL._replace(clean_kt=200.0)
    path = lay((), final, ANGLE)
    assert path.at(13.9 * NM) == (3000.0, 0.0)
    assert path.at(15.0 * NM)[0] == pytest.approx(3000.0 + PER_NM_FT, abs=0.1)


def test_an_altitude_below_the_path_is_met_by_a_level_part() -> None:
    found = altitudes(at_nm(15.0, 4000.0))
    assert found[12.0] == pytest.approx(3000.0 + 3.0 * PER_NM_FT, abs=0.1)
    assert found[15.0] == 4000.0
    assert found[20.0] == pytest.approx(4000.0 + 5.0 * PER_NM_FT, abs=0.1)


def test_an_altitude_above_the_path_is_met_by_a_steeper_part() -> None:
    path = lay((at_nm(15.0, 6000.0),), FINAL, ANGLE)
    altitude_ft, slope = path.at(12.0 * NM)
    assert altitude_ft == pytest.approx(4500.0)
    assert math.atan(slope) / DEG == pytest.approx(4.7, abs=0.05)


def test_at_or_above_is_no_reason_to_fly_lower() -> None:
    assert altitudes(at_nm(15.0, 3000.0, "above")) == pytest.approx(altitudes(), abs=0.11)


def test_at_or_above_lifts_the_path_where_it_would_be_lower() -> None:
    assert altitudes(at_nm(15.0, 6000.0, "above"))[15.0] == 6000.0


def test_a_speed_limit_has_a_level_part_before_its_fix_and_is_in_force_from_there() -> None:
    path = lay((at_nm(15.0, 4500.0, "above", 210.0),), FINAL, ANGLE)
    there_ft = path.at(15.0 * NM)[0]
    # From 250 to 210 kt: 4 NM.
    assert path.at(18.9 * NM) == pytest.approx((there_ft, 0.0))
    assert path.at(20.0 * NM)[0] == pytest.approx(there_ft + PER_NM_FT, abs=0.5)
    assert path.limit(19.5 * NM) is None
    for nm in (18.9, 15.0, 5.0):
        limit = path.limit(nm * NM)
        assert limit is not None
        assert (limit.speed_kt, limit.name) == (210.0, "F15")


def test_a_level_part_gives_way_to_a_fix_that_it_would_pass_too_low() -> None:
    final = FINAL._replace(clean_kt=250.0)
    path = lay((at_nm(12.0, 3900.0, "above"),), final, ANGLE)
    # Level to 19 NM it would pass at 3,000 ft; without it 3 degrees are enough.
    assert path.at(12.0 * NM)[0] == pytest.approx(3000.0 + 3.0 * PER_NM_FT, abs=0.1)


def test_the_path_never_falls_outwards_and_an_angle_must_descend() -> None:
    path = lay(
        (
            at_nm(30.0, 7000.0, "at", 220.0),
            at_nm(20.0, 5000.0),
            at_nm(12.0, 3000.0, "above", 180.0),
        ),
        FINAL,
        ANGLE,
    )
    heights = [path.at(0.1 * k * NM)[0] for k in range(400)]
    assert heights == sorted(heights)
    with pytest.raises(ValueError, match="descent"):
        lay((), FINAL, 0.0)
