"""Machines built from the transition tables, and the columns that live in them.

Owns the one use of the state machine library. Refuses to know what any state means. The
surprising rule: a machine is built once per table and shared by every flight; what differs is the
`Axis` handed to each trigger, a small object with a `state`.
"""

from __future__ import annotations

from functools import cache

from transitions import Machine

from trainer.guidance.conditions import CONDITIONS, Situation
from trainer.guidance.modes import LANDING
from trainer.guidance.tables import TABLES, Rule, states


@cache
def machine(axis: str) -> Machine:
    """The machine of `axis`, built once and shared; tests look for what is wrong in it.

    It has no model of its own: an `Axis` is passed to each trigger.
    """
    table = TABLES[axis]
    built = Machine(
        model=None,
        states=list(states(table)),
        initial=table.initial[0],
        auto_transitions=False,
        queued=True,
    )
    for rule in table.rules:
        built.add_transition(
            rule.trigger,
            list(rule.sources),
            rule.dest,
            conditions=[CONDITIONS[name].test for name in rule.conditions],
        )
    return built


class Axis:
    """One column with a life: its state, changed only through its table."""

    __slots__ = ("_events", "_rules", "state")

    def __init__(self, axis: str, state: str) -> None:
        """Begin `axis` (a name in `TABLES`) in `state`; ValueError if the table lacks it."""
        if state not in states(TABLES[axis]):
            raise ValueError(f"{axis} cannot begin in {state}")
        self.state = state
        self._events = machine(axis).events
        self._rules = _rules_by_trigger(axis)

    def fire(self, trigger: str, now: Situation) -> str | None:
        """Offer `trigger` in the situation `now`.

        Returns None when a row was taken, else the sentence that says why not. KeyError for a
        trigger that the table does not have.
        """
        rows = self._rules[trigger].get(self.state, ())
        reason = _no_row(self.state)
        for row in rows:
            missing = _first_missing(row, now)
            if missing is None:
                self._take(row, now)
                return None
            reason = missing
        return reason

    def _take(self, row: Rule, now: Situation) -> None:
        # A queued machine answers True even when it refused, so the states are compared.
        self._events[row.trigger].trigger(self, now)
        if self.state != row.dest:
            raise RuntimeError(f"{row.trigger} led to {self.state} instead of {row.dest}")


def _no_row(state: str) -> str:
    """What a press hears where the table has no row for it."""
    if state in LANDING:
        return f"{state} is left only by a go-around, or autopilot and flight director off"
    return f"not available in {state}"


def _first_missing(row: Rule, now: Situation) -> str | None:
    """The refusal of the first condition of `row` that does not hold; None when all hold."""
    for name in row.conditions:
        condition = CONDITIONS[name]
        if not condition.test(now):
            return condition.refusal
    return None


@cache
def _rules_by_trigger(axis: str) -> dict[str, dict[str, tuple[Rule, ...]]]:
    rows: dict[str, dict[str, tuple[Rule, ...]]] = {}
    for rule in TABLES[axis].rules:
        by_source = rows.setdefault(rule.trigger, {})
        for source in rule.sources:
            by_source[source] = (*by_source.get(source, ()), rule)
    return rows
