"""What is heard: how long words last, what they may be about, and which item they are for."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from tests.builders import MODES, book, exercise, modes, row, say
from tests.judge.rules.test_gates import CRITERIA, STABLE, STABLE_GATE
from tests.judge.rules.test_read_backs import read
from tests.judge.small import LOC_ARMED, MODE_CALL, NOW, call, gear, judge, only, verdicts
from trainer.flight.acts import Act, Fact
from trainer.judge.hearing import CallMatcher, speech_steps
from trainer.judge.tracker import Tracker
from trainer.scenario.exercise import Act as Expected
from trainer.scenario.exercise import Event, Gate, Item
from trainer.scenario.moments import Happened

Rows = dict[int, dict[str, Any]]
LOC_IS_ARMED: Rows = {20: {"modes": modes(lateral_armed=("LOC",))}}

WORDS = {
    "check course": ("check course",), "landing": ("landing",),
    "altitude capture": ("altitude capture",), "altitude hold": ("altitude hold",),
    "go around": ("go around",), "no spoilers": ("no spoilers",), "spoilers": ("spoilers",),
    "one thousand stable": ("one thousand stable",), "unable": ("unable",),
    "one thousand not stable": ("one thousand not stable",),
}  # fmt: skip


def change(step: int, column: str, word: str, before: str = "") -> Fact:
    return Fact(step, "mode", column, word, before)


# Time -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "steps"), [("flaps", 20), ("gear down", 20), ("three green", 25), ("DME 12, 3000", 25)]
)
def test_four_letters_take_a_second_and_any_words_two(text: str, steps: int) -> None:
    assert speech_steps(text) == steps


def matcher(length: int) -> CallMatcher:
    tracker = Tracker(exercise(), book())
    tracker.start(row(0))
    for step in range(1, length):
        tracker.advance((), (), row(step))
    return tracker.hearing


def test_a_line_that_was_opened_in_the_first_step_counts_from_there() -> None:
    hearing = matcher(1)
    opened = [hearing.call_step(Act(30, 1, "pilot", "say", began=began)) for began in (-1, 0, 1)]
    assert opened == [30, 0, 1]


@pytest.mark.parametrize(
    ("opened", "first", "last"), [(40, 20, 40), (20, 0, 20), (10, 0, 10), (60, 29, 49)]
)
def test_what_counts_as_seen_ends_with_the_opening_and_with_what_was_shown(
    opened: int, first: int, last: int
) -> None:
    rows = matcher(50).rows_before(opened)
    assert (rows[0].step, rows[-1].step) == (first, last)


@pytest.mark.parametrize(("again", "verdict"), [(160, "late"), (161, "missed")])
def test_words_opened_eight_seconds_after_say_again_are_still_those_words(
    again: int, verdict: str
) -> None:
    # Closes 12.0 s; "say again" came at 8.0 s.
    deeds = [say(80, "glyph olive", began=60), say(190, "glide alive", began=again)]
    assert only(judge([call()], 300, deeds, extra=[NOW])).verdict == verdict


# Calls ------------------------------------------------------------------------------------------


def test_the_first_false_word_is_the_one_that_is_told() -> None:
    deeds = [say(30, "DME 4 altitude 3000"), say(40, "DME 5 altitude 3000")]
    found = only(judge([call("distance check")], 200, deeds, extra=[NOW]))
    assert found.found.startswith('said "DME 4')
    deeds = [say(5, "DME 4 altitude 3000"), say(9, "DME 5 altitude 3000")]
    found = only(judge([call("distance check")], 200, deeds, extra=[NOW]))
    assert found.found.startswith('said "DME 4'), "before it was due, too"
    deeds = [say(5, "minimums"), say(9, "minimums, minimums")]
    found = only(judge([call("minimums", early="harmful")], 200, deeds, extra=[NOW]))
    assert found.found == 'said "minimums"', "nor does saying it again make it later"


@pytest.mark.parametrize("step", [5, 30])
def test_what_meets_an_item_is_not_listed_as_unexpected(step: int) -> None:
    assert judge([call()], 200, [say(step, "glide alive")], extra=[NOW]).unmatched == ()
    assert judge([call()], 200, [say(step, "checked")], extra=[NOW]).unmatched == (
        'said "checked"',
    )


def test_a_call_that_answers_a_fault_is_still_there_for_the_item_that_waits_for_it() -> None:
    asked = Expected("say", intent="check course")
    items = [call("answer", act=asked, answers=(asked,)), call("course", act=asked)]
    found = judge(items, 200, [say(30, "check course")], extra=[NOW], words=WORDS)
    assert verdicts(found) == {"answer": "on time", "course": "on time"}
    asked = Expected("say", intent="landing")
    items = [call("answer", act=asked, answers=(asked,)), call("land", act=asked)]
    found = judge(items, 200, [say(30, "landing")], extra=[NOW], words=WORDS)
    assert verdicts(found) == {"answer": "wrong", "land": "wrong"}, "nothing is in sight"


ON_GROUND: dict[str, Any] = {"is_on_ground": True, "modes": MODES}


@pytest.mark.parametrize(
    ("due", "said", "spoilers"),
    [("no spoilers", "spoilers", "disarmed"), ("spoilers", "no spoilers", "armed")],
)
def test_only_the_contrary_of_what_was_said_is_made_wrong(
    due: str, said: str, spoilers: str
) -> None:
    down = {0: {**ON_GROUND, "spoilers": spoilers}}
    items = [call(), call(due), call("gear down", due=7.0)]
    deeds = [say(30, said), say(35, f"{said}, {said}"), say(40, "glide alive")]
    found = judge(items, 200, deeds, down, [NOW], words=WORDS)
    assert verdicts(found) == {"glide alive": "on time", due: "wrong", "gear down": "missed"}
    assert next(one.found for one in found.items if one.item == due).startswith(f'said "{said}";')


def test_what_is_so_denies_nothing() -> None:
    down: Rows = {0: {**ON_GROUND, "spoilers": "disarmed"}}
    deeds = [say(30, "no spoilers")]
    found = judge([call("spoilers")], 200, deeds, down, [NOW], words=WORDS)
    assert only(found).verdict == "missed"


def test_the_contrary_of_what_was_called_already_changes_nothing() -> None:
    down = {0: {**ON_GROUND, "spoilers": "disarmed"}}
    deeds = [say(30, "no spoilers"), say(60, "spoilers")]
    found = only(judge([call("no spoilers")], 200, deeds, down, [NOW], words=WORDS))
    assert found.verdict == "on time"


# Clearances that are declined -------------------------------------------------------------------


def cleared(name: str, grants: str, **slots: str) -> Event:
    return Event(name, Happened("event", "x"), grants=grants, slots=tuple(slots.items()))


@pytest.mark.parametrize(
    ("events", "declined"),
    [
        ((cleared("lower", "descend", altitude="3000"),
          cleared("lowest", "descend", altitude="2000")), "lowest"),
        ((cleared("turn", "heading", heading="150"), cleared("runway", "approach", runway="14")),
         "turn"),
        ((cleared("runway", "approach", runway="14"), cleared("turn", "heading", heading="150")),
         "turn"),
        ((cleared("lower", "descend", altitude="3000"), cleared("leave", "go around")), "lower"),
    ],
)  # fmt: skip
def test_unable_declines_the_newest_clearance_that_assigns_something_and_no_order(
    events: tuple[Event, ...], declined: str
) -> None:
    items = [call(one.name, act=Expected("read back", event=one.name)) for one in events]
    found = judge(items, 200, [say(30, "unable")], extra=[NOW], words=WORDS, events=events)
    assert [name for name, verdict in verdicts(found).items() if verdict == "on time"] == [declined]
    assert found.unmatched == ()


def test_unable_passes_over_a_clearance_that_has_not_come_yet_or_was_read_back() -> None:
    lower, turn = (
        cleared("lower", "descend", altitude="3000"),
        cleared("turn", "heading", heading="150"),
    )
    answers = [
        call("lower", act=Expected("read back", event="lower")),
        call("turn", act=Expected("read back", event="turn"), opens=Happened("event", "later")),
    ]
    parts: dict[str, Any] = {"words": WORDS, "events": (lower, turn)}
    found = judge(answers, 200, [say(30, "unable")], None, [NOW], **parts)
    assert verdicts(found) == {"lower": "on time", "turn": "not reached"}
    found = judge(
        answers[:1], 200, [read(30, "descend 3000"), say(50, "unable")], None, [NOW], **parts
    )
    assert found.unmatched == ('said "unable"',)


# The gate ---------------------------------------------------------------------------------------


OTHER_GATE = Gate("high", 1500.0, (replace(CRITERIA[0], limit=-1.0),), False)


@pytest.mark.parametrize(
    ("step", "text", "verdict"),
    [
        (30, "one thousand stable", "on time"),  # before it, nothing it says can be false
        (60, "one thousand stable", "on time"),
        (60, "one thousand not stable", "wrong"),
    ],
)
def test_what_is_said_of_the_gate_is_held_against_the_main_one(
    step: int, text: str, verdict: str
) -> None:
    """The main gate is passed at row 50; another one was missed at row 15."""
    down: Rows = {
        0: {**STABLE, "height_ft": 1600.0},
        15: {"height_ft": 1400.0},
        50: {"height_ft": 990.0},
    }
    found = judge(
        [call("one thousand stable")], 200, [say(step, text)], down, [NOW], words=WORDS,
        gates=(OTHER_GATE, STABLE_GATE),
    )  # fmt: skip
    assert [one.result for one in found.gates] == ["failed", "passed"]
    assert only(found).verdict == verdict


def test_a_false_claim_of_the_gate_is_a_false_reading_and_not_an_early_call() -> None:
    down: Rows = {0: {**STABLE, "height_ft": 1010.0}, 50: {"height_ft": 990.0}}
    item = call("one thousand not stable", early="harmful", opens=Happened("event", "later"))
    said = say(60, "one thousand not stable")
    found = judge([item], 200, [said], down, words=WORDS, gates=(STABLE_GATE,))
    assert only(found).verdict == "not reached"


# Mode calls -------------------------------------------------------------------------------------


def test_a_mode_that_is_shown_may_be_called_before_it_is_asked_for() -> None:
    shown: Rows = {0: {"modes": modes(vertical="PATH")}}
    found = only(judge([call("path captured")], 200, [say(5, "path captured")], shown, [NOW]))
    assert found.verdict == "on time"


def test_a_mode_call_is_heard_beside_other_calls_and_not_listed() -> None:
    deeds = [say(30, "localizer armed"), say(40, "glide alive")]
    changes = [NOW, change(19, "lateral armed", "LOC")]
    found = judge([call(), MODE_CALL], 200, deeds, LOC_IS_ARMED, changes)
    assert verdicts(found) == {"glide alive": "on time", "mode call 1": "on time"}
    assert found.unmatched == ()


def test_a_mode_call_leaves_other_axes_and_what_was_called_alone() -> None:
    shown = {0: {"modes": modes(lateral_armed=("LOC",), vertical="PATH")}}
    changes = [change(19, "lateral armed", "LOC"), change(19, "vertical", "PATH")]
    deeds = [say(30, "path captured"), say(50, "localizer armed"), say(55, "localizer captured")]
    found = judge([MODE_CALL], 200, deeds, shown, changes)
    assert [(one.verdict, one.done) for one in found.items] == [("on time", 50), ("on time", 30)]


def test_the_first_false_mode_call_is_the_one_that_is_told() -> None:
    deeds = [say(30, "localizer captured"), say(40, "vor captured")]
    armed: Rows = {0: LOC_ARMED}
    words = {"vor captured": ("vor captured",)}
    found = judge([MODE_CALL], 200, deeds, armed, [change(19, "lateral armed", "LOC")],
                  words=words)  # fmt: skip
    assert only(found).found.startswith('said "localizer captured"')


UNHURRIED = replace(MODE_CALL, due=9.0, closes=12.0)


@pytest.mark.parametrize(("opened", "covered"), [(21, 2), (70, 2), (71, 1)])
def test_one_mode_call_covers_five_seconds_of_its_axis(opened: int, covered: int) -> None:
    armed, captured = {"modes": modes(lateral_armed=("LOC",))}, {"modes": modes(lateral="LOC")}
    changes = [change(19, "lateral armed", "LOC"), change(20, "lateral", "LOC", "NAV")]
    deeds = [say(opened + 10, "localizer captured", began=opened)]
    found = judge([UNHURRIED], 200, deeds, {20: armed, 21: captured}, changes)
    assert list(verdicts(found).values()).count("on time") == covered


def test_a_mode_call_of_the_very_step_covers_its_axis_too() -> None:
    shown: Rows = {0: {"modes": modes(lateral="LOC", lateral_armed=("NAV",))}}
    words = {"nav armed": ("nav armed",)}
    found = judge([UNHURRIED], 200, [say(25, "nav armed", began=20)], shown,
                  [change(19, "lateral", "LOC", "HDG")], words=words)  # fmt: skip
    assert only(found).verdict == "on time"


@pytest.mark.parametrize(("replaced", "verdict"), [(80, "on time"), (81, "missed")])
def test_a_change_that_stood_for_six_seconds_may_be_called_by_what_replaced_it(
    replaced: int, verdict: str
) -> None:
    capturing, holding = {"modes": modes(vertical="ALT CAP")}, {"modes": modes(vertical="ALT")}
    changes = [change(19, "vertical", "ALT CAP", "VS"),
               change(replaced - 1, "vertical", "ALT", "ALT CAP")]  # fmt: skip
    found = judge(
        [UNHURRIED], 300, [say(95, "altitude hold")], {20: capturing, replaced: holding}, changes,
        words=WORDS, announce=("ALT CAP", "ALT"),
    )  # fmt: skip
    assert verdicts(found) == {"mode call 1": verdict, "mode call 2": "on time"}


def test_a_mode_call_that_names_the_change_counts_however_late() -> None:
    deeds = [say(100, "localizer armed")]
    found = judge([UNHURRIED], 200, deeds, LOC_IS_ARMED, [change(19, "lateral armed", "LOC")])
    assert only(found).verdict == "on time"


def test_what_was_armed_is_not_called_by_what_it_became() -> None:
    changes = [change(19, "lateral armed", "LOC"), change(59, "lateral", "LOC", "NAV")]
    deeds = [say(95, "localizer captured")]
    captured = {"modes": modes(lateral="LOC")}
    found = judge([UNHURRIED], 300, deeds, {**LOC_IS_ARMED, 60: captured}, changes)
    assert verdicts(found) == {"mode call 1": "missed", "mode call 2": "on time"}


# False words ------------------------------------------------------------------------------------


def test_false_words_while_nothing_is_open_are_listed() -> None:
    found = judge([call()], 300, [say(60, "glide alive"), say(150, "localizer captured")],
                  extra=[NOW])  # fmt: skip
    assert (only(found).verdict, found.unmatched) == ("on time", ('said "localizer captured"',))


@pytest.mark.parametrize("first", ["DME 4 altitude 3000", "path captured"])
def test_each_false_call_is_charged_to_a_call_of_its_own(first: str) -> None:
    items = [call("distance check"), call("glide alive", due=6.0), call("gear down", due=7.0)]
    found = judge(items, 300, [say(30, first), say(40, "localizer captured")], extra=[NOW])
    assert list(verdicts(found).values()) == ["wrong", "wrong", "missed"]


# Read-backs -------------------------------------------------------------------------------------


def test_a_read_back_is_for_a_read_back_and_not_for_a_call_that_is_open_too() -> None:
    lower = cleared("lower", "descend", altitude="2000")
    items = [call(due=4.0), call("lower", act=Expected("read back", event="lower"))]
    found = judge(items, 200, [read(30, "descend 2000")], extra=[NOW], events=(lower,))
    assert verdicts(found) == {"glide alive": "missed", "lower": "on time"}


def test_unable_where_nothing_was_cleared_is_listed() -> None:
    found = judge([call()], 200, [read(30, "unable")], extra=[NOW], words=WORDS)
    assert found.unmatched == ('read back "unable"',)


# Go-around --------------------------------------------------------------------------------------


AROUND = {100: {"phase": "go-around"}}
BUTTON = Fact(99, "event", "now")


@pytest.mark.parametrize(("said", "verdict"), [(20, "on time"), (19, "missed")])
def test_a_go_around_call_counts_if_it_was_made_eight_seconds_before_the_button(
    said: int, verdict: str
) -> None:
    around = (gear(name="gear up", act=Expected("do", "gear", "up")), call("go around"))
    deeds = [say(15, "checked"), say(said, "go around"), say(90, "checked")]
    found = judge((), 300, deeds, {0: {"gear_lever": "down"}, **AROUND}, [BUTTON], words=WORDS,
                  go_around=around)  # fmt: skip
    assert verdicts(found)["go around"] == verdict
    if verdict == "on time":
        told = next(one for one in found.items if one.item == "go around")
        assert (told.done, told.found) == (100, 'said "go around" at 2.0 s')


def test_a_clearance_still_to_be_read_back_does_not_hide_the_go_around_call() -> None:
    lower = cleared("lower", "descend", altitude="2000")
    answer = call("read back lower", act=Expected("read back", event="lower"))
    changes = [NOW._replace(step=79), Fact(99, "event", "b")]
    around = (call("go around", opens=Happened("event", "b")),)
    found = judge([answer], 300, [say(90, "go around")], AROUND, changes, words=WORDS,
                  events=(lower,), go_around=around)  # fmt: skip
    assert verdicts(found) == {"read back lower": "missed", "go around": "on time"}


def test_no_other_call_counts_before_what_it_is_about() -> None:
    item = Item(
        name="speed call", act=Expected("say", intent="speed"), each=Happened("event", "now"),
        due=5.0, closes=10.0,
    )  # fmt: skip
    assert only(judge([item], 300, [say(90, "speed")], extra=[BUTTON])).verdict == "missed"
