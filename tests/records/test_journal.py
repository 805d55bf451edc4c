"""What the entries of a log amount to."""

from __future__ import annotations

from trainer.flight.acts import Act
from trainer.records.journal import Entry, effective_acts, interruptions


def act(step: int, serial: int) -> Act:
    return Act(step, serial, "pilot", "press", "heading mode")


def entry(step: int, serial: int) -> Entry:
    return Entry("act", step, tuple(act(step, serial)))


def test_acts_count_in_the_order_in_which_they_were_written() -> None:
    log = [entry(5, 0), entry(5, 1), entry(8, 2)]
    assert effective_acts(log) == (act(5, 0), act(5, 1), act(8, 2))


def test_a_rewind_takes_back_acts_at_and_after_its_step_and_no_others() -> None:
    log = [entry(5, 0), entry(8, 1), entry(9, 2), Entry("rewound", 12, (8,)), entry(8, 3)]
    assert effective_acts(log) == (act(5, 0), act(8, 3))


def test_two_rewinds_fold_one_after_the_other() -> None:
    log = [
        entry(5, 0),
        Entry("rewound", 20, (6,)),
        entry(7, 1),
        Entry("rewound", 9, (2,)),
        entry(3, 2),
    ]
    assert effective_acts(log) == (act(3, 2),)


def test_interruptions_are_no_acts() -> None:
    log = [entry(5, 0), Entry("interrupted", 6, ("too small a screen",))]
    assert effective_acts(log) == (act(5, 0),)
    assert interruptions(log) == ((6, "too small a screen"),)
