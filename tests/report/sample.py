"""Rows made by hand: an approach drawn from formulas, for tests that need no flight."""

from __future__ import annotations

from typing import Any

from trainer.flight.row import Row
from trainer.guidance.modes import Modes, Selectors

SELECTORS = Selectors(160.0, 143.0, 3000.0, 0.0, 143.0, "110.35", 1009.0, 230.0, 137.0)
MODES = Modes("LOC", "GLIDE", (), ("FLARE",), "SPEED", "AP", "")


def row(step: int, **changes: Any) -> Row:
    """A row at `step` on a 3° path at 144 kt over the ground, from 5 NM inwards."""
    distance_nm = 5.0 - 0.004 * step
    height_ft = 50.0 + 318.4 * distance_nm
    values: dict[str, Any] = {
        "step": step,
        "x_m": -1114.6 * distance_nm,
        "y_m": 1479.1 * distance_nm,
        "height_m": height_ft * 0.3048,
        "altitude_ft": height_ft,
        "height_ft": height_ft,
        "radio_ft": height_ft,
        "distance_nm": distance_nm,
        "along_nm": distance_nm,
        "flown_nm": 0.004 * step,
        "dme_nm": distance_nm + 0.2,
        "cas_kt": 140.0 - 0.01 * step,
        "ground_speed_kt": 144.0,
        "vertical_speed_fpm": -764.0,
        "heading_deg": 145.0,
        "track_deg": 143.0,
        "bank_deg": 0.0,
        "power": 0.31,
        "flap": 4.0,
        "flap_lever": 4,
        "gear": 1.0,
        "gear_lever": "down",
        "speedbrake": 0.0,
        "speedbrake_lever": "in",
        "spoilers": "armed",
        "autobrake": "low",
        "reverse": "stowed",
        "localizer": "covered",
        "localizer_dots": 0.02,
        "glide": "covered",
        "glide_dots": -0.113,
        "vor": "none",
        "vor_dots": None,
        "path_error_ft": -4.0,
        "cross_m": 1.0,
        "selectors": SELECTORS,
        "modes": MODES,
        "phase": "final",
        "sees": "",
        "margin_nm": 1.25 if distance_nm > 3.0 else None,
        "is_on_ground": False,
        "identified": "QXM",
        "checklist": "",
        "challenge": "",
    }
    values.update(changes)
    return Row(**values)
