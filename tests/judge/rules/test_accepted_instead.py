"""Every finding ends with what would have been accepted instead, and when."""

from __future__ import annotations

import pytest

from tests.crew.crews import edited

pytestmark = pytest.mark.dear


@pytest.mark.parametrize(
    ("edit", "item", "instead"),
    [
        ("{omit: gear down}", "gear down", "right from"),
        ("{delay: final speed, by: 4 s}", "final speed", "until"),
        (
            "{replace: final speed, with: {set: {speed: 170 kt}}}",
            "final speed",
            "accepted: speed 137 kt",
        ),
        ("{advance: approach mode, by: 5 s}", "approach mode", "later"),
        ("{replace: minimums, with: {say: gear up}}", "minimums", 'accepted: call "minimums"'),
    ],
)
def test_a_finding_says_what_would_have_been_right(edit: str, item: str, instead: str) -> None:
    judgement = edited("straight-in", edit)
    findings = [one for one in judgement.items if one.is_finding]
    assert item in [one.item for one in findings]
    for one in findings:
        assert one.better, one.item
        assert one.why, one.item
        assert one.source, one.item
    assert any(instead in one.better for one in findings if one.item == item)


def test_what_was_expected_is_said_with_the_values_of_its_moment() -> None:
    judgement = edited("straight-in", "{omit: identified}", "{omit: 'flap approach, said'}")
    expected = {one.item: one.expected for one in judgement.items if one.is_finding}
    assert expected == {
        "identified": 'call "identified IMRW"',
        "flap approach, said": 'call "flap 22"',
    }
