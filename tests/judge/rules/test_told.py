"""What a finding says would have been right, in the words of the flight deck."""

from __future__ import annotations

import pytest

from tests.builders import book, exercise, press, row
from tests.judge.small import NOW, approach, call, judge, only, speed
from trainer.judge.explain import expected_text
from trainer.judge.tracker import Tracker
from trainer.scenario.exercise import Act as Expected
from trainer.scenario.exercise import Event, Item
from trainer.scenario.moments import Figure, Happened

LOWER = Event("lower", Happened("event", "now"), grants="descend", slots=(("altitude", "3000"),))
BARE = Event("go", Happened("event", "now"))


def wanted(act: Expected) -> str:
    """What an item with `act` asks for before it opens."""
    tracker = Tracker(exercise((call("one", act=act),), events=(LOWER, BARE)), book())
    tracker.start(row(0))
    return expected_text(tracker.tracks[0], tracker)


@pytest.mark.parametrize(
    ("act", "told"),
    [
        (Expected("do", "gear", "down"), "gear down"),
        (Expected("do", "approach mode"), "approach mode"),
        (Expected("set", "speed", figure=Figure(160.0)), "speed 160 kt"),
        (Expected("set", "frequency", figure=Figure(110.3)), "frequency 110.30 MHz"),
        (Expected("set", "speed", figure=Figure(0.0, "assigned speed")), "speed as assigned"),
        (
            Expected("set", "vertical speed", figure=Figure(0.0, "descent rate")),
            "the vertical speed of the published path, and back to it within a mile",
        ),
        (Expected("read back", event="lower"), "read back descend with altitude 3000"),
        (Expected("read back", event="go"), "read back go"),
        (Expected("checklist", checklist="landing"), "landing checklist"),
        (Expected("line", checklist="landing", challenge="gear"), 'landing checklist: "gear"'),
        (Expected("say", intent="minimums"), 'call "minimums"'),
        # Nothing is read yet: the slots keep their names.
        (Expected("say", intent="distance check"), 'call "DME distance altitude altitude"'),
    ],
)
def test_what_is_asked_for_is_told_in_the_words_of_the_flight_deck(
    act: Expected, told: str
) -> None:
    assert wanted(act) == told


def test_the_slots_of_a_call_are_told_as_they_were_when_it_opened() -> None:
    found = only(judge([call("distance check")], 200, extra=[NOW]))
    assert found.expected == 'call "DME 12 altitude 3000"'


def early(item: Item, changes: dict[int, dict[str, object]]) -> str:
    """What would have been better than approach mode at step 5; it opens at step 20, if at all."""
    extra = [NOW] if item.opens == NOW_OPENS else []
    found = only(judge([item], 200, [press(5, "approach mode")], changes, extra=extra))
    assert found.verdict == "early"
    return found.better


NOW_OPENS = Happened("event", "now")


def test_an_early_press_is_told_how_much_later_it_would_have_been_right() -> None:
    # 0.006 NM a step; it opens at step 20, 1.5 s after the press.
    told = early(approach(), {})
    assert told.startswith("right from 0:02.0, 12.0 NM, 3000 ft, 210 kt: ")
    assert told.endswith("2 s and 0.1 NM later")


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        ({0: {"glide": "none"}, 30: {"glide": "received"}},
         "glide path first received at 0:03.0, 12.0 NM, 3000 ft, 210 kt"),
        ({0: {"glide": "none"}, 40: {"glide": "covered"}},
         "glide path first received at 0:04.0, 12.0 NM, 3000 ft, 210 kt"),
        ({0: {"glide": "none"}, 40: {"glide": "flagged"}}, ""),
    ],
)  # fmt: skip
def test_where_it_never_opened_the_first_glide_path_is_told(
    changes: dict[int, dict[str, object]], told: str
) -> None:
    never = approach(opens=Happened("event", "never"))
    assert early(never, changes) == told


def test_what_was_on_time_needs_no_better() -> None:
    assert only(judge([speed()], 10)).better == ""
