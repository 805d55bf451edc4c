"""The briefing is judged number by number; nothing was briefed, nothing is judged."""

from __future__ import annotations

import pytest

from tests.builders import exercise
from trainer.judge.briefed import judged_briefing


def test_without_a_briefing_nothing_is_judged() -> None:
    assert judged_briefing(exercise(), {}) == ()


@pytest.mark.parametrize(
    ("said", "verdict"), [("1013", "right"), ("1003", "wrong"), ("ten", "wrong"), ("", "left out")]
)
def test_each_number_is_right_wrong_or_left_out(said: str, verdict: str) -> None:
    found = judged_briefing(exercise(), {"visibility": "9999", "altimeter setting": said})
    by_name = {one.name: one for one in found}
    assert by_name["visibility"].verdict == "right"
    setting = by_name["altimeter setting"]
    assert (setting.heading, setting.said, setting.verdict) == ("weather", said, verdict)
    assert (setting.expected, setting.unit) == ("1013", "hPa")
    others = {one.verdict for name, one in by_name.items() if name not in
              ("visibility", "altimeter setting")}  # fmt: skip
    assert others == {"left out"}
