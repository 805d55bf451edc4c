"""Notes in order of time, and the short texts that all renderers share.

Owns how a time, a place, a verdict and a recurring item are written. Surprising rule: an item that
was missed stands in the timeline where it was due, not where it closed.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from typing import NamedTuple

from trainer.flight.acts import Fact
from trainer.flight.row import Row
from trainer.judge.judgement import Annunciation, GateResult, ItemVerdict, Judgement, WatchFinding
from trainer.scenario.exercise import Exercise
from trainer.scenario.procedure import recurring_part
from trainer.units import STEPS_PER_S

_CALL = re.compile(r'call "(.*)"')


class Happening(NamedTuple):
    """One line of the timeline. `distance_nm` and `altitude_ft` None outside the flown rows.

    kind: "item", "gate", "watch", "mode", "radio", "event".
    """

    step: int
    distance_nm: float | None
    altitude_ft: float | None
    kind: str
    what: str
    verdict: str


def clock(step: int | None) -> str:
    """A step as minutes and seconds, "4:07.5"; "" for None."""
    if step is None:
        return ""
    minutes, tenths = divmod(step, 60 * STEPS_PER_S)
    return f"{minutes}:{tenths // 10:02d}.{tenths % 10}"


def miles(distance_nm: float | None) -> str:
    """A distance with two decimals and its unit; "" for None."""
    return "" if distance_nm is None else f"{distance_nm:.2f} NM"


def feet(altitude_ft: float | None) -> str:
    """An altitude to the nearest 10 ft with its unit; "" for None."""
    return "" if altitude_ft is None else f"{round(altitude_ft, -1) + 0.0:.0f} ft"


def window(item: ItemVerdict) -> str:
    """The window of an item: opened, due, closed."""
    if item.opened is None:
        return "it did not open"
    text = f"opened {clock(item.opened)}"
    if item.due is not None:
        text += f", due {clock(item.due)}"
    if item.closed is not None:
        text += f", closed {clock(item.closed)}"
    return text


def verdict_of(item: ItemVerdict) -> str:
    """The verdict, with "corrected" where it was put right."""
    return f"{item.verdict}, corrected" if item.is_corrected else item.verdict


def titled(judgement: Judgement, exercise: Exercise) -> Judgement:
    """`judgement` with each instance of a recurring item called by what it asked for, too.

    "mode call 2" becomes "mode call 2 (glide captured)", also where a consequence names it.
    """
    recurring = exercise.flow.recurring
    fixed = {item.name for item in exercise.flow.every_item} - recurring
    titles: dict[str, str] = {}
    for item in judgement.items:
        base = recurring_part(item.item)
        if base in recurring and item.item not in fixed and item.expected:
            call = _CALL.fullmatch(item.expected)
            what = call.group(1) if call else item.expected
            titles[item.item] = f"{item.item} ({what})" if what else item.item
    if not titles:
        return judgement

    def title(name: str | None) -> str | None:
        return None if name is None else titles.get(name, name)

    return replace(
        judgement,
        items=tuple(
            replace(item, item=titles.get(item.item, item.item)) for item in judgement.items
        ),
        watches=tuple(replace(one, because=title(one.because)) for one in judgement.watches),
        gates=tuple(replace(one, because=title(one.because)) for one in judgement.gates),
    )


def criteria_text(gate: GateResult) -> str:
    """The failed criteria of a gate: what was, and what was allowed."""
    return "; ".join(
        f"{one.criterion}: {_figure(one.value)}"
        + (f" {one.unit}" if one.unit and not isinstance(one.value, str) else "")
        + f" (limit {_figure(one.limit)}"
        + (f" {one.unit})" if one.unit else ")")
        for one in gate.failed
    )


def watch_text(watch: WatchFinding) -> str:
    """When a watch was broken and by how much."""
    text = f"{clock(watch.start)} to {clock(watch.end)}"
    if watch.worst is not None:
        text += f", worst {_figure(watch.worst)} {watch.unit}".rstrip()
    if watch.limit is not None:
        text += f", limit {_figure(watch.limit)} {watch.unit}".rstrip()
    return text


def _figure(value: float | str) -> str:
    return value if isinstance(value, str) else f"{value:.2f}".rstrip("0").rstrip(".")


def place_step(item: ItemVerdict) -> int | None:
    """The step at which an item stands in the timeline; None where it has no place."""
    if item.done is not None:
        return item.done
    if item.verdict == "not reached":
        return None
    return item.due if item.due is not None else item.opened


def modes_text(mode: Annunciation) -> str:
    """What the annunciator showed, column by column; armed words in brackets."""
    lateral = f"{mode.lateral} ({mode.lateral_armed})" if mode.lateral_armed else mode.lateral
    vertical = f"{mode.vertical} ({mode.vertical_armed})" if mode.vertical_armed else mode.vertical
    columns = [lateral, vertical, mode.thrust, mode.engagement, mode.capability]
    return " | ".join(column for column in columns if column)


def timeline(
    judgement: Judgement, rows: Sequence[Row], facts: Sequence[Fact]
) -> tuple[Happening, ...]:
    """Everything that happened, in order of time; at one step in the order given here."""
    found: list[Happening] = []

    def add(step: int, kind: str, what: str, verdict: str = "") -> None:
        row = rows[step] if 0 <= step < len(rows) else None
        found.append(
            Happening(
                step,
                None if row is None else row.distance_nm,
                None if row is None else row.altitude_ft,
                kind,
                what,
                verdict,
            )
        )

    for fact in facts:
        if fact.kind == "event" and fact.detail:
            add(fact.step, "radio", fact.detail)
        elif fact.kind == "fault":
            add(fact.step, "event", f"{fact.name} {fact.detail}")
        elif fact.kind == "touchdown":
            add(fact.step, "event", f"touchdown {fact.name} m beyond the threshold")
        elif fact.kind == "passed":
            add(fact.step, "event", f"passing {fact.name}")
        elif fact.kind == "refused":
            add(fact.step, "event", f"{fact.name} refused: {fact.reason}")
    for mode in judgement.modes:
        add(mode.step, "mode", modes_text(mode), f"said: {mode.said}" if mode.said else "")
    for item in judgement.items:
        step = place_step(item)
        if step is not None:
            add(step, "item", item.item, verdict_of(item))
    for gate in judgement.gates:
        add(gate.step, "gate", f"gate {gate.gate}", gate.result)
    for watch in judgement.watches:
        add(watch.start, "watch", watch.watch, watch.severity)
    found.sort(key=lambda one: one.step)
    return tuple(found)
