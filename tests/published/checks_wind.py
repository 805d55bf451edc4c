"""Wind components and triangle, turns, turbulence."""

from __future__ import annotations

import functools
import math

from tests.published.record import Check
from tests.world.test_turbulence import deviation, long_flight
from trainer.units import DEG, FT, KT
from trainer.world.legs import turn_radius_m
from trainer.world.turbulence import INTENSITY_KT, field
from trainer.world.wind import Wind, components, head_and_cross, reported, wind_triangle

TRIGONOMETRY = "speed times sine and cosine"
DRYDEN = "MIL-F-8785C 3.7.3.4, low altitude"


def parts(course_deg: float, from_deg: float, speed_kt: float) -> tuple[float, float]:
    head_ms, cross_ms = head_and_cross(*components(from_deg, speed_kt), course_deg * DEG)
    return head_ms / KT, cross_ms / KT


def triangle(
    tas_kt: float, track_deg: float, from_deg: float, speed_kt: float
) -> tuple[float, float]:
    wind = components(from_deg, speed_kt)
    heading_rad, ground_ms = wind_triangle(tas_kt * KT, track_deg * DEG, *wind)
    return heading_rad / DEG % 360.0, ground_ms / KT


def turn_ft(speed_kt: float, bank_deg: float) -> float:
    return turn_radius_m(speed_kt * KT, bank_deg * DEG) / FT


def turn_rate(speed_kt: float, bank_deg: float) -> float:
    speed_ms = speed_kt * KT
    return speed_ms / turn_radius_m(speed_ms, bank_deg * DEG) / DEG


def scatter(part: int) -> float:
    return deviation([gust[part] for gust in long_flight(40, 20_000)])


COMPONENTS = tuple(
    Check(f"{what} on {course:03d} of {from_deg:03d}/{speed}", TRIGONOMETRY, "computed", expected,
          0.001, "kt", functools.partial(lambda place, *given: parts(*given)[place], place,
                                       course, from_deg, speed))
    for course, from_deg, speed, head, cross in (
        (360, 60, 20, 10.0, 17.3205), (140, 180, 20, 15.3209, 12.8558),
        (90, 70, 15, 14.0954, -5.1303))
    for place, what, expected in ((0, "headwind", head), (1, "crosswind", cross))
)  # fmt: skip
CLOCK = tuple(
    Check(f"share of the wind across at {angle}°", "clock rule of the trade", "rule of thumb",
          share, 0.14, "–", functools.partial(lambda angle: parts(0.0, angle, 1.0)[1], angle))
    for angle, share in ((10, 1 / 6), (20, 1 / 3), (30, 1 / 2), (40, 2 / 3), (50, 5 / 6), (60, 1.0))
)  # fmt: skip
TRIANGLES = tuple(
    Check(f"{what}: {tas} kt, track {track:03d}, wind {from_deg:03d}/{speed}", source, kind,
          expected, 0.001 if kind == "computed" else 0.6, unit,
          functools.partial(lambda place, *given: triangle(*given)[place], place, tas, track,
                            from_deg, speed))
    for tas, track, from_deg, speed, heading, ground, source, kind in (
        (100, 0, 135, 25, 10.0, 116.0, "San Francisco State University exercise", "published"),
        (110, 45, 90, 25, 54.2481, 90.8926, "sine and cosine rule", "computed"),
        (120, 270, 180, 30, 255.5225, 116.1895, "sine and cosine rule", "computed"),
        (100, 180, 180, 20, 180.0, 80.0, "sine and cosine rule", "computed"),
        (120, 90, 45, 40, 76.0, 88.0, "FAA PHAK chapter 16 example", "from memory"),
    )
    for place, what, expected, unit in ((0, "heading", heading, "°"), (1, "ground speed", ground,
                                                                      "kt"))
)  # fmt: skip
TURNS = (
    Check("rate at 100 kt and 45°", "aviation formulary", "published", 10.9, 0.05, "°/s",
          lambda: turn_rate(100, 45)),
    Check("constant of R = V²/(c tan φ)", "FAA PHAK chapter 5, as quoted: 11.26", "published",
          11.26, 0.006 * 11.26, "–", lambda: 100.0**2 / turn_ft(100, 45)),
    Check("constant of ω = c tan φ / V", "FAA PHAK chapter 5, as quoted: 1,091", "published",
          1091.0, 2.2, "–", lambda: turn_rate(100, 45) * 100.0),
    *(
        Check(f"rate at {speed} kt and {bank}° is standard", "g tan φ/V", "computed", 3.0, 0.01,
              "°/s", functools.partial(turn_rate, speed, bank))
        for speed, bank in ((90, 13.9), (100, 15.4), (120, 18.2), (140, 21.0), (160, 23.7),
                            (180, 26.3), (210, 30.0))
    ),
    *(
        Check(f"rate at {speed} kt and {bank}°, near standard", "15 % of the airspeed, FAA IFH",
              "rule of thumb", 3.0, 0.1, "°/s", functools.partial(turn_rate, speed, bank))
        for speed, bank in ((100, 15), (120, 18))
    ),
    Check("cross-over of 25° and 3°/s", "ICAO Doc 8168 Vol II, R = 3 431 tan φ/πV", "computed", 3.0,
          0.01, "°/s", lambda: turn_rate(170, 25)),
)  # fmt: skip


