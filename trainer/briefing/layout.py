"""Plain text in a given number of terminal cells: wrapped paragraphs and aligned tables.

Owns widths and nothing else; every text passes `shown`, so that nothing from a file or a pilot
reaches a terminal as a command. Surprising rule: width is counted in cells, and a wide character
takes two.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from trainer.text import shown, width

LEAST_WIDTH = 20
"""Narrowest page that is laid out, cells; a narrower one is treated as this."""
LEAST_COLUMN = 8
"""Narrowest that a wrapped column of a table becomes, cells."""


def wrap(text: str, cells: int, indent: str = "") -> list[str]:
    """`text` in lines of at most `cells` cells, lines after the first begun with `indent`.

    Line breaks of the text stay, and so do the blanks it begins with; a word longer than a line is
    cut.
    """
    cells = max(cells, LEAST_WIDTH if not indent else width(indent) + 2)
    lines: list[str] = []
    for paragraph in text.split("\n"):
        text_line = shown(paragraph)
        lead = " " * (len(text_line) - len(text_line.lstrip(" ")))
        line = lead[: cells // 2] if not lines else indent
        is_empty = True
        for word in text_line.split(" "):
            if not word:
                continue
            gap = "" if is_empty else " "
            if width(line) + len(gap) + width(word) > cells and not is_empty:
                lines.append(line)
                line, gap = indent, ""
            while width(line) + len(gap) + width(word) > cells:
                head, word = _cut(word, cells - width(line) - len(gap))
                lines.append(line + gap + head)
                line, gap = indent, ""
            line += gap + word
            is_empty = False
        lines.append(line)
    return lines


def _cut(word: str, cells: int) -> tuple[str, str]:
    """The part of `word` that fits in `cells` (at least one character), and the rest."""
    end = 1
    while end < len(word) and width(word[: end + 1]) <= cells:
        end += 1
    return word[:end], word[end:]


def table(
    headers: Sequence[str], rows: Sequence[Sequence[str]], cells: int, right: str = ""
) -> list[str]:
    """A table as lines of at most `cells` cells: aligned columns, two blanks between them.

    `right` has a letter "r" for each column that is set flush right ("lrr"; missing = left).
    Where the table is too wide, its widest columns are wrapped.
    """
    texts = [[shown(text) for text in row] for row in (headers, *rows)]
    widths = [max(width(row[place]) for row in texts) for place in range(len(headers))]
    room = max(cells, LEAST_WIDTH) - 2 * (len(headers) - 1)
    while math.fsum(widths) > room and max(widths) > LEAST_COLUMN:
        widest = max(range(len(widths)), key=lambda place: widths[place])
        widths[widest] -= 1
    lines: list[str] = []
    for number, row in enumerate(texts):
        lines += _row_lines(row, widths, right)
        if number == 0:
            lines.append("  ".join("-" * size for size in widths))
    return lines


def _row_lines(row: Sequence[str], widths: Sequence[int], right: str) -> list[str]:
    columns = [_column(text, size) for text, size in zip(row, widths, strict=True)]
    lines = []
    for number in range(max(len(column) for column in columns)):
        parts = []
        for place, (column, size) in enumerate(zip(columns, widths, strict=True)):
            part = column[number] if number < len(column) else ""
            gap = " " * (size - width(part))
            is_right = right[place : place + 1] == "r"
            parts.append(gap + part if is_right else part + gap)
        lines.append("  ".join(parts).rstrip())
    return lines


def _column(text: str, size: int) -> list[str]:
    """`text` cut into lines of `size` cells for a column of a table."""
    if width(text) <= size:
        return [text]
    lines: list[str] = []
    line = ""
    for word in text.split(" "):
        joined = f"{line} {word}" if line else word
        if width(joined) <= size:
            line = joined
            continue
        if line:
            lines.append(line)
        while width(word) > size:
            head, word = _cut(word, size)
            lines.append(head)
        line = word
    return [*lines, line]
