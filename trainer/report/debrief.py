"""The debrief as values: what happened, what mattered, what would have been right, what next.

Owns selection and order; every renderer shows this and adds nothing. It judges nothing anew.
Surprising rule: what mattered most is counted in points and in what decided the outcome, and a
consequence is told with the item it follows from, never as a matter of its own.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from shlex import quote

from trainer.flight.acts import Fact
from trainer.flight.row import Row
from trainer.judge.judgement import GateResult, ItemVerdict, Judgement, WatchFinding
from trainer.judge.verdicts import UNFINISHED
from trainer.report.annunciator import Shown, difference_text, shown_and_said
from trainer.report.competencies import Observed, observed
from trainer.report.notes import Happening, timeline, titled
from trainer.report.overrides import may_differ
from trainer.report.sums import Sum, sum_of_points
from trainer.scenario.book import book_of
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
    """One thing that mattered: what it cost in points, whether it decided the outcome.

    `item` is the item it is about, "" for a watch or a gate.
    """

    text: str
    cost: float
    is_decisive: bool
    step: int
    item: str = ""


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
    what_if: tuple[tuple[str, tuple[str, ...]], ...] = ()
    notice: str = NOTICE

    def would_have_been(self, item: ItemVerdict) -> tuple[str, ...]:
        """What putting `item` right would have changed; empty where it was not flown again."""
        return dict(self.what_if).get(item.item, ())

    def again_from(self, item: ItemVerdict) -> str:
        """The moment at which to take over for another try at `item`, "" for the start."""
        steps = [step for step in (item.opened, item.done) if step is not None]
        return hand_over(min(steps, default=None), self.rows)

    def fly_again(self, item: ItemVerdict) -> str:
        """The command that flies from the hand-over before `item`."""
        return fly_command(self.exercise, self.again_from(item))

    def differs(self, item: ItemVerdict) -> str:
        """The command that says "our procedure differs" of `item`, "" where none could."""
        if not may_differ(self.exercise, item):
            return ""
        return f"approach-drill debrief --differs {quote(item.item)}"


def debrief(
    judgement: Judgement,
    exercise: Exercise,
    rows: Sequence[Row],
    facts: Sequence[Fact] = (),
    last_chance: Sequence[Rung] = (),
    what_if: Mapping[str, tuple[str, ...]] | None = None,
) -> Debrief:
    """The debrief of one judged flight.

    `facts` add radio and touchdown to the timeline; `last_chance` (the ladder of the briefing)
    is drawn beside the speed that was flown; `what_if` says for some items what putting them right
    would have changed. The judgement kept here names instances of recurring items by what they
    asked for (see `notes.titled`).
    """
    plain, judgement = judgement, titled(judgement, exercise)
    changed = what_if or {}
    findings = tuple(item for item in judgement.items if item.is_finding)
    others = tuple(item for item in judgement.items if not item.is_finding)
    points = sum_of_points(judgement, exercise.pass_points)
    return Debrief(
        judgement=judgement,
        exercise=exercise,
        rows=tuple(rows),
        heading=f"{exercise.title or exercise.name}: {_ended(judgement)}{_drawn(judgement.seed)}",
        paragraph=_paragraph(judgement, exercise, rows, points),
        points=points,
        timeline=timeline(judgement, rows, facts),
        findings=findings,
        others=others,
        last_chance=tuple(last_chance),
        annunciator=shown_and_said(judgement, book_of(exercise)),
        difference=difference_text(
            judgement,
            [watch.name for watch in exercise.flow.watches if watch.kind == "mismatch"],
            rows[-1].step if rows else 0,
        ),
        competencies=observed(judgement, exercise, rows),
        what_if=tuple(
            (item.item, changed[one.item])
            for one, item in zip(plain.items, judgement.items, strict=True)
            if one.item in changed
        ),
    )


def _paragraph(
    judgement: Judgement, exercise: Exercise, rows: Sequence[Row], points: Sum
) -> tuple[str, ...]:
    """The first paragraph as sentences: outcome, what mattered, the lesson, the next drill.

    Who fell for the trap of the exercise is told its lesson first.
    """
    total = "no points" if judgement.points is None else f"{judgement.points:.1f} points"
    if judgement.reason == UNFINISHED:
        outcome = f"Not flown to its end; {total} for what came due."
    else:
        outcome = f"{judgement.outcome.capitalize()} with {total}"
        outcome += f": {judgement.reason}." if judgement.reason else "."
    if judgement.technique:
        outcome += f" Judged as the technique {judgement.technique}."
    found = matters(judgement, points)
    caught = _caught_by(judgement, exercise)
    lesson = _stopped(exercise.lesson) if exercise.lesson else ""
    sentences = [f'The trap "{caught}" has caught you: {lesson}', outcome] if caught else [outcome]
    if found:
        head = "What mattered most" if len(found) == 1 else "The two things that mattered most"
        sentences.append(f"{head}: {'; '.join(matter.text for matter in found)}.")
    else:
        sentences.append("Nothing was missed, late, early or wrong.")
    if lesson and not caught:
        sentences.append(f"The lesson: {lesson}")
    sentences.append(_next_drill(exercise, found, rows))
    return tuple(sentences)


def _caught_by(judgement: Judgement, exercise: Exercise) -> str:
    """The trap whose finding was made, "" where none was; only a lesson has a trap to speak of."""
    if not exercise.lesson:
        return ""
    for trap in exercise.traps:
        # An instance of a recurring item is called by what it asked for, too.
        names = (trap.item, f"{trap.item} (")
        for item in judgement.items:
            is_it = item.item == names[0] or item.item.startswith(names[1])
            if is_it and item.verdict == trap.verdict:
                return trap.name
    return ""


def _ended(judgement: Judgement) -> str:
    """The outcome, where there is one: a segment has none."""
    return "not flown to its end" if judgement.reason == UNFINISHED else judgement.outcome


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


def what_mattered(judgement: Judgement, exercise: Exercise) -> list[str]:
    """The items among the things that mattered most."""
    points = sum_of_points(judgement, exercise.pass_points)
    return [matter.item for matter in matters(judgement, points) if matter.item]


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
    return Matter(text, cost, is_decisive, 0 if step is None else step, item.item)


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
    if not found:
        return (
            f"Next: {exercise.name} with a new seed, so that wind and weather differ "
            f"(approach-drill fly {exercise.name} --level check)."
        )
    moment = hand_over(min(matter.step for matter in found), rows)
    fly = fly_command(exercise, moment)
    if not moment:
        return f"Next: {exercise.name} again from its start ({fly})."
    segment = f"the segment of {exercise.name} from {moment.removeprefix('distance: below ')}"
    return f"Next: {segment}, again and again, until it holds ({fly})."


def hand_over(step: int | None, rows: Sequence[Row]) -> str:
    """The moment about a minute before `step` at which a pilot takes over, "" for the start."""
    if step is None or not rows:
        return ""
    row = rows[min(max(step, 0), len(rows) - 1)]
    start_nm = (row.distance_nm if row.along_nm > 0.0 else 0.0) + RUN_IN_NM
    if row.step < 60 * STEPS_PER_S or start_nm >= rows[0].distance_nm:
        return ""
    return f"distance: below {start_nm:.0f} NM"


def fly_command(exercise: Exercise, moment: str) -> str:
    """The command that flies `exercise` as it was drawn, from `moment` if there is one."""
    fly = f"approach-drill fly {exercise.name}"
    if exercise.seed:
        fly += f" --seed {exercise.seed}"
    return f'{fly} --from "{moment}"' if moment else fly
