"""The list of keys beside a flight: every key in groups, in as many columns as fit, in pages.

Made from the one table of keys, so that a new key appears by itself. It draws nothing and moves
nothing. Surprising rule: the key that hides the list stands in its title and not among the others.
"""

from __future__ import annotations

from dataclasses import replace

from trainer.app.keymap import DEFAULT, Binding, Keymap, shown_key
from trainer.app.widgets.lines import Line, padded
from trainer.values import dataclass

COLUMN = 25
"""Cells of one column; every entry is shorter."""
KEY_MAX = 7
"""Texts stand in line behind keys of so many letters; a longer key pushes its own text on."""
_SHORT = {
    "flaps": "flaps out (22f to 22)",
    "checklist": "next checklist",
    "say": "make a call",
    "read back": "read back in list",
    "backspace": "erase",
    "pause": "pause, not Check",
    "skip": "skip, only Guided",
    "rewind": "back 30 seconds",
    "faster": "time ×2 ×4 ×8",
    "real time": "time ×1",
    "enter": "send, read back",
}
"""Texts of rows whose name alone does not say enough."""
_CALLS = ("say", "enter", "backspace", "read back", "checklist")


@dataclass(frozen=True, slots=True)
class Cell:
    """One place of the list: a heading (no `binding`), or a key with what it does."""

    text: str
    binding: Binding | None = None
    shown: str = ""
    room: int = 0

    @property
    def key(self) -> str:
        """The key, "" for a heading."""
        return "" if self.binding is None else self.binding.key


@dataclass(frozen=True, slots=True)
class Page:
    """What is shown at once: columns of cells, and which page of how many it is."""

    columns: tuple[tuple[Cell, ...], ...]
    number: int
    pages: int
    hide: str = "?"

    def key_at(self, row: int, x: int) -> Binding | None:
        """The key shown in `row` (below the title) at cell `x`, None where there is none."""
        at = x // COLUMN
        if not 0 <= at < len(self.columns) or not 0 <= row < len(self.columns[at]):
            return None
        return self.columns[at][row].binding


def groups(keymap: Keymap = DEFAULT) -> tuple[tuple[str, tuple[Cell, ...]], ...]:
    """Every key by group: heading and cells. The key of the list itself stands in its title."""
    buttons, values, levers, calls, rest = [], [], [], [], []
    for row in keymap.rows:
        cell = Cell(_SHORT.get(row.name, row.name), row, shown_key(row))
        if row.button:
            buttons.append(cell)
        elif row.selector:
            values.append(cell)
        elif row.lever:
            levers.append(cell)
        elif row.name not in _CALLS:
            if row.name != "help":
                rest.append(cell)
        else:
            calls.append(cell)
    return (
        ("MODES, BUTTONS, LEVERS", _in_line([*buttons, *levers])),
        ("NUMBER, THEN KEY", _in_line(values)),
        ("CALLS, TIME, APP", _in_line([*calls, *rest])),
    )


def entry_keys(keymap: Keymap) -> str:
    """The keys that the entry line names while nothing is typed."""
    shown = {row.ask: shown_key(row) for row in keymap.rows if row.ask}
    return f"Space say · Enter read back · {shown['help']} keys · {shown['leave']} leave"


def _in_line(cells: list[Cell]) -> tuple[Cell, ...]:
    """`cells` with as much room for the key as the longest of the usual ones takes."""
    room = max(len(one.shown) for one in cells if len(one.shown) <= KEY_MAX)
    return tuple(replace(one, room=room) for one in cells)


def page_of(number: int, width: int, height: int, keymap: Keymap = DEFAULT) -> Page:
    """The page `number` (from 0, counted round) of the list in `width` by `height` cells.

    The first row is the title; a heading never stands alone at the foot of a column.
    """
    room = max(2, height - 1)
    columns: list[list[Cell]] = [[]]
    for heading, cells in groups(keymap):
        if len(columns[-1]) + 2 > room:
            columns.append([])
        columns[-1].append(Cell(heading))
        for cell in cells:
            if len(columns[-1]) >= room:
                columns.append([])
            columns[-1].append(cell)
    across = max(1, width // COLUMN)
    pages = -(-len(columns) // across)
    at = number % pages
    shown = columns[at * across : (at + 1) * across]
    hide = next((shown_key(row) for row in keymap.rows if row.ask == "help"), "?")
    return Page(tuple(tuple(column) for column in shown), at, pages, hide)


def key_lines(page: Page, width: int) -> list[Line]:
    """The page as lines: title with the sign that there is more, then the columns."""
    more = f" ▼ more: PageDown   page {page.number + 1} of {page.pages} " if page.pages > 1 else ""
    title = f" KEYS   {page.hide} hides them   Tab explains the panes "
    lines: list[Line] = [
        (
            (title, "label"),
            ("─" * max(0, width - len(title) - len(more)), "rule"),
            (more, "selected"),
        )
    ]
    for y in range(max((len(column) for column in page.columns), default=0)):
        line: Line = ()
        for column in page.columns:
            spans = _cell(column, y)
            line = (*line, *padded(spans, COLUMN))
        lines.append(line)
    return lines


def _cell(column: tuple[Cell, ...], y: int) -> Line:
    if y >= len(column):
        return ()
    cell = column[y]
    if not cell.key:
        return ((f" {cell.text}", "label"),)
    return ((f" {cell.shown:<{cell.room}}", "selected"), (f" {cell.text}", ""))
