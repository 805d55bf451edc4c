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


_TABLE = (
    Control("heading mode", "button", "h", ("lateral", "modes"), "fly the selected heading"),
    Control("nav mode", "button", "n", ("lateral", "modes"), "fly the coded legs"),
    Control(
        "localizer mode",
        "button",
        "l",
        ("lateral", "modes"),
        "arm the localizer only, or the VOR that is tuned",
    ),
    Control(
        "approach mode",
        "button",
        "p",
        ("lateral", "vertical", "modes"),
        "arm localizer and glide path",
    ),
    Control("path mode", "button", "w", ("vertical", "modes"), "arm the coded descent"),
    Control("altitude hold", "button", "a", ("vertical", "modes"), "hold this altitude"),
    Control("vertical speed mode", "button", "v", ("vertical", "modes"), "fly the vertical speed"),
    Control("climb mode", "button", "u", ("vertical", "modes"), "climb, speed with pitch"),
    Control("descend mode", "button", "d", ("vertical", "modes"), "descend, speed with pitch"),
    Control("speed mode", "button", "s", ("energy",), "autothrust holds the selected speed"),
    Control("autothrust off", "button", "S", ("energy",), "power by hand until speed mode"),
    Control("autopilot", "button", "z", ("modes",), "engage an autopilot"),
    Control("second autopilot", "button", "x", ("modes",), "engage both, in an approach"),
    Control("autopilot off", "button", "Z", ("modes",), "disconnect"),
    Control("flight director", "button", "D", ("modes",), "flight director on or off"),
    Control("go-around", "button", "G", ("modes", "decision"), "go-around thrust and guidance"),
    Control("identify", "button", "i", ("lateral", "vertical"), "listen to the station's ident"),
    Control(
        "speed",
        "selector",
        "s",
        ("energy",),
        "speed selector",
        unit="kt",
        low=60,
        high=350,
        tolerance=2.0,
    ),
    Control(
        "heading",
        "selector",
        "h",
        ("lateral",),
        "heading selector",
        unit="deg",
        low=0,
        high=360,
        tolerance=2.0,
    ),
    Control(
        "altitude",
        "selector",
        "a",
        ("vertical", "missed approach"),
        "altitude selector",
        unit="ft",
        low=0,
        high=45000,
    ),
    Control(
        "vertical speed",
        "selector",
        "v",
        ("vertical",),
        "vertical speed selector",
        unit="ft/min",
        low=-6000,
        high=6000,
        tolerance=100.0,
    ),
    Control(
        "course",
        "selector",
        "c",
        ("lateral", "vertical"),
        "course of both receivers",
        unit="deg",
        low=0,
        high=360,
    ),
    Control(
        "frequency",
        "selector",
        "t",
        ("lateral", "vertical"),
        "frequency of both receivers",
        unit="MHz",
        low=108.0,
        high=117.95,
    ),
    Control(
        "altimeter",
        "selector",
        "q",
        ("vertical",),
        "altimeter setting",
        unit="hPa",
        low=940,
        high=1060,
    ),
    Control(
        "minimums",
        "selector",
        "m",
        ("vertical",),
        "decision altitude bug",
        unit="ft",
        low=0,
        high=15000,
        tolerance=20.0,
    ),
    Control(
        "final speed",
        "selector",
        "e",
        ("awareness",),
        "final approach speed bug",
        unit="kt",
        low=50,
        high=200,
        tolerance=2.0,
    ),
    Control(
        "direct to",
        "selector",
        "o",
        ("lateral",),
        "fly directly to that fix of the coded legs",
        unit="fix",
        low=1,
        high=99,
    ),
    Control(
        "torque",
        "selector",
        "y",
        ("energy",),
        "torque of both engines, by the power levers",
        unit="percent",
        low=0,
        high=100,
        tolerance=6.0,
    ),
    Control("flaps", "lever", "f", ("energy", "flaps"), "flap lever, by stage"),
    Control("gear", "lever", "g", ("energy", "gear"), "landing gear", positions=("up", "down")),
    Control("speedbrake", "lever", "b", ("energy",), "speedbrake", positions=("in", "out")),
    Control(
        "spoilers", "lever", "B", ("checklist",), "ground spoilers", positions=("disarmed", "armed")
    ),
    Control(
        "autobrake",
        "lever",
        "k",
        ("checklist",),
        "autobrake level",
        positions=("off", "low", "medium", "high", "max"),
    ),
    Control(
        "reverse", "lever", "r", ("energy",), "reverse thrust", positions=("stowed", "selected")
    ),
    Control(
        "propellers", "lever", "P", ("energy",), "propeller speed", positions=("cruise", "high")
    ),
    Control(
        "ice protection",
        "lever",
        "I",
        ("energy", "checklist"),
        "ice protection of wings, propellers and engines",
        positions=("off", "on"),
    ),
)

CONTROLS: dict[str, Control] = {control.name: control for control in _TABLE}
"""Every control by name, in the order shown to people."""
