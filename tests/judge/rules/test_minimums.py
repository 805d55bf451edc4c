"""Minimums: a decision altitude may be sunk through in a go-around, a minimum descent altitude not.

At a decision altitude without sight the go-around is begun; what the aircraft sinks below it on
the way is part of the manoeuvre. A minimum descent altitude is a floor until the runway is
seen, also in the go-around. Both are written in flows as watches.

An altimeter that is set wrong shows the minimum where it is not: the aircraft is below it by the
right setting, and the decision has not been made. That is critical, in sight or not.
"""

from __future__ import annotations

from typing import Any

import pytest

from tests.crew.crews import exercise as drill
from tests.judge.fold import fold
from trainer.crew.fly import fly_crew
from trainer.judge.judgement import Judgement
from trainer.scenario.compose import document_of, from_document
from trainer.scenario.crew_files import from_text
from trainer.scenario.exercise import Watch
from trainer.scenario.moments import AllOf, Compare, Figure, Not, Shows

pytestmark = pytest.mark.dear

BELOW = Compare("altitude", "below", Figure(0.0, "minimums"))
UNSEEN = Not(Shows("sees", "", ("runway",)))
FLOOR = Watch(
    "below the minimum descent altitude", "never", AllOf((BELOW, UNSEEN)), severity="critical"
)


def decision() -> Watch:
    """The watch of the shipped flow."""
    watches = drill("straight-in").flow.watches
    return next(one for one in watches if one.name == "below minimums without sight")


def sunk(*watches: Watch, **shown: Any) -> Judgement:
    """Ten seconds 30 ft below minimums (230 ft), going around from the second second on."""
    changes: dict[int, dict[str, Any]] = {
        0: {"altitude_ft": 240.0, "phase": "minimums", **shown},
        50: {"altitude_ft": 200.0},
        70: {"phase": "go-around"},
        150: {"altitude_ft": 400.0},
    }
    return fold(300, changes, reason="level after the missed approach", watches=watches)


def test_sinking_through_a_decision_altitude_while_going_around_is_no_finding() -> None:
    assert sunk(decision()).watches == ()


def test_staying_below_a_decision_altitude_without_sight_is_critical() -> None:
    changes: dict[int, dict[str, Any]] = {
        0: {"altitude_ft": 240.0, "phase": "minimums"},
        50: {"altitude_ft": 200.0},
    }
    judgement = fold(300, changes, watches=(decision(),))
    assert [one.severity for one in judgement.watches] == ["critical"]
    assert judgement.outcome == "repeat"


def test_sinking_through_a_minimum_descent_altitude_is_critical_even_so() -> None:
    assert [one.severity for one in sunk(FLOOR).watches] == ["critical"]


@pytest.mark.parametrize("watch", [decision(), FLOOR], ids=["decision", "descent"])
def test_with_the_runway_in_sight_neither_binds(watch: Watch) -> None:
    assert sunk(watch, sees="runway").watches == ()


@pytest.mark.parametrize(
    ("wrong_by_hpa", "outcome"), [(10, "repeat"), (-10, "passed"), (3, "repeat"), (1, "passed")]
)
def test_below_the_minimum_by_the_right_setting_is_critical(
    wrong_by_hpa: int, outcome: str
) -> None:
    # 27 ft to a hectopascal: 10 too high is 270 ft too low; 50 ft are accepted, one whole hPa.
    document = document_of(drill("straight-in"))
    right_hpa = 1012
    document["exercise"]["weather"]["ceiling"] = "900 ft"
    found = from_document(document)
    crew = (
        "{crew: 1, base: perfect, edits: [{replace: set altimeter (qnh), "
        f"with: {{set: {{altimeter: {right_hpa + wrong_by_hpa} hPa}}}}}}]}}"
    )
    _, judgement = fly_crew(found, from_text(crew, found))
    critical = [one for one in judgement.watches if one.severity == "critical"]
    assert judgement.outcome == outcome
    assert bool(critical) == (outcome == "repeat")
    assert {one.because for one in critical} <= {"set altimeter (qnh)"}
