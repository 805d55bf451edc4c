"""What header, annunciator, log, checklist and entry line say: from a View to lines of text.

Own labels and an own order, in plain columns. Every colour goes with a word or a shape. The
instruments stand in `instruments`.
"""

from __future__ import annotations

from trainer.app.view import ModeCell, View
from trainer.app.widgets.lines import Line, Span, between, cut, padded, plain, wrapped
from trainer.text import width as cells
from trainer.units import STEPS_PER_S

GUIDANCE_WORDS = ("PATH", "FLARE")
"""Active words whose guidance is computed on board rather than received."""


def rule(width: int) -> Line:
    """A thin line across."""
    return (("─" * width, "rule"),)


def clock_text(step: int) -> str:
    """Time since the start, as minutes and seconds."""
    seconds = step // STEPS_PER_S
    return f"{seconds // 60:02d}:{seconds % 60:02d}"


def header(view: View, level: str, pace: str, width: int) -> list[Line]:
    """Exercise, place, level, pace of time and time."""
    meaning = "caution" if pace.isupper() else "label"
    left: Line = ((f" {view.title}", "title"), (f"  {view.place}", "label"))
    right: Line = (
        (level.upper(), "value"),
        (f"  {pace}" if pace else "", meaning),
        (f"  {clock_text(view.step)} ", "value"),
    )
    room = max(0, width - cells(plain(right)) - 1)
    return [between(cut(left, room), right, width)]


# The annunciator --------------------------------------------------------------------------------


def annunciator(view: View, width: int) -> list[Line]:
    """Label, active word and armed words of each column."""
    column = width // len(view.modes)
    labels: list[Span] = []
    active: list[Span] = []
    armed: list[Span] = []
    for cell in view.modes:
        labels += padded(((f" {cell.label}", "label"),), column)
        active += padded(_active(cell), column)
        armed += padded(_armed(cell), column)
    return [tuple(labels), tuple(active), tuple(armed), rule(width)]


def _active(cell: ModeCell) -> Line:
    meaning = "guidance" if cell.active in GUIDANCE_WORDS else "active"
    if cell.active in ("OFF", "—"):
        meaning = "armed"
    word = cell.active
    if cell.is_failed:
        meaning, word = "warning", f"{word} FAIL"
    if not cell.is_new:
        return ((f"  {word}", meaning),)
    return ((" ", ""), (f">{word}<", f"{meaning} new"))


def _armed(cell: ModeCell) -> Line:
    if cell.note:
        return (("  ", ""), (cell.note, "caution"))
    if not cell.armed:
        return ()
    if not cell.is_armed_new:
        return (("  armed ", "label"), (cell.armed, "armed"))
    return (("  armed ", "label"), (f">{cell.armed}<", "armed new"))


# Words ------------------------------------------------------------------------------------------

_WHO = {
    "ATC": "value",
    "REFUSED": "caution",
    "IDENT": "active",
    "HEARD": "caution",
    "CREW": "active",
}


def log(view: View, width: int, height: int) -> list[Line]:
    """The last lines of the communication log that fit, the newest at the bottom."""
    lines: list[Line] = []
    for entry in reversed(view.log):
        room = max(10, width - 16)
        pieces = wrapped(entry.text, room)
        rows: list[Line] = [
            (
                (f" {clock_text(entry.step)} ", "label"),
                (f"{entry.who:<8}", _WHO.get(entry.who, "label")),
                (pieces[0], _WHO.get(entry.who, "")),
            )
        ]
        rows += [((" " * 15, ""), (piece, _WHO.get(entry.who, ""))) for piece in pieces[1:]]
        lines = rows + lines
        if len(lines) >= height:
            break
    return lines[-height:]


def checklist(view: View) -> list[Line]:
    """The checklist line that waits for an answer; nothing while no list is being read."""
    if not view.challenge:
        return []
    return [
        ((f" {view.checklist.upper()} CHECKLIST", "label"),),
        ((f" {view.challenge}", "value"), ("  …  ", "label"), (view.answer, "value")),
        ((" Enter confirms", "label"),),
    ]


LINE_KEYS = "Enter sends · Esc drops"
"""What the entry line says while a call or a read-back is typed."""
_LABEL_MAX = 16
"""Columns of the longest label of the entry line, its cursor and the margins."""


def entry(state: str, text: str, note: str, width: int, keys: str = "") -> list[Line]:
    """What is typed so far, and the last note; while there is none, the keys of the state."""
    labels = {"knob": " KNOB ", "say": " SAY ", "read back": " READ BACK "}
    left: Line = (
        (labels[state], "cursor" if state != "knob" else "selected"),
        (" ", ""),
        (text, "value"),
        ("▏", "selected"),
    )
    idle = keys if state == "knob" else LINE_KEYS
    if note or (text and (state == "knob" or len(text) + len(LINE_KEYS) + _LABEL_MAX > width)):
        idle = ""
    if not note and not idle:
        return [padded(left, width)]
    right: Line = ((note, "caution"),) if note else ((idle, "label"),)
    return [between(left, (*right, (" ", "")), width)]
