"""Taking a flight back: the same acts again lead to the same flight, and the log says so."""

from __future__ import annotations

from tests.app.help import FLARE, Diary, driver, run, straight_in
from tests.app.test_resume import fingerprint, perfect
from trainer.app.driver import REWIND, Before, Driver
from trainer.app.router import Draft, Note
from trainer.crew.session import Session
from trainer.flight.acts import by_step
from trainer.records.journal import Entry, effective_acts


def test_what_is_flown_again_the_same_after_a_rewind_is_the_same_flight() -> None:
    whole = perfect()
    acts = by_step(whole.flight.acts)
    diary = Diary()
    made = driver("coached", diary=diary)

    def fly_to(step: int) -> None:
        while made.row.step < step and not made.is_over:
            made._pending += acts.get(made.row.step, [])
            made._fly()

    fly_to(1500)
    assert made.rewind() is None
    assert made.row.step == 1500 - REWIND
    assert made.is_paused
    assert diary.rewinds == [(1500, 1200)]
    assert diary.beats[-1] == 1200
    assert made.row == whole.flight.rows[1200]
    made.pause()
    fly_to(60_000)
    assert made.is_over
    assert fingerprint(made.session) == fingerprint(whole)
    assert made.session.judgement() == whole.judgement()


def test_pauses_and_interruptions_are_in_the_log_and_not_in_the_digest() -> None:
    prints = []
    for level, is_stopped in (("coached", False), ("coached", True), ("check", True)):
        diary = Diary()
        made = driver(level, diary=diary)
        run(made, 0.0, 20.0)
        if is_stopped:
            made.pause()
            made.interrupt()
            assert run(made, 20.0, 60.0) == 0
            made.thaw()
            made.is_paused = False
        assert diary.interruptions == ([200] if level == "check" else [])
        made.do(Draft("press", "heading mode"))
        while made.row.step < 500:
            made._fly()
        prints.append(fingerprint(made.session))
    assert len(set(prints)) == 1


def test_acts_after_the_step_gone_back_to_no_longer_count() -> None:
    diary = Diary()
    made = driver("coached", diary=diary)
    run(made, 0.0, 40.0)
    made.do(Draft("press", "heading mode"))
    run(made, 40.0, 41.0)
    assert made.rewind() is None
    entries = [Entry("act", act.step, tuple(act)) for act in diary.acts]
    entries.append(Entry("rewound", diary.rewinds[0][0], (diary.rewinds[0][1],)))
    assert effective_acts(entries) == tuple(made.session.flight.acts) == ()
    assert made.row.modes.lateral == "NAV"


def test_a_check_is_never_taken_back_and_nothing_before_the_hand_over() -> None:
    check = driver("check")
    run(check, 0.0, 40.0)
    assert check.rewind() == Note("time runs only forward in a check")
    segment = driver("coached", start=FLARE)
    first = segment.row.step
    assert segment.rewind() == Note("there is nothing to go back over")
    run(segment, 0.0, 1.0)
    assert segment.rewind() is None
    assert segment.row.step == first


def test_a_step_that_was_skipped_is_not_asked_for_again_after_a_resume() -> None:
    diary = Diary()
    made = driver("guided", diary=diary)
    run(made, 0.0, 10.0)
    skipped = []
    while made.is_waiting:
        assert made.hint is not None
        skipped.append(made.hint.item)
        assert made.skip() is None
    run(made, 10.0, 60.0)
    waiting = made.hint
    assert waiting is not None
    assert "tune" in skipped
    before = Before(diary.acts, made.row.step)
    again = Driver(Session(straight_in()), "guided", before=before)
    assert again.hint is not None
    assert again.hint.item == waiting.item
    assert waiting.item not in skipped
