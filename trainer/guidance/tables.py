"""The transition tables of guidance, one per axis, as data: the only place where modes change.

Owns the rows. Refuses to know the aircraft: a row names its conditions and `conditions` holds them.
The surprising rule: where one trigger leads from one state to several, the conditions of its rows
exclude one another, so the order of rows decides nothing; a test refuses a table in which it would.

The armed columns are axes of their own. ALIGN, ROLLOUT and FLARE are shown armed as a consequence
of the capability and so have no row there.
"""

from __future__ import annotations

from typing import NamedTuple

from trainer.guidance.modes import BASIC_VERTICAL, CODED, ENGAGEMENT, LATERAL, THRUST, VERTICAL


class Rule(NamedTuple):
    """One row: on `trigger` in one of `sources`, if all `conditions` hold, go to `dest`."""

    trigger: str
    sources: tuple[str, ...]
    dest: str
    conditions: tuple[str, ...] = ()


class Table(NamedTuple):
    """One axis: its vocabulary, the states a flight may begin in, and the rows."""

    axis: str
    vocabulary: tuple[str, ...]
    initial: tuple[str, ...]
    rules: tuple[Rule, ...]


_LATERAL = Table(
    "lateral",
    LATERAL,
    ("HDG", "NAV", "LOC"),
    (
        Rule("press heading", ("HDG", "VOR"), "HDG"),
        Rule("press heading", ("NAV",), "HDG", ("rnp final may be left",)),
        Rule("press heading", ("LOC",), "HDG", ("may leave",)),
        Rule("press heading", ("GA",), "HDG", ("lateral released",)),
        Rule("press nav", ("HDG", "VOR"), "NAV", ("nav near", "position known")),
        Rule("press nav", ("LOC",), "NAV", ("nav free", "may leave", "nav near", "position known")),
        Rule("press nav", ("GA",), "NAV", ("lateral released", "nav near", "position known")),
        Rule("capture nav", ("HDG", "VOR", "GA"), "NAV", ("nav near", "position known")),
        Rule(
            "capture nav", ("LOC",), "NAV", ("nav free", "may leave", "nav near", "position known")
        ),
        Rule("capture localizer", ("HDG", "NAV", "VOR", "GA"), "LOC", ("localizer caught",)),
        Rule("capture vor", ("HDG", "NAV", "GA"), "VOR", ("vor caught",)),
        Rule("align", ("LOC",), "ALIGN", ("landing armed", "align height")),
        Rule(
            "roll out",
            ("LOC", "ALIGN"),
            "ROLLOUT",
            ("landing armed", "rollout fitted", "on ground"),
        ),
        Rule("lose localizer", ("LOC", "ALIGN"), "HDG", ("localizer lost",)),
        Rule("lose vor", ("VOR",), "HDG", ("vor lost",)),
        Rule("lose position", ("NAV",), "HDG", ("position lost",)),
        Rule(
            "go around", ("HDG", "NAV", "LOC", "VOR", "ALIGN", "ROLLOUT"), "GA", ("not committed",)
        ),
        Rule("drop", ("NAV", "LOC", "VOR", "ALIGN", "ROLLOUT", "GA"), "HDG"),
    ),
)

_ARM_LOCALIZER = ("lateral released", "not landing", "localizer received")
_ARM_VOR = ("lateral released", "not landing", "vor received")
_ARM_NAV = ("lateral released", "not landing", "nav free", "may leave", "position known")

