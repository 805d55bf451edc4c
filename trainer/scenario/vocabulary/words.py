"""The closed lists of the format: words that mean something to the engine or the judge.

Owns the words only; where each may stand is said in the neighbouring tables. Surprising rule: the
annunciator's words are copied here, because a scenario may not import the guidance; a test keeps
the two lists equal.
"""

from __future__ import annotations

MODES: dict[str, tuple[str, ...]] = {
    "lateral": ("HDG", "NAV", "LOC", "VOR", "ALIGN", "ROLLOUT", "GA"),
    "vertical": (
        "ALT", "ALT CAP", "VS", "DESCEND", "CLIMB", "PATH", "GLIDE", "FLARE", "GA",
    ),
    "lateral armed": ("LOC", "NAV", "VOR", "ALIGN", "ROLLOUT"),
    "vertical armed": ("PATH", "GLIDE", "FLARE"),
    "thrust": ("SPEED", "CLIMB", "IDLE", "GA", "OFF"),
    "engagement": ("OFF", "FD", "AP", "AP BOTH"),
    "capability": ("", "PASSIVE", "OPERATIONAL", "LPV", "LNAV/VNAV", "LNAV"),
}  # fmt: skip
"""Words each annunciator column may show."""

CHANGES = (
    "any", "announced", "lateral", "vertical", "armed", "thrust", "engagement", "capability",
)  # fmt: skip
"""What `changed:` may name."""

PHASES = (
    "arrival", "intercept", "final", "minimums", "flare", "rollout", "stopped", "discontinued",
    "go-around", "climb-out", "decision",
)  # fmt: skip
"""Phases of the flight."""

SIGNALS = ("localizer", "glideslope", "vor", "track")
"""Signals a moment may ask about, of whatever is tuned; track: the position on an RNP final."""
STATIONS = ("ILS", "ILS DME", "localizer", "localizer DME", "VOR", "VOR DME", "DME")
"""What a further station sends."""
FAULTY_SIGNALS = ("localizer", "glideslope", "position")
"""Signals of the approach that may fail."""
SIGNAL_FAULTS = ("flagged", "off", "maintenance", "bent")
"""What a failing signal becomes: no needle, silent, sent without its ident, or (a localizer, for a
time) bent by something that moves through its critical area."""
POSITION_FAULTS = ("flagged", "no path")
"""What the position on an RNP final becomes: without integrity, or LNAV at best."""
SERVICES = ("LPV", "LNAV/VNAV", "LNAV")
"""Levels of service of an RNP final, the best first."""
OTHER_COURSE = "course 2"
"""The course selector of the other side."""
FAULT_SYSTEMS = ("autopilot 1", "autopilot 2", "receiver 1", "receiver 2", OTHER_COURSE)
"""Systems on board that a fault may take away for good; the other side's course is turned away."""
SIGNAL_STATES = ("covered", "received", "alive", "flagged", "none", "identified")
"""States of a received signal."""
SEEN = ("lights", "runway", "ice")
"""What can be in sight."""
GATE_RESULTS = ("passed", "failed")
"""Results of a gate."""
FLAP_ROLES = ("clean", "first", "intermediate", "approach", "landing", "go around")
"""Flap roles: a flow names roles, a type maps them to its stages."""
SURFACES = ("flaps", "gear", "speedbrake")
"""Levers whose surfaces take time to arrive."""
FIX_ROLES = ("final fix", "threshold")
"""Places a flow may name without knowing the airport."""

GRANTS = (
    "descend", "heading", "speed", "intercept localizer", "approach", "continue approach", "land",
    "go around", "discontinue", "hold", "altimeter",
)  # fmt: skip
"""Clearances an event may grant; each is a separate permission."""
GRANTS_WITH_RUNWAY = ("intercept localizer", "approach", "land")
"""Clearances whose read-back names the runway."""
GRANT_NEEDS = {
    "descend": "altitude", "discontinue": "altitude", "heading": "heading", "speed": "speed",
    "altimeter": "setting",
}  # fmt: skip
"""The value a clearance must assign."""
ASSIGNED_CONTROLS = {
    "altitude": "altitude", "heading": "heading", "speed": "speed", "setting": "altimeter",
}  # fmt: skip
"""Values of a clearance that are then set, with the selector they are set on."""

