"""The closed word tables behind the recognition of calls, in any house.

Owns: other spellings of trade words, words that carry no meaning, words that make a clause claim
nothing, the slots a phrase may hold, and the intent that reads back each clearance. Refuses to
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
        ("speedbrakes", "speedbrake"), ("spoiler", "spoilers"),
        ("ap", "autopilot"), ("autopilots", "autopilot"), ("auto pilot", "autopilot"),
        ("auto thrust", "autothrust"), ("fd", "flight director"), ("roll out", "rollout"),
        ("goaround", "go around"), ("minimum", "minimums"), ("minima", "minimums"),
        ("radalt", "radio altimeter"), ("check list", "checklist"),
        ("unstable", "not stable"), ("un stable", "not stable"), ("isnt", "not"),
        ("unstabilized", "not stable"), ("unstabilised", "not stable"),
        ("stabilized", "stable"), ("stabilised", "stable"),
        ("requesting", "request"), ("descending", "descend"), ("continuing", "continue"),
        ("intercepting", "intercept"), ("reversers", "reverse"), ("reverser", "reverse"),
        ("qnh", "altimeter"), ("identify", "identified"), ("ident", "identified"),
        ("centre", "center"),
        ("lnav vnav", "lateral vertical"), ("lnav only", "lateral only"),
        ("cross checked", "checked"), ("crosschecked", "checked"),
    )
}  # fmt: skip
"""Other ways of writing a word or two, and what they mean. Longest first when applied."""

FILLERS = frozenset(
    (
        "the", "a", "is", "are", "at", "we", "my", "its", "have", "has", "for",
        "please", "okay", "er", "thanks", "with",
    )
)  # fmt: skip
"""Words that carry no meaning in a call. None of them negates, or is one letter from a negation."""

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
    "altitude": r"[1-9]\d{3,4}|[5-9]\d\d",
    "heading": r"[0-2]?\d?\d|3[0-5]\d|360",
    "speed": r"\d{2,3}",
    "setting": r"\d{3,4}|\d\d\.\d\d",
    "distance": r"\d{1,2}(\.\d)?",
    "stage": r"\d{1,2}",
    "course": r"[0-2]?\d?\d|3[0-5]\d|360",
    "frequency": r"\d{3}(\.\d{1,3})?",
    "minimums": r"\d{2,5}",
    "fuel": r"\d{1,2}(\.\d)?",
    "fix": "",
    "ident": "",
    "mode": "",
    "clearance": "",
    "callsign": "",
}
"""The slots a phrase may hold: the shape of a number, or "" where the slot takes a name."""

NUMERIC = frozenset(slot for slot, shape in SLOTS.items() if shape)
"""The slots that take a number."""

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
    "discontinue": "read back discontinue",
    "hold": "read back hold",
}
"""The intent with which each clearance is read back."""
