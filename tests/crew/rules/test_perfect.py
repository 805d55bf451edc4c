"""The perfect crew: a queue over open items, and what each act costs it in time."""

from __future__ import annotations

from typing import Any

import pytest

from tests.builders import book, exercise, row
from tests.judge.small import call, gear, speed
from trainer.crew.pace import busy_steps
from trainer.crew.perfect import PerfectCrew
from trainer.flight.acts import Act, Fact
from trainer.judge.tracker import Tracker
from trainer.judge.verdicts import conclude
from trainer.scenario.exercise import Edit, Item
from trainer.scenario.moments import Happened

NOW = Fact(1, "event", "now")


@pytest.mark.parametrize(
    ("act", "steps"),
    [
        (Act(0, 1, "crew", "press", "approach mode"), 10),
        (Act(0, 1, "crew", "move", "gear", "down"), 10),
        (Act(0, 1, "crew", "checklist", "landing"), 10),
        (Act(0, 1, "crew", "set", "speed", "160"), 20),
        (Act(0, 1, "crew", "line", "landing", "gear"), 15),
        # Two seconds at least, then a quarter of a second a letter; blanks are none.
        (Act(0, 1, "crew", "say", text="checked"), 20),
        (Act(0, 1, "crew", "say", text="glide alive"), 25),
        (Act(0, 1, "crew", "read back", text="cleared approach 14"), 43),
    ],
)
def test_what_an_act_costs(act: Act, steps: int) -> None:
    assert busy_steps(act) == steps


def acts(
    *items: Item,
    edits: tuple[Edit, ...] = (),
    length: int = 300,
    events: tuple[int, ...] = (1,),
    advances: dict[str, int] | None = None,
) -> list[tuple[int, str]]:
    """What the crew does with `items`, all of which open at step 2: step, and control or words."""
    state: dict[str, Any] = {}
    tracker = Tracker(exercise(items), book())
    tracker.start(row(0))
    crew = PerfectCrew(tracker, edits, advances or {})
    done = []
    for step in range(length):
        made = crew.acts(tracker.row)
        done += [(act.step, act.control or act.text) for act in made]
        facts = [Fact(step, "event", "now")] if step in events else []
        for act in made:
            kind = "said" if act.act == "say" else "acted"
            facts.append(Fact(step, kind, act.control, act.value or act.text))
            if act.act == "move":
                state[f"{act.control}_lever"] = act.value
            if act.act == "set":
                changed = row(0, **state).selectors._replace(speed_kt=float(act.value))
                state["selectors"] = changed
        tracker.advance(made, facts, row(step + 1, **state))
    return done


def test_without_an_aim_it_acts_two_seconds_after_opening() -> None:
    assert acts(gear()) == [(22, "gear")]


def test_it_waits_for_its_aim_but_acts_at_due_even_before_it() -> None:
    assert acts(gear(aim=4.0)) == [(42, "gear")]
    later = acts(gear(aim=30.0))
    assert later == [(52, "gear")], "due is 5 s after opening, although its aim is not"
    assert acts(gear(aim=Happened("event", "never"))) == [(52, "gear")]


def test_what_is_due_first_is_done_first_then_what_closes_first_then_as_in_the_file() -> None:
    hand, voice = gear(), speed()
    assert acts(gear(due=9.0), speed()) == [(22, "speed"), (42, "gear")]
    assert acts(gear(closes=12.0), speed()) == [(22, "speed"), (42, "gear")]
    assert acts(hand, voice) == [(22, "gear"), (32, "speed")]
    assert acts(voice, hand) == [(22, "speed"), (42, "gear")]


def test_what_is_void_or_done_is_not_done() -> None:
    assert acts(gear(void=Happened("event", "now"))) == []
    assert acts(gear(opens=Happened("event", "never"))) == []


def test_an_edited_act_costs_no_time() -> None:
    late = Edit("delay", "gear down", seconds=0.0)
    assert acts(gear(), speed()) == [(22, "gear"), (32, "speed")]
    # Gear goes down at its due, at 5.2 s, and the call after it is as it would have been.
    words = call(due=20.0, closes=40.0, aim=5.0)
    assert acts(gear(), words, edits=(late,)) == [(52, "gear"), (52, "glide alive")]


def test_what_nobody_could_do_in_time_is_found_in_the_perfect_crew_too() -> None:
    """Five calls of 5.3 s each (21 letters) in windows of 8 s: there is no planning ahead."""
    items = [
        call("missed approach set", name=f"call {place}", due=8.0, closes=12.0)
        for place in range(5)
    ]
    tracker = Tracker(exercise(tuple(items)), book())
    rows = [row(0)]
    tracker.start(rows[0])
    crew = PerfectCrew(tracker)
    for step in range(200):
        made = crew.acts(tracker.row)
        facts = [Fact(1, "event", "now")] if step == 1 else []
        facts += [Fact(step, "said", "", act.text) for act in made]
        rows.append(row(step + 1))
        tracker.advance(made, facts, rows[-1])
    judgement = conclude(tracker, rows, "stopped on the runway")
    assert [one.verdict for one in judgement.items].count("on time") == 2
    assert judgement.points is not None
    assert judgement.points < 100.0


def test_it_acts_one_act_at_a_time() -> None:
    done = acts(call(), call("minimums"), gear(), speed())
    assert [step for step, _ in done] == sorted({step for step, _ in done})
    assert len(done) == 4
