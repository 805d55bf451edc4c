"""Approach ban: below the visibility needed nobody goes below 1,000 ft; past it one may continue.

CAT.OP.MPA.305: the approach is not continued below 1,000 ft above the aerodrome, or into the
final segment, if the visibility reported is less than the minimum; if it falls after that, down
to the decision altitude. An exercise writes it with the event that reports the visibility:
`then` counts the height only after the report.

The shipped exercise has a watch of its own: past the line means repeat, and the missed decision
is charged once.
"""

from __future__ import annotations

import pytest

from tests.crew.crews import edited
from tests.crew.crews import exercise as drill
from trainer.crew.fly import fly_crew
from trainer.judge.judgement import Judgement
from trainer.scenario.compose import document_of, from_document
from trainer.scenario.crew_files import from_text

pytestmark = pytest.mark.dear


def flown(report_ft: int, crew: str = "{crew: 1, base: perfect}") -> Judgement:
    """Straight in; at `report_ft` above the field a visibility below the minimum is reported."""
    document = document_of(drill("straight-in"))
    document["exercise"]["events"].append(
        {
            "event": "visibility down",
            "when": {"height": f"falling through {report_ft} ft"},
            "atc": "{callsign}, visibility 300 metres",
            "weather": {"visibility": "900 m"},
        }
    )
    document["flow"]["items"].append(
        {
            "item": "approach ban",
            "do": "go-around",
            "opens": {
                "then": [{"event": "visibility down"}, {"height": "falling through 1000 ft"}]
            },
            "due": "5 s",
            "closes": "12 s",
            "weight": 8,
            "area": "decision",
            "why": "Below the minimum the approach is not continued below 1,000 ft.",
            "source": "CAT.OP.MPA.305",
        }
    )
    found = from_document(document)
    return fly_crew(found, from_text(crew, found))[1]


def verdict(judgement: Judgement) -> str:
    return next(one.verdict for one in judgement.items if one.item == "approach ban")


def test_reported_above_a_thousand_feet_the_way_is_around() -> None:
    judgement = flown(1500)
    assert verdict(judgement) == "on time"
    assert (judgement.outcome, judgement.primary()) == ("passed", set())


def test_flying_on_is_missed() -> None:
    judgement = flown(1500, "{crew: 1, base: perfect, edits: [{omit: approach ban}]}")
    assert ("approach ban", "missed") in judgement.primary()


@pytest.mark.parametrize("report_ft", [900, 400])
def test_reported_later_the_approach_may_go_on_to_the_decision(report_ft: int) -> None:
    judgement = flown(report_ft)
    assert verdict(judgement) == "not reached"
    assert judgement.primary() == set()


def test_past_the_line_the_flight_is_to_be_repeated_and_the_decision_charged_once() -> None:
    judgement = edited("approach-ban", "{omit: not below the line}")
    assert judgement.primary() == {("not below the line", "missed")}
    (watch,) = judgement.watches
    assert (watch.watch, watch.severity) == ("past the line", "critical")
    assert watch.because == "not below the line"
    assert judgement.outcome == "repeat"
    assert judgement.reason.startswith("past the line")
