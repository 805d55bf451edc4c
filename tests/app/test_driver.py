"""The driver: how fast a flight runs at each level, and when it stands still."""

from __future__ import annotations

import pytest

from tests.app.help import Diary, driver, moment, run
from trainer.app.driver import SEGMENT_ENDED, Driver
from trainer.app.prompting import Guide, Hint
from trainer.app.router import Draft, Note
from trainer.crew.words import act_of


def press(made: Driver, control: str) -> Note | None:
    return made.do(Draft("press", control))


@pytest.mark.parametrize("level", ["coached", "check"])
def test_a_second_of_real_time_is_ten_steps(level: str) -> None:
    made = driver(level)
    assert run(made, 0.0, 1.0) == 10
    assert made.row.step == 10


def test_the_partition_of_real_time_does_not_matter() -> None:
    fine, coarse = driver("check"), driver("check")
    run(fine, 0.0, 6.0, every_s=0.05)
    run(coarse, 0.0, 6.0, every_s=0.5)
    assert fine.row == coarse.row


def test_a_check_has_no_hint_and_nothing_to_make_one() -> None:
    made = driver("check")
    run(made, 0.0, 30.0, every_s=0.5)
    assert not made.has_prompter
    assert made._prompter is None
    assert made.hint is None
    assert not made.is_waiting


def test_guided_stops_when_the_perfect_crew_would_act_and_says_what_and_why() -> None:
    made = driver("guided")
    run(made, 0.0, 60.0, every_s=0.5)
    assert made.row.step == 20
    assert made.is_waiting
    hint = made.hint
    assert isinstance(hint, Hint)
    assert hint.what == "set frequency 110.35"
    assert hint.keys == "110.35t"
    assert hint.why
    assert hint.is_waiting


def test_an_act_while_guided_waits_flies_exactly_one_step_where_another_step_waits() -> None:
    made = driver("guided")
    run(made, 0.0, 5.0)
    before = made.row.step
    assert made.do(Draft("set", "frequency", "110.35")) is None
    assert made.row.step == before + 1
    assert made.row.selectors.frequency == "110.35"
    hint = made.hint
    assert hint is not None
    assert hint.item != "tune"
    assert run(made, 5.0, 8.0) == 0


def test_a_useless_key_in_guided_also_costs_one_step_and_time_waits_on() -> None:
    made = driver("guided")
    run(made, 0.0, 5.0)
    before = made.row.step
    press(made, "heading mode")
    assert made.row.step == before + 1
    assert made.is_waiting


def test_a_step_can_be_skipped_in_guided_and_time_goes_on_to_the_next() -> None:
    made = driver("guided")
    run(made, 0.0, 5.0)
    first = made.hint
    assert first is not None
    assert made.skip() is None
    second = made.hint
    assert second is None or second.item != first.item


def test_skipping_is_only_for_guided_and_says_so() -> None:
    for level in ("check", "coached"):
        assert driver(level).skip() == Note("skip works only in Guided")
    assert driver("guided").skip() == Note("there is nothing to skip now")


def test_a_coached_hint_comes_only_once_something_is_due() -> None:
    made = driver("coached")
    tracker = made.session.tracker
    seen_none = seen_hint = False
    for place in range(1, 60):
        made.advance(place * 0.5)
        is_due = any(track.due <= made.row.step for track in tracker.open_tracks())
        assert (made.hint is not None) == is_due
        seen_hint |= is_due
        seen_none |= not is_due
    assert seen_none
    assert seen_hint


def test_coached_time_can_run_faster_and_falls_back_while_a_line_is_open() -> None:
    made = driver("coached", start="distance: below 12 NM")
    now_s = 0.0
    made.faster()
    made.faster()
    assert made.factor == 4
    assert made.speed == (1 if made.hint else 4)
    made.is_line_open = True
    assert made.speed == 1
    assert made.slow_because == "a line is open"
    assert run(made, now_s, 1.0) == 10


def test_coached_time_falls_back_while_something_is_due() -> None:
    made = driver("coached")
    made.faster()
    run(made, 0.0, 20.0)
    assert made.hint is not None
    assert made.speed == 1
    assert made.slow_because == "a step is open"
    assert made.factor == 2


def test_fast_time_flies_the_same_flight() -> None:
    slow, fast = driver("coached"), driver("coached")
    for _ in range(3):
        fast.faster()
    assert fast.speed == 8
    fast.advance(0.1)
    run(slow, 0.0, 0.8, every_s=0.1)
    assert slow.row == fast.row


