"""Other correct crews: each technique a trade accepts, and no finding for any of them.

The techniques are common practice: gear as soon as the glide path moves, or low-drag, or as a
drag device; landing flap early or late; the missed-approach altitude set at three places; the
autopilot off at any height above its limit; any final speed up to reference + 20; other words.
"""

from __future__ import annotations

import pytest

from tests.crew.crews import edited, exercise, item
from trainer.crew.session import book_of
from trainer.proof.prove import fly_perfect
from trainer.scenario.compose import document_of, from_document

STRAIGHT = "straight-in"

CREWS: dict[str, tuple[list[str], str]] = {
    "gear as soon as the glide path is alive": (
        ["{advance: gear down, to: {signal: {glideslope: alive}}}"],
        "",
    ),
    "gear as a drag device, inside its limit": (
        ["{advance: gear down, to: {all: [{distance: below 14.5 NM}, {speed: below 215 kt}]}}"],
        "",
    ),
    "low drag: gear at 2200 ft": (
        ["{omit: gear down}"],
        "{when: {height: falling through 2200 ft}, do: gear down}",
    ),
    "early stable: landing configuration at once": (
        [
            "{advance: flap approach, "
            "to: {all: [{mode: {vertical: GLIDE}}, {speed: below 188 kt}]}}",
            "{advance: landing flap, to: {all: [{config: {flaps: 22}}, {speed: below 167 kt}]}}",
        ],
        "",
    ),
    "late stable: landing flap at 1600 ft": (
        ["{omit: landing flap}"],
        "{when: {height: falling through 1600 ft}, do: flaps 36}",
    ),
    "missed-approach altitude at 1500 ft": (
        ["{omit: missed approach altitude}"],
        "{when: {height: falling through 2400 ft}, set: {altitude: 4000 ft}}",
    ),
    "autopilot off at 600 ft, announced": (
        ["{omit: autopilot off}"],
        "{when: {height: falling through 600 ft}, do: autopilot off},"
        "{when: {height: falling through 600 ft}, plus: 2 s, say: autopilot off}",
    ),
    "final speed with a bigger additive": (
        ["{replace: final speed, with: {set: {speed: 143 kt}}}"],
        "",
    ),
    "flap taken through a detent": (
        ["{omit: landing flap}", "{omit: flap approach}"],
        "{when: {all: [{height: below 2300 ft}, {speed: below 180 kt}]}, do: flaps 22},"
        "{when: {all: [{height: below 2300 ft}, {speed: below 165 kt}]}, do: flaps 36}",
    ),
    "hand-flown from the start": (
        ["{omit: autopilot off}"],
        "{at: 30 s, do: autopilot off}, {at: 32 s, say: autopilot off}",
    ),
    "set-up in another order": (["{swap: [course, minimums bug]}"], ""),
    "other words": (
        [
            "{replace: glide alive, with: {say: glideslope alive}}",
            "{replace: minimums, with: {say: Minimums}}",
            "{replace: localizer alive, with: {say: la}}",
        ],
        "",
    ),
    "a remark nobody asked for": ([], "{at: 100 s, say: checked}, {at: 200 s, say: correcting}"),
    "heading selector moved after capture": ([], "{at: 150 s, set: {heading: 140 deg}}"),
}


@pytest.mark.parametrize("crew", CREWS, ids=str)
def test_a_correct_technique_has_no_finding(crew: str) -> None:
    edits, acts = CREWS[crew]
    judgement = edited(STRAIGHT, *edits, acts=acts)
    assert judgement.primary() == set()
    assert judgement.points == 100.0
    assert judgement.outcome == "passed"


def test_split_mode_calls_are_as_good_as_one() -> None:
    judgement = edited(
        STRAIGHT,
        "{omit: mode call 3}",
        acts="{when: {mode: {vertical: GLIDE}}, plus: 3 s, say: glide captured}",
    )
    assert judgement.primary() == set()


def test_a_late_landing_clearance_is_asked_for_and_costs_nothing() -> None:
    document = document_of(exercise(STRAIGHT))
    events = document["exercise"]["events"]
    land = next(event for event in events if event["event"] == "cleared to land")
    land["when"] = {"height": "falling through 420 ft"}
    late = from_document(document)
    _, judgement = fly_perfect(late, book_of(late))
    assert judgement.primary() == set()
    assert judgement.points == 100.0
    assert item(judgement, "ask for the runway").verdict == "on time"


def test_a_discontinued_approach_flown_to_its_decision_has_no_finding() -> None:
    # Above the gate, both captured: autopilot and flight director off are the way out of this type.
    at = "when: {height: falling through 2300 ft}"
    judgement = edited(
        STRAIGHT,
        acts=f"{{{at}, do: autopilot off}}, {{{at}, plus: 1 s, do: flight director}},"
        f"{{{at}, plus: 2 s, do: flight director}}, {{{at}, plus: 3 s, do: altitude hold}},"
        f"{{{at}, plus: 6 s, say: autopilot off}}",
    )
    assert judgement.primary() == set()
    assert judgement.reason == "level after the missed approach"
    assert judgement.outcome == "passed"
