"""Late or absent clearances move the windows that need them; asking is the expected item.

What only waited for a clearance is due 12 s after it at the earliest and closes after 25 s.
Where its window had closed before the clearance came, there is no room for it and it is waived.
"""

from __future__ import annotations

import pytest

from tests.builders import modes, press
from tests.crew.crews import exercise as drill
from tests.judge.small import approach, judge, only
from trainer.flight.acts import Fact
from trainer.judge.judgement import Judgement
from trainer.proof.prove import fly_perfect
from trainer.scenario.book import book_of
from trainer.scenario.compose import document_of, from_document
from trainer.scenario.exercise import Item
from trainer.scenario.moments import AllOf, Compare, Figure, Happened

pytestmark = pytest.mark.dear

GRANTED = Fact(99, "granted", "approach")
ARMED = modes(lateral_armed=("LOC",), vertical_armed=("GLIDE",))


def item(**changes: object) -> Item:
    """Approach mode, due 4 s and closing 8 s after it opens: too short for anybody."""
    opens = AllOf((Happened("granted", "approach"), Compare("speed", "above", Figure(100.0))))
    return approach(**{"opens": opens, "due": 4.0, "closes": 8.0} | changes)


@pytest.mark.parametrize(
    ("pressed", "verdict"), [(219, "on time"), (225, "late"), (349, "late"), (None, "missed")]
)
def test_the_window_counts_from_the_clearance(pressed: int | None, verdict: str) -> None:
    # Granted in step 100: due at 22.0 s, closes at 35.0 s.
    deeds = [] if pressed is None else [press(pressed, "approach mode")]
    changes = {} if pressed is None else {pressed + 1: {"modes": ARMED}}
    found = only(judge([item()], 500, deeds, changes, extra=[GRANTED]))
    assert (found.opened, found.due, found.closed) == (100, 220, 350)
    assert found.verdict == verdict


def test_a_window_that_waited_for_something_else_keeps_its_own_times() -> None:
    changes = {0: {"cas_kt": 90.0}, 300: {"cas_kt": 210.0}}
    found = only(judge([item()], 600, (), changes, extra=[GRANTED]))
    assert (found.opened, found.due, found.closed) == (300, 340, 380)


def test_without_room_the_item_is_waived() -> None:
    # Closes below 13 NM; the aircraft is at 12 NM when it is cleared.
    closed = Compare("distance", "below", Figure(13.0))
    assert only(judge([item(closes=closed)], 500, extra=[GRANTED])).verdict == "not reached"


def late(event: str, when: dict[str, str]) -> Judgement:
    """The perfect crew of straight-in with one clearance given later."""
    document = document_of(drill("straight-in"))
    events = document["exercise"]["events"]
    next(one for one in events if one["event"] == event)["when"] = when
    found = from_document(document)
    return fly_perfect(found, book_of(found))[1]


def test_an_approach_clearance_that_does_not_come_is_asked_for() -> None:
    judgement = late("cleared approach", {"distance": "below 9.6 NM"})
    verdicts = {one.item: one.verdict for one in judgement.items}
    assert verdicts["ask for the approach"] == "on time"
    assert verdicts["approach mode"] in ("on time", "not reached")
    assert not [one for one in judgement.items if one.is_finding]


@pytest.mark.parametrize("distance", ["9.1 NM", "8.7 NM", "8.0 NM"])
def test_cleared_where_the_path_has_been_passed_the_way_is_around(distance: str) -> None:
    # The path of 3 degrees meets 3000 ft at 9.1 NM (hand calculation: 3000 - 50 ft at 318 ft/NM).
    judgement = late("cleared approach", {"distance": f"below {distance}"})
    verdicts = {one.item: one.verdict for one in judgement.items}
    assert verdicts["go around, path passed"] == "on time"
    assert verdicts["altitude, path passed"] == "on time"
    assert (judgement.outcome, judgement.points, judgement.primary()) == ("passed", 100.0, set())


def test_an_approach_clearance_with_no_room_left_is_waived() -> None:
    judgement = late("cleared approach", {"distance": "below 8.0 NM"})
    verdicts = {one.item: one.verdict for one in judgement.items}
    assert verdicts["approach mode"] == "not reached"


def test_a_late_landing_clearance_is_asked_for_and_costs_nothing() -> None:
    judgement = late("cleared to land", {"height": "falling through 420 ft"})
    verdicts = {one.item: one.verdict for one in judgement.items}
    assert verdicts["ask for the runway"] == "on time"
    assert (judgement.points, judgement.primary()) == (100.0, set())


def test_without_a_landing_clearance_at_the_threshold_the_way_is_around() -> None:
    judgement = late("cleared to land", {"height": "below -400 ft"})
    verdicts = {one.item: one.verdict for one in judgement.items}
    assert verdicts["go around, no clearance"] == "on time"
    assert (judgement.outcome, judgement.primary()) == ("passed", set())
