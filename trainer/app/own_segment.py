"""A segment of one's own: from one step of the flight to another, as two moments.

The moments are made of what has been done, not of times, so that they come true with other numbers
as well: one takes over when everything before the first step has been done by the good crew, and
gives back when every step of the cluster is done. Where nothing happens for long before the first
step, it begins at a distance a little before it; a step that is left out does not hold the segment
open for ever, because it also ends at a distance behind the last. It judges nothing.
"""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from trainer.app.segments import Flyable, Reference, Work
from trainer.scenario.exercise import Part

if TYPE_CHECKING:
    from trainer.scenario.exercise import Exercise

NAME = "of your own"
BEFORE_STEPS = 100
"""So long before its first step may be done a segment begins at the latest, steps."""
AFTER_STEPS = 300
"""So long after the good crew was done a segment ends although a step was left out, steps."""
NEAREST_NM = 0.5
"""Closer to the threshold than this no distance is used: it grows again on the runway."""


def nameable(exercise: Exercise) -> frozenset[str]:
    """The items that a moment can name: those that come once."""
    return frozenset(item.name for item in exercise.flow.every_item if item.each is None)


def own_segment(reference: Reference, names: frozenset[str], first: int, last: int) -> Flyable:
    """The segment from place `first` of the reference's work to place `last` (first <= last).

    It may begin or end a step farther out where the step beside it is one that no moment can name.
    """
    before = next((one for one in reversed(reference.work[:first]) if one.item in names), None)
    begins = 0 if before is None else before.step
    since = "" if before is None else _done(before)
    lead = _distance_at(reference, reference.opened[first] - BEFORE_STEPS)
    if lead is not None and reference.opened[first] - BEFORE_STEPS > begins:
        begins = reference.opened[first] - BEFORE_STEPS
        reached = {"distance": f"below {lead} NM"}
        since = _text({"all": [json.loads(since), reached]} if since else reached)
    until, ends = _until(reference, names, first, last)
    inside = (one for one in reference.work if one.step <= ends)
    return Flyable(
        Part(NAME, since, until), begins, ends, reference.distances_nm[begins],
        tuple(one for one in inside if not since or begins < one.step),
    )  # fmt: skip


def _until(reference: Reference, names: frozenset[str], first: int, last: int) -> tuple[str, int]:
    """The moment at which the segment ends, and the step at which the good crew gets there."""
    cluster = [one for one in reference.work[first : last + 1] if one.item in names]
    if not cluster or cluster[-1] is not reference.work[last]:
        beyond = next((one for one in reference.work[last + 1 :] if one.item in names), None)
        if beyond is None:
            return "", reference.last
        cluster.append(beyond)
    ends = cluster[-1].step
    everything: Any = [{"done": one.item} for one in cluster]
    moment = everything[0] if len(everything) == 1 else {"all": everything}
    away = _distance_at(reference, ends + AFTER_STEPS)
    if away is not None:
        moment = {"any": [moment, {"distance": f"below {away} NM"}]}
    return _text(moment), ends


def _distance_at(reference: Reference, step: int) -> str | None:
    """The distance at a step, in miles, if it had never been so small before and will be again."""
    if not 0 < step <= reference.last:
        return None
    here_nm = reference.distances_nm[step]
    if here_nm < NEAREST_NM or min(reference.distances_nm[:step]) <= here_nm:
        return None
    return f"{here_nm:.2f}"


def _done(work: Work) -> str:
    return _text({"done": work.item})


def _text(moment: Any) -> str:
    """A moment as it is written on a command line, which is YAML."""
    return json.dumps(moment, sort_keys=True, separators=(",", ":"))
