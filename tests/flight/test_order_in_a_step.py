"""Inside a step: acts in their order, events, guidance, motion, phase, and the next row.

An event happens once, at the step at which its moment has become true, in the order of the file
and in one pass: what waits for another event comes a step later.
"""

from __future__ import annotations

from tests.builders import book, exercise
from trainer.flight.acts import Act, Fact
from trainer.flight.flight import Flight
from trainer.scenario.exercise import Event, Fault
from trainer.scenario.moments import Compare, Figure, Happened, Moment

SOON = Compare("altitude", "below", Figure(20_000.0))
"""True from the first row on."""


def flight(*events: Event) -> Flight:
    return Flight(exercise(events=events), book())


def event(name: str, when: Moment) -> Event:
    return Event(name, when)


def kinds(facts: list[Fact]) -> list[tuple[str, str]]:
    return [(fact.kind, fact.name) for fact in facts]


def act(control: str, value: str = "", kind: str = "press") -> Act:
    return Act(0, 1, "pilot", kind, control, value)


def test_acts_come_before_events_and_the_next_row_shows_what_became_of_them() -> None:
    flown = flight(event("first", SOON))
    row, facts = flown.step([act("heading", "170", "set"), act("heading mode")])
    found = kinds(facts)
    assert found.index(("acted", "heading")) < found.index(("acted", "heading mode"))
    assert found.index(("acted", "heading mode")) < found.index(("event", "first"))
    assert row.step == 1
    assert row.modes.lateral == "HDG", "what was pressed is flown and shown in the next row"
    assert row.selectors.heading_deg == 170.0
    assert {fact.step for fact in facts} == {0}, "facts carry the step in which they happened"


def test_acts_of_one_step_count_in_their_order() -> None:
    for values in (("170", "200"), ("200", "170")):
        row, _ = flight().step([act("heading", value, "set") for value in values])
        assert row.selectors.heading_deg == float(values[-1])


def test_events_of_one_step_come_in_the_order_of_the_file() -> None:
    flown = flight(event("b", SOON), event("a", SOON))
    _, facts = flown.step()
    assert [name for kind, name in kinds(facts) if kind == "event"] == ["b", "a"]


def test_an_event_happens_once() -> None:
    flown = flight(event("only", SOON))
    told = [fact for _ in range(30) for fact in flown.step()[1] if fact.kind == "event"]
    assert [(fact.step, fact.name) for fact in told] == [(0, "only")]


def test_what_waits_for_another_event_comes_a_step_later_wherever_it_stands_in_the_file() -> None:
    first, second = event("first", SOON), event("second", Happened("event", "first"))
    for events in ((first, second), (second, first)):
        flown = flight(*events)
        told = [fact for _ in range(5) for fact in flown.step()[1] if fact.kind == "event"]
        assert [(fact.step, fact.name) for fact in told] == [(0, "first"), (1, "second")]


def test_a_fault_of_an_event_is_in_the_row_of_its_step() -> None:
    flown = flight(Event("flag", SOON, fault=Fault("localizer", "flagged", 0.0)))
    flown.step([act("frequency", "110.35", "set")])
    assert flown.row.localizer == "flagged"
