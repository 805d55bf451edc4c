"""The check of the transition tables, and the diagrams drawn from them."""

from __future__ import annotations

from trainer.guidance.conditions import CONDITIONS
from trainer.guidance.tables import TABLES, Rule, Table, states

EXCLUSIVE: frozenset[tuple[str, str]] = frozenset(
    (
        ("director on", "director off"),
        ("glide received", "glide missing"),
        ("glide waits", "path computed"),
    )
)
"""Pairs of conditions that never hold together; rows that differ in them are not ambiguous."""


def problems(table: Table) -> list[str]:
    """Everything wrong with `table`, as sentences; an empty list when it is sound.

    Looks for states outside the vocabulary, states that no flight can reach, conditions that do
    not exist, rows that an earlier row of the same trigger and source always hides, and pairs of
    rows that could both be taken and lead to different states.
    """
    found: list[str] = []
    known = set(table.vocabulary)
    for state in table.initial:
        if state not in known:
            found.append(f"{table.axis}: initial state {state} is not in the vocabulary")
    before: dict[tuple[str, str], list[Rule]] = {}
    for rule in table.rules:
        for state in (*rule.sources, rule.dest):
            if state not in known:
                found.append(f"{table.axis}: {rule.trigger}: unknown state {state}")
        for name in rule.conditions:
            if name not in CONDITIONS:
                found.append(f"{table.axis}: {rule.trigger}: unknown condition {name}")
        for source in rule.sources:
            rows = before.setdefault((rule.trigger, source), [])
            if any(set(row.conditions) <= set(rule.conditions) for row in rows):
                found.append(f"{table.axis}: {rule.trigger} from {source} is never reached")
            elif any(row.dest != rule.dest and not _exclude(row, rule) for row in rows):
                found.append(
                    f"{table.axis}: {rule.trigger} from {source} leads to more than one state"
                )
            rows.append(rule)
    found.extend(
        f"{table.axis}: no row leads to {state}"
        for state in states(table)
        if state not in _reachable(table)
    )
    return found


def _exclude(one: Rule, other: Rule) -> bool:
    """Whether the conditions of two rows can never hold together."""
    return any(
        (a, b) in EXCLUSIVE or (b, a) in EXCLUSIVE for a in one.conditions for b in other.conditions
    )


def _reachable(table: Table) -> set[str]:
    reached = set(table.initial)
    before = -1
    while len(reached) != before:
        before = len(reached)
        for rule in table.rules:
            if not reached.isdisjoint(rule.sources):
                reached.add(rule.dest)
    return reached


def diagram(axis: str) -> str:
    """The table of `axis` as the text of a Mermaid state diagram; KeyError if there is none."""
    table = TABLES[axis]
    lines = ["stateDiagram-v2"]
    names = {state: state.replace(" ", "_") for state in states(table)}
    lines.extend(f'    state "{state}" as {name}' for state, name in names.items() if " " in state)
    lines.extend(f"    [*] --> {names[state]}" for state in table.initial)
    for rule in table.rules:
        label = rule.trigger
        if rule.conditions:
            label += f" [{', '.join(rule.conditions)}]"
        lines.extend(f"    {names[s]} --> {names[rule.dest]}: {label}" for s in rule.sources)
    return "\n".join(lines) + "\n"
