"""DME against published worked examples."""

from __future__ import annotations

import pytest

from trainer.units import FT, NM
from trainer.world.dme import DmeStation


def test_dme_shows_slant_range() -> None:
    # Published exam example: 6 000 ft up with 5.0 NM shown is 4.90 NM over the ground.
    station = DmeStation(0.0, 0.0)
    assert station.distance_nm(0.0, -4.90 * NM, 6000 * FT) == pytest.approx(5.0, abs=0.005)
    # Same geometry, overhead: 6 000 ft = 0.99 NM.
    assert station.distance_nm(0.0, 0.0, 6000 * FT) == pytest.approx(0.99, abs=0.005)


def test_dme_reads_from_its_own_zero() -> None:
    # Hand calculation: a station 1 NM beyond the threshold with its zero at the threshold.
    station = DmeStation(0.0, 1.0 * NM, 0.0, 1.0 * NM)
    assert station.distance_nm(0.0, -5.0 * NM, 0.0) == pytest.approx(5.0)
    assert station.distance_nm(0.0, 1.0 * NM, 0.0) == 0.0


def test_dme_ends_at_199_miles_or_the_radio_horizon() -> None:
    # FAA AIM 1-1-7: line of sight, up to 199 NM.
    station = DmeStation(0.0, 0.0)
    assert station.receive(0.0, 198.0 * NM, 40_000 * FT).is_received
    assert not station.receive(0.0, 199.5 * NM, 40_000 * FT).is_received
    assert not station.receive(0.0, 80.0 * NM, 3_000 * FT).is_received
    assert not station.receive(0.0, 5.0 * NM, 3_000 * FT, is_radiating=False).is_received
    assert station.receive(0.0, 5.0 * NM, 3_000 * FT).distance_nm == pytest.approx(5.02, abs=0.005)
