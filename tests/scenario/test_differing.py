"""A line for what differs goes into a house file and out again, and nothing else moves."""

from __future__ import annotations

import pytest

from trainer.scenario import nodes
from trainer.scenario.differing import HEAD, change_line, holds, with_change, without_change

LINE = change_line("jet-ils", "gear down, said", early="fine")

HOUSES = {
    "without changes": "format: 1\nhouse: ours\nwords:\n  unable: [unable]\n",
    "without an end of line": "house: ours",
    "with changes": (
        "house: ours\nchanges:\n    # by hand\n    - {remove: tune, flow: jet-ils}  # yes\n"
        "title: Ours\n"
    ),
    "flush with the margin": "changes:\n- {remove: tune, flow: jet-ils}\nhouse: ours\n",
    "an empty list": "house: ours\nchanges:   # none yet\ntitle: Ours\n",
    "with a comment that names the key": "# changes: none\nhouse: ours\n",
}


@pytest.mark.parametrize("name", HOUSES)
def test_a_line_put_in_can_be_read_and_taken_out_leaves_the_text_as_it_was(name: str) -> None:
    before = HOUSES[name]
    after = with_change(before, LINE)
    assert after is not None
    assert holds(after, LINE)
    assert not holds(before, LINE)
    changes = nodes.plain(nodes.parse(after, "house.yaml"))["changes"]
    assert {"change": "gear down, said", "flow": "jet-ils", "early": "fine"} in changes
    assert without_change(after, LINE).rstrip("\n") == before.rstrip("\n")


def test_what_was_written_by_hand_stays_to_the_letter() -> None:
    before = HOUSES["with changes"]
    after = with_change(before, LINE)
    assert after is not None
    assert after.replace(f"    {LINE}\n", "") == before


def test_changes_on_one_line_are_left_alone() -> None:
    assert with_change("changes: []\n", LINE) is None
    assert with_change("changes: [{remove: tune, flow: jet-ils}]\n", LINE) is None


def test_two_lines_share_their_key_and_the_last_one_takes_it_along() -> None:
    other = change_line("jet-ils", "tune")
    text = "house: ours\n"
    both = with_change(with_change(text, LINE) or "", other)
    assert both is not None
    assert both.count("changes:") == 1
    assert HEAD in without_change(both, LINE)
    assert without_change(without_change(both, LINE), other) == text


def test_a_line_without_keys_takes_the_item_away() -> None:
    assert change_line("jet-ils", "approach: altimeters").startswith(
        '- {remove: "approach: altimeters", flow: jet-ils}'
    )