def test_time_runs_no_faster_in_a_check() -> None:
    made = driver("check")
    assert isinstance(made.faster(), Note)
    assert made.speed == 1


def test_a_note_never_claims_a_speed_that_time_may_leave_while_it_stands() -> None:
    made = driver("coached")
    notes = [made.faster() for _ in range(4)]
    assert notes == [None, None, None, Note("time ×1")]
    assert made.factor == 1


def test_there_is_no_pause_in_a_check() -> None:
    made = driver("check")
    assert isinstance(made.pause(), Note)
    assert not made.is_paused
    assert run(made, 0.0, 1.0) == 10


def test_a_pause_stops_time_and_loses_none_afterwards() -> None:
    made = driver("coached")
    run(made, 0.0, 1.0)
    made.pause()
    assert run(made, 1.0, 50.0, every_s=0.5) == 0
    made.pause()
    assert run(made, 50.0, 51.0) == 10


def test_a_gap_in_a_check_freezes_it_is_logged_and_a_key_goes_on() -> None:
    diary = Diary()
    made = driver("check", diary=diary)
    run(made, 0.0, 1.0)
    assert made.advance(3.0) == 0
    assert made.is_frozen
    assert made.interruptions == [10]
    assert diary.interruptions == [10]
    assert run(made, 3.0, 9.0) == 0
    assert made.thaw()
    assert run(made, 9.0, 10.0) == 10
    assert made.interruptions == [10]


def test_a_gap_elsewhere_costs_at_most_a_second() -> None:
    made = driver("coached")
    assert made.advance(4.5) == 10
    assert made.interruptions == []


def test_nothing_to_show_on_freezes_a_check_and_only_holds_the_others() -> None:
    check, coached = driver("check"), driver("coached")
    check.stand_still(0.5)
    coached.stand_still(0.5)
    assert check.is_frozen
    assert not coached.is_frozen
    assert coached.row.step == 0


def test_an_act_is_flown_at_once_and_the_time_for_it_is_debited() -> None:
    made = driver("check")
    run(made, 0.0, 1.0)
    press(made, "heading mode")
    assert made.row.step == 11
    assert made.row.modes.lateral == "HDG"
    assert run(made, 1.0, 2.0) == 9


def test_a_burst_of_acts_never_runs_far_ahead_of_time_and_none_is_lost() -> None:
    diary = Diary()
    made = driver("check", diary=diary)
    for _ in range(20):
        press(made, "identify")
    assert made.row.step <= 4
    run(made, 0.0, 2.0)
    assert len(diary.acts) == 20
    assert [act.serial for act in diary.acts] == sorted(act.serial for act in diary.acts)


def test_acts_are_recorded_with_the_step_they_were_flown_in() -> None:
    diary = Diary()
    made = driver("coached", diary=diary)
    run(made, 0.0, 1.0)
    press(made, "heading mode")
    (act,) = diary.acts
    assert (act.step, act.by, act.act, act.control) == (10, "pilot", "press", "heading mode")
    assert made.session.flight.acts == [act]


def test_a_beat_comes_once_a_second_of_flight() -> None:
    diary = Diary()
    made = driver("check", diary=diary)
    run(made, 0.0, 3.0)
    assert diary.beats == [10, 20, 30]


def test_a_lever_moves_to_its_other_position_and_is_recorded_by_name() -> None:
    diary = Diary()
    made = driver("check", diary=diary)
    made.do(Draft("move", "gear", "toggle"))
    made.do(Draft("move", "gear", "toggle"))
    run(made, 0.0, 0.5)
    assert [act.value for act in diary.acts] == ["down", "up"]


def test_flaps_go_out_stage_by_stage_and_stop_at_the_last() -> None:
    diary = Diary()
    made = driver("check", diary=diary)
    notes = []
    for place in range(5):
        notes.append(made.do(Draft("move", "flaps", "next")))
        made.advance((place + 1) * 0.2)
    assert [act.value for act in diary.acts] == ["4", "12", "22", "36"]
    assert isinstance(notes[-1], Note)


def test_flaps_in_at_the_first_stage_say_so() -> None:
    assert isinstance(driver("check").do(Draft("move", "flaps", "previous")), Note)


