"""What holds of every judgement: of whole flights, not of single rules."""

from __future__ import annotations

import pytest

from tests.crew.crews import edited, exercise, flown
from trainer.crew.session import Session
from trainer.judge.batch import judge
from trainer.judge.board import SETTLED_BY_ITSELF
from trainer.judge.judgement import Judgement

pytestmark = pytest.mark.dear

STRAIGHT = "straight-in"
SLIPS = (
    "{omit: gear down}",
    "{delay: final speed, by: 4 s}",
    "{replace: mode call 2, with: {say: path captured}}",
)


def weighty() -> list[str]:
    """Items of straight-in that the perfect crew does by an act of its own, and that weigh."""
    session, _ = flown(STRAIGHT)
    return [
        track.name
        for track in session.tracker.tracks
        if track.done is not None
        and track.done_found not in SETTLED_BY_ITSELF
        and track.item.weight > 0.0
    ]


def assert_lower(name: str) -> None:
    judgement = edited(STRAIGHT, f"{{omit: '{name}'}}")
    assert judgement.points is not None
    assert judgement.points < 100.0, name


@pytest.mark.parametrize("place", range(0, 50, 17))
def test_leaving_out_any_item_that_weighs_lowers_the_points(place: int) -> None:
    names = weighty()
    assert len(names) > 50
    assert_lower(names[place])


@pytest.mark.long
def test_leaving_out_each_item_that_weighs_lowers_the_points() -> None:
    for name in weighty():
        assert_lower(name)


@pytest.mark.parametrize("slips", [(), SLIPS], ids=["perfect", "with slips"])
def test_the_fold_is_the_batch_and_judging_again_changes_nothing(slips: tuple[str, ...]) -> None:
    session, live = flown(STRAIGHT, f"{{crew: 1, base: perfect, edits: [{', '.join(slips)}]}}")
    flight = session.flight
    stored = [
        judge(session.exercise, session.book, flight.acts, flight.facts, flight.rows)
        for _ in range(2)
    ]
    assert stored == [live, live]


def regrouped(session: Session, steps: int) -> Judgement:
    """The same acts flown again, judged after each group of `steps` but for single ones."""
    again = Session(exercise(STRAIGHT), session.book)
    acts = list(session.flight.acts)
    flown_steps = 0
    while not again.is_over:
        again.step([act for act in acts if act.step == again.row.step])
        flown_steps += 1
        if flown_steps % steps == 0 and steps > 1:
            again.judgement()
    return again.judgement()


@pytest.mark.parametrize(
    "steps",
    [1, pytest.param(80, marks=pytest.mark.long), 601],
    ids=["step by step", "eight seconds", "a minute"],
)
def test_verdicts_do_not_depend_on_speed_of_time_pauses_or_groups_of_steps(steps: int) -> None:
    # Fast time is more steps between two looks, a pause is a look between two steps: nothing the
    # judge could see, since it reads steps and never a clock.
    crew = f"{{crew: 1, base: perfect, edits: [{', '.join(SLIPS)}]}}"
    session, judgement = flown(STRAIGHT, crew)
    assert judgement.primary()
    assert regrouped(session, steps) == judgement
