"""Altimeter settings, transition level, cold days and barometric paths."""

from __future__ import annotations

import functools

from tests.published.record import Check
from tests.world.test_altimetry import COLD_TABLE, HEIGHTS_FT, TRANSITION
from trainer.units import FT
from trainer.world.air import Air
from trainer.world.altimetry import (
    barometric_angle_deg,
    cold_correction_ft,
    cold_error_ft,
    rule_correction_ft,
    setting_error_ft,
    table_correction_ft,
    transition_level,
)

COLD = "ICAO Doc 8168; FAA AIM TBL 7-3-1"
EQUATION = "PANS-OPS equation, (ΔT/L) ln(1 − L H/(T₀ − L Hₑ))"


def true_ft(indicated_ft: float, deviation_k: float) -> float:
    return Air(deviation_k, 1013.25).height_at_indicated_m(indicated_ft, 1013.25) / FT


SETTINGS = (
    Check("QNH 996 flown on 1013", "UK altimetry training example, 30 ft a hPa", "rule of thumb",
          500.0, 40.0, "ft", lambda: setting_error_ft(1013.0, 996.0)),
    *(
        Check(f"altimeter on 1013.25 where {right_hpa} is right", "ICAO Doc 7488, altimeter law",
              "computed", error_ft, 0.05, "ft",
              functools.partial(setting_error_ft, 1013.25, right_hpa))
        for right_hpa, error_ft in ((960, 1486.24), (996, 474.39), (1045, -856.31))
    ),
    Check("FL40 on QNH 996 as altitude", "UK study guide, worked example", "published", 3500.0,
          40.0, "ft", lambda: 4000.0 - setting_error_ft(1013.25, 996.0)),
)  # fmt: skip
LEVELS = (
    *(
        Check(f"transition level above {3000 + more:,} ft on {setting} hPa",
              "UK CAP 410 table, as quoted", "published", float(level + more // 100), 0.0, "FL",
              functools.partial(lambda feet, setting: float(transition_level(feet, setting)),
                                3000.0 + more, setting))
        for more in (0, 3000)
        for low, high, level in TRANSITION
        for setting in (low, high)
    ),
    *(
        # Low ends of its bands, the first one hundredth up: it counts half an inch as 500 ft, so
        # that the altimeter's law is 5 off at 29.92 in and just below the other high ends.
        Check(f"lowest level above 18,000 ft on {inches} in", "14 CFR 91.121(b)", "published",
              level, 0.0, "FL",
              functools.partial(lambda inches: float(transition_level(18000.0, 33.86389 * inches)),
                                inches))
        for inches, level in ((29.93, 180.0), (29.42, 185.0), (28.92, 190.0), (28.42, 195.0),
                              (27.92, 200.0), (27.42, 205.0), (26.92, 210.0))
    ),
)  # fmt: skip
COLD_CELLS = tuple(
    Check(f"cold table, {height:,} ft at {celsius} °C", COLD, "published", float(row[place]), 0.0,
          "ft", functools.partial(lambda *cell: float(table_correction_ft(*cell)), height, celsius))
    for celsius, row in COLD_TABLE.items()
    for place, height in enumerate(HEIGHTS_FT)
    if height in (200, 500, 1000, 2000, 5000)
)  # fmt: skip
COLD_DAYS = (
    Check("cold column beyond 5,000 ft", "FAA AIM 7-3: the 5,000 ft column", "published", 710.0,
          0.0, "ft", lambda: float(table_correction_ft(7500.0, -20.0))),
    Check("1,000 ft at ISA−20 by the 4 % rule", "ICAO Doc 8168, 4 % for 10 °C", "published", 80.0,
          1e-6, "ft", lambda: rule_correction_ft(1000.0, -5.0)),
    Check("elevation 2,000 ft, −30 °C, 1,500 ft above: error", EQUATION, "computed", 217.75, 0.1,
          "ft", lambda: cold_error_ft(1500.0, -30.0, 2000.0)),
    Check("the same by the 4 % rule", "ICAO Doc 8168, 4 % for 10 °C", "computed", 246.2, 0.1, "ft",
          lambda: rule_correction_ft(1500.0, -30.0, 2000.0)),
    Check("sea level, −40 °C, 2,000 ft: error", EQUATION, "computed", 384.4, 0.1, "ft",
          lambda: cold_error_ft(2000.0, -40.0)),
    Check("sea level, −40 °C, 2,000 ft by the 4 % rule", "ICAO Doc 8168", "computed", 440.0, 0.1,
          "ft", lambda: rule_correction_ft(2000.0, -40.0)),
    Check("sea level, −40 °C, 2,000 ft: exact addition against the table", COLD, "published",
          480.0, 10.0, "ft", lambda: cold_correction_ft(2000.0, -40.0)),
    Check("true height of 3,000 ft at ISA−20", "hydrostatic law", "computed", 2789.6, 0.1, "ft",
          lambda: true_ft(3000.0, -20.0)),
    Check("true height of 3,000 ft at ISA+20", "hydrostatic law", "computed", 3210.4, 0.1, "ft",
          lambda: true_ft(3000.0, 20.0)),
    *(
        Check(f"true angle of a 3.00° barometric path at ISA{below:+d}", "tan 3° · T/T standard",
              "computed", angle, 0.0002, "°", functools.partial(barometric_angle_deg, 3.0,
                                                               15.0 + below))
        for below, angle in ((-15, 2.8441), (-20, 2.7921), (-40, 2.5842))
    ),
)  # fmt: skip

CHECKS = (*SETTINGS, *LEVELS, *COLD_CELLS, *COLD_DAYS)