def test_checklists_come_in_the_order_of_the_flow_and_by_number() -> None:
    diary = Diary()
    made = driver("check", diary=diary)
    made.do(Draft("checklist"))
    made.advance(0.2)
    made.do(Draft("checklist"))
    made.advance(0.4)
    made.do(Draft("checklist", value="1"))
    made.advance(0.6)
    assert [act.control for act in diary.acts] == ["approach", "landing", "approach"]
    note = made.do(Draft("checklist", value="7"))
    assert isinstance(note, Note)
    assert "landing" in note.text


def test_a_call_is_timed_at_the_opening_of_its_line() -> None:
    diary = Diary()
    made = driver("check", diary=diary)
    run(made, 0.0, 3.0)
    made.do(Draft("say", text="localizer alive", began=12))
    assert diary.acts[0].began == 12
    assert diary.acts[0].step == 30


def test_words_that_are_not_understood_are_asked_for_again() -> None:
    made = driver("check")
    made.do(Draft("say", text="flaps bananas", began=0))
    asked, words = made.scribe.log[-1], made.scribe.log[-2]
    assert (words.who, words.text) == ("YOU", "flaps bananas")
    assert asked.who == "HEARD"
    assert "bananas" in asked.text


def test_the_perfect_crew_flies_to_the_moment_and_hands_over() -> None:
    diary = Diary()
    made = driver("guided", start="distance: below 8 NM", diary=diary)
    assert 7.8 < made.row.distance_nm < 8.0
    assert {act.by for act in diary.acts} == {"crew"}
    assert "GLIDE" in made.row.modes.vertical
    made.do(Draft("press", "identify"))
    assert diary.acts[-1].by == "pilot"
    assert diary.acts[-1].serial > max(act.serial for act in diary.acts[:-1])


def test_a_segment_ends_at_its_moment() -> None:
    made = driver("check", start="distance: below 8 NM", until="distance: below 7.9 NM")
    run(made, 0.0, 30.0, every_s=0.5)
    assert made.is_over
    assert made.reason == SEGMENT_ENDED
    assert made.row.distance_nm == pytest.approx(7.9, abs=0.02)
    assert made.do(Draft("press", "identify")) is None
    assert made.hint is None


def test_a_moment_that_only_the_judge_knows_can_begin_a_segment() -> None:
    made = driver("check", start="done: approach mode")
    assert "GLIDE" in made.row.modes.vertical_armed


def test_guided_obeyed_to_the_letter_lands_and_scores_as_the_perfect_crew_does() -> None:
    made = driver("guided", start="radio height: below 700 ft")
    now_s = 0.0
    guard = 0
    while not made.is_over and guard < 4000:
        guard += 1
        now_s += 0.5
        made.advance(now_s)
        if made.is_waiting:
            guide = made._prompter
            assert isinstance(guide, Guide)
            track = guide._next(made.row)
            assert track is not None
            act = act_of(track.item.act, made.row, made.session.tracker, "crew", track)
            made.do(Draft(act.act, act.control, act.value, act.text, act.began))
    assert made.reason == "stopped on the runway"
    judgement = made.session.judgement()
    late = [one.item for one in judgement.items if one.verdict in ("missed", "wrong")]
    assert late == []


def test_an_unknown_level_is_a_broken_promise() -> None:
    with pytest.raises(RuntimeError):
        driver("expert")


def test_moments_of_the_command_line_are_understood() -> None:
    assert moment("distance: below 8 NM") is not None


@pytest.mark.parametrize(("away_s", "is_paused"), [(4.0, False), (300.0, True)])
def test_whoever_was_away_for_long_finds_a_pause(away_s: float, is_paused: bool) -> None:
    made = driver("coached")
    made.advance(away_s)
    assert made.is_paused == is_paused
    assert (made.row.step == 0) == is_paused


@pytest.mark.parametrize(("level", "is_put_right"), [("coached", True), ("check", False)])
def test_a_controller_puts_a_wrong_read_back_right_where_there_are_hints(
    level: str, is_put_right: bool
) -> None:
    made = driver(level)
    cleared = made.session.exercise.events[0]
    while not any(line.text == cleared.atc for line in made.scribe.log):
        made._step([])
    made.do(Draft("read back", text="QNH 1003"))
    run(made, 0.0, 0.2)
    said = [line.text for line in made.scribe.log if line.who == "ATC"]
    assert ("negative, I say again" in said[-1]) is is_put_right
    made.do(Draft("read back", text="QNH 1012"))
    run(made, 0.2, 0.4)
    assert [line.text for line in made.scribe.log if line.who == "ATC"] == said
