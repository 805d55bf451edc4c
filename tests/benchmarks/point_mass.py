"""The least a step can cost: a point mass in pure Python with everything in local variables.

Standard atmosphere, lift and drag, idle and full thrust, lags of bank, sink and power, a wind that
changes with height, localizer and glide path deviations: about sixty float operations. What the
engine adds to it (classes, modes, receivers, rows, judging) is told in multiples of this.
"""

from __future__ import annotations

import math


def fly(steps: int) -> float:
    """Fly `steps` of 0.1 s round a box; returns the last easting, m, so that nothing is skipped."""
    x = y = 0.0
    height, speed, heading, bank, climb, power = 900.0, 100.0, 2.4, 0.0, 0.0, 0.2
    mass, area, gravity = 58000.0, 118.0, 9.80665
    dots = 0.0
    for _ in range(steps):
        temperature = 288.15 - 0.0065 * height
        delta = (temperature / 288.15) ** 5.25588
        density = 1.225 * delta * 288.15 / temperature
        pressure = 0.5 * density * speed * speed
        lift = mass * gravity / (pressure * area)
        drag = pressure * area * (0.0295 + 0.038 * lift * lift)
        mach = speed / 340.0
        idle = 224000.0 * delta * (0.08 - 0.095 * mach)
        full = 224000.0 * delta**0.8 * (1.0 - 0.9 * mach + 0.5 * mach * mach)
        thrust = idle + power * (full - idle)
        east, north = 3.0 + 0.002 * height, -2.0
        shear = 0.002 * math.sin(heading) * climb
        speed += ((thrust - drag) / mass - gravity * climb / speed - shear) * 0.1
        heading += gravity * math.tan(bank) / speed * 0.1
        bank += max(-0.07, min(0.07, (0.1 - bank) / 0.5)) * 0.1
        climb += max(-1.0, min(1.0, (-3.0 - climb) / 1.5)) * 0.1
        power += max(-0.3, min(0.2, (0.2 - power) / 0.6)) * 0.1
        x += (speed * math.sin(heading) + east) * 0.1
        y += (speed * math.cos(heading) + north) * 0.1
        height += climb * 0.1
        if height < 300.0:
            height = 900.0
        dots = 52.0 * math.atan2(y, x + 2800.0)
        dots += 159.0 * (math.atan2(height, math.hypot(x, y)) - 0.0524)
    return x + dots
