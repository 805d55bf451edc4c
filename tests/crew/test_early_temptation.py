"""Approach mode at the first opportunity, far outside the glide path's signal, and the ways back.

The premature press, what was armed, what was received, where it would have been right; what was
said against what was shown; and that recovering and arming again inside the signal is credited.
"""

from __future__ import annotations

import pytest

from tests.crew.crews import edited, flown, item

TEMPTED = "{advance: approach mode, to: {granted: approach}}"


def test_the_perfect_crew_waits_and_scores_a_hundred() -> None:
    _, judgement = flown("early-temptation")
    assert (judgement.outcome, judgement.points) == ("passed", 100.0)


def test_the_finding_names_place_armed_words_reception_and_the_right_moment() -> None:
    judgement = edited("early-temptation", TEMPTED)
    assert judgement.primary() == {("approach mode", "early")}
    verdict = item(judgement, "approach mode")
    assert verdict.found.startswith("approach mode at 18.1 NM, 3000 ft")
    assert "glide path not received" in verdict.found
    assert "PATH" in verdict.found
    assert "GLIDE" not in verdict.found
    assert verdict.better.startswith("right from ")
    assert "NM later" in verdict.better


def test_recovering_and_arming_again_inside_the_signal_lands_and_is_credited() -> None:
    judgement = edited("early-temptation", TEMPTED)
    assert judgement.outcome == "passed"
    assert item(judgement, "approach mode").is_corrected
    assert item(judgement, "approach mode").credit == 0.5
    assert item(judgement, "read PATH").credit == 1.0
    assert item(judgement, "take PATH away").credit == 1.0


def test_glide_said_while_path_is_shown_is_said_not_shown() -> None:
    judgement = edited(
        "early-temptation",
        TEMPTED,
        "{omit: mode call 1}",
        "{replace: mode call 2, with: {say: glide armed}}",
        "{omit: read PATH}",
    )
    wrong = item(judgement, "mode call 2")
    assert wrong.verdict == "wrong"
    assert "PATH armed" in wrong.found
    assert "said, not shown" in [watch.watch for watch in judgement.watches]


BACK = {
    "localizer mode drops the approach": "",
    "a second press disarms": "{when: {event: cleared approach}, plus: 12 s, do: approach mode}",
    "heading, then nav": (
        "{when: {event: cleared approach}, plus: 12 s, do: heading mode}, "
        "{when: {event: cleared approach}, plus: 14 s, do: localizer mode}, "
        "{when: {event: cleared approach}, plus: 16 s, do: nav mode}"
    ),
}


@pytest.mark.parametrize("way", BACK, ids=str)
def test_every_way_back_lands_and_costs_nothing_more(way: str) -> None:
    edits = [TEMPTED] + (["{omit: take PATH away}"] if BACK[way] else [])
    judgement = edited("early-temptation", *edits, acts=BACK[way])
    found = judgement.primary() - {("take PATH away", "missed")}
    assert found == {("approach mode", "early")}
    assert judgement.outcome == "passed"
