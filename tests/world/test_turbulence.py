"""Turbulence: the published deviations, scales and correlations, and that a seed fixes it."""

from __future__ import annotations

import functools
import itertools
import math

import pytest

from trainer.units import FT, KT
from trainer.world.turbulence import INTENSITY_KT, Gust, Turbulence, field, noise

HEIGHT_M = 500 * FT
TAS_MS = 70.0
W20_KT = 30.0


@functools.cache
def long_flight(stride: int, count: int) -> tuple[Gust, ...]:
    turbulence = Turbulence(7, W20_KT)
    return tuple(turbulence.gust(n * stride, HEIGHT_M, TAS_MS) for n in range(count))


def deviation(values: list[float]) -> float:
    mean = math.fsum(values) / len(values)
    return math.sqrt(math.fsum((value - mean) ** 2 for value in values) / len(values))


def correlation(values: list[float], lag: int) -> float:
    pairs = zip(values, values[lag:], strict=False)
    product = math.fsum(one * other for one, other in pairs) / (len(values) - lag)
    return product / deviation(values) ** 2


# MIL-F-8785C 3.7.3.4, low altitude; hand calculation of the published formulas: height ft, L ft,
# level deviation over vertical.
@pytest.mark.parametrize(
    ("height_ft", "scale_ft", "ratio"),
    [(10, 75.64, 1.9630), (200, 725.8, 1.5368), (500, 944.7, 1.2362), (999.9, 999.9, 1.0)],
)
def test_scales_and_deviations_are_those_of_the_published_form(
    height_ft: float, scale_ft: float, ratio: float
) -> None:
    here = field(height_ft * FT, 20.0)
    assert here.scale_level_m / FT == pytest.approx(scale_ft, rel=1e-3)
    assert here.scale_up_m / FT == pytest.approx(height_ft)
    assert here.sigma_up_ms == pytest.approx(2.0 * KT)
    assert here.sigma_level_ms / here.sigma_up_ms == pytest.approx(ratio, abs=2e-4)


def test_the_field_has_no_step_at_a_thousand_feet_and_a_floor_at_ten() -> None:
    below, above = field(999.999 * FT, 30.0), field(1000.001 * FT, 30.0)
    for one, other in zip(below, above, strict=True):
        assert one == pytest.approx(other, rel=1e-5)
    assert field(0.0, 30.0) == field(10.0 * FT, 30.0)
    assert field(2000.0 * FT, 30.0).scale_up_m == pytest.approx(1750.0 * FT)
    assert field(9000.0, 30.0) == field(2000.0 * FT, 30.0)


@pytest.mark.parametrize(("part", "name"), [(0, "level"), (1, "level"), (2, "up")])
def test_the_deviation_of_a_long_flight_is_the_published_one(part: int, name: str) -> None:
    # Strides of 4 s: about 19,000 scale lengths, so that 3 % is several standard errors.
    values = [gust[part] for gust in long_flight(40, 20_000)]
    here = field(HEIGHT_M, W20_KT)
    expected = here.sigma_level_ms if name == "level" else here.sigma_up_ms
    assert deviation(values) == pytest.approx(expected, rel=0.03)
    assert math.fsum(values) / len(values) == pytest.approx(0.0, abs=0.03 * expected)


def test_a_long_flight_forgets_as_the_dryden_form_does() -> None:
    # Correlation of the along component e^(−x/L), of the other two e^(−x/L)(1 − x/2L): the Fourier
    # transforms of the Dryden spectra (hand calculation).
    flight = long_flight(10, 20_000)
    here = field(HEIGHT_M, W20_KT)
    for part, scale_m in ((0, here.scale_level_m), (1, here.scale_level_m), (2, here.scale_up_m)):
        values = [gust[part] for gust in flight]
        for lag in (1, 2, 4, 8):
            away = lag * TAS_MS / scale_m
            expected = math.exp(-away) * (1.0 if part == 0 else 1.0 - 0.5 * away)
            assert correlation(values, lag) == pytest.approx(expected, abs=0.05), (part, lag)


def test_the_three_components_are_independent() -> None:
    flight = long_flight(40, 20_000)
    for one, other in ((0, 1), (0, 2), (1, 2)):
        product = math.fsum(gust[one] * gust[other] for gust in flight) / len(flight)
        first, second = ([gust[part] for gust in flight] for part in (one, other))
        assert abs(product) < 0.03 * deviation(first) * deviation(second)


def test_the_first_gusts_of_many_seeds_are_a_fair_sample() -> None:
    first = [Turbulence(seed, W20_KT).gust(0, HEIGHT_M, TAS_MS) for seed in range(4000)]
    here = field(HEIGHT_M, W20_KT)
    for part, expected in enumerate((here.sigma_level_ms, here.sigma_level_ms, here.sigma_up_ms)):
        assert deviation([gust[part] for gust in first]) == pytest.approx(expected, rel=0.04)


def test_one_seed_is_one_turbulence_and_another_is_another() -> None:
    def flight(seed: int, name: str = "turbulence") -> list[Gust]:
        turbulence = Turbulence(seed, W20_KT, name)
        return [turbulence.gust(step, 300.0 - step, TAS_MS) for step in range(50)]

    assert flight(3) == flight(3)
    assert flight(3) != flight(4)
    assert flight(3) != flight(3, "other")


def test_a_step_asked_twice_is_the_same_gust_and_an_earlier_one_is_refused() -> None:
    turbulence = Turbulence(1, W20_KT)
    turbulence.gust(4, HEIGHT_M, TAS_MS)
    gust = turbulence.gust(5, HEIGHT_M, TAS_MS)
    assert turbulence.gust(5, 0.0, 10.0) == gust
    with pytest.raises(RuntimeError, match="back"):
        turbulence.gust(4, HEIGHT_M, TAS_MS)


def test_no_wind_at_twenty_feet_is_still_air() -> None:
    turbulence = Turbulence(1, INTENSITY_KT["none"])
    assert turbulence.gust(0, HEIGHT_M, TAS_MS) == (0.0, 0.0, 0.0)
    assert turbulence.gust(9, HEIGHT_M, TAS_MS) == (0.0, 0.0, 0.0)


def test_noise_is_normal() -> None:
    numbers = [one for step in range(6000) for one in noise(5, "n", step)]
    assert deviation(numbers) == pytest.approx(1.0, abs=0.02)
    # Of a normal law 68.27 % lie within one deviation, 95.45 % within two.
    for bound, share in ((1.0, 0.6827), (2.0, 0.9545)):
        inside = len([one for one in numbers if abs(one) < bound])
        assert inside / len(numbers) == pytest.approx(share, abs=0.01)


def test_neighbouring_gusts_are_near_each_other() -> None:
    flight = long_flight(1, 2000)
    for one, other in itertools.pairwise(flight):
        assert abs(one.along_ms - other.along_ms) < 2.0
