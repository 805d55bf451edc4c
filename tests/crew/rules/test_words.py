"""What a crew says and dials: true numbers and names, the shortest form, whole units."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from tests.builders import book, exercise, modes, row
from trainer.crew.words import act_of, call_text, dialled, event_named, mode_call, read_back_text
from trainer.flight.acts import Fact
from trainer.judge.tracker import Tracker
from trainer.judge.tracks import Track, track_of
from trainer.scenario.exercise import Act, Event, Item
from trainer.scenario.moments import Happened

MORE = {
    "altitude hold": ("altitude hold",), "altitude capture": ("altitude capture",),
    "altitude set": ("altitude {altitude} set",), "fuel": ("{fuel} tonnes",),
    "passing": ("passing {altitude}",), "distance": ("{distance} miles",),
}  # fmt: skip


def tracker(**changes: Any) -> Tracker:
    made = Tracker(exercise(**changes), book(MORE))
    made.start(row(0))
    return made


@pytest.mark.parametrize(
    ("control", "value", "text"),
    [
        ("frequency", 110.3, "110.30"),
        ("minimums", 230.2, "231"),  # up: never below what is published
        ("minimums", 230.0, "230"),
        ("speed", 159.6, "160"),
        ("speed", None, "0"),
    ],
)
def test_values_are_dialled_in_whole_units_frequencies_to_the_channel(
    control: str, value: float | None, text: str
) -> None:
    assert dialled(control, value) == text


@pytest.mark.parametrize(
    ("intent", "shown", "text"),
    [
        ("missed approach set", {"altitude_ft": 2500.0}, "missed approach 4000 set"),
        ("altitude set", {"altitude_ft": 2500.0}, "altitude 3000 set"),
        ("passing", {"altitude_ft": 2449.0}, "passing 2400"),
        ("distance check", {"dme_nm": 7.6, "altitude_ft": 2551.0}, "DME 8 altitude 2600"),
        ("distance check", {"dme_nm": None, "distance_nm": 7.4}, "DME 7 altitude 3000"),
        ("distance", {"dme_nm": 7.6, "distance_nm": 7.4}, "7 miles"),
    ],
)
def test_a_call_carries_what_is_so(intent: str, shown: dict[str, Any], text: str) -> None:
    assert call_text(tracker(), intent, row(0, **shown)) == text


def test_the_fuel_to_leave_with_is_said_where_there_is_one() -> None:
    leaving = replace(exercise().start, leaving_fuel_t=2.44)
    assert call_text(tracker(start=leaving), "fuel", row(0)) == "2.4 tonnes"
    with pytest.raises(ValueError, match="fuel"):
        call_text(tracker(), "fuel", row(0))


def change(column: str, detail: str, before: str = "") -> Track:
    item = Item("mode call", Act("say", intent="mode shown"))
    track = track_of(item, 0, tracker().evaluator)
    track.fact = Fact(19, "mode", column, detail, before)
    return track


@pytest.mark.parametrize(
    ("track", "shown", "text"),
    [
        (change("lateral armed", "LOC"), {"lateral_armed": ("LOC",)}, "localizer armed"),
        (change("vertical armed", "GLIDE, PATH", "GLIDE"), {"vertical_armed": ("GLIDE", "PATH")},
         "path armed"),
        # What the change brought has gone: what stands there now is called.
        (change("vertical", "ALT CAP"), {"vertical": "ALT"}, "altitude hold"),
        (change("engagement", "OFF", "AP"), {"engagement": "OFF"}, "autopilot off"),
    ],
)  # fmt: skip
def test_a_mode_call_names_what_its_change_brought(
    track: Track, shown: dict[str, Any], text: str
) -> None:
    assert mode_call(book(MORE), track, row(0, modes=modes(**shown))) == text


LOWER = Event("lower", Happened("event", "x"), grants="descend", slots=(("altitude", "2000"),))
NOTED = Event("noted", Happened("event", "x"), slots=(("heading", "140"), ("speed", "180")))


def test_a_clearance_is_read_back_with_its_values_or_with_others() -> None:
    assert read_back_text(book(), LOWER) == "descend 2000"
    assert read_back_text(book(), LOWER, {"altitude": "3000"}) == "descend 3000"
    assert read_back_text(book(), NOTED) == "heading 140, speed 180", "no clearance: its values"


def test_what_is_expected_becomes_an_act_of_its_kind() -> None:
    now, made = row(7), tracker(events=(LOWER,))
    kinds = {
        Act("do", "gear", "down"): ("move", "gear", "down", ""),
        Act("do", "approach mode"): ("press", "approach mode", "", ""),
        Act("checklist", checklist="landing"): ("checklist", "landing", "", ""),
        Act("line", checklist="landing", challenge="gear"): ("line", "landing", "gear", ""),
        Act("read back", event="lower"): ("read back", "lower", "", "descend 2000"),
        Act("read back", event="lower", text="roger"): ("read back", "lower", "", "roger"),
        Act("say", intent="glide alive"): ("say", "", "", "glide alive"),
    }
    for expected, what in kinds.items():
        act = act_of(expected, now, made, "crew")
        assert (act.act, act.control, act.value, act.text) == what
        assert (act.step, act.by) == (7, "crew")
    with pytest.raises(RuntimeError, match="no event higher"):
        event_named(made.exercise, "higher")
