"""A call counts from the key that opened its line, and typing is not judged.

Not earlier than 8 s before it was sent; and what was shown in the 2 s before it was opened
counts as seen. Words that were not understood and are said again keep their time.
"""

from __future__ import annotations

from tests.builders import modes, say
from tests.judge.small import MODE_CALL, NOW, call, judge, only
from trainer.flight.acts import Act, Fact
from trainer.scenario.exercise import Act as Expected
from trainer.scenario.exercise import Event, Item
from trainer.scenario.moments import Happened


def test_a_call_is_timed_at_its_opening() -> None:
    verdict = only(judge([call()], 200, [say(90, "glide alive", began=60)], extra=[NOW]))
    assert (verdict.verdict, verdict.done) == ("on time", 60)


def test_a_call_opened_long_ago_counts_from_eight_seconds_before_sending() -> None:
    verdict = only(judge([call()], 300, [say(190, "glide alive", began=30)], extra=[NOW]))
    assert (verdict.verdict, verdict.done) == ("late", 110)


def test_a_call_begun_before_a_change_does_not_announce_it() -> None:
    armed = {"modes": modes(lateral_armed=("LOC",))}
    captured = {"modes": modes(lateral="LOC")}
    changes = [Fact(19, "mode", "lateral armed", "LOC"), Fact(39, "mode", "lateral", "LOC", "NAV")]
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


def test_what_is_said_again_keeps_the_time_of_words_that_were_not_understood() -> None:
    # Due 7.0 s, closes 12.0 s; "say again" comes at 8.0 s.
    garbled = say(80, "glyph olive", began=60)
    for again, verdict, done in (
        (say(120, "glide alive", began=85), "on time", 60),
        # As any call: not earlier than 8 s before it was sent.
        (say(160, "glide alive", began=110), "late", 80),
        # Opened more than 8 s after "say again": another call, and the window has closed.
        (say(175, "glide alive", began=165), "missed", None),
    ):
        found = only(judge([call()], 300, [garbled, again], extra=[NOW]))
        assert (found.verdict, found.done) == (verdict, done), again


def test_however_often_it_is_asked_for_the_first_time_counts_and_then_no_longer() -> None:
    deeds = [
        say(60, "glyph olive", began=50), say(90, "glide olive tree", began=70),
        say(110, "glide alive", began=100), say(130, "gear down", began=125),
    ]  # fmt: skip
    down = {0: {"gear_lever": "down"}}
    judgement = judge([call(), call("gear down", closes=15.0)], 300, deeds, down, [NOW])
    assert [one.done for one in judgement.items] == [50, 125]


def test_whether_it_is_true_is_seen_when_it_is_said_again() -> None:
    captured = {"modes": modes(lateral="LOC")}
    deeds = [say(50, "lokaliser karptured", began=30), say(80, "localizer captured", began=60)]
    change = Fact(49, "mode", "lateral", "LOC", "NAV")
    verdict = only(judge([MODE_CALL], 300, deeds, {50: captured}, extra=[change]))
    assert (verdict.verdict, verdict.done) == ("on time", 50)


def test_a_read_back_that_is_asked_for_again_keeps_its_time() -> None:
    item = Item(
        name="read back", act=Expected("read back", event="cleared"),
        opens=Happened("event", "cleared"), due=5.0, closes=10.0,
    )  # fmt: skip
    event = Event(
        "cleared", Happened("event", "now"), grants="descend", slots=(("altitude", "2000"),)
    )
    deeds = [
        (Act(step, 1, "pilot", "read back", "cleared", text=text, began=began),
         Fact(step, "read back", "cleared", text))
        for began, step, text in ((40, 70, "desend tee"), (90, 115, "descend 2000"))
    ]  # fmt: skip
    found = judge([item], 300, deeds, extra=[Fact(19, "event", "cleared")], events=(event,))
    assert [(one.verdict, one.done) for one in found.items] == [("on time", 40)]
