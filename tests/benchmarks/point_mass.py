"""The least a step can cost: a point mass in pure Python whose state is one small object.

Standard atmosphere, lift and drag, idle and full thrust, lags of bank, sink and power, a wind that
changes with height, localizer and glide path deviations: about sixty float operations, then the
new values put into a slotted object. What the engine adds to it (modes, receivers, rows, judging)
is told in multiples of this.
"""

from __future__ import annotations

import math
from dataclasses import dataclass


@dataclass(slots=True)
class Body:
    """Where the point mass is and how it moves; SI, radians, power 0..1, dots of both needles."""

    x: float = 0.0
    y: float = 0.0
    height: float = 900.0
    speed: float = 100.0
    heading: float = 2.4
    bank: float = 0.0
    climb: float = 0.0
    power: float = 0.2
    dots: float = 0.0


def fly(steps: int) -> float:
    """Fly `steps` of 0.1 s round a box; returns the last easting, m, so that nothing is skipped."""
    body = Body()
    for _ in range(steps):
        advance(body)
    return body.x + body.dots


def advance(body: Body) -> None:
    """Move `body` on by 0.1 s."""
    mass, area, gravity = 58000.0, 118.0, 9.80665
    height, speed, heading, climb = body.height, body.speed, body.heading, body.climb
    temperature = 288.15 - 0.0065 * height
    delta = (temperature / 288.15) ** 5.25588
    density = 1.225 * delta * 288.15 / temperature
    pressure = 0.5 * density * speed * speed
    lift = mass * gravity / (pressure * area)
    drag = pressure * area * (0.0295 + 0.038 * lift * lift)
    mach = speed / 340.0
    idle = 224000.0 * delta * (0.08 - 0.095 * mach)
    full = 224000.0 * delta**0.8 * (1.0 - 0.9 * mach + 0.5 * mach * mach)
    thrust = idle + body.power * (full - idle)
    east, north = 3.0 + 0.002 * height, -2.0
    shear = 0.002 * math.sin(heading) * climb
    speed += ((thrust - drag) / mass - gravity * climb / speed - shear) * 0.1
    heading += gravity * math.tan(body.bank) / speed * 0.1
    body.bank += max(-0.07, min(0.07, (0.1 - body.bank) / 0.5)) * 0.1
    climb += max(-1.0, min(1.0, (-3.0 - climb) / 1.5)) * 0.1
    body.power += max(-0.3, min(0.2, (0.2 - body.power) / 0.6)) * 0.1
    body.x = x = body.x + (speed * math.sin(heading) + east) * 0.1
    body.y = y = body.y + (speed * math.cos(heading) + north) * 0.1
    height += climb * 0.1
    if height < 300.0:
        height = 900.0
    body.height, body.speed, body.heading, body.climb = height, speed, heading, climb
    dots = 52.0 * math.atan2(y, x + 2800.0)
    body.dots = dots + 159.0 * (math.atan2(height, math.hypot(x, y)) - 0.0524)
