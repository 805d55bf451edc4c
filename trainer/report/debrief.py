"""The debrief as values: what happened, what mattered, what would have been right, what next.

Owns selection and order; every renderer shows this and adds nothing. It judges nothing anew.
Surprising rule: what mattered most is counted in points and in what decided the outcome, and a
consequence is told with the item it follows from, never as a matter of its own.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from trainer.flight.acts import Fact
from trainer.flight.row import Row
from trainer.judge.judgement import GateResult, ItemVerdict, Judgement, WatchFinding
from trainer.report.annunciator import Shown, difference_text, shown_and_said
from trainer.report.competencies import Observed, observed
from trainer.report.notes import Happening, timeline, titled
from trainer.report.sums import Sum, sum_of_points
from trainer.scenario.exercise import Exercise
from trainer.text import NOTICE
from trainer.units import STEPS_PER_S
from trainer.world.ladders import Rung

MATTERED = 2
"""How many things the first paragraph names."""
RUN_IN_NM = 2.0
"""How far before the first slip the suggested drill begins, NM (about a minute)."""


@dataclass(frozen=True, slots=True)
class Matter:
    """One thing that mattered: what it cost in points, whether it decided the outcome."""

    text: str
    cost: float
    is_decisive: bool
    step: int


@dataclass(frozen=True, slots=True)
class Debrief:
    """Everything a debrief shows. `rows` is the flight, ten rows a second."""

    judgement: Judgement
    exercise: Exercise
    rows: tuple[Row, ...]
    heading: str
    paragraph: tuple[str, ...]
    points: Sum
    timeline: tuple[Happening, ...]
    findings: tuple[ItemVerdict, ...]
    others: tuple[ItemVerdict, ...]
    last_chance: tuple[Rung, ...] = ()
    annunciator: tuple[Shown, ...] = ()
    difference: str = ""
    competencies: tuple[Observed, ...] = ()
    notice: str = NOTICE


def debrief(
    judgement: Judgement,
    exercise: Exercise,
    rows: Sequence[Row],
    facts: Sequence[Fact] = (),
    last_chance: Sequence[Rung] = (),
) -> Debrief:
    """The debrief of one judged flight.

    `facts` add radio and touchdown to the timeline; `last_chance` (the ladder of the briefing)
    is drawn beside the speed that was flown. The judgement kept here names instances of recurring
    items by what they asked for (see `notes.titled`).
    """
    judgement = titled(judgement, exercise)
    findings = tuple(item for item in judgement.items if item.is_finding)
    others = tuple(item for item in judgement.items if not item.is_finding)
    points = sum_of_points(judgement, exercise.pass_points)
    return Debrief(
        judgement=judgement,
        exercise=exercise,
        rows=tuple(rows),
        heading=f"{exercise.title or exercise.name}: {judgement.outcome}{_drawn(judgement.seed)}",
        paragraph=_paragraph(judgement, exercise, rows, points),
        points=points,
        timeline=timeline(judgement, rows, facts),
        findings=findings,
        others=others,
        last_chance=tuple(last_chance),
        annunciator=shown_and_said(judgement),
        difference=difference_text(
            judgement,
            [watch.name for watch in exercise.flow.watches if watch.kind == "mismatch"],
            rows[-1].step if rows else 0,
        ),
        competencies=observed(judgement, exercise, rows),
    )


def _paragraph(
    judgement: Judgement, exercise: Exercise, rows: Sequence[Row], points: Sum
) -> tuple[str, ...]:
    """The first paragraph as sentences: outcome, what mattered, the lesson, the next drill."""
    total = "no points" if judgement.points is None else f"{judgement.points:.1f} points"
    outcome = f"{judgement.outcome.capitalize()} with {total}"
    outcome += f": {judgement.reason}." if judgement.reason else "."
    if judgement.technique:
        outcome += f" Judged as the technique {judgement.technique}."
    found = matters(judgement, points)
    sentences = [outcome]
    if found:
        head = "What mattered most" if len(found) == 1 else "The two things that mattered most"
        sentences.append(f"{head}: {'; '.join(matter.text for matter in found)}.")
    else:
        sentences.append("Nothing was missed, late, early or wrong.")
    if exercise.lesson:
        sentences.append(f"The lesson: {_stopped(exercise.lesson)}")
    sentences.append(_next_drill(exercise, found, rows))
    return tuple(sentences)


def _drawn(seed: int) -> str:
    """The seed the values were drawn with; nothing where they are as written."""
    return f", seed {seed}" if seed else ""


def _stopped(text: str) -> str:
    return text if text.endswith((".", "!", "?")) else f"{text}."


def matters(judgement: Judgement, points: Sum, most: int = MATTERED) -> list[Matter]:
    """The things that mattered most, worst first: decisive ones, then by cost, then by time."""
    found = [_item_matter(item, judgement, points) for item in judgement.items if item.is_finding]
    found += [_watch_matter(one) for one in judgement.watches if one.because is None]
    found += [
        Matter(f"gate {gate.gate} was not met ({_criteria(gate)})", 0.0, True, gate.step)
        for gate in judgement.gates
        if gate.result == "failed" and gate.because is None
    ]
    found.sort(key=lambda one: (not one.is_decisive, -one.cost, one.step))
    return found[:most]


def _item_matter(item: ItemVerdict, judgement: Judgement, points: Sum) -> Matter:
    cost = points.cost_of(item)
    text = f'"{item.item}" was {item.verdict}'
    if item.is_corrected:
        text += ", then put right"
    if cost >= 0.05:
        text += f" (−{cost:.1f} points)"
    led_to = [f"gate {gate.gate} failed" for gate in judgement.gates if gate.because == item.item]
    led_to += [one.watch for one in judgement.watches if one.because == item.item]
    if led_to:
        text += f", and from it followed: {', '.join(_once(led_to))}"
    is_decisive = any(
        one.because == item.item and one.severity == "critical" for one in judgement.watches
    ) or any(gate.because == item.item for gate in judgement.gates)
    step = item.due if item.done is None else item.done
    return Matter(text, cost, is_decisive, 0 if step is None else step)


def _watch_matter(watch: WatchFinding) -> Matter:
    text = f"{watch.watch} ({watch.severity}"
    cost = Sum.deduction_of(watch)
    if cost:
        text += f", −{cost:.0f} points"
    return Matter(f"{text})", cost, watch.severity == "critical", watch.start)


def _criteria(gate: GateResult) -> str:
    return ", ".join(criterion.criterion for criterion in gate.failed)


def _once(texts: Sequence[str]) -> list[str]:
    return list(dict.fromkeys(texts))


def _next_drill(exercise: Exercise, found: Sequence[Matter], rows: Sequence[Row]) -> str:
    """The next drill, and the command that flies it."""
    fly = f"approach-drill fly {exercise.name}"
    if not found:
        return (
            f"Next: {exercise.name} with a new seed, so that wind and weather differ "
            f"({fly} --level check)."
        )
    if exercise.seed:
        fly += f" --seed {exercise.seed}"
    step = min(max(min(matter.step for matter in found), 0), max(len(rows) - 1, 0))
    if not rows or not rows[step].distance_nm > 0.5:
        return f"Next: {exercise.name} again ({fly})."
    start_nm = min(rows[step].distance_nm + RUN_IN_NM, rows[0].distance_nm)
    if rows[step].step < 60 * STEPS_PER_S:
        return f"Next: {exercise.name} again from its start ({fly})."
    return (
        f"Next: the segment of {exercise.name} from {start_nm:.0f} NM, again and again, "
        f'until it holds ({fly} --from "distance: below {start_nm:.0f} NM").'
    )
