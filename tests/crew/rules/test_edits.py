"""A crew that errs on purpose: each edit changes one thing and leaves the neighbours alone."""

from __future__ import annotations

from tests.crew.rules.test_perfect import acts
from tests.judge.small import call, gear, speed
from trainer.scenario.exercise import Act as Expected
from trainer.scenario.exercise import Edit, Item
from trainer.scenario.moments import Figure, Happened


def test_what_is_omitted_is_never_done() -> None:
    assert acts(gear(), speed(), edits=(Edit("omit", "gear down"),)) == [(22, "speed")]


def test_two_items_that_are_swapped_are_each_done_at_the_time_of_the_other() -> None:
    swap = Edit("swap", "gear down", other="speed")
    assert acts(gear(), speed(), edits=(swap,)) == [(22, "speed"), (42, "gear")]
    # What is not there yet cannot change places.
    gone = Edit("swap", "gear down", other="mode call 1")
    assert acts(gear(), speed(), edits=(gone,)) == [(22, "gear"), (32, "speed")]


def test_what_is_advanced_is_done_at_its_moment_or_step() -> None:
    to = Edit("advance", "gear down", to=Happened("event", "now"))
    later = gear(opens=Happened("event", "never"))
    assert acts(later, edits=(to,)) == [(2, "gear")]
    by = Edit("advance", "gear down", seconds=1.0)
    assert acts(gear(), speed(), edits=(by,), advances={"gear down": 12}) == [
        (12, "gear"), (22, "speed"),
    ]  # fmt: skip


def test_what_is_replaced_is_done_otherwise_and_not_again() -> None:
    turned = Expected("set", "speed", figure=Figure(180.0))
    assert acts(gear(), edits=(Edit("replace", "gear down", act=turned),)) == [(22, "speed")]


def test_an_edit_of_what_recurs_is_meant_for_the_first_time() -> None:
    each = Item(
        "call", Expected("say", intent="glide alive"), each=Happened("event", "now"), due=5.0,
        closes=10.0,
    )  # fmt: skip
    twice = (1, 101)
    said = [(22, "glide alive"), (122, "glide alive")]
    assert acts(each, events=twice) == said
    delayed = acts(each, edits=(Edit("delay", "call", seconds=2.0),), events=twice)
    assert delayed == [(72, "glide alive"), (122, "glide alive")]
    assert acts(each, edits=(Edit("omit", "call"),), events=twice) == []
    assert acts(each, edits=(Edit("omit", "call 2"),), events=twice) == said[:1]


def test_what_was_void_when_its_delay_was_over_is_not_done() -> None:
    item = call(void=Happened("event", "now"))
    assert acts(item, edits=(Edit("delay", "glide alive", seconds=1.0),)) == []
