"""The closed word tables behind the recognition of calls, in any house.

Owns: other spellings of trade words, words that carry no meaning, words that make a clause claim
nothing, the slots a phrase may hold, and which call states which annunciator word. Refuses to
know: any house's phrases. The surprising rule: nothing that negates (not, no, un-) may ever be a
filler, because a filler is dropped.
"""

from __future__ import annotations

ALIASES: dict[tuple[str, ...], tuple[str, ...]] = {
    tuple(written.split()): tuple(meant.split())
    for written, meant in (
        ("glide slope", "glide"), ("glide path", "glide"), ("glideslope", "glide"),
        ("glidepath", "glide"), ("gs", "glide"), ("gp", "glide"),
        ("loc", "localizer"), ("localiser", "localizer"),
        ("alt", "altitude"), ("cap", "captured"), ("capture", "captured"),
        ("altcap", "altitude captured"),
        ("hdg", "heading"), ("spd", "speed"), ("vs", "vertical speed"), ("v s", "vertical speed"),
        ("flaps", "flap"), ("speed brake", "speedbrake"), ("speed brakes", "speedbrake"),
        ("speedbrakes", "speedbrake"), ("spoiler", "spoilers"), ("light", "lights"),
        ("ap", "autopilot"), ("autopilots", "autopilot"), ("auto pilot", "autopilot"),
        ("auto thrust", "autothrust"), ("fd", "flight director"), ("roll out", "rollout"),
        ("goaround", "go around"), ("minimum", "minimums"), ("minima", "minimums"),
        ("radalt", "radio altimeter"), ("check list", "checklist"),
        ("unstable", "not stable"), ("un stable", "not stable"), ("isnt", "not"),
        ("unstabilized", "not stable"), ("unstabilised", "not stable"),
        ("stabilized", "stable"), ("stabilised", "stable"),
        ("requesting", "request"), ("descending", "descend"), ("continuing", "continue"),
        ("intercepting", "intercept"), ("reversers", "reverse"), ("reverser", "reverse"),
        ("qnh", "altimeter"), ("identify", "identified"), ("centre", "center"),
    )
}  # fmt: skip
"""Other ways of writing a word or two, and what they mean. Longest first when applied."""

FILLERS = frozenset(
    (
        "the", "a", "an", "is", "are", "at", "of", "we", "our", "my", "it", "its", "i", "im",
        "have", "has", "to", "for", "now", "please", "ok", "okay", "er", "um", "uh", "with",
        "thanks",
    )
)  # fmt: skip
"""Words that carry no meaning in a call. None of them negates."""

UNITS = frozenset(
    (
        "feet", "foot", "ft", "knots", "kts", "kt", "degrees", "degree", "deg", "miles", "mile",
        "nm", "hpa", "hectopascals", "mhz",
    )
)  # fmt: skip
"""Unit words, dropped directly after a number."""

NEGATIONS = ("not", "no")
"""Words that turn a call into its opposite: never dropped, never guessed."""

SHARED = frozenset(("armed", "captured", "alive", "flag"))
"""States that one word may say for several nouns: "localizer and glide captured"."""

AHEAD: tuple[tuple[str, ...], ...] = (
    ("looking",), ("expect",), ("expecting",), ("will",), ("standing", "by"), ("waiting",),
    ("ready", "for"), ("about", "to"),
)  # fmt: skip
"""Words after which the rest of a clause only says what is expected."""

UNREAL: tuple[str, ...] = ("next", "soon", "when", "if")
"""Words that make their whole clause say nothing about the present."""

SLOTS: dict[str, str] = {
    "runway": r"\d{1,2}[lrc]?",
    "altitude": r"\d{2,5}",
    "heading": r"\d{1,3}",
    "speed": r"\d{2,3}",
    "setting": r"\d{3,4}|\d\d\.\d\d",
    "distance": r"\d{1,2}(\.\d)?",
    "stage": r"\d{1,2}",
    "course": r"\d{1,3}",
    "frequency": r"\d{3}(\.\d{1,3})?",
    "minimums": r"\d{2,5}",
    "fix": "",
    "ident": "",
    "mode": "",
    "clearance": "",
    "callsign": "",
}
"""The slots a phrase may hold: the shape of a number, or "" where the slot takes a name."""

NUMERIC = frozenset(slot for slot, shape in SLOTS.items() if shape)
"""The slots that take a number."""

MODE_CLAIMS: dict[str, tuple[str, tuple[str, ...]]] = {
    "heading": ("lateral", ("HDG",)),
    "nav": ("lateral", ("NAV",)),
    "localizer captured": ("lateral", ("LOC",)),
    "align": ("lateral", ("ALIGN",)),
    "rollout": ("lateral", ("ROLLOUT",)),
    "altitude hold": ("vertical", ("ALT",)),
    "altitude capture": ("vertical", ("ALT CAP",)),
    "vertical speed": ("vertical", ("VS",)),
    "descend": ("vertical", ("DESCEND",)),
    "climb": ("vertical", ("CLIMB",)),
    "path captured": ("vertical", ("PATH",)),
    "glide captured": ("vertical", ("GLIDE",)),
    "flare": ("vertical", ("FLARE",)),
    "go-around": ("vertical", ("GA",)),
    "localizer armed": ("lateral armed", ("LOC",)),
    "nav armed": ("lateral armed", ("NAV",)),
    "align armed": ("lateral armed", ("ALIGN",)),
    "rollout armed": ("lateral armed", ("ROLLOUT",)),
    "path armed": ("vertical armed", ("PATH",)),
    "glide armed": ("vertical armed", ("GLIDE",)),
    "flare armed": ("vertical armed", ("FLARE",)),
    "speed mode": ("thrust", ("SPEED",)),
    "thrust climb": ("thrust", ("CLIMB",)),
    "thrust idle": ("thrust", ("IDLE",)),
    "go-around thrust": ("thrust", ("GA",)),
    "autothrust off": ("thrust", ("OFF",)),
    "autopilot off": ("engagement", ("OFF", "FD")),
    "flight director": ("engagement", ("FD",)),
    "autopilot on": ("engagement", ("AP", "AP BOTH")),
    "autopilot both": ("engagement", ("AP BOTH",)),
    "passive": ("capability", ("PASSIVE",)),
    "operational": ("capability", ("OPERATIONAL",)),
}
"""What a mode call states: the annunciator column, and the words there that make it true.

The go-around mode is stated by its vertical word; its lateral word never differs from it at the
moment of the press."""

READ_BACKS: dict[str, str] = {
    "approach": "read back approach",
    "land": "read back land",
    "descend": "read back descend",
    "heading": "read back heading",
    "intercept localizer": "read back intercept localizer",
    "speed": "read back speed",
    "altimeter": "read back altimeter",
    "continue approach": "read back continue approach",
    "go around": "going around",
    "hold": "read back hold",
}
"""The intent with which each clearance is read back."""

OPPOSITES: tuple[tuple[str, str], ...] = (
    ("stable", "not stable"),
    ("captured", "armed"),
    ("localizer", "glide"),
    ("glide", "path"),
    ("flare", "rollout"),
    ("alive", "captured"),
    ("down", "up"),
    ("out", "in"),
    ("on", "off"),
    ("in sight", "not in sight"),
    ("spoilers", "no spoilers"),
    ("reverse", "no reverse"),
    ("decelerating", "not decelerating"),
    ("continue", "discontinue"),
    ("passive", "operational"),
    ("five hundred", "nine hundred"),
    ("one thousand", "two thousand"),
    ("lights", "runway"),
    ("landing", "approach"),
    ("i have", "you have"),
)
"""Wordings that must never be taken for one another."""
