"""What the help says about each pane of the flight screen: its purpose, and the words it uses.

Owns the texts. The words are defined in the glossary. Surprising rule: it explains how to read a
pane and never what to do next, because it is also there in a check.
"""

from __future__ import annotations

from typing import NamedTuple


class Pane(NamedTuple):
    """A pane by the id of its widget: title, how to read it, terms of the glossary in it."""

    id: str
    title: str
    text: str
    terms: tuple[str, ...]


PANES: tuple[Pane, ...] = (
    Pane(
        "header",
        "TOP LINE",
        "The exercise and the place, the level, the pace of time and the time flown. TIME WAITS, "
        "PAUSED or INTERRUPTED say that nothing moves.",
        ("GUIDED", "COACHED", "CHECK"),
    ),
    Pane(
        "modes",
        "ANNUNCIATOR",
        "What guidance really does, column by column: the active word above, armed words below. "
        "What has changed stands between > and < in reverse video for ten seconds. A button "
        "pressed is only a wish; this strip is the answer. FAIL: the mode has lost its signal.",
        ("LATERAL", "VERTICAL", "SPEED", "ENGAGED", "CAPABILITY", "ARMED", "CAPTURED", "HDG", "NAV",
         "LOC", "VOR", "ALT", "ALT CAP", "VS", "DESCEND", "CLIMB", "PATH", "GLIDE", "FLARE",
         "ALIGN", "ROLLOUT", "GA", "IDLE", "FD", "AP", "AP BOTH", "OPERATIONAL", "PASSIVE",
         "LPV", "LNAV/VNAV", "LNAV"),
    ),
    Pane(
        "energy",
        "SPEED AND CONFIGURATION",
        "The airspeed in large figures with its trend, the selected speed and the lowest limit of "
        "the present configuration. Below: where each lever stands, what still moves (…), and up "
        "to which speed the next flap may be selected. Amber: within 5 kt of the limit.",
        ("SET", "BUG", "TREND", "MAX", "NEXT", "FLAPS", "GEAR", "BRAKE", "SPOIL", "AUTO",
         "REVERSE", "POWER", "GS", "NP", "ICE", "TRQ"),
    ),
    Pane(
        "raw",
        "RAW DATA",
        "What the receivers say, untouched by any mode. The diamond is the course or the path seen "
        "from the aircraft: fly towards it. While a VOR is tuned a bearing pointer stands at the "
        "right; up is the nose. On an RNP final the course is that of the position. Computed paths "
        "are figures, because nothing is received.",
        ("DEVIATION", "LOC", "NAV", "GLIDE", "VOR", "BEARING", "FLAG", "AID", "IDENT", "CRS", "DME",
         "NM", "RADIO", "MINS", "SEEN"),
    ),
    Pane(
        "position",
        "ALTITUDE AND DIRECTION",
        "Indicated altitude in large figures with the selected one and the altimeter setting; "
        "vertical speed, heading and track with what is selected; bank; miles to the threshold.",
        ("ALTIMETER", "QNH", "VS", "HDG", "TRK", "BANK", "TO THRESHOLD", "NM"),
    ),
    Pane(
        "strip",
        "PROFILE",
        "The way to the runway from the side: the path, the aircraft (◆) with its altitude, the "
        "selected altitude (╌), the fixes below. In Guided and Coached shades show where the glide "
        "path is received: ░ guaranteed, · usable.",
        ("PATH", "VOLUME", "COVERED", "RECEIVED", "CONSTRAINT", "FINAL FIX"),
    ),
    Pane(
        "log",
        "COMMUNICATION",
        "What was said to you and by you, what was heard of a station, what was refused and why. "
        "HEARD: a call that was not understood, with the words that were not. "
        "CREW: up to here the crew has flown a segment; now it is yours.",
        ("READ BACK", "REFUSED", "IDENT"),
    ),
    Pane(
        "checklist",
        "CHECKLIST",
        "The line that waits: challenge and answer. Enter confirms it; look first whether it is "
        "true.",
        ("CHECKLIST",),
    ),
    Pane(
        "hint",
        "HINT",
        "The step to take, its keys and its reason; not in a check.",
        ("DUE",),
    ),
    Pane(
        "entry",
        "ENTRY LINE",
        "A number waits here for the key of its knob. Space opens a call, Enter a read-back; "
        "while a line is open every letter belongs to it.",
        ("READ BACK",),
    ),
)  # fmt: skip


def pane(id: str) -> Pane | None:
    """The pane of a widget, None for one that has no explanation."""
    return next((one for one in PANES if one.id == id), None)
