"""The time line of a flight: where one stands, and where something happened."""

from __future__ import annotations

from collections.abc import Sequence

from trainer.app.widgets.lines import Line


def bar(step: int, last: int, marks: Sequence[tuple[int, bool]], width: int) -> Line:
    """A line from the start to step `last`: `·` events, `×` findings, `◆` where one stands."""
    room = max(1, width - 2)
    signs = [("─", "rule")] * room
    for at, is_finding in marks:
        place = _cell(at, last, room)
        if is_finding:
            signs[place] = ("×", "warning")
        elif signs[place][0] == "─":
            signs[place] = ("·", "label")
    signs[_cell(step, last, room)] = ("◆", "selected")
    return ((" ", ""), *signs, (" ", ""))


def step_at(column: int, last: int, width: int) -> int:
    """The step that a cell of the line stands for."""
    room = max(1, width - 2)
    return round(min(max(column - 1, 0), room - 1) / max(1, room - 1) * last)


def _cell(step: int, last: int, room: int) -> int:
    return min(max(round(step / max(1, last) * (room - 1)), 0), room - 1)
