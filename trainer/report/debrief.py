"""The debrief as values: what happened, what mattered, what would have been right, what next.

Owns selection and order; every renderer shows this and adds nothing. It judges nothing anew.
Surprising rule: what mattered most is counted in points and in what decided the outcome, and a
consequence is told with the item it follows from, never as a matter of its own.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence
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
from trainer.scenario.library import default_library
from trainer.scenario.procedure import recurring_part
from trainer.text import NOTICE
from trainer.units import STEPS_PER_S
from trainer.values import dataclass
from trainer.world.ladders import Rung

MATTERED = 2
"""How many things the first paragraph names."""
RUN_IN_NM = 2.0
"""How far before the first slip the suggested drill begins, NM (about a minute)."""


@dataclass(frozen=True, slots=True)
class Matter:
    """One thing that mattered: what it cost in points, whether it decided the outcome.

    `item` is the item it is about, "" for a watch or a gate; `why` the reason of its rule.
    """

    text: str
    cost: float
    is_decisive: bool
    step: int
    item: str = ""
    why: str = ""


@dataclass(frozen=True, slots=True)
class Debrief:
    """Everything a debrief shows.

    `rows` is the flight, ten rows a second; `command` flies the exercise as it is written.
    """

    judgement: Judgement
    exercise: Exercise
    rows: Sequence[Row]
    heading: str
    paragraph: tuple[str, ...]
    points: Sum
    timeline: tuple[Happening, ...]
    findings: tuple[ItemVerdict, ...]
    others: tuple[ItemVerdict, ...]
    command: str
    last_chance: tuple[Rung, ...] = ()
    annunciator: tuple[Shown, ...] = ()
    difference: str = ""
    competencies: tuple[Observed, ...] = ()
    what_if: tuple[tuple[str, tuple[str, ...]], ...] = ()
    notice: str = NOTICE

    @property
    def not_reached(self) -> str:
        """The items that the flight did not come to, in one line."""
        return "; ".join(item.item for item in self.others if item.verdict == "not reached")

    def would_have_been(self, item: ItemVerdict) -> tuple[str, ...]:
        """What putting `item` right would have changed; empty where it was not flown again."""
        return dict(self.what_if).get(item.item, ())

    def again_from(self, item: ItemVerdict) -> str:
        """The moment at which to take over for another try at `item`, "" for the start."""
        steps = [step for step in (item.opened, item.done) if step is not None]
        return hand_over(min(steps, default=None), self.rows)

    def fly_again(self, item: ItemVerdict) -> str:
        """The command that flies from the hand-over before `item`."""
        return fly_command(self.command, self.exercise.seed, self.again_from(item))

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
        rows=rows,
        heading=f"{exercise.title or exercise.name}: {_ended(judgement)}{_drawn(judgement.seed)}",
        paragraph=_paragraph(judgement, exercise, rows, points),
        points=points,
        timeline=timeline(judgement, rows, facts),
        findings=findings,
        others=others,
        command=command_of(exercise),
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
        outcome = f"Part of a flight: {total} for what came due."
    elif judgement.reason.startswith(total):
        outcome = f"{judgement.outcome.capitalize()}: {judgement.reason}."
    else:
        outcome = f"{judgement.outcome.capitalize()} with {total}"
        outcome += f": {_stopped(judgement.reason)}" if judgement.reason else "."
    if judgement.technique:
        outcome += f" Judged as the technique {judgement.technique}."
    found = matters(judgement, points, exercise.flow.recurring)
    caught = _caught_by(judgement, exercise)
    lesson = _stopped(exercise.lesson) if exercise.lesson else ""
    sentences = [f'The trap "{caught}" has caught you: {lesson}', outcome] if caught else [outcome]
    if found:
        head = "What mattered most" if len(found) == 1 else "The two things that mattered most"
        sentences.append(f"{head}: {'; '.join(matter.text for matter in found)}.")
        why = found[0].why
        if why and not caught and why not in outcome:
            sentences.append(_stopped(why))
    else:
        sentences.append("Nothing was missed, late, early or wrong.")
    if lesson and not caught:
        sentences.append(f"The lesson: {lesson}")
    sentences.append(_next_drill(exercise, found, rows, judgement.reason != UNFINISHED))
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
    """The outcome, where there is one: a segment, or a flight that was left, has none."""
    return "part of a flight" if judgement.reason == UNFINISHED else judgement.outcome


def _drawn(seed: int) -> str:
    """The seed the values were drawn with; nothing where they are as written."""
    return f", seed {seed}" if seed else ""


def _stopped(text: str) -> str:
    return text if text.endswith((".", "!", "?")) else f"{text}."


def matters(
    judgement: Judgement, points: Sum, recurring: Collection[str] = (), most: int = MATTERED
) -> list[Matter]:
    """The things that mattered most, worst first: decisive ones, then by cost, then by time.

    The same verdict on several instances of one of the `recurring` items is one thing.
    """
    alike: dict[tuple[str, str], list[ItemVerdict]] = {}
    for item in judgement.items:
        if item.is_finding:
            base = recurring_part(item.item.partition(" (")[0])
            name = base if base in recurring else item.item
            alike.setdefault((name, item.verdict), []).append(item)
    found = [_item_matter(name, items, judgement, points) for (name, _), items in alike.items()]
    found += [_watch_matter(one) for one in judgement.watches if one.because is None]
    found += [
        Matter(f"the {gate.gate} gate was not met ({_criteria(gate)})", 0.0, True, gate.step)
        for gate in judgement.gates
        if gate.result == "failed" and gate.because is None
    ]
    found.sort(key=lambda one: (not one.is_decisive, -one.cost, one.step))
    return found[:most]


def what_mattered(judgement: Judgement, exercise: Exercise) -> list[str]:
    """The items among the things that mattered most."""
    points = sum_of_points(judgement, exercise.pass_points)
    found = matters(judgement, points, exercise.flow.recurring)
    return [matter.item for matter in found if matter.item]


def _item_matter(
    name: str, items: Sequence[ItemVerdict], judgement: Judgement, points: Sum
) -> Matter:
    """What `items` (one item, or instances of one with the same verdict) come to."""
    first, *more = items
    if not more:
        name = first.item
    cost = math.fsum(points.cost_of(item) for item in items)
    text = f'"{name}" was {first.verdict}' + (f" {len(items)} times" if more else "")
    if all(item.is_corrected for item in items):
        text += ", then put right"
    if cost >= 0.05:
        text += f" (−{cost:.1f} points)"
    named = {item.item for item in items}
    gates = [gate for gate in judgement.gates if gate.because in named]
    watches = [one for one in judgement.watches if one.because in named]
    led_to = [f"the {gate.gate} gate not met" for gate in gates] + [one.watch for one in watches]
    if led_to:
        text += f", and from it followed: {', '.join(_once(led_to))}"
    is_decisive = bool(gates) or any(one.severity == "critical" for one in watches)
    steps = [item.due if item.done is None else item.done for item in items]
    step = min((one for one in steps if one is not None), default=0)
    return Matter(text, cost, is_decisive, step, first.item, first.why)


def _watch_matter(watch: WatchFinding) -> Matter:
    text = watch.watch
    if watch.worst is not None and watch.limit is not None:
        text += f": {watch.worst:.0f} {watch.unit} where {watch.limit:.0f} are allowed"
    cost = Sum.deduction_of(watch)
    text += f" ({watch.severity}, " + (f"−{cost:.0f} points)" if cost else "nothing deducted)")
    return Matter(text, cost, watch.severity == "critical", watch.start, "", watch.why)


def _criteria(gate: GateResult) -> str:
    return ", ".join(criterion.criterion for criterion in gate.failed)


def _once(texts: Sequence[str]) -> list[str]:
    return list(dict.fromkeys(texts))


def _next_drill(
    exercise: Exercise, found: Sequence[Matter], rows: Sequence[Row], is_whole: bool
) -> str:
    """The next drill and the command that flies it; after a part without fault, the whole."""
    command = command_of(exercise)
    if not found and not is_whole:
        return f"Next: the whole of {exercise.name} ({fly_command(command, exercise.seed, '')})."
    if not found:
        return (
            f"Next: {exercise.name} with a new seed, so that wind and weather differ: in coached "
            "until no hint comes, then in check "
            f"({command} --level check)."
        )
    moment = hand_over(min(matter.step for matter in found), rows)
    fly = fly_command(command, exercise.seed, moment)
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


def command_of(exercise: Exercise) -> str:
    """What flies an exercise: by its name, or by that of its file where it is in no library."""
    is_listed = default_library().find("exercise", exercise.name) is not None
    return f"approach-drill fly {exercise.name}{'' if is_listed else '.yaml'}"


def fly_command(command: str, seed: int, moment: str) -> str:
    """`command` with the seed that was drawn with, from `moment` if there is one."""
    fly = f"{command} --seed {seed}" if seed else command
    return f'{fly} --from "{moment}"' if moment else fly
