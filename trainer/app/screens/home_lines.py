"""What the home screen says, in lines: the list by difficulty, and the exercise that is chosen.

Values in, lines out; it keeps nothing and knows no key.
"""

from __future__ import annotations

from collections.abc import Sequence

from trainer.app.listing import Listed
from trainer.app.widgets.lines import Line, between, cut, padded, plain, wrapped
from trainer.text import NOTICE, counted, shown
from trainer.text import width as cells

_OFFER = "Two minutes, flown: the panel, the keys, a call, a checklist, the debrief."
_TITLE_MAX = 34


def title_lines(due: int, width: int) -> list[Line]:
    """The name, how many exercises are due today, and the safety notice below."""
    name: Line = ((" APPROACH DRILL", "title"),)
    words = "" if not due else f"{due} due: d goes to the next "
    top = between(name, ((words, "caution"),), width)
    return [top, *(((f" {one}", "caution"),) for one in wrapped(NOTICE, max(40, width - 2)))]


class Rows:
    """The list with a heading for each difficulty; knows which line belongs to which exercise."""

    def __init__(self, listed: Sequence[Listed], chosen: int, width: int) -> None:
        self.lines: list[Line] = []
        self._places: list[int | None] = []
        columns = _columns(listed) if listed else (0, 0, 0)
        level = 0
        for place, one in enumerate(listed):
            if one.level != level:
                level = one.level
                self._add(_heading(f"DIFFICULTY {level} OF 5", width), None)
            self._add(_row(one, place == chosen, columns, width), place)

    def _add(self, line: Line, place: int | None) -> None:
        self.lines.append(line)
        self._places.append(place)

    def line_of(self, place: int) -> int:
        """The line on which an exercise stands."""
        return self._places.index(place) if place in self._places else 0

    def place_at(self, line: int) -> int | None:
        """The exercise on a line, None for a heading or below the list."""
        return self._places[line] if 0 <= line < len(self._places) else None


def _heading(text: str, width: int) -> Line:
    return ((f" {text} ", "label"), ("─" * max(0, width - cells(text) - 3), "rule"))


def _columns(listed: Sequence[Listed]) -> tuple[int, int, int]:
    """The cells of titles, places and days due, no wider than what stands in them."""
    rows = [(shown(one.title), shown(one.place), due_words(one.due_days)) for one in listed]
    title, place, due = (max(map(cells, column)) for column in zip(*rows, strict=True))
    return min(title, _TITLE_MAX), place, due


def _row(one: Listed, is_chosen: bool, columns: tuple[int, int, int], width: int) -> Line:
    title, place, days = columns
    mark, meaning = ("▸", "title") if is_chosen else (" ", "")
    left: Line = (
        *padded(((f" {mark} {shown(one.title)}", meaning),), 4 + title),
        (f" {shown(one.place):<{place}}", "label"),
        (f"  {shown(one.aircraft)}", "label"),
    )
    last = shown(one.last)
    due = f"  {due_words(one.due_days):>{days}}" if days else ""
    right: Line = (
        (last, "active" if one.last.startswith("passed") else "value"),
        (f"{due} ", "caution" if one.is_due else "label"),
    )
    return between(cut(left, width - cells(plain(right)) - 1), right, width)


def due_words(days: int | None) -> str:
    """When an exercise is due, "" for one that is new."""
    if days is None:
        return ""
    return "● due" if days <= 0 else f"in {days} d"


def offer_lines(width: int) -> list[Line]:
    """What somebody reads here who has never flown: the tour is offered."""
    return [
        ((" NEW HERE? ", "cursor"), (" t  the guided tour", "title")),
        *(((f" {line}", ""),) for line in wrapped(_OFFER, width - 2)),
    ]


def about_lines(one: Listed, width: int) -> list[Line]:
    """What there is to say about one exercise beside its drawing."""
    if one.problem:
        return [((f" {line}", "warning"),) for line in wrapped(shown(one.problem), width - 2)]
    lesson = [((f" {line}", ""),) for line in wrapped(shown(one.lesson), width - 2)]
    return [((f" {shown(one.name)}", "value"),), *lesson, *(_history(one, width))]


def _history(one: Listed, width: int) -> list[Line]:
    if not one.last:
        return [((" not flown yet", "label"),)]
    when = {None: "", 0: "; due today"}.get(one.due_days)
    if when is None:
        assert one.due_days is not None
        days = counted(abs(one.due_days), "day")
        when = f"; due in {days}" if one.due_days > 0 else f"; due for {days}"
    told = f"last: {shown(one.last)}{when}"
    return [((f" {line}", "label"),) for line in wrapped(told, width - 2)]


def find_lines(filter_text: str | None, is_typing: bool, found: int, count: int) -> Line:
    """The filter being typed or kept, () for none."""
    if not (is_typing or filter_text):
        return ()
    mark = "▏" if is_typing else ""
    return (
        ("  FILTER ", "cursor"),
        (f" {shown(filter_text or '')}{mark}", "value"),
        (f"  {found} of {count}   Backspace, Enter", "label"),
    )


def words_of(one: Listed) -> str:
    """Everything that the filter looks through, in lower case."""
    due = "due" if one.is_due else ""
    return " ".join((one.name, one.title, one.lesson, one.aircraft, one.place, due)).lower()
