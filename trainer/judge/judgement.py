"""The result of judging one flight: values only, ready for reports.

Times are steps (a tenth of a second); whoever prints converts. The six verdicts are spelled as
the published JSON spells them.
"""

from __future__ import annotations

from trainer.values import dataclass

VERDICTS = ("on time", "late", "early", "wrong", "missed", "not reached")
DEDUCTIONS = {"advisory": 0.0, "minor": 2.0, "major": 5.0, "critical": 10.0}
"""Points taken off for each primary watch finding."""


@dataclass(frozen=True, slots=True)
class ItemVerdict:
    """One item (or one instance of a recurring one) as judged.

    Steps are None where the thing did not happen. `credit` 0..1; None when not reached.
    `corrected`: when a wrong act was put right. `expected` and `found` are sentences for people;
    `better` says what would have been accepted.
    """

    item: str
    area: str
    verdict: str
    done: int | None
    opened: int | None
    due: int | None
    closed: int | None
    distance_nm: float | None
    expected: str
    found: str
    better: str
    is_corrected: bool
    credit: float | None
    weight: float
    touches: tuple[str, ...]
    why: str
    source: str
    began_at: int | None
    corrected: int | None = None

    @property
    def is_finding(self) -> bool:
        """Whether this verdict is something to talk about."""
        return self.verdict not in ("on time", "not reached")


@dataclass(frozen=True, slots=True)
class WatchFinding:
    """One excursion of a watch; `because` names the item it follows from (None = primary)."""

    watch: str
    severity: str
    start: int
    end: int
    worst: float | None
    limit: float | None
    unit: str
    because: str | None
    why: str
    source: str


@dataclass(frozen=True, slots=True)
class FailedCriterion:
    """A gate criterion that was not met: what was, what was allowed."""

    criterion: str
    value: float | str
    limit: float | str
    unit: str


@dataclass(frozen=True, slots=True)
class GateResult:
    """A gate as passed or failed."""

    gate: str
    step: int
    distance_nm: float
    result: str
    failed: tuple[FailedCriterion, ...]
    because: str | None


@dataclass(frozen=True, slots=True)
class AreaPoints:
    """Points of one area: 100 · Σ weight·credit / Σ weight; None without weight."""

    points: float | None
    weight: float


@dataclass(frozen=True, slots=True)
class Annunciation:
    """What the annunciator showed from a step on, and what was said of it (or None)."""

    step: int
    lateral: str
    vertical: str
    lateral_armed: str
    vertical_armed: str
    thrust: str
    engagement: str
    capability: str
    said: str | None


@dataclass(frozen=True, slots=True)
class Briefed:
    """One number of the approach briefing: what was said, what is right.

    verdict: "right", "wrong" or "left out". It costs no points: what is set by a wrong number, or
    flown by it, is judged where it is set or flown.
    """

    heading: str
    name: str
    said: str
    expected: str
    unit: str
    verdict: str
    why: str
    source: str


@dataclass(frozen=True, slots=True)
class Judgement:
    """Everything the judge says of one flight; `technique` as it was flown ("" = as written).

    `briefing` is empty where nothing was briefed.
    """

    exercise: str
    exercise_digest: str
    seed: int
    outcome: str
    reason: str
    points: float | None
    areas: tuple[tuple[str, AreaPoints], ...]
    items: tuple[ItemVerdict, ...]
    watches: tuple[WatchFinding, ...]
    gates: tuple[GateResult, ...]
    modes: tuple[Annunciation, ...]
    unmatched: tuple[str, ...]
    technique: str = ""
    briefing: tuple[Briefed, ...] = ()

    def primary(self) -> set[tuple[str, str]]:
        """Primary findings as (item or watch, verdict); what a mutant must give exactly."""
        found = {(one.item, one.verdict) for one in self.items if one.is_finding}
        found |= {(one.watch, "watch") for one in self.watches if one.because is None}
        found |= {
            (one.gate, "gate")
            for one in self.gates
            if one.result == "failed" and one.because is None
        }
        return found
