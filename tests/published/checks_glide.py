"""Glide path: coverage, width, false paths, where it is met; heights along a path."""

from __future__ import annotations

from collections.abc import Callable

from tests.published.record import Bounds, Check
from tests.world.aids import at, from_path_origin, glide, outermost_nm
from trainer.units import DEG, FT, NM
from trainer.world.coverage import coverage_for
from trainer.world.glide import FULL_SCALE_DDM, usable_from
from trainer.world.path import path_distance_m, path_height_m

COVERAGE = "ICAO Annex 10 Vol I, 3.1.5.3.1; FAA AIM 1-1-9 d.3"
ANTENNA = "null-reference antenna over flat ground: −cos u/sin 0.06π, u = (π/2)·sin φ/sin θ"
SECOND = "second implementation of the antenna geometry, flat earth"


def _is_covered(range_nm: float, parts: float, azimuth_deg: float, low: float) -> float:
    beam = glide(margin_db=6.0, coverage=coverage_for("icao", glide_low=low))
    return float(from_path_origin(beam, range_nm, parts, azimuth_deg).state == "covered")


def _covers(
    range_nm: float, parts: float, azimuth_deg: float, expected: int, low: float = 0.45
) -> Check:
    what = f"guaranteed at {range_nm} NM, {parts} θ, {azimuth_deg}° aside, lower edge {low} θ"
    return Check(what, COVERAGE, "published", expected, 0, "0/1",
                 lambda: _is_covered(range_nm, parts, azimuth_deg, low))  # fmt: skip


def _height(parts: float) -> Callable[[], float]:
    return lambda: path_height_m(10 * NM, parts * 3 * DEG, 0.0, with_curvature=False) / FT


def _dots(parts: float) -> Callable[[], float]:
    return lambda: from_path_origin(glide(), 6.0, parts).dots


def _feet_per(distance_nm: float, dots: float) -> Callable[[], float]:
    """Feet above the path at which `dots` show, from the foot of the path, by halving."""

    def feet() -> float:
        beam = glide()
        path_m = path_height_m(distance_nm * NM, 3 * DEG, 0.0, with_curvature=False)
        low, high = 0.0, 0.5 * path_m / FT
        for _ in range(60):
            middle = 0.5 * (low + high)
            seen = beam.receive(0.0, beam.origin_m - distance_nm * NM, path_m + middle * FT)
            if seen.dots < dots:
                low = middle
            else:
                high = middle
        return low

    return feet


def _dots_above(distance_nm: float, feet: float) -> Callable[[], float]:
    def dots() -> float:
        beam = glide()
        path_m = path_height_m(distance_nm * NM, 3 * DEG, 0.0, with_curvature=False)
        return beam.receive(0.0, beam.origin_m - distance_nm * NM, path_m + feet * FT).dots

    return dots


def _table(distance_nm: float) -> Callable[[], float]:
    return lambda: path_height_m(distance_nm * NM, 3 * DEG, 50 * FT, False) / FT


def _met(height_ft: float, with_curvature: bool = False) -> Callable[[], float]:
    return lambda: path_distance_m(height_ft * FT, 3 * DEG, 50 * FT, with_curvature) / NM


def _comes_down(height_ft: float, dots: float) -> Callable[[], float]:
    return lambda: outermost_nm(glide(), height_ft, dots + 1e-9)


def _received(height_ft: float) -> Callable[[], float]:
    return lambda: usable_from(glide(), height_ft * FT, with_curvature=False).received_nm or 0.0


def _field(before_nm: float, right_m: float, height_ft: float) -> Callable[[], float]:
    return lambda: at(glide(), before_nm, right_m, height_ft).field_uv_m


