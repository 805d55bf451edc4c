"""A call counts from the key that opened its line, and typing is not judged.

Not earlier than 8 s before it was sent; and what was shown in the 2 s before it was opened
counts as seen.
"""

from __future__ import annotations

from tests.builders import modes, say
from tests.judge.small import (
    MODE_CALL,
    NOW,
    call,
    judge,
    only,
)
from trainer.flight.acts import Fact


def test_a_call_is_timed_at_its_opening() -> None:
    verdict = only(judge([call()], 200, [say(90, "glide alive", began=60)], extra=[NOW]))
    assert (verdict.verdict, verdict.done) == ("on time", 60)


def test_a_call_opened_long_ago_counts_from_eight_seconds_before_sending() -> None:
    verdict = only(judge([call()], 300, [say(190, "glide alive", began=30)], extra=[NOW]))
    assert (verdict.verdict, verdict.done) == ("late", 110)


def test_a_call_begun_before_a_change_does_not_announce_it() -> None:
    armed = {"modes": modes(lateral_armed=("LOC",))}
    captured = {"modes": modes(lateral="LOC")}
    changes = [
        Fact(19, "mode", "lateral armed", "LOC"),
        Fact(39, "mode", "lateral", "LOC", "NAV"),
    ]
    deeds = [say(50, "localizer armed", began=35)]
    judgement = judge([MODE_CALL], 200, deeds, {20: armed, 40: captured}, extra=changes)
    assert {item.item: item.verdict for item in judgement.items} == {
        "mode call 1": "on time",
        "mode call 2": "missed",
    }


def test_what_was_shown_two_seconds_before_counts_as_seen_and_three_do_not() -> None:
    armed = {"modes": modes(lateral_armed=("LOC",))}
    captured = {"modes": modes(lateral="LOC")}
    item = call("localizer armed")
    for opened, verdict in ((58, "on time"), (65, "wrong")):
        judgement = judge(
            [item], 200, [say(70, "localizer armed", began=opened)], {20: armed, 40: captured},
            extra=[NOW],
        )  # fmt: skip
        assert only(judgement).verdict == verdict, opened


def test_words_typed_past_the_closing_count_if_their_line_was_opened_before() -> None:
    # Closes at 12.0 s; opened at 11.5 s and sent 4 s later.
    verdict = only(judge([call()], 300, [say(155, "glide alive", began=115)], extra=[NOW]))
    assert verdict.verdict == "late"
