"""What a finding says would have been right, in the words of the flight deck."""

from __future__ import annotations

import pytest

from tests.builders import book, exercise, modes, move, press, row
from tests.judge.small import MODE_CALL, NOW, Deed, approach, call, gear, judge, only, speed, turn
from trainer.flight.acts import Fact
from trainer.judge.explain import expected_text, place_text
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
        (
            Expected("set", "torque", figure=Figure(0.0, "torque for the speed")),
            "a torque that holds the selected speed, or brings the aircraft to it",
        ),
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
    late = NOW._replace(step=104)
    found = only(judge([approach()], 200, [press(5, "approach mode")], extra=[late]))
    assert found.better.endswith(": 10 s and 0.6 NM later")


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


def test_a_decision_is_told_by_its_words_without_figures() -> None:
    words = {"decision": ("landing", "decide at {minimums}", "going around")}
    found = only(judge([call("decision")], 200, extra=[NOW], words=words))
    assert found.expected == 'call "landing" or "going around"'


def test_what_was_on_time_needs_no_better() -> None:
    assert only(judge([speed()], 10)).better == ""


PLACE = "12.0 NM, 3000 ft, 210 kt"


@pytest.mark.parametrize(
    ("item", "deeds", "better"),
    [
        (gear(), [move(80, "gear", "down")], f"right from 0:02.0, {PLACE}, until 0:07.0, {PLACE}"),
        (gear(), [], f"right from 0:02.0, {PLACE}, until 0:07.0, {PLACE}"),
        (
            speed(),
            [turn(30, "170")],
            f"right from 0:02.0, {PLACE}, until 0:07.0, {PLACE}; accepted: speed 160 kt",
        ),
        (gear(), [move(40, "gear", "down")], ""),
    ],
    ids=["late", "missed", "wrong", "on time"],
)
def test_what_would_have_been_better_is_told_with_its_window(
    item: Item, deeds: list[Deed], better: str
) -> None:
    assert only(judge([item], 200, deeds, extra=[NOW])).better == better


@pytest.mark.parametrize(("length", "is_told"), [(69, False), (70, True)])
def test_a_due_that_the_flight_has_not_come_to_is_not_told(length: int, is_told: bool) -> None:
    found = only(judge([speed()], length, [turn(30, "170")], extra=[NOW]))
    assert found.verdict == "wrong"
    assert (", until " in found.better) is is_told


def test_a_place_is_told_by_time_distance_altitude_and_speed() -> None:
    there = row(754, distance_nm=9.04, altitude_ft=2499.6, cas_kt=179.6)
    assert place_text(there) == "1:15.4, 9.0 NM, 2500 ft, 180 kt"
    assert place_text(row(3000)) == f"5:00.0, {PLACE}"


def test_a_mode_call_is_told_by_what_is_new_in_its_column() -> None:
    shown = {20: {"modes": modes(lateral_armed=("NAV", "LOC"))}}
    changed = Fact(19, "mode", "lateral armed", "NAV, LOC", "NAV")
    found = only(judge([MODE_CALL], 200, changes=shown, extra=[changed]))
    assert found.expected == 'call "localizer armed"'


@pytest.mark.parametrize(("altitude_ft", "said"), [(2960.0, "3000"), (2940.0, "2900")])
def test_an_altitude_in_a_call_is_told_to_the_hundred(altitude_ft: float, said: str) -> None:
    found = judge(
        [call("distance check")], 200, changes={0: {"altitude_ft": altitude_ft}}, extra=[NOW]
    )
    assert only(found).expected == f'call "DME 12 altitude {said}"'
