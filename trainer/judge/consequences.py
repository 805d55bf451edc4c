"""What follows from what: item verdicts and wrong settings that explain gates and watches.

An item verdict is always primary. A gate failure or watch that an earlier, still uncorrected slip
explains is consequent: it decides the outcome but deducts nothing. Which slip may explain which
outcome stands in `judge.causes`. Surprising rule: a watch over a selector that stands wrong is a
slip of that selector as long as it lasts, so that one wrong setting is charged once, however many
limits it takes the aircraft through.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from trainer.flight.row import Row
from trainer.judge.causes import AIR_UPSETS_S, CRITERION_CAUSES, DIRECT_CAUSES, OF_THE_AIR
from trainer.judge.judgement import GateResult, ItemVerdict, WatchFinding
from trainer.judge.watches import Excursion
from trainer.scenario.controls import CONTROLS
from trainer.scenario.moments import AllOf, Compare, Moment, Not
from trainer.scenario.procedure import Watch
from trainer.units import steps_for

FAR_BEYOND_KT = 12.0
"""A limit speed exceeded by more than this is always its own finding (our figure)."""
ENERGY_CAUSES = ("energy", "flaps", "gear")
LEVER_CAUSES = ("flaps", "gear")
_SELECTED = "selected "


class Trouble:
    """A slip that may explain outcomes: its name, from when until when it stood, what it touches.

    `item` is the item it was a slip of, None for a watch over a setting.
    """

    __slots__ = ("item", "name", "start", "stop", "touches")

    def __init__(
        self,
        name: str,
        start: int,
        stop: int,
        touches: Sequence[str],
        item: ItemVerdict | None = None,
    ) -> None:
        self.name, self.start, self.stop = name, start, stop
        self.touches, self.item = tuple(touches), item


def consequences(
    items: Sequence[ItemVerdict],
    excursions: Sequence[Excursion],
    gates: Sequence[GateResult],
    upset: Sequence[tuple[int, str]],
    rows: Sequence[Row],
) -> tuple[tuple[WatchFinding, ...], tuple[GateResult, ...]]:
    """Every excursion as a finding and every gate, each with what it follows from.

    `upset` holds the changes of the wind (step, name) that may excuse a gate.
    """
    troubles = [trouble for item in items if (trouble := _of_item(item, rows)) is not None]
    found = []
    for excursion in sorted(excursions, key=lambda one: one.start):
        finding = _watch(excursion, troubles)
        found.append(finding)
        # A setting that stood wrong and follows from nothing explains what comes after it.
        controls = tuple(_wrongly_set(excursion.watch))
        if controls and finding.because is None:
            touches = [cause for name in controls for cause in CONTROLS[name].touches]
            troubles.append(Trouble(finding.watch, excursion.start, excursion.end, touches))
    return tuple(found), tuple(_gate(gate, troubles, upset) for gate in gates)


def _of_item(item: ItemVerdict, rows: Sequence[Row]) -> Trouble | None:
    if item.began_at is None:
        return None
    stop = len(rows)
    ended = item.done if item.verdict == "late" else item.corrected
    if ended is not None:
        # Energy lost by a late selection is made good only when the gate has been met.
        stop = ended
        if any(cause in ENERGY_CAUSES for cause in item.touches):
            stop = _gate_step(rows, ended)
    return Trouble(item.item, item.began_at, stop, item.touches, item)


def _gate_step(rows: Sequence[Row], since: int) -> int:
    """The step after which no margin is left to speak of: the main gate, or the end."""
    for row in rows[since:]:
        if row.margin_nm is None:
            return row.step + 1
    return len(rows)


def _because(
    causes: Sequence[str], step: int, troubles: Sequence[Trouble], until: int = 0
) -> str | None:
    """The earliest slip uncorrected at `step` (or up to `until`) that touches a cause.

    What must be so for a while before it is found may follow from what went wrong in that while.
    """
    best: Trouble | None = None
    for trouble in troubles:
        if not trouble.start <= max(step, until) + 1 or step > trouble.stop:
            continue
        if not any(cause in causes for cause in trouble.touches):
            continue
        if best is None or trouble.start < best.start:
            best = trouble
    return best.name if best is not None else None


def _gate(
    gate: GateResult, troubles: Sequence[Trouble], upset: Sequence[tuple[int, str]]
) -> GateResult:
    if gate.result != "failed":
        return gate
    causes = [cause for one in gate.failed for cause in CRITERION_CAUSES[one.criterion]]
    # What is missing at the gate names its own lever or list before anything that lies further off.
    direct = [cause for one in gate.failed for cause in DIRECT_CAUSES.get(one.criterion, ())]
    because = _because(direct, gate.step, troubles) or _because(causes, gate.step, troubles)
    because = because or air_that_upset(gate, upset)
    return GateResult(gate.gate, gate.step, gate.distance_nm, gate.result, gate.failed, because)


def air_that_upset(gate: GateResult, upset: Sequence[tuple[int, str]]) -> str | None:
    """The change of the wind that explains the gate: what a planted event does is nobody's slip."""
    if not all(one.criterion in OF_THE_AIR for one in gate.failed):
        return None
    since = gate.step - steps_for(AIR_UPSETS_S)
    return next((name for step, name in upset if since <= step <= gate.step), None)


def _wrongly_set(watch: Watch) -> Iterator[str]:
    """The selectors that stand wrong while a watch is broken."""
    if watch.kind == "never" and watch.moment is not None:
        yield from _not_selected(watch.moment)


def _not_selected(moment: Moment) -> Iterator[str]:
    match moment:
        case AllOf(children):
            for child in children:
                yield from _not_selected(child)
        case Not(Compare(quantity)) if quantity.startswith(_SELECTED):
            yield quantity.removeprefix(_SELECTED)


def _watch(excursion: Excursion, troubles: Sequence[Trouble]) -> WatchFinding:
    watch = excursion.watch
    if watch.kind == "mismatch":
        # Words follow only from the call they were said for, never from another slip.
        because = next(
            (
                one.name
                for one in troubles
                if one.item is not None
                and one.item.verdict == "wrong"
                and one.start == excursion.start
            ),
            None,
        )
    elif _is_far_beyond(excursion):
        because = None
    else:
        found = excursion.start + steps_for(watch.for_s)
        # What has a lever of its own names that before anything further off, as at a gate.
        direct = [cause for cause in watch.causes if cause in LEVER_CAUSES]
        because = _because(direct, excursion.start, troubles, found) or _because(
            watch.causes, excursion.start, troubles, found
        )
    return WatchFinding(
        watch=watch.name,
        severity=excursion.severity,
        start=excursion.start,
        end=excursion.end,
        worst=excursion.worst,
        limit=excursion.limit,
        unit=excursion.unit,
        because=because,
        why=excursion.detail or watch.why,
        source=watch.source,
    )


def _is_far_beyond(excursion: Excursion) -> bool:
    """Whether a limit was exceeded by so much that nothing excuses it."""
    if excursion.worst is None or excursion.limit is None:
        return False
    return abs(excursion.worst - excursion.limit) > FAR_BEYOND_KT
