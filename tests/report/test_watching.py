"""A flight told line by line holds every act and every change, each once, in order."""

from __future__ import annotations

from tests.builders import row
from tests.records.flown import careless
from trainer.flight.acts import Act, Fact
from trainer.report.watching import told


def test_a_line_says_when_where_how_high_how_fast_who_and_what() -> None:
    lines = list(
        told(
            [row(12)],
            [Act(12, 1, "pilot", "set", "heading", "143")],
            [Fact(12, "acted", "heading", "143"),
             Fact(12, "mode", "lateral", "HDG", "NAV", "heading mode pressed", "commanded"),
             Fact(12, "refused", "gear", "down", reason="too fast"),
             Fact(12, "event", "clearance", "Quill 27, descend \x1b[31m3000")],
        )
    )  # fmt: skip
    assert lines == [
        " 0:01.2  12.0 NM   3000 ft  210 kt  pilot     heading 143",
        " 0:01.2  12.0 NM   3000 ft  210 kt  modes     lateral: NAV > HDG (heading mode pressed)",
        " 0:01.2  12.0 NM   3000 ft  210 kt  refused   gear down: too fast",
        " 0:01.2  12.0 NM   3000 ft  210 kt  ATC       Quill 27, descend <U+001B>[31m3000",
    ]


def test_nothing_that_was_done_is_left_out() -> None:
    flight = careless()[0].flight
    lines = list(told(flight.rows, flight.acts, flight.facts))
    assert sum("  crew  " in line for line in lines) == len(flight.acts)
    modes = sum(fact.kind == "mode" for fact in flight.facts)
    assert sum("  modes  " in line for line in lines) == modes
