"""Literal text: what makes any text from a file, a pilot or an error safe to show.

A terminal obeys control characters, and bidirectional marks reorder what a reader sees; text that
came from outside may hold both. Everything shown passes `shown` (one line) or `shown_block`.
Surprising rule: nothing is dropped; a refused character is shown by its code, so that a person
sees that it is there.
"""

from __future__ import annotations

import unicodedata

NOTICE = (
    "For training on fictional types; not for navigation or real flight; operator manuals, "
    "current charts and licensed instructors come first."
)
"""The sentence that stands on the first screen, on every sheet, export and new file."""

REFUSED = frozenset({"Cc", "Cf", "Cs", "Zl", "Zp"})
"""Unicode categories that are never shown as they are (controls, formats, lone surrogates,
line and paragraph separators)."""


def is_refused(character: str) -> bool:
    """True if `character` must never reach a terminal as it is (a newline counts as refused)."""
    if " " <= character <= "~":
        return False
    return unicodedata.category(character) in REFUSED


def first_refused(text: str) -> int:
    """Index of the first refused character in `text`, or -1."""
    if text.isascii() and text.isprintable():
        return -1
    for index, character in enumerate(text):
        if is_refused(character):
            return index
    return -1


def code_of(character: str) -> str:
    """A character by its code point, as in `U+001B`."""
    return f"U+{ord(character):04X}"


def shown(text: str) -> str:
    """`text` on one line, each refused character replaced by its code in angle brackets."""
    if first_refused(text) < 0:
        return text
    return "".join(f"<{code_of(c)}>" if is_refused(c) else c for c in text)


def shown_block(text: str) -> str:
    """`text` with its line breaks kept and everything else as `shown` does."""
    return "\n".join(shown(line) for line in text.replace("\r\n", "\n").split("\n"))


def quoted(text: str, most: int = 60) -> str:
    """`text` in double quotes, safe to show, cut after `most` characters (1..1000)."""
    cut = text if len(text) <= most else text[: most - 1] + "…"
    return f'"{shown(cut)}"'


def counted(count: int, noun: str) -> str:
    """A number of things in words: "1 slip", "3 slips"; `noun` forms its plural with an s."""
    return f"{count} {noun}" if count == 1 else f"{count} {noun}s"


def width(text: str) -> int:
    """Number of terminal cells that `text` takes (wide East Asian characters take two)."""
    if text.isascii():
        return len(text)
    cells = 0
    for character in text:
        if unicodedata.combining(character):
            continue
        cells += 2 if unicodedata.east_asian_width(character) in "WF" else 1
    return cells


_DRAWN = {
    **dict.fromkeys("─╌╶╴", "-"), **dict.fromkeys("│╷╵▏", "|"),
    **dict.fromkeys("╭╮╰╯├┤┼┬┴┌┐└┘", "+"),
    **dict.fromkeys("━▬", "="), **dict.fromkeys("▁▂▃", "_"), **dict.fromkeys("▄▅▆▇", "="),
    "⬡": "o",
    "░": ":", "▒": "%", "▓": "#", "█": "#", "▔": "=", "◆": "*", "●": "*", "○": "o", "•": "*",
    "▲": "^", "▼": "v", "▸": ">", "◂": "<", "↑": "^", "↓": "v", "→": ">", "←": "<",
    "·": ".", "…": "~", "—": "-", "–": "-", "×": "x", "°": " ", "±": "~", "≤": "<", "≥": ">",
    "“": '"', "”": '"', "‘": "'", "’": "'",
}  # fmt: skip
_BRAILLE = 0x2800
_BRAILLE_ROWS = ((0x01 | 0x08, "'"), (0x02 | 0x10, "-"), (0x04 | 0x20, "-"), (0x40 | 0x80, "_"))


def in_ascii(text: str) -> str:
    """`text` in as many cells with ASCII alone: `+--+` for boxes, `?` for what has no like."""
    return text if text.isascii() else "".join(map(_ascii_sign, text))


def _ascii_sign(character: str) -> str:
    if character.isascii():
        return character
    drawn = _DRAWN.get(character)
    if drawn is not None:
        return drawn
    dots = ord(character) - _BRAILLE
    if 0 <= dots < 0x100:
        rows = [sign for bits, sign in _BRAILLE_ROWS if dots & bits]
        return rows[len(rows) // 2] if rows else " "
    plain = "".join(one for one in unicodedata.normalize("NFKD", character) if one.isascii())
    cells = width(character)
    return plain if len(plain) == cells else "?" * cells


def excerpt(line: str, number: int, column: int, length: int, most: int = 90) -> str:
    """A source line with a caret under the span that starts at `column`.

    `number` is the line number (1..), `column` counts characters from 1, `length` is the span
    (at least one caret is drawn). A line longer than `most` characters is cut around the span.
    """
    start = max(0, column - 1)
    # The span ends well inside the piece that is shown, with as much before it as fits.
    first = max(0, min(start - 20, start + max(1, length) + 10 - most))
    piece = line[first : first + most]
    lead = "…" if first else ""
    tail = "…" if first + most < len(line) else ""
    before = lead + shown(piece[: start - first])
    marked = shown(piece[start - first : start - first + max(1, length)])
    gutter = f"{number:>5} | "
    caret = "^" * max(1, width(marked))
    body = lead + shown(piece) + tail
    return f"{gutter}{body}\n{' ' * 5} | {' ' * width(before)}{caret}"
