"""Crew files: acts at their time or moment, on their own or on top of the perfect crew."""

from __future__ import annotations

from tests.crew.crews import flown

ALONE = """
- {at: 3.2 s, set: {speed: 190 kt}}
- {when: {event: cleared approach}, plus: 4 s, read back: cleared approach, with: {runway: "32"}}
- {when: {event: cleared to land}, read back: cleared to land}
- {when: {phase: go-around}, do: gear up}
"""


def test_acts_without_a_base_are_done_once_at_their_time_or_moment_and_are_all_there_is() -> None:
    session, judgement = flown("straight-in", ALONE)
    acts = session.flight.acts
    assert [(one.act, one.control, one.value) for one in acts] == [
        ("set", "speed", "190"), ("read back", "cleared approach", ""),
        ("read back", "cleared to land", ""),
    ]  # fmt: skip
    assert acts[0].step == 32
    cleared = next(one for one in session.flight.facts if one.name == "cleared approach")
    assert acts[1].step - cleared.step in (40, 41), "four seconds after its moment"
    assert "32" in acts[1].text
    assert "14" in acts[2].text
    assert judgement.outcome == "repeat"


def test_what_is_advanced_by_seconds_comes_so_long_before_it_opens() -> None:
    _, perfect = flown("straight-in")
    opened = next(one.opened for one in perfect.items if one.item == "approach mode")
    assert opened is not None
    early = "{crew: 1, base: perfect, edits: [{advance: approach mode, by: 5 s}]}"
    session, judgement = flown("straight-in", early)
    pressed = next(one for one in session.flight.acts if one.control == "approach mode")
    assert pressed.step == opened - 50
    assert next(one.verdict for one in judgement.items if one.item == "approach mode") == "early"


def test_what_is_done_beside_a_perfect_crew_is_an_act_like_any_other() -> None:
    crew = "{crew: 1, base: perfect, acts: [{at: 20 s, do: speedbrake out}]}"
    perfect, _ = flown("straight-in")
    session, judgement = flown("straight-in", crew)
    also = [one for one in session.flight.acts if one.control == "speedbrake"]
    assert [(one.step, one.value) for one in also] == [(200, "out")]
    assert len(session.flight.acts) == len(perfect.flight.acts) + 1
    assert judgement.outcome == "passed"
