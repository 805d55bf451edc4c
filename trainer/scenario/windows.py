"""Windows that stand the wrong way round: due, aimed at or closed before they open.

Owns the comparison of two moments without flying. Surprising rule: only quantities that shrink all
the way to the runway can be compared, and an event counts as the moment at which it happens; all
else is left to the flights of `check`, which name every item that was due when it opened.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from trainer.scenario.exercise import Event, Item
from trainer.scenario.moments import AllOf, AnyOf, Compare, Happened, Held, Later, Moment, Then
from trainer.scenario.openings import value_of
from trainer.scenario.quantities import plain_number
from trainer.text import quoted

SHRINKING = ("distance", "radio height", "height")
"""Quantities that shrink all the way to the runway."""
_FALLS = ("below", "falling")


class Order:
    """Which of two moments has always come when the other comes.

    figures: named values that do not change in flight; events: those of the exercise.
    """

    def __init__(self, figures: Mapping[str, float], events: Iterable[Event]) -> None:
        self._figures = figures
        self._events = {event.name: event.when for event in events}

    def has_come(self, opens: Moment, then: object) -> bool:
        """Whether `then` has come, however the flight goes, once `opens` has."""
        match then:
            case AnyOf(children) if children:
                return any(self.has_come(opens, child) for child in children)
            case AllOf(children) if children:
                return all(self.has_come(opens, child) for child in children)
        match opens:
            case AllOf(children) | Then(children):
                return any(self.has_come(child, then) for child in children)
            case AnyOf(children) if children:
                return all(self.has_come(child, then) for child in children)
            case Held(child, _) | Later(child, _, _):
                return self.has_come(child, then)
            case Happened("event", name) if name in self._events:
                return self._is_passed(self._events[name], then)
        return self._is_passed(opens, then)

    def _is_passed(self, opens: Moment, then: object) -> bool:
        """The same of two comparisons of one quantity that shrinks all the way."""
        if not isinstance(opens, Compare) or not isinstance(then, Compare):
            return False
        if opens.subject != then.subject or opens.subject not in SHRINKING:
            return False
        if opens.relation not in _FALLS or then.relation not in _FALLS:
            return False
        first = value_of(opens.figure, self._figures)
        second = value_of(then.figure, self._figures)
        return first is not None and second is not None and second >= first


def misplaced(item: Item, order: Order) -> tuple[str, str] | None:
    """The key of a window that stands the wrong way round, and why; None if all is in order."""
    due, closes = item.due, item.closes
    if isinstance(due, float) and isinstance(closes, float) and closes < due:
        return (
            "closes",
            f"{quoted(item.name)} closes {plain_number(closes)} s after it opens, before it is "
            f"due at {plain_number(due)} s; expected closes: no earlier than due:",
        )
    if order.has_come(item.opens, due):
        return (
            "due",
            f"{quoted(item.name)} is due before it opens; expected due: nearer to the runway than "
            "opens:",
        )
    if isinstance(item.aim, Compare) and order.has_come(item.opens, item.aim):
        return (
            "aim",
            f"the aim of {quoted(item.name)} comes before it opens; expected aim: nearer to the "
            "runway than opens:",
        )
    if _is_below(closes) and order.has_come(item.opens, closes):
        return (
            "opens",
            f"the window of {quoted(item.name)} is already closed when it opens; "
            "expected closes: after opens:",
        )
    return None


def _is_below(closes: object) -> bool:
    return isinstance(closes, Compare) and closes.relation == "below"
