"""What was shown stands beside what was said of it, and how long that took."""

from __future__ import annotations

from dataclasses import replace

from tests.builders import book
from tests.report.judged import MODES, WATCHES, item, judgement
from trainer.report.annunciator import difference_text, shown_and_said, shown_rows

CALL = item("mode call 1", "on time", area="modes", opened=91, done=116)


def test_a_call_stands_beside_the_change_that_asked_for_it_with_its_reaction() -> None:
    first, second = shown_and_said(replace(judgement(), items=(CALL,)), book())
    assert (first.after_s, first.verdict) == (None, "")
    assert (second.words, second.said) == ("LOC | GLIDE (FLARE) | SPEED | AP BOTH | PASSIVE",
                                           "glide captured")  # fmt: skip
    # Changed at 9.0 s (the row of step 90), called at 11.6 s.
    assert (second.after_s, second.verdict) == (2.6, "on time")


def test_a_call_that_was_missed_has_a_verdict_and_no_reaction() -> None:
    missed = replace(CALL, verdict="missed", done=None)
    rows = shown_rows(shown_and_said(replace(judgement(), items=(missed,)), book()))
    assert rows[1][3:] == ["", "missed"]


def test_what_was_said_and_not_shown_counts_until_it_is_put_right() -> None:
    false = replace(WATCHES[0], watch="said, not shown", start=30, end=30)
    made = replace(judgement(), items=(), watches=(false,), modes=MODES)
    # Until the annunciator changes at step 90.
    assert difference_text(made, ["said, not shown"], 500).endswith("differed for 6.0 s.")
    right = replace(CALL, opened=20, done=50)
    made = replace(made, items=(right,))
    assert difference_text(made, ["said, not shown"], 500).endswith("differed for 2.0 s.")


def test_two_false_calls_in_one_time_count_it_once() -> None:
    false = [replace(WATCHES[0], watch="x", start=start, end=start) for start in (30, 40)]
    made = replace(judgement(), items=(), watches=tuple(false))
    assert difference_text(made, ["x"], 500).endswith("differed for 6.0 s.")


def test_without_a_false_call_nothing_differed() -> None:
    assert "never other" in difference_text(judgement(), ["said, not shown"], 500)


def test_words_that_name_no_mode_are_not_held_against_the_annunciator() -> None:
    modes = (replace(MODES[1], said="gear down; glide captured; cleared approach 14"),)
    (one,) = shown_and_said(replace(judgement(), modes=modes), book())
    assert one.said == "glide captured"