CHECKS: tuple[Check, ...] = (
    _covers(9.9, 1.0, 0, 1),
    _covers(10.1, 1.0, 0, 0),
    _covers(8.0, 1.0, 7.9, 1),
    _covers(8.0, 1.0, 8.1, 0),
    _covers(8.0, 0.46, 0, 1),
    _covers(8.0, 0.44, 0, 0),
    _covers(6.0, 1.74, 0, 1),
    _covers(6.0, 1.76, 0, 0),
    _covers(8.0, 0.31, 0, 1, 0.30),
    _covers(8.0, 0.29, 0, 0, 0.30),
    *(
        Check(f"height of {parts} θ at 10 NM, θ = 3°", "hand calculation, tan", "computed", feet,
              2, "ft", _height(parts))
        for parts, feet in ((0.30, 955), (0.45, 1432), (1.0, 3184), (1.75, 5583))
    ),
    Check("full scale of a 3° path", "FAA AIM 1-1-9 d.2: 1.4° in all (0.24 θ is 0.72°)",
          "published", 0.7, 0.04, "°",
          lambda: from_path_origin(glide(), 6.0, 3.7 / 3).angle_rad / DEG
          * 2.0 / from_path_origin(glide(), 6.0, 3.7 / 3).dots),
    Check("half scale", "14 CFR 171.253, 171.267 (interim microwave system, same signal)",
          "published", 0.0875, 1e-12, "DDM", lambda: FULL_SCALE_DDM / 2),
    Check("one dot at 0.12 θ above", "ICAO Annex 10 Vol I, 3.1.5.6, as quoted", "published", 1.0,
          0.005, "dots", _dots(1.12)),
    Check("one dot at 0.12 θ below", "ICAO Annex 10 Vol I, 3.1.5.6, as quoted", "published", -1.0,
          0.005, "dots", _dots(0.88)),
    *(
        Check(f"fly-up at {parts} θ, at least 0.22 DDM (display stop 2.5 dots = 0.219)",
              "14 CFR 171.265 (interim microwave system)", "from memory", -2.5, 0, "dots",
              _dots(parts))
        for parts in (0.30, 0.45)
    ),
    *(
        Check(f"0.36° high at {miles} NM: feet above the path for one dot",
              "hand calculation, tan 3.36° − tan 3°", "computed", feet, 0.5, "ft",
              _feet_per(miles, 1.0))
        for miles, feet in ((1, 38.3), (3, 114.9), (5, 191.5), (10, 383.0))
    ),
    *(
        Check(f"{feet} ft (0.7°) above the path at {miles} NM",
              "FAA AIM 1-1-9 d.2: full scale is 0.7° (0.24 θ makes it 0.72°)", "published", 2.0,
              0.11, "dots", _dots_above(miles, feet))
        for miles, feet in ((1, 74), (3, 223), (5, 372), (10, 745))
    ),
    *(
        Check(f"needle at {parts} θ", ANTENNA, "computed", dots, 0.006, "dots", _dots(parts))
        for parts, dots in ((0.76, -1.96), (1.24, 1.96), (1.5, 2.5), (2.76, 2.03), (2.88, 1.08),
                            (3.0, 0.09), (3.12, -0.90), (3.24, -1.85))
    ),
    Check("a false path with reversed sense near 9° for a 3° path: needle falls on climbing",
          "FAA Instrument Flying Handbook: the lowest false course at 9° to 12°", "published",
          1, 0, "0/1", lambda: float(_dots(2.9)() > 0 > _dots(3.1)())),
    Check("3.1 θ, on the reversed path: angle from the path as the needle has it", ANTENNA,
          "computed", -0.2637, 1e-4, "°",
          lambda: from_path_origin(glide(), 6.0, 3.1).angle_rad / DEG),
    Check("no needle at twice the angle (flagged)", ANTENNA, "computed", 1, 0, "0/1",
          lambda: float(from_path_origin(glide(), 6.0, 2.0).state == "flagged")),
    Check("the path 4.2 NM out, outer marker", "FAA AIM 1-1-9 d.3: about 1 400 ft", "published",
          1400, 25, "ft", _table(4.2)),
    Check("the path 3 500 ft out, middle marker", "FAA AIM 1-1-9 f.2: about 200 ft", "published",
          200, 40, "ft", _table(3500 * FT / NM)),
    Check("foot of a 50 ft, 3° path beyond the threshold", "hand calculation, TCH/tan 3°",
          "computed", 954, 0.5, "ft", lambda: glide().origin_m / FT),
    Check("foot of a 55 ft, 3° path beyond the threshold", "hand calculation, TCH/tan 3°",
          "computed", 1049, 0.5, "ft", lambda: glide(crossing_ft=55).origin_m / FT),
    Check("foot of the path lies where antennas are sited", "FAA AIM 1-1-9 d.2",
          "published", Bounds(750, 1250), 0, "ft", lambda: glide().origin_m / FT),
    *(
        Check(f"{feet} ft meets the path", "hand calculation, (h − 50)/318.44", "computed", miles,
              0.01, "NM", _met(feet))
        for feet, miles in ((1400, 4.24), (2000, 6.12), (3000, 9.26), (600, 1.73))
    ),
    *(
        Check(f"{feet} ft meets the path above the round earth",
              "hand calculation, 50 + 318.436 d + 0.88314 d²", "computed", miles, 0.0005, "NM",
              _met(feet, with_curvature=True))
        for feet, miles in ((1000, 2.95905), (3000, 9.03752))
    ),
    *(
        Check(f"level at {height} ft: {dots} dots", SECOND, "computed", miles, 0.006, "NM",
              _comes_down(height, dots))
        for height, row in ((2000, (8.96, 8.16, 7.52, 6.98, 6.52, 6.12)),
                            (3000, (13.51, 12.32, 11.36, 10.55, 9.86, 9.26)),
                            (4000, (18.07, 16.48, 15.19, 14.12, 13.20, 12.40)))
        for dots, miles in zip((-2.5, -2.0, -1.5, -1.0, -0.5, 0.0), row, strict=True)
    ),
    *(
        Check(f"level at {height} ft: the field reaches 240 µV/m (the limit is an assumption)",
              SECOND, "computed", miles, 0.01, "NM", _received(height))
        for height, miles in ((2000, 15.218), (3000, 18.299), (4000, 20.682))
    ),
    *(
        Check(f"field at {miles} NM, {aside} m aside, {height} ft", SECOND, "computed", field, 0.6,
              "µV/m", _field(miles, aside, height))
        for miles, aside, height, field in ((25, 0, 5000, 203), (18, 0, 3000, 247),
                                            (15, 12000, 3000, 77), (9.26, 0, 3000, 654),
                                            (5, 0, 5000, 1194), (1, 0, 368, 5323))
    ),
)  # fmt: skip
