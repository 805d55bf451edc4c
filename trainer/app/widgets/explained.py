"""The explanation of a pane as lines: how to read it, then its words, one line or two each."""

from __future__ import annotations

from trainer.app.glossary import meaning_of
from trainer.app.panes import Pane
from trainer.app.widgets.lines import Line, cut, wrapped

_INDENT = 4


def pane_lines(pane: Pane, width: int) -> list[Line]:
    """Everything about `pane` in lines of at most `width` cells."""
    lines: list[Line] = [((f" {line}", ""),) for line in wrapped(pane.text, max(20, width - 2))]
    return [*lines, *term_lines(pane.terms, width)]


def term_lines(terms: tuple[str, ...], width: int) -> list[Line]:
    """Each term with its definition."""
    lines: list[Line] = []
    for term in terms:
        room = max(20, width - _INDENT - 1)
        head = f"{term}: "
        first, *rest = wrapped(head + meaning_of(term), room)
        lines.append(((f" {head}", "selected"), (first[len(head) :], "")))
        lines += [((" " * _INDENT + line, ""),) for line in rest]
    return lines


def pane_title(pane: Pane, number: int, count: int, width: int, hide: str = "?") -> Line:
    """The heading over an explanation: which pane, how to see the next, which key hides it."""
    text = f" {pane.title}   {number} of {count}   Tab next   ↑ ↓ scroll   {hide} hides "
    return cut(((text, "label"), ("─" * max(0, width - len(text)), "rule")), width)