_LATERAL_ARMED = Table(
    "lateral armed",
    ("none", "LOC", "LOC NAV", "NAV", "NAV VOR", "VOR"),
    ("none", "LOC", "NAV"),
    (
        Rule("arm localizer", ("none", "VOR"), "LOC", _ARM_LOCALIZER),
        Rule("arm localizer", ("NAV", "NAV VOR"), "LOC NAV", _ARM_LOCALIZER),
        Rule("arm vor", ("none", "LOC"), "VOR", _ARM_VOR),
        Rule("arm vor", ("NAV", "LOC NAV"), "NAV VOR", _ARM_VOR),
        Rule("arm nav", ("none",), "NAV", _ARM_NAV),
        Rule("arm nav", ("LOC",), "LOC NAV", _ARM_NAV),
        Rule("arm nav", ("VOR",), "NAV VOR", _ARM_NAV),
        Rule("disarm localizer", ("LOC",), "none"),
        Rule("disarm localizer", ("LOC NAV",), "NAV"),
        Rule("disarm vor", ("VOR",), "none"),
        Rule("disarm vor", ("NAV VOR",), "NAV"),
        Rule("disarm nav", ("NAV",), "none"),
        Rule("disarm nav", ("LOC NAV",), "LOC"),
        Rule("disarm nav", ("NAV VOR",), "VOR"),
        Rule("clear", ("LOC", "NAV", "VOR", "LOC NAV", "NAV VOR"), "none"),
    ),
)

_FINAL = ("PATH", "GLIDE")

_VERTICAL = Table(
    "vertical",
    (*VERTICAL, CODED),
    ("ALT", "VS", "CLIMB", "DESCEND", "PATH", "GLIDE"),
    (
        Rule("press altitude hold", BASIC_VERTICAL, "ALT"),
        Rule("press altitude hold", _FINAL, "ALT", ("may leave",)),
        Rule("press altitude hold", ("GA",), "ALT", ("vertical released",)),
        Rule("press vertical speed", BASIC_VERTICAL, "VS"),
        Rule("press vertical speed", _FINAL, "VS", ("may leave",)),
        Rule("press vertical speed", ("GA",), "VS", ("vertical released",)),
        Rule("press climb", BASIC_VERTICAL, "CLIMB"),
        Rule("press climb", _FINAL, "CLIMB", ("may leave",)),
        Rule("press climb", ("GA",), "CLIMB", ("vertical released",)),
        Rule("press descend", BASIC_VERTICAL, "DESCEND"),
        Rule("press descend", _FINAL, "DESCEND", ("may leave",)),
        Rule("press descend", ("GA",), "DESCEND", ("vertical released",)),
        Rule(
            "capture altitude",
            ("VS", "CLIMB", "DESCEND", "GA", CODED),
            "ALT CAP",
            ("altitude ahead", "altitude caught"),
        ),
        Rule("level off", ("ALT CAP",), "ALT", ("level",)),
        Rule("turn altitude selector", ("ALT CAP",), "VS", ("turning falls back",)),
        Rule("capture glide", BASIC_VERTICAL, "GLIDE", ("localizer leads", "glide caught")),
        Rule("capture path", BASIC_VERTICAL, "PATH", ("localizer leads", "path caught")),
        Rule(
            "capture rnp path",
            BASIC_VERTICAL,
            "PATH",
            ("rnp final followed", "service with path", "path caught"),
        ),
        Rule(
            "capture coded path",
            ("ALT", "ALT CAP", "VS", "CLIMB", "DESCEND"),
            CODED,
            ("coded legs followed", "altitude lowered", "coded path caught"),
        ),
        Rule("leave coded legs", (CODED,), "VS", ("coded legs left",)),
        Rule("end coded descent", (CODED,), "VS", ("no descent coded",)),
        Rule("lay legs anew", (CODED,), "VS", ("coded path elsewhere",)),
        Rule("flare", ("GLIDE",), "FLARE", ("landing armed", "flare height")),
        Rule("lose glide", ("GLIDE",), "VS", ("glide lost",)),
        Rule("lose path", ("PATH",), "VS", ("service lost",)),
        Rule("go around", (*BASIC_VERTICAL, *_FINAL, "FLARE"), "GA", ("not committed",)),
        Rule("leave approach", _FINAL, "VS", ("may leave",)),
        Rule("drop", ("ALT", "ALT CAP", "CLIMB", "DESCEND", CODED, *_FINAL, "FLARE", "GA"), "VS"),
    ),
)

