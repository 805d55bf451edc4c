"""The closed table of flight-deck controls: names, kinds, values, and what each one touches.

Keymap, crew files, the schema, `list --keys` and the docs all derive from this table; a type file
only says which of these exist. `touches` feeds the one table of causes (see `judge.causes`).
"""

from __future__ import annotations

from trainer.values import dataclass


@dataclass(frozen=True, slots=True)
class Control:
    """One control.

    kind: "button" (pressed), "lever" (moved to a named position), "selector" (set to a value).
    For selectors: unit, bounds and step. `positions` of the flap lever come from the type.
    `touches`: causes an error on this control may explain. `key`: its default key; a selector
    shares the key of its `button` (a number typed before the key makes the difference).
    """

    name: str
    kind: str
    key: str
    touches: tuple[str, ...]
    help: str
    positions: tuple[str, ...] = ()
    unit: str = ""
    low: float = 0.0
    high: float = 0.0
    tolerance: float = 0.0

    @property
    def is_numbered(self) -> bool:
        """A lever of more than two positions: a number before its key goes to one at once."""
        return self.kind == "lever" and len(self.positions) != 2


def _button(name: str, key: str, touches: tuple[str, ...], meaning: str) -> Control:
    return Control(name, "button", key, touches, meaning)


def _lever(
    name: str, key: str, touches: tuple[str, ...], meaning: str, positions: tuple[str, ...] = ()
) -> Control:
    return Control(name, "lever", key, touches, meaning, positions)


def _selector(
    name: str, key: str, touches: tuple[str, ...], meaning: str,
    unit: str, low: float, high: float, tolerance: float = 0.0,
) -> Control:  # fmt: skip
    return Control(name, "selector", key, touches, meaning, (), unit, low, high, tolerance)


_TABLE = (
    _button("heading mode", "h", ("lateral", "modes"), "fly the selected heading"),
    _button("nav mode", "n", ("lateral", "modes"), "fly the coded legs"),
    _button("localizer mode", "l", ("lateral", "modes"),
        "arm the localizer only, or the VOR that is tuned"),
    _button("approach mode", "p", ("lateral", "vertical", "modes"), "arm localizer and glide path"),
    _button("path mode", "w", ("vertical", "modes"), "arm the coded descent"),
    _button("altitude hold", "a", ("vertical", "modes"), "hold this altitude"),
    _button("vertical speed mode", "v", ("vertical", "modes"), "fly the vertical speed"),
    _button("climb mode", "u", ("vertical", "modes"), "climb, speed with pitch"),
    _button("descend mode", "d", ("vertical", "modes"), "descend, speed with pitch"),
    _button("speed mode", "s", ("energy",), "autothrust holds the selected speed"),
    _button("autothrust off", "S", ("energy",), "power by hand until speed mode"),
    _button("autopilot", "z", ("modes",), "engage an autopilot"),
    _button("second autopilot", "x", ("modes",), "engage both, in an approach"),
    _button("autopilot off", "Z", ("modes",), "disconnect"),
    _button("flight director", "D", ("modes",), "flight director on or off"),
    _button("go-around", "G", ("modes", "decision"), "go-around thrust and guidance"),
    _button("identify", "i", ("lateral", "vertical"), "listen to the station's ident"),
    _selector("speed", "s", ("energy",), "speed selector", "kt", 60, 350, 2.0),
    _selector("heading", "h", ("lateral",), "heading selector", "deg", 0, 360, 2.0),
    _selector("altitude", "a", ("vertical", "missed approach"), "altitude selector",
        "ft", 0, 45000),
    _selector("vertical speed", "v", ("vertical",), "vertical speed selector",
        "ft/min", -6000, 6000, 100.0),
    _selector("course", "c", ("lateral", "vertical"), "course of both receivers", "deg", 0, 360),
    _selector("frequency", "t", ("lateral", "vertical"), "frequency of both receivers",
        "MHz", 108.0, 117.95),
    _selector("altimeter", "q", ("vertical",), "altimeter setting", "hPa", 940, 1060),
    _selector("minimums", "m", ("vertical",), "decision altitude bug", "ft", 0, 15000, 20.0),
    _selector("final speed", "e", ("awareness",), "final approach speed bug", "kt", 50, 200, 2.0),
    _selector("direct to", "o", ("lateral",), "fly directly to that fix of the coded legs",
        "fix", 1, 99),
    _selector("torque", "y", ("energy",), "torque of both engines, by the power levers",
        "percent", 0, 100, 6.0),
    _lever("flaps", "f", ("energy", "flaps"), "flap lever, by stage"),
    _lever("gear", "g", ("energy", "gear"), "landing gear", ("up", "down")),
    _lever("speedbrake", "b", ("energy",), "speedbrake", ("in", "out")),
    _lever("spoilers", "B", ("checklist",), "ground spoilers", ("disarmed", "armed")),
    _lever("autobrake", "k", ("checklist",), "autobrake level",
        ("off", "low", "medium", "high", "max")),
    _lever("reverse", "r", ("energy",), "reverse thrust", ("stowed", "selected")),
    _lever("propellers", "P", ("energy",), "propeller speed", ("cruise", "high")),
    _lever("ice protection", "I", ("energy", "checklist"),
        "ice protection of wings, propellers and engines", ("off", "on")),
)  # fmt: skip

CONTROLS: dict[str, Control] = {control.name: control for control in _TABLE}
"""Every control by name, in the order shown to people."""