NAMED_VALUES: dict[str, tuple[str, str]] = {
    "final approach speed": ("kt", "speed"),
    "reference speed": ("kt", "speed"),
    "assigned speed": ("kt", "speed"),
    "missed approach altitude": ("ft", "altitude"),
    "minimums": ("ft", "altitude"),
    "minimum descent altitude": ("ft", "altitude"),
    "LNAV minimum": ("ft", "altitude"),
    "segment minimum": ("ft", "altitude"),
    "glide check altitude": ("ft", "altitude"),
    "height of minimums": ("ft", "height"),
    "field elevation": ("ft", "altitude"),
    "assigned altitude": ("ft", "altitude"),
    "final fix distance": ("NM", "distance"),
    "descent rate": ("ft/min", "vertical speed"),
    "torque for the speed": ("percent", "torque"),
    "final course": ("deg", "heading"),
    "assigned heading": ("deg", "heading"),
    "receiver frequency": ("MHz", "frequency"),
    "altimeter setting": ("hPa", "altimeter"),
    "alert height": ("ft", "radio height"),
    "decision height": ("ft", "radio height"),
}
"""Named values: the unit of each and what it is (an altitude is not a height)."""

SELECTOR_SORTS = {
    "speed": "speed",
    "final speed": "speed",
    "heading": "heading",
    "course": "heading",
    "altitude": "altitude",
    "minimums": "altitude",
    "frequency": "frequency",
    "altimeter": "altimeter",
    "vertical speed": "vertical speed",
    "torque": "torque",
}
"""What each selector holds, so that only fitting named values are accepted."""

SUBJECTS: dict[str, tuple[str, float, float, str]] = {
    "distance": ("NM", 0.0, 100.0, "distance"),
    "dme": ("NM", 0.0, 200.0, ""),
    "altitude": ("ft", -1000.0, 45000.0, "altitude"),
    "height": ("ft", -500.0, 45000.0, "height"),
    "radio height": ("ft", 0.0, 2500.0, "radio height"),
    "altitude to go": ("ft", 0.0, 45000.0, ""),
    "speed": ("kt", 0.0, 500.0, "speed"),
    "vertical speed": ("ft/min", -8000.0, 8000.0, ""),
    "speed astray": ("kt", -200.0, 200.0, ""),
    "torque": ("percent", 0.0, 100.0, ""),
    "margin": ("NM", -50.0, 50.0, ""),
}
"""Quantities a moment compares: unit, bounds in it, and which named values fit."""

ROLES = ("flying", "monitoring", "either", "aircraft")
"""Who an item belongs to."""
EARLY = ("fine", "harmful", "forbidden")
"""What acting before the window means."""
AREAS = (
    "setup", "energy", "guidance", "modes", "calls", "communication", "clearances", "checklist",
    "altimetry", "decision", "landing", "awareness",
)  # fmt: skip
"""Areas in which points are summed."""
CAUSES = (
    "energy", "lateral", "vertical", "modes", "missed approach", "awareness", "checklist",
    "flaps", "gear", "decision",
)  # fmt: skip
"""Causes that connect a watch or gate with the item that explains it."""
SEVERITIES = ("advisory", "minor", "major", "critical")
"""How grave a finding of a watch is."""
LIMITS = ("flaps", "gear", "maximum", "manoeuvring")
"""Limit speeds a watch may guard."""
VERDICTS = ("on time", "late", "early", "wrong", "missed", "not reached")
"""Verdicts of an item."""
ANSWERS = (
    "go around", "discontinue", "continue", "land visually", "continue on the localizer",
    "higher minimum", "LNAV minimum", "disconnect", "check course",
)  # fmt: skip
"""Answers a fault may accept."""
MODE_SHOWN = "mode shown"
"""The call of what changed: no house file lists it, its words are those of the annunciator."""
ATC_NAMES = (
    "callsign", "airport", "approach", "runway", "altitude", "heading", "speed", "setting",
    "distance",
)  # fmt: skip
"""Names in braces that a transmission may hold."""

CRITERIA = (
    "localizer", "glideslope", "speed above", "speed below", "sink", "configuration",
    "thrust idle", "checklist", "bank", "path", "track",
)  # fmt: skip
"""Criteria of a gate, in the order in which they are reported."""

COVERAGE = ("icao", "reduced", "us")
"""Published coverage profiles of a localizer."""

ARMING = ("waits", "computed path", "refuses")
"""What a press of approach mode does where no glide path is received."""
LEAVING = ("any basic mode", "until glide", "until both captured")
"""How long the approach can be left by choosing another mode."""
SECOND_PRESS = ("disarms before localizer", "disarms always", "nothing")
"""What a second press of approach mode does."""
CAPTURE_TURN = ("keeps target", "falls back to vertical speed")
"""What turning the altitude selector during the capture does."""

ANNOUNCE = tuple(
    dict.fromkeys(
        (
            *("lateral", "vertical", "armed", "thrust", "engagement", "capability"),
            *(word for words in MODES.values() for word in words if word),
            *(f"{word} armed" for word in (*MODES["lateral armed"], *MODES["vertical armed"])),
        )
    )
)
"""What a flow's announce list may hold: columns, words, and words as armed."""
