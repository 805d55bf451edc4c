"""Lines of styled text as plain values, and how to lay them out in cells.

A `Line` is a tuple of (text, meaning). Nothing here knows a terminal, so that what a panel says
can be tested as text.
"""

from __future__ import annotations

from trainer.text import width as cells

Span = tuple[str, str]
"""Text and the meaning that gives its style (a key of the palette)."""
Line = tuple[Span, ...]


def plain(line: Line) -> str:
    """The text of a line without its meanings."""
    return "".join(text for text, _ in line)


def padded(line: Line, width: int) -> Line:
    """`line` filled with spaces or cut to exactly `width` cells."""
    have = cells(plain(line))
    if have < width:
        return (*line, (" " * (width - have), ""))
    if have == width:
        return line
    return cut(line, width)


def cut(line: Line, width: int) -> Line:
    """`line` cut to at most `width` cells, with an ellipsis where it was cut."""
    if cells(plain(line)) <= width:
        return line
    kept: list[Span] = []
    left = max(0, width - 1)
    for text, meaning in line:
        piece = ""
        for character in text:
            size = cells(character)
            if size > left:
                kept.append((piece + "…", meaning))
                rest = width - cells("".join(one for one, _ in kept))
                return (*kept, (" " * rest, "")) if rest > 0 else tuple(kept)
            piece += character
            left -= size
        kept.append((piece, meaning))
    return tuple(kept)


def between(left: Line, right: Line, width: int) -> Line:
    """`left` at the left edge and `right` at the right edge of `width` cells."""
    space = width - cells(plain(left)) - cells(plain(right))
    if space < 1:
        return padded((*left, (" ", ""), *right), width)
    return (*left, (" " * space, ""), *right)


def wrapped(text: str, width: int) -> list[str]:
    """`text` broken at spaces into lines of at most `width` cells (a longer word is cut)."""
    width = max(1, width)
    lines: list[str] = []
    line = ""
    for word in text.split(" "):
        while cells(word) > width:
            if line:
                lines.append(line)
                line = ""
            lines.append(word[:width])
            word = word[width:]
        joined = f"{line} {word}" if line else word
        if cells(joined) <= width:
            line = joined
        else:
            lines.append(line)
            line = word
    lines.append(line)
    return lines


_DIGITS = {
    "0": ("╭─╮", "│ │", "╰─╯"), "1": (" ╷ ", " │ ", " ╵ "), "2": ("╶─╮", "╭─╯", "╰─╴"),
    "3": ("╶─╮", " ─┤", "╶─╯"), "4": ("╷ ╷", "╰─┤", "  ╵"), "5": ("╭─╴", "╰─╮", "╶─╯"),
    "6": ("╭─╴", "├─╮", "╰─╯"), "7": ("╶─╮", "  │", "  ╵"), "8": ("╭─╮", "├─┤", "╰─╯"),
    "9": ("╭─╮", "╰─┤", "╶─╯"), "-": ("   ", "╶─╴", "   "), " ": ("   ", "   ", "   "),
}  # fmt: skip


def big(number: str) -> tuple[str, str, str]:
    """A number in figures three rows high and three cells wide; other signs become spaces."""
    rows = [_DIGITS.get(sign, _DIGITS[" "]) for sign in number]
    return (
        "".join(row[0] for row in rows),
        "".join(row[1] for row in rows),
        "".join(row[2] for row in rows),
    )