AIR_IN_MOTION = (
    *(
        Check(f"wind at 20 ft of {word} turbulence", "MIL-F-8785C 3.7.3.4, as quoted", "published",
              kt, 0.0, "kt", functools.partial(lambda word: INTENSITY_KT[word], word))
        for word, kt in (("light", 15.0), ("moderate", 30.0), ("severe", 45.0))
    ),
    Check("vertical deviation in 30 kt", DRYDEN + ": 0.1 W20", "published", 3.0, 1e-9, "kt",
          lambda: field(100.0, 30.0).sigma_up_ms / KT),
    Check("level scale at 1,000 ft", DRYDEN + ": h/(0.177 + 0.000823 h)^1.2", "published", 1000.0,
          0.1, "ft", lambda: field(999.99 * FT, 30.0).scale_level_m / FT),
    Check("level scale at 200 ft", DRYDEN, "computed", 725.8, 0.5, "ft",
          lambda: field(200 * FT, 30.0).scale_level_m / FT),
    Check("vertical scale at 200 ft", DRYDEN + ": h, as quoted", "published", 200.0, 1e-6, "ft",
          lambda: field(200 * FT, 30.0).scale_up_m / FT),
    Check("level over vertical deviation at 200 ft", DRYDEN, "computed", 1.5368, 2e-4, "–",
          lambda: field(200 * FT, 30.0).sigma_level_ms / field(200 * FT, 30.0).sigma_up_ms),
    Check("scale of the free air", "MIL-F-8785C 3.7.2", "published", 1750.0, 0.1, "ft",
          lambda: field(2500 * FT, 30.0).scale_up_m / FT),
    Check("scatter along a long flight at 500 ft in 30 kt", DRYDEN, "computed",
          1.9079, 0.06, "m/s", lambda: scatter(0)),
    Check("scatter across a long flight", DRYDEN, "computed",
          1.9079, 0.06, "m/s", lambda: scatter(1)),
    Check("scatter up and down in a long flight", DRYDEN, "computed",
          1.5433, 0.05, "m/s", lambda: scatter(2)),
    Check("middle of 350/20 and 010/20: direction", "vector mean", "computed", 1.0, 1e-9, "–",
          lambda: math.cos(reported(*_middle().at(500.0))[0] * DEG)),
    Check("middle of 350/20 and 010/20: speed", "20 cos 10°", "computed", 19.696, 1e-3, "kt",
          lambda: reported(*_middle().at(500.0))[1]),
)  # fmt: skip


def _middle() -> Wind:
    return Wind([(0.0, *components(350.0, 20.0)), (1000.0, *components(10.0, 20.0))])


CHECKS = (*COMPONENTS, *CLOCK, *TRIANGLES, *TURNS, *AIR_IN_MOTION)
