"""Mutants: the perfect crew with one slip each, and the one finding each must give.

An omitted act, a late one, an early one, a wrong value, wrong words, neighbours of an ordered group
swapped, and the traps of the exercise. What does not apply to an item is listed, never hidden.
"""

from __future__ import annotations

from collections.abc import Sequence

from trainer.crew.words import read_back_text
from trainer.flight.observers import NEVER
from trainer.flight.row import Row
from trainer.judge.board import SETTLED_BY_ITSELF
from trainer.judge.order import inverted_name, neighbours
from trainer.judge.tracker import Tracker
from trainer.judge.tracks import Track
from trainer.judge.truth import MODE_CLAIMS, contradiction, family
from trainer.scenario.answers import ANSWER_ACTS
from trainer.scenario.controls import CONTROLS
from trainer.scenario.exercise import Act, Edit, Exercise
from trainer.scenario.moments import Figure
from trainer.scenario.phrases import Call
from trainer.units import steps_for
from trainer.values import dataclass

LATE_S = 4.0
EARLY_STEPS = steps_for(5.0)
_LIES = (
    "rollout armed", "align armed", "path captured", "operational", "passive", "align", "rollout",
    "gear up", "descend", "vertical speed", "speedbrake out", "localizer armed", "glide armed",
)  # fmt: skip
"""Calls with a claim, tried in this order for a phrase that is false and expected nowhere."""


@dataclass(frozen=True, slots=True)
class Mutant:
    """One edited crew: its name, its edits, and the primary finding (item, verdict) it must give.

    `at` gives the step of an early act.
    """

    name: str
    edits: tuple[Edit, ...]
    item: str
    verdict: str
    at: int = NEVER


@dataclass(frozen=True, slots=True)
class NotApplicable:
    """A mutation that cannot be made of an item in this flight, and why."""

    name: str
    reason: str


def mutants_of(
    exercise: Exercise, reference: Tracker, rows: Sequence[Row]
) -> tuple[list[Mutant], list[NotApplicable]]:
    """All mutants of an exercise, from the reference flight of its perfect crew."""
    made: list[Mutant | NotApplicable] = []
    seen: set[str] = set()
    for track in reference.tracks:
        item = track.item
        if track.opened is None or track.done is None or item.weight <= 0.0:
            made.append(NotApplicable(track.name, "does not happen in the reference flight"))
            continue
        if item.each is not None and item.name in seen:
            made.append(NotApplicable(track.name, "recurring: the first instance stands for it"))
            continue
        seen.add(item.name)
        if track.done_found in SETTLED_BY_ITSELF:
            made.append(NotApplicable(track.name, track.done_found))
            continue
        made += (
            _omitted(track),
            _late(track),
            _early(track, reference),
            _wrong_value(track, reference, rows),
            _wrong_words(track, reference, rows),
            *_wrong_answer(track, reference),
        )
    made += _swapped(reference)
    made += [
        Mutant(f"trap: {trap.name}", trap.edits, trap.item, trap.verdict) for trap in exercise.traps
    ]
    skipped = [one for one in made if isinstance(one, NotApplicable)]
    return [one for one in made if isinstance(one, Mutant)], skipped


def _omitted(track: Track) -> Mutant:
    edit = Edit("omit", track.name)
    return Mutant(f"omitted: {track.name}", (edit,), track.name, "missed")


def _late(track: Track) -> Mutant:
    edit = Edit("delay", track.name, seconds=LATE_S)
    return Mutant(f"late: {track.name}", (edit,), track.name, "late")


def _early(track: Track, reference: Tracker) -> Mutant | NotApplicable:
    name = f"early: {track.name}"
    if track.item.early == "fine":
        return NotApplicable(name, "early is fine")
    if track.item.each is not None or track.item.act.kind in ("line", "read back"):
        return NotApplicable(name, "there is nothing to answer before it opens")
    assert track.opened is not None
    at = track.opened - EARLY_STEPS
    if at <= 0:
        return NotApplicable(name, "opens in the first five seconds")
    if track.is_go_around and at <= _begin_of_go_around(reference):
        return NotApplicable(name, "opens in the first five seconds of what follows the approach")
    edit = Edit("advance", track.name, seconds=EARLY_STEPS / 10.0)
    return Mutant(name, (edit,), track.name, "early", at=at)


def _begin_of_go_around(reference: Tracker) -> int:
    """The step at which the first item of the go-around list opened: nothing of it before that."""
    return min(
        (
            track.opened
            for track in reference.board.tracks
            if track.is_go_around and track.opened is not None
        ),
        default=0,
    )


