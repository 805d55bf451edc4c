"""A signal that goes: before its capture it is waited for, after it the path is held for a while.

For how long is the type's option: 8, 5, 10 s, and not at all for the piston single.
"""

from __future__ import annotations

import pytest

from tests.flight.stories.story import TYPES, Story

HELD_S = {"twin jet": 8.0, "turboprop": 5.0, "business jet": 10.0, "piston single": 0.0}


def established(kind: str) -> Story:
    """Settled on localizer and glide path."""
    story = Story(kind, before_nm=10.5)
    story.press("approach mode")
    assert story.until(lambda row: row.modes.vertical == "GLIDE")
    assert story.history() == [
        "lateral armed LOC",
        "vertical armed GLIDE",
        "lateral LOC",
        "lateral armed -",
        "vertical GLIDE",
        "vertical armed -",
    ]
    story.fly(40.0)
    return story


def test_lost_before_its_capture_an_armed_localizer_waits_under_the_flag() -> None:
    story = Story(before_nm=14.0, right_nm=1.5, heading_deg=110.0)
    story.press("approach mode")
    assert story.history() == ["lateral armed LOC", "vertical armed GLIDE"]
    story.fails("localizer", seconds=60.0)
    story.fly(59.0)
    assert (story.row.localizer, story.row.localizer_dots) == ("flagged", None)
    assert story.row.modes.lateral == "HDG"
    assert story.history() == []
    # Back again, on the other side of the course: it is flying away, so nothing is captured.
    story.fly(10.0)
    assert story.row.localizer == "covered"
    assert story.row.cross_m < -100.0
    assert story.history() == []
    assert story.row.modes.lateral_armed == ("LOC",)


def test_lost_before_its_capture_and_back_in_time_the_localizer_is_captured() -> None:
    story = Story(before_nm=14.0, right_nm=1.5, heading_deg=110.0)
    story.press("approach mode")
    story.fails("localizer", seconds=20.0)
    story.until(lambda row: row.modes.lateral == "LOC")
    assert story.history() == [
        "lateral armed LOC",
        "vertical armed GLIDE",
        "lateral LOC",
        "lateral armed -",
    ]


def test_lost_before_its_capture_the_glide_path_is_flown_past() -> None:
    story = Story(before_nm=11.0)
    story.press("approach mode")
    story.fails("glideslope", seconds=60.0)
    assert story.until(lambda row: row.along_nm < 8.2)
    assert story.history() == [
        "lateral armed LOC",
        "vertical armed GLIDE",
        "lateral LOC",
        "lateral armed -",
    ]
    assert story.row.modes.vertical == "ALT"
    assert story.row.path_error_ft > 100.0


@pytest.mark.parametrize("kind", TYPES)
def test_lost_after_its_capture_the_localizer_is_held_for_the_types_time(kind: str) -> None:
    story = established(kind)
    track_deg = story.row.track_deg
    story.fails("localizer")
    lost_s = story.row.time_s
    assert story.until(lambda row: row.modes.lateral == "HDG", 30.0)
    assert story.row.time_s - lost_s == pytest.approx(HELD_S[kind], abs=0.25)
    assert story.history() == ["lateral HDG", "vertical VS"]
    story.fly(10.0)
    assert story.row.track_deg == pytest.approx(track_deg, abs=1.0)
    assert story.row.localizer == "flagged"


@pytest.mark.parametrize("kind", TYPES)
def test_lost_after_its_capture_the_glide_path_leaves_the_localizer_alone(kind: str) -> None:
    story = established(kind)
    sink_fpm = story.row.vertical_speed_fpm
    story.fails("glideslope")
    lost_s = story.row.time_s
    assert story.until(lambda row: row.modes.vertical == "VS", 30.0)
    assert story.row.time_s - lost_s == pytest.approx(HELD_S[kind], abs=0.25)
    assert story.history() == ["vertical VS"]
    assert story.row.modes.lateral == "LOC"
    # The present descent is held, with nothing to correct it.
    assert story.row.vertical_speed_fpm == pytest.approx(sink_fpm, abs=60.0)


@pytest.mark.parametrize("kind", ["twin jet", "turboprop", "business jet"])
def test_a_flag_shorter_than_the_types_time_changes_nothing(kind: str) -> None:
    story = established(kind)
    story.fails("glideslope", seconds=HELD_S[kind] - 1.0)
    story.fly(HELD_S[kind] - 1.5)
    assert (story.row.glide, story.row.glide_dots) == ("flagged", None)
    story.fly(10.0)
    assert story.history() == []
    assert story.row.modes.vertical == "GLIDE"
    assert story.row.glide_dots == pytest.approx(0.0, abs=0.25)


def test_a_transmitter_switched_off_is_no_signal_at_all() -> None:
    story = established("turboprop")
    story.fails("localizer", "off")
    story.fly(1.0)
    assert story.row.localizer == "none"
    assert story.until(lambda row: row.modes.lateral == "HDG", 10.0)
    assert "localizer lost for 5 s: present flight held" in story.reasons()


def test_without_a_holding_time_the_reason_names_none() -> None:
    story = established("piston single")
    story.fails("localizer")
    story.fly(1.0)
    assert "localizer lost: present flight held" in story.reasons()
