"""The row: everything an outsider may know of the aircraft at one step.

Judge, View and exports read rows and facts, nothing else of the flight. A NamedTuple because one
is made every tenth of a second.
"""

from __future__ import annotations

from typing import NamedTuple

from trainer.guidance.modes import Modes, Selectors

AHEAD_S = 6.0
"""How far ahead the speed is looked at, s: what hand, lever and propeller take (our figure)."""


class Row(NamedTuple):
    """State at the start of step `step` (time = step / 10 s).

    Plane positions in m; `height_m` geometric above sea level. `altitude_ft` is indicated on the
    altimeter as set, `height_ft` above the field on the true QNH, `radio_ft` geometric above the
    threshold. `distance_nm` straight to the threshold, `along_nm` before it along the final
    course (negative behind it). `localizer`, `glide` and `vor` are states of whatever is tuned.
    Dots: positive right of course / above path, None when nothing is received. `margin_nm` None
    while it is not computed. `gear` and `speedbrake` 0..1, `flap` in stages; `*_lever` where the
    lever stands. `path_error_ft` height above the published path, on an RNP final that of
    the level of service in use. `track`: "received" or "flagged" on an RNP final, else "none";
    `track_dots` off its course, a dot being its RNP. `protected_kt`: the speed that
    guidance flies instead of the selected one, 0 for none, and why. `followed_error_ft`:
    height above the path that PATH, armed or active, follows: a coded or a computed one.
    `propellers`: their setting, "" where they have none. `is_icing`: whether there is ice on
    the aircraft. `speed_trend_kt_s`: smoothed rate of the airspeed, and `speed_astray_kt`: by how
    much the speed is going astray (`flight.levers`); None where torque is not set by hand.
    """

    step: int
    x_m: float
    y_m: float
    height_m: float
    altitude_ft: float
    height_ft: float
    radio_ft: float
    distance_nm: float
    along_nm: float
    flown_nm: float
    dme_nm: float | None
    cas_kt: float
    ground_speed_kt: float
    vertical_speed_fpm: float
    heading_deg: float
    track_deg: float
    bank_deg: float
    power: float
    flap: float
    flap_lever: int
    gear: float
    gear_lever: str
    speedbrake: float
    speedbrake_lever: str
    spoilers: str
    autobrake: str
    reverse: str
    localizer: str
    localizer_dots: float | None
    glide: str
    glide_dots: float | None
    vor: str
    vor_dots: float | None
    path_error_ft: float
    cross_m: float
    selectors: Selectors
    modes: Modes
    phase: str
    sees: str
    margin_nm: float | None
    is_on_ground: bool
    identified: str
    checklist: str
    challenge: str
    protected_kt: float = 0.0
    protected_why: str = ""
    followed_error_ft: float | None = None
    propellers: str = ""
    ice_protection: str = "off"
    is_icing: bool = False
    speed_trend_kt_s: float | None = None
    speed_astray_kt: float | None = None
    track: str = "none"
    track_dots: float | None = None

    @property
    def time_s(self) -> float:
        """Time since the start, s."""
        return self.step / 10.0


def lever_field(control: str) -> str:
    """The field of a row that says where a lever other than the flap lever stands."""
    return _LEVER_FIELDS.get(control, control)


_LEVER_FIELDS = {
    "gear": "gear_lever",
    "speedbrake": "speedbrake_lever",
    "ice protection": "ice_protection",
}