_VERTICAL_ARMED = Table(
    "vertical armed",
    ("none", "PATH", "GLIDE", CODED),
    ("none", "PATH", "GLIDE"),
    (
        Rule("press approach", ("none",), "GLIDE", ("glide received",)),
        Rule("press approach", ("none",), "GLIDE", ("glide missing", "glide waits")),
        Rule("press approach", ("none",), "PATH", ("glide missing", "path computed")),
        Rule("arm rnp path", ("none",), "PATH", ("rnp final ahead", "service with path")),
        Rule("lose path", ("PATH",), "none", ("service lost",)),
        Rule("leave approach", ("PATH", "GLIDE"), "none", ("may leave",)),
        Rule("press path", ("none",), CODED, ("descent coded", "coded legs in use")),
        Rule("press path again", (CODED,), "none"),
        Rule("leave coded legs", (CODED,), "none", ("coded legs not in use",)),
        Rule("end coded descent", (CODED,), "none", ("no descent coded",)),
        Rule("clear", ("PATH", "GLIDE", CODED), "none"),
    ),
)

_THRUST = Table(
    "thrust",
    THRUST,
    ("SPEED", "OFF"),
    (
        Rule(
            "press speed",
            ("SPEED", "CLIMB", "IDLE", "GA", "OFF"),
            "SPEED",
            ("autothrust fitted", "pitch leaves speed", "above idle height"),
        ),
        Rule(
            "hold speed",
            ("CLIMB", "IDLE", "GA"),
            "SPEED",
            ("pitch leaves speed", "above idle height"),
        ),
        Rule("press autothrust off", ("SPEED", "CLIMB", "IDLE", "GA"), "OFF"),
        Rule("open", ("SPEED", "IDLE", "GA"), "CLIMB"),
        Rule("close", ("SPEED", "CLIMB", "GA"), "IDLE"),
        Rule("go around", ("SPEED", "CLIMB", "IDLE", "OFF"), "GA", ("autothrust fitted",)),
    ),
)

_ONE = ("autopilot fitted", "autopilot works", "above minimum", "modes flown")
_BOTH = (
    "second autopilot fitted",
    "second autopilot works",
    "receivers work",
    "courses agree",
    "no rnp final",
    "approach in force",
)

_ENGAGEMENT = Table(
    "engagement",
    ENGAGEMENT,
    ("OFF", "FD", "AP"),
    (
        Rule("press autopilot", ("OFF", "FD"), "AP", _ONE),
        Rule("press second autopilot", ("OFF", "FD"), "AP", ("second autopilot fitted", *_ONE[1:])),
        Rule("press second autopilot", ("AP",), "AP BOTH", _BOTH),
        Rule("press autopilot off", ("AP", "AP BOTH"), "FD", ("director on",)),
        Rule("press autopilot off", ("AP", "AP BOTH"), "OFF", ("director off",)),
        Rule("press flight director", ("OFF",), "FD"),
        Rule("press flight director", ("FD",), "OFF"),
        Rule("descend below minimum", ("AP", "AP BOTH"), "FD", ("below minimum", "director on")),
        Rule("descend below minimum", ("AP", "AP BOTH"), "OFF", ("below minimum", "director off")),
        Rule("leave approach", ("AP BOTH",), "AP", ("approach left",)),
        Rule("fail", ("AP BOTH",), "AP"),
        Rule("fail", ("AP",), "FD", ("director on",)),
        Rule("fail", ("AP",), "OFF", ("director off",)),
        Rule("go around", ("OFF",), "FD"),
        Rule("go around", ("AP",), "FD", ("few modes flown",)),
    ),
)

TABLES: dict[str, Table] = {
    table.axis: table
    for table in (_LATERAL, _LATERAL_ARMED, _VERTICAL, _VERTICAL_ARMED, _THRUST, _ENGAGEMENT)
}
"""Every table by the name of its axis."""


def states(table: Table) -> tuple[str, ...]:
    """The states that `table` uses, in the order of its vocabulary."""
    used = [*table.initial]
    for rule in table.rules:
        used.extend(rule.sources)
        used.append(rule.dest)
    return tuple(dict.fromkeys([*(s for s in table.vocabulary if s in used), *used]))
