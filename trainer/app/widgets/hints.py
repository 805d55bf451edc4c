"""What the hint says: the step to take, its keys, why, and what else is due.

Surprising rule: the keys are never cut. Where a line is too short for them the house's two-letter
form stands instead, then a pointer to the words above, then the next line.
"""

from __future__ import annotations

from trainer.app.keymap import Keymap
from trainer.app.prompting import Hint
from trainer.app.widgets.lines import Line, cut, plain, wrapped
from trainer.text import shown
from trainer.text import width as cells

ROWS_FOR_ALSO = 4
"""From this height on other due steps are named one by one."""


def idle_text(keymap: Keymap) -> str:
    """What stands there in Guided while no step is asked for."""
    return f" Nothing to do yet: {keymap.shown('faster')} runs time ×2 ×4 ×8 up to the next step."


def hint_lines(hint: Hint | None, width: int, height: int = 3) -> list[Line]:
    """The step to take, its keys, and why, in at most `height` rows of `width` cells."""
    if hint is None:
        return []
    also = hint.also if height >= ROWS_FOR_ALSO else ()
    lines = _step(hint, width, hint.more if not also else 0)
    rest: list[Line] = []
    for place, one in enumerate(also, 1):
        left = hint.more - len(also) if place == len(also) else 0
        rest += _step(one, width, left)
    room = max(0, height - len(lines) - len(rest))
    if hint.why and room:
        lines += _why(shown(hint.why), width, min(room, 2))
    return (lines + rest)[:height]


def _step(hint: Hint, width: int, more: int) -> list[Line]:
    head = "NEXT" if hint.is_waiting else "DUE"
    start: Line = ((f" {head} ", "cursor"), (f" {shown(hint.what)}", "title"))
    end: Line = ((f"   and {more} more", "label"),) if more > 0 else ()
    for keys in (hint.keys, *hint.shorter):
        line = (*start, *_keys(keys), *end)
        if cells(plain(line)) <= width:
            return [line]
    return [cut(start, width), ((" ", ""), *_keys((hint.keys, *hint.shorter)[-1]), *end)]


def _keys(keys: str) -> Line:
    return (("   keys: ", "label"), (shown(keys), "selected"))


def _why(text: str, width: int, rows: int) -> list[Line]:
    pieces = wrapped(text, width - 2)
    if len(pieces) > rows:
        pieces = [*pieces[: rows - 1], f"{pieces[rows - 1]} …"[: width - 2]]
    return [((f" {piece}", ""),) for piece in pieces]