def _wrong_value(track: Track, reference: Tracker, rows: Sequence[Row]) -> Mutant | NotApplicable:
    name = f"wrong value: {track.name}"
    act = track.item.act
    exercise = reference.exercise
    if act.kind == "set":
        assert track.done is not None
        # What some values are is a matter of the moment: it is that of the act.
        context = reference.evaluator.context
        context.row, last = rows[track.done], context.row
        value = reference.hands.value(act)
        assert value is not None
        wrong = _off(act, value, reference)
        context.row = last
        return _replaced(name, track, Act("set", act.control, figure=Figure(wrong)))
    if act.kind != "do" or not act.position:
        return NotApplicable(name, "a single-valued control")
    if act.control == "flaps":
        names = [stage.name for stage in exercise.aircraft.flaps]
        place = names.index(act.position)
        if place + 1 < len(names):
            return NotApplicable(name, "a stage short is on the way, a stage beyond is a limit")
        return NotApplicable(name, "there is no stage beyond")
    positions = [one for one in CONTROLS[act.control].positions if one != act.position]
    if len(CONTROLS[act.control].positions) < 3:
        return NotApplicable(name, "the other position is where it stood")
    return _replaced(name, track, Act("do", act.control, positions[-1]))


def _off(act: Act, value: float, reference: Tracker) -> float:
    """A legal value of the same control that no item of the exercise would accept."""
    control = CONTROLS[act.control]
    step = {"ft": 1000.0, "kt": 12.0, "MHz": 0.2}.get(control.unit, 3.0 * control.tolerance + 5.0)
    expected = [
        track.item.act
        for track in reference.tracks
        if track.item.act.kind == "set" and track.item.act.control == act.control
    ]
    for times in (1, -1, 2, -2, 3, -3):
        wrong = value + times * step
        if control.low <= wrong <= control.high and not any(
            reference.hands.is_value(one, wrong) for one in expected
        ):
            return wrong
    raise RuntimeError(f"no wrong value for {act.control}")


def _replaced(name: str, track: Track, act: Act) -> Mutant:
    return Mutant(name, (Edit("replace", track.name, act=act),), track.name, "wrong")


def _wrong_words(track: Track, reference: Tracker, rows: Sequence[Row]) -> Mutant | NotApplicable:
    name = f"wrong words: {track.name}"
    act = track.item.act
    if act.kind == "read back":
        return _wrong_read_back(name, track, reference)
    if act.kind != "say":
        return NotApplicable(name, "not spoken")
    assert track.done is not None
    seen = reference.hearing.rows_before(track.done)
    expected = {one.item.act.intent for one in reference.tracks}
    axis = family(track.fact.name) if track.fact is not None else ""
    for lie in _LIES:
        if axis and (lie not in MODE_CLAIMS or family(MODE_CLAIMS[lie][0]) != axis):
            continue
        if lie not in expected and contradiction(Call(lie, ()), seen, reference.exercise):
            text = reference.book.spoken_form(lie)
            return _replaced(name, track, Act("say", intent=lie, text=text))
    return NotApplicable(name, "no call would be false here")


def _swapped(reference: Tracker) -> list[Mutant | NotApplicable]:
    """Neighbours in ordered groups, exchanged."""
    found: list[Mutant | NotApplicable] = []
    for first, second in neighbours(reference.tracks, reference.exercise.flow.ordered):
        name = f"swapped: {first.name}, {second.name}"
        assert first.done is not None
        if second.opened is None or second.opened >= first.done:
            found.append(NotApplicable(name, "the second opens only when the first is done"))
            continue
        edit = Edit("swap", first.name, other=second.name)
        found.append(Mutant(name, (edit,), inverted_name(first, second), "watch"))
    return found


def _wrong_answer(track: Track, reference: Tracker) -> tuple[Mutant | NotApplicable, ...]:
    """The first answer in words that this fault does not accept, and no other item expects.

    Words that another item expects would be a slip in that one as well.
    """
    if not track.item.answers:
        return ()
    expected = {one.item.act.intent for one in reference.tracks if one is not track}
    for answer, act in ANSWER_ACTS.items():
        is_wrong = act.kind == "say" and act not in track.item.answers
        if is_wrong and act.intent not in expected:
            edit = Edit("replace", track.name, act=act)
            return (Mutant(f"wrong answer: {track.name}: {answer}", (edit,), track.name, "wrong"),)
    return (NotApplicable(f"wrong answer: {track.name}", "another item expects such words"),)


def _wrong_read_back(name: str, track: Track, reference: Tracker) -> Mutant | NotApplicable:
    event = next(one for one in reference.exercise.events if one.name == track.item.act.event)
    wrong = {
        slot: f"{float(value) + 10:g}"
        for slot, value in event.slots
        if value.replace(".", "", 1).isdigit()
    }
    if not wrong:
        return NotApplicable(name, "nothing in it but words")
    text = read_back_text(reference.book, event, wrong)
    return _replaced(name, track, Act("read back", event=event.name, text=text))
