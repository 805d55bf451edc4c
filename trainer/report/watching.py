"""A flight told line by line: what was done and what happened, when, where, how high, how fast.

Owns the wording of one line. It flies and judges nothing, and no clock decides when a line comes.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from trainer.flight.acts import Act, Fact, by_step
from trainer.flight.row import Row
from trainer.report.notes import clock
from trainer.text import shown

_TOLD_BY_ACT = ("acted", "said", "read back", "line", "checklist", "briefed")
"""Facts that only repeat what an act has said."""


def told(rows: Sequence[Row], acts: Sequence[Act], facts: Sequence[Fact]) -> Iterator[str]:
    """The lines of a flight: time, distance (NM), altitude (ft), speed (kt), who, what."""
    acts_of = by_step(acts)
    facts_of = by_step(facts)
    for row in rows:
        place = (
            f"{clock(row.step):>7} {row.distance_nm:5.1f} NM {row.altitude_ft:6.0f} ft "
            f"{row.cas_kt:4.0f} kt"
        )
        for act in acts_of.get(row.step, ()):
            yield f"{place}  {act.by:<9} {shown(act_words(act))}"
        for fact in facts_of.get(row.step, ()):
            who, what = fact_words(fact)
            if what:
                yield f"{place}  {who:<9} {shown(what)}"


def act_words(act: Act) -> str:
    """What somebody did, in words."""
    match act.act:
        case "say":
            return f'says "{act.text}"'
        case "read back":
            return f'reads back "{act.text}"'
        case "checklist":
            return f"begins the {act.control} checklist"
        case "line":
            return f"confirms {act.value}" if act.value else "confirms the line"
        case "brief":
            return f"briefs {act.control} {act.value}"
    return f"{act.control} {act.value}".rstrip()


def fact_words(fact: Fact) -> tuple[str, str]:
    """Who or what a fact is about, and what happened; "" for what an act has said already."""
    if fact.kind in _TOLD_BY_ACT:
        return "", ""
    match fact.kind:
        case "mode":
            change = f"{fact.name}: {fact.before or '-'} > {fact.detail or '-'}"
            return "modes", f"{change} ({fact.reason})" if fact.reason else change
        case "refused":
            return "refused", f"{fact.name} {fact.detail}".rstrip() + f": {fact.reason}"
        case "event":
            return ("ATC", fact.detail) if fact.detail else ("event", fact.name)
        case "heard":
            return "ident", fact.name or "nothing heard"
    return "event", f"{fact.kind} {fact.name} {fact.detail}".rstrip()
