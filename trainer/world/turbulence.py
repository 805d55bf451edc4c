"""Gusts: continuous turbulence of the published low-altitude form.

Owns the Dryden filters and their own source of noise. It knows neither the wind nor the aircraft's
answer. The surprising rule: the noise of a step is a function of seed, name and step number alone,
so two flights with one seed meet the same noise; it is filtered by the airspeed and the height each
of them flies. The same step asked twice gives the same gust; an earlier step is refused.

Sources: MIL-F-8785C 3.7.3 and MIL-HDBK-1797 (the same spectra with other names), low altitude.
"""

from __future__ import annotations

import hashlib
import math
from typing import NamedTuple

from trainer.units import FT, KT, STEP_S

INTENSITY_KT = {"none": 0.0, "light": 15.0, "moderate": 30.0, "severe": 45.0}
"""Wind at 20 ft (kt) that stands for each word (MIL-F-8785C 3.7.3.4, as quoted)."""

_LOWEST_FT = 10.0
_LOW_FT = 1000.0
_FREE_FT = 2000.0
_FREE_SCALE_FT = 1750.0
_ROOT_3 = math.sqrt(3.0)


class Gust(NamedTuple):
    """Velocity of the air beyond the mean wind, m/s: along the flight, to its right, and up."""

    along_ms: float
    cross_ms: float
    up_ms: float


class Field(NamedTuple):
    """Standard deviations (m/s) and scale lengths (m) of the turbulence at one height.

    `level` for the two horizontal components, `up` for the vertical one.
    """

    sigma_level_ms: float
    sigma_up_ms: float
    scale_level_m: float
    scale_up_m: float


def field(height_m: float, w20_kt: float) -> Field:
    """The turbulence at `height_m` above the ground, for a wind of `w20_kt` (0..60) at 20 ft.

    Valid from 10 to 1,000 ft (below, as at 10 ft). Above 1,000 ft the scale grows to the 1,750 ft
    of the free air at 2,000 ft, and the deviation stays 0.1 W20, a simplification: the published
    table gives it by the chance of exceeding.
    """
    height_ft = max(_LOWEST_FT, height_m / FT)
    sigma_up_ms = 0.1 * w20_kt * KT
    if height_ft >= _LOW_FT:
        share = min(1.0, (height_ft - _LOW_FT) / (_FREE_FT - _LOW_FT))
        scale_m = (_LOW_FT + share * (_FREE_SCALE_FT - _LOW_FT)) * FT
        return Field(sigma_up_ms, sigma_up_ms, scale_m, scale_m)
    shape = 0.177 + 0.000823 * height_ft
    scale_level_m = height_ft / shape**1.2 * FT
    return Field(sigma_up_ms / shape**0.4, sigma_up_ms, scale_level_m, height_ft * FT)


def noise(seed: int, name: str, step: int) -> tuple[float, float, float, float, float]:
    """Five independent standard normal numbers that depend on `seed`, `name` and `step` alone.

    From sha256 by the transform of Box and Muller; within ±6.7.
    """
    digest = hashlib.sha256(f"{seed}:{name}:{step}".encode()).digest()
    normal = []
    for at in (0, 8, 16):
        first = (int.from_bytes(digest[at : at + 4], "big") + 0.5) / 4294967296.0
        second = int.from_bytes(digest[at + 4 : at + 8], "big") / 4294967296.0
        radius = math.sqrt(-2.0 * math.log(first))
        normal.append(radius * math.cos(2.0 * math.pi * second))
        normal.append(radius * math.sin(2.0 * math.pi * second))
    return normal[0], normal[1], normal[2], normal[3], normal[4]


class _Lags(NamedTuple):
    """State of the second-order Dryden filter (1 + √3 τs)/(1 + τs)², of unit variance.

    Two first-order lags in a row, driven by exact discrete steps, so that neither variance nor
    spectrum depends on the length of a step. Stationary covariance of the lags: ½, ¼, ¼.
    """

    first: float
    second: float

    @property
    def value(self) -> float:
        return _ROOT_3 * self.first + (1.0 - _ROOT_3) * self.second


def _stationary(draw: float, other: float) -> _Lags:
    """A fair sample of the filter, of two normal numbers."""
    first = draw * math.sqrt(0.5)
    return _Lags(first, 0.5 * first + other * math.sqrt(0.125))


def _advanced(lags: _Lags, span: float, draw: float, other: float) -> _Lags:
    """The filter after `span` scale lengths, with two fresh normal numbers."""
    decay = math.exp(-span)
    square = decay * decay
    root = math.sqrt(0.5 * (1.0 - square))
    covariance = 0.25 - square * (0.25 + 0.5 * span)
    variance = 0.25 - square * (0.25 + 0.5 * span + 0.5 * span * span)
    slope = covariance / root if root > 0.0 else 0.0
    rest = math.sqrt(max(0.0, variance - slope * slope))
    return _Lags(
        decay * lags.first + root * draw,
        decay * (lags.second + span * lags.first) + slope * draw + rest * other,
    )


class Turbulence:
    """Turbulence met along one flight: a filter state that goes on with the steps.

    `seed` and `name` choose the noise, `w20_kt` (0..60) is the wind at 20 ft that sets the
    strength (see `INTENSITY_KT`). The first gust is already a fair sample, not zero.
    """

    __slots__ = ("_along", "_cross", "_gust", "_name", "_seed", "_step", "_up", "w20_kt")

    def __init__(self, seed: int, w20_kt: float, name: str = "turbulence") -> None:
        self.w20_kt = w20_kt
        self._seed = seed
        self._name = name
        self._step: int | None = None
        self._gust = Gust(0.0, 0.0, 0.0)
        self._along = 0.0
        self._cross = _Lags(0.0, 0.0)
        self._up = _Lags(0.0, 0.0)

    def gust(self, step: int, height_m: float, tas_ms: float) -> Gust:
        """The gust at engine step `step`, `height_m` above the ground, at `tas_ms` (0..250).

        Steps may be left out and repeated, not taken back: RuntimeError.
        """
        if self.w20_kt <= 0.0 or step == self._step:
            return self._gust
        if self._step is not None and step < self._step:
            raise RuntimeError(f"turbulence cannot go back from step {self._step} to {step}")
        one, two, three, four, five = noise(self._seed, self._name, step)
        here = field(height_m, self.w20_kt)
        if self._step is None:
            self._along = one
            self._cross, self._up = _stationary(two, three), _stationary(four, five)
        else:
            flown_m = tas_ms * STEP_S * (step - self._step)
            span = flown_m / here.scale_level_m
            decay = math.exp(-span)
            self._along = decay * self._along + math.sqrt(1.0 - decay * decay) * one
            self._cross = _advanced(self._cross, span, two, three)
            self._up = _advanced(self._up, flown_m / here.scale_up_m, four, five)
        self._step = step
        self._gust = Gust(
            here.sigma_level_ms * self._along,
            here.sigma_level_ms * self._cross.value,
            here.sigma_up_ms * self._up.value,
        )
        return self._gust
