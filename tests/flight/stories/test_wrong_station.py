"""A frequency that belongs to something else: the needle moves, the ident and the miles tell."""

from __future__ import annotations

import pytest

from tests.flight.stories.story import COURSE_DEG, Story
from trainer.flight.row import Row


def heard(story: Story) -> str:
    """The ident, listened to now."""
    story.press("identify")
    return story.row.identified


def test_one_digit_wrong_the_neighbours_localizer_is_captured_and_flown() -> None:
    story = Story(before_nm=14.0, right_nm=4.0, heading_deg=90.0, frequency="111.35")
    story.press("localizer mode")
    assert story.until(lambda row: row.modes.lateral == "LOC")
    assert story.history() == ["lateral armed LOC", "lateral LOC", "lateral armed -"]
    story.fly(60.0)
    # Nothing is flagged; the aircraft flies along a beam, a mile and a half beside the right one.
    assert story.row.localizer == "covered"
    assert story.row.cross_m > 1.5 * 1852.0
    assert heard(story) == "IPEL"


def test_the_ident_of_the_right_station_is_another_one() -> None:
    story = Story(before_nm=14.0)
    assert heard(story) == "IMRW"
    story.set("frequency", "111.35")
    assert story.row.identified == ""


def test_the_miles_of_another_station_put_the_whole_descent_somewhere_else() -> None:
    def at_eight(frequency: str) -> Row:
        story = Story(before_nm=14.0, frequency=frequency)
        assert story.until(lambda row: row.dme_nm is not None and row.dme_nm <= 8.0)
        return story.row

    right, wrong = at_eight("110.35"), at_eight("109.55")
    assert right.along_nm == pytest.approx(8.0, abs=0.05)
    # The other end's DME counts from the other threshold, 2,700 m further on: 1.46 NM too near.
    # On a 3° path that is 464 ft of height.
    assert wrong.along_nm == pytest.approx(8.0 - 1.46, abs=0.05)


def test_on_the_back_course_the_law_turns_away_from_the_line() -> None:
    # The other end's frequency: its localizer radiates backwards over this final approach.
    story = Story(before_nm=14.0, right_nm=0.02, frequency="109.55")
    story.press("localizer mode")
    assert story.history() == ["lateral armed LOC", "lateral LOC", "lateral armed -"]
    story.fly(40.0)
    first = story.row
    # Right of the line, and the needle says left of it: the law turns to the right.
    assert first.cross_m > 0.0
    assert first.localizer_dots is not None
    assert first.localizer_dots < 0.0
    assert first.track_deg > COURSE_DEG
    assert story.until(lambda row: row.localizer_dots is not None and row.localizer_dots <= -2.4)
    assert story.row.cross_m > 600.0
    assert story.row.modes.lateral == "LOC"
    assert heard(story) == "IMRE"


def test_with_the_front_course_set_the_back_course_is_not_captured_at_all() -> None:
    story = Story(before_nm=14.0, right_nm=0.02, frequency="109.55", course_deg=320.0)
    story.press("localizer mode")
    assert not story.until(lambda row: row.modes.lateral == "LOC", 120.0)
    assert story.history() == ["lateral armed LOC"]


def test_no_glide_path_comes_with_a_back_course() -> None:
    # FAA AIM 1-1-9 d: glide slope indications on a back course are to be ignored; here there is
    # none, because no glide path is sent at the other end.
    story = Story("turboprop", before_nm=14.0, right_nm=0.02, frequency="109.55")
    story.press("approach mode")
    assert story.until(lambda row: row.along_nm < 6.0)
    assert story.row.glide == "none"
    assert story.row.modes.vertical == "ALT"


def test_on_a_frequency_of_nobody_nothing_arms() -> None:
    story = Story(before_nm=14.0, frequency="110.55")
    story.press("approach mode")
    assert story.history() == ["no: approach ignored: no localizer received"]
    assert (story.row.localizer, story.row.dme_nm) == ("none", None)


def test_on_a_vor_frequency_the_needle_is_the_vors_and_no_localizer_arms() -> None:
    story = Story(before_nm=14.0, frequency="113.40")
    assert story.row.vor == "covered"
    assert story.row.vor_dots == pytest.approx(0.4, abs=0.1)
    story.press("localizer mode")
    # What arms is said: VOR, not LOC.
    assert story.history()[0] == "lateral armed VOR"
    story.press("approach mode")
    assert story.history() == ["no: approach ignored: no localizer received"]
    assert heard(story) == "MRW"


def test_in_maintenance_everything_is_received_but_the_ident() -> None:
    story = Story(before_nm=14.0)
    story.fails("localizer", "maintenance")
    assert heard(story) == ""
    story.press("approach mode")
    assert story.history() == [
        "lateral armed LOC",
        "vertical armed GLIDE",
        "lateral LOC",
        "lateral armed -",
    ]
    assert story.row.localizer == "covered"


def test_retuned_after_capture_the_law_holds_the_course_and_then_gives_up() -> None:
    story = Story(before_nm=12.0)
    story.press("approach mode")
    assert story.until(lambda row: row.modes.vertical == "GLIDE")
    story.history()
    story.set("frequency", "110.55")
    story.fly(6.0)
    assert story.history() == ["lateral HDG", "vertical VS"]
