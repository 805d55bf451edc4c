"""Only the mode changes of the announce list are due, and one call may cover several.

A call that names what is shown covers every announced change of its axis in the last 5 s.
"""

from __future__ import annotations

import pytest

from tests.builders import modes, say
from tests.judge.small import CHANGES, LOC_ARMED, MODE_CALL, judge
from trainer.flight.acts import Fact


def test_one_utterance_settles_two_changes_of_one_step() -> None:
    deeds = [say(40, "localizer armed, path armed")]
    judgement = judge([MODE_CALL], 200, deeds, {20: LOC_ARMED}, extra=CHANGES)
    assert [item.verdict for item in judgement.items] == ["on time", "on time"]
    assert [item.weight for item in judgement.items] == [2.0, 2.0]


def test_a_change_that_is_not_on_the_list_is_not_due() -> None:
    idle = {"modes": modes(thrust="IDLE")}
    change = [Fact(19, "mode", "thrust", "IDLE", "SPEED")]
    assert judge([MODE_CALL], 200, changes={20: idle}, extra=change).items == ()


@pytest.mark.parametrize(("said_at", "verdict"), [(75, "on time"), (95, "missed")])
def test_one_call_covers_what_changed_in_the_last_five_seconds(said_at: int, verdict: str) -> None:
    # LOC armed at 2.0 s, captured at 6.0 s: the capture is called; the arming is covered until 7 s.
    armed = {"modes": modes(lateral_armed=("LOC",))}
    captured = {"modes": modes(lateral="LOC")}
    changes = [Fact(29, "mode", "lateral armed", "LOC"), Fact(59, "mode", "lateral", "LOC", "NAV")]
    deeds = [say(said_at, "localizer captured")]
    judgement = judge([MODE_CALL], 300, deeds, {30: armed, 60: captured}, extra=changes)
    assert [one.verdict for one in judgement.items] == [verdict, "on time"]
