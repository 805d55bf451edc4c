"""Approach mode pressed at 2,500 ft, 19 NM out, where no glide path is received yet.

What each type makes of it is its option; what is said afterwards should be what is shown.
"""

from __future__ import annotations

import pytest

from tests.flight.stories.story import Story


def far_out(kind: str) -> Story:
    """On a 30° cut to the localizer, far outside the signal of the glide path."""
    story = Story(kind, before_nm=19.0, right_nm=2.0, heading_deg=110.0, altitude_ft=2500.0)
    assert (story.row.localizer, story.row.glide) == ("covered", "flagged")
    return story


@pytest.mark.parametrize("kind", ["turboprop", "business jet"])
def test_the_type_that_waits_arms_glide_and_captures_it_when_it_comes(kind: str) -> None:
    story = far_out(kind)
    story.press("approach mode")
    assert story.history() == ["lateral armed LOC", "vertical armed GLIDE"]
    assert "glide path not received: armed and waiting" in story.reasons()
    assert story.until(lambda row: row.glide_dots is not None)
    # 2,476 ft above the threshold: between the 15 NM at 2,000 ft and the 18 NM at 3,000 ft of the
    # documented signal model.
    assert 15.5 < story.row.along_nm < 17.5
    assert story.until(lambda row: row.modes.lateral == "LOC")
    assert story.history() == ["lateral LOC", "lateral armed -"]
    assert story.row.modes.vertical == "ALT"
    assert story.until(lambda row: row.modes.vertical == "GLIDE")
    assert story.history() == ["vertical GLIDE", "vertical armed -"]
    # tan 3° from 2,476 - 50 ft: 7.6 NM before the threshold, a little less for the round earth.
    assert story.row.along_nm == pytest.approx(7.55, abs=0.15)


def test_the_type_that_computes_a_path_arms_path_and_no_landing_comes_of_it() -> None:
    story = far_out("twin jet")
    story.press("approach mode")
    assert story.history() == ["lateral armed LOC", "vertical armed PATH"]
    assert "glide path not received: computed path armed" in story.reasons()
    assert story.until(lambda row: row.modes.lateral == "LOC")
    story.press("second autopilot")
    assert story.history() == ["lateral LOC", "lateral armed -", "engagement AP BOTH"]
    assert story.until(lambda row: row.modes.vertical == "PATH")
    assert story.history() == ["vertical PATH", "vertical armed -"]
    # The glide path is received by now, and is not what is flown.
    assert story.row.glide == "covered"
    assert story.until(lambda row: row.radio_ft < 1000.0)
    assert story.row.modes.capability == ""
    assert story.history() == []


def test_the_type_that_refuses_arms_the_localizer_only_and_says_why() -> None:
    story = far_out("piston single")
    story.press("approach mode")
    assert story.history() == ["lateral armed LOC", "no: approach ignored: no glide path received"]
    assert story.until(lambda row: row.modes.lateral == "LOC")
    assert story.until(lambda row: row.along_nm < 7.0)
    # Past the point where the path was met: level, because nothing vertical was armed.
    assert story.history() == ["lateral LOC", "lateral armed -"]
    assert story.row.modes.vertical == "ALT"
    assert story.row.path_error_ft > 100.0


@pytest.mark.parametrize("kind", ["twin jet", "turboprop", "business jet", "piston single"])
def test_pressed_inside_the_signal_every_type_arms_glide(kind: str) -> None:
    story = Story(kind, before_nm=13.0, right_nm=1.5, heading_deg=110.0)
    assert story.row.glide == "received"
    story.press("approach mode")
    assert story.history() == ["lateral armed LOC", "vertical armed GLIDE"]


@pytest.mark.parametrize(
    ("kind", "first"), [("business jet", "GLIDE"), ("twin jet", "LOC"), ("turboprop", "LOC")]
)
def test_only_the_business_jet_takes_the_glide_path_before_the_localizer(
    kind: str, first: str
) -> None:
    # A cut so shallow that the path is reached well before the localizer.
    story = Story(kind, before_nm=10.0, right_nm=1.2, heading_deg=125.0)
    story.press("approach mode")
    assert story.history() == ["lateral armed LOC", "vertical armed GLIDE"]
    assert story.until(lambda row: first in (row.modes.lateral, row.modes.vertical))
    if first == "GLIDE":
        assert story.history() == ["vertical GLIDE", "vertical armed -"]
        story.fly(20.0)
        # Descending towards the threshold while the localizer is still to come.
        assert story.row.altitude_ft < 2900.0
        assert story.row.modes.lateral == "HDG"
        assert story.until(lambda row: row.modes.lateral == "LOC")
        assert story.history() == ["lateral LOC", "lateral armed -"]
    else:
        # By now the path lies below, and an armed glide does not reach down for it.
        assert story.row.path_error_ft > 100.0
        assert story.history() == ["lateral LOC", "lateral armed -"]
        story.fly(20.0)
        assert story.history() == []
        assert story.row.modes.vertical == "ALT"
