"""Hints: what is told, in how few letters, and for how long an open step holds time."""

from __future__ import annotations

import pytest

from tests.app.help import driver, run
from trainer.app.prompting import HINTS_MAX, HOLD, Hint, _shorter
from trainer.app.router import Draft
from trainer.app.widgets.hints import hint_lines
from trainer.app.widgets.lines import plain
from trainer.flight.acts import Act
from trainer.text import width as cells

SHORT = (("gc", "glide captured"), ("fl", "flap {stage}"))
MISSED = 'say "missed approach 4000 set"'


def said(text: str, act: str = "say") -> tuple[str, ...]:
    return _shorter(Act(0, 0, "crew", act, text=text), SHORT)


def hint(what: str = MISSED, keys: str = "", shorter: tuple[str, ...] = (), more: int = 0) -> Hint:
    return Hint("item", what, keys, "Because it is so. " * 12, True, more, shorter)


def test_a_call_has_its_two_letter_form_with_its_value() -> None:
    assert said("glide captured") == ("Space gc Enter", "Space these words Enter")
    assert said("flap 12")[0] == "Space fl 12 Enter"
    assert said("missed approach 4000 set") == ("Space these words Enter",)
    assert said("cleared ILS 14", "read back") == ("Enter these words Enter",)


def test_a_key_needs_no_shorter_form() -> None:
    assert _shorter(Act(0, 0, "crew", "press", "heading mode"), SHORT) == ()


@pytest.mark.parametrize("width", [80, 100, 140])
@pytest.mark.parametrize("height", [2, 3, 4])
@pytest.mark.parametrize(
    "text", ["missed approach 4000 set", "turn left heading 110, cleared ILS approach runway 14",
             "glide captured", "x" * 100]
)  # fmt: skip
def test_the_keys_are_never_cut(text: str, width: int, height: int) -> None:
    keys = f"Space {text} Enter"
    made = hint(f'say "{text}"', keys, said(text), more=4)
    lines = [plain(line) for line in hint_lines(made, width, height)]
    assert len(lines) <= height
    assert all(cells(line) <= width for line in lines)
    told = "\n".join(lines[:2])
    assert any(f"keys: {one}" in told for one in (keys, *said(text)))
    assert "and 4 more" in told


def test_where_there_is_room_the_words_are_typed_as_spoken() -> None:
    made = hint('say "glide captured"', "Space glide captured Enter", said("glide captured"))
    assert "Space glide captured Enter" in plain(hint_lines(made, 100)[0])


def test_a_reason_that_does_not_fit_shows_that_it_goes_on() -> None:
    lines = [plain(line) for line in hint_lines(hint("press x", "x"), 80, 2)]
    assert lines[1].endswith("…")


def test_a_wide_and_high_screen_names_three_due_steps_and_counts_the_rest() -> None:
    made = driver("coached")
    run(made, 0.0, 100.0, every_s=0.5)
    found = made.hint
    assert found is not None
    assert found.more > HINTS_MAX - 1
    assert len(found.also) == HINTS_MAX - 1
    lines = [plain(line) for line in hint_lines(found, 140, 4)]
    due = [line for line in lines if line.startswith(" DUE ")]
    assert len(due) == HINTS_MAX
    assert len({line.split("keys:")[1] for line in due}) == HINTS_MAX
    assert due[-1].endswith(f"and {found.more - 2} more")
    assert len(lines) == 4
    narrow = [plain(line) for line in hint_lines(found, 100, 3)]
    assert sum(line.startswith(" DUE ") for line in narrow) == 1
    assert f"and {found.more} more" in narrow[0]


def test_a_step_left_undone_holds_fast_time_for_twenty_seconds_and_not_for_good() -> None:
    made = driver("coached")
    made.faster()
    slow_s = 0
    for second in range(1, 240):
        before = made.row.step
        made.advance(float(second))
        slow_s += made.row.step - before == 10
    # Nothing at all was done: some steps are long due, and time runs fast all the same.
    assert made.hint is not None
    assert made.factor == 2
    assert slow_s >= HOLD // 10
    assert any(track.due + HOLD < made.row.step for track in made.session.tracker.open_tracks())
    assert made.row.step > 240 * 10


def test_fast_time_stops_at_the_very_step_at_which_something_opens() -> None:
    made = driver("coached")
    for _ in range(3):
        made.faster()
    now_s, step = 0.0, 0
    assert made.speed == 8
    while made.speed == 8:
        now_s += 1.0
        step = made.row.step
        made.advance(now_s)
    assert made.slow_because == "a step is open"
    assert made.row.step - step < 80


def test_guided_runs_fast_between_steps_only_and_begins_each_gap_slowly() -> None:
    made = driver("guided")
    made.faster()
    made.faster()
    assert made.speed == 4
    made.advance(0.1)
    assert made.row.step == 4
    run(made, 0.1, 5.1)
    assert made.is_waiting
    assert made.factor == 1
    note = made.faster()
    assert note is not None
    assert "waits" in note.text
    assert made.factor == 1
    made.do(Draft("set", "frequency", "110.35"))
    assert made.speed == 1
