"""What the moment grammar means, checked by hand over short rows of flight."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import pytest

from tests.builders import book, exercise, modes, row
from trainer.flight.acts import Fact
from trainer.flight.moments import Evaluator, is_announced
from trainer.flight.observers import Happening
from trainer.flight.row import Row
from trainer.scenario.exercise import Event, Fix, Gate, Leg, RnpFinal, Speeds, WeatherChange
from trainer.scenario.moments import (
    AllOf,
    AnyOf,
    Compare,
    Figure,
    Happened,
    Held,
    Later,
    Moment,
    Not,
    Shows,
    Then,
)


def truth(
    moment: Moment, rows: Sequence[Row], facts: dict[int, list[Fact]] | None = None
) -> list[bool]:
    """The level of `moment` at each row; `facts[n]` happen in the step that led to row n."""
    evaluator = Evaluator(exercise(), book())
    observer = evaluator.watch(moment)
    levels = []
    for number, one in enumerate(rows):
        evaluator.observe(one, (facts or {}).get(number, ()))
        levels.append(observer.now)
    return levels


def below(subject: str, value: float) -> Compare:
    return Compare(subject, "below", Figure(value))


def falling(subject: str, value: float, name: str = "") -> Compare:
    return Compare(subject, "falling", Figure(value, name))


def test_a_state_is_true_only_while_it_is_so() -> None:
    speeds = [185.0, 179.0, 181.0, 170.0]
    rows = [row(n, cas_kt=speed) for n, speed in enumerate(speeds)]
    assert truth(below("speed", 180.0), rows) == [False, True, False, True]


def test_a_crossing_stays_happened() -> None:
    heights = [1005.0, 998.0, 1010.0, 1010.0]
    rows = [row(n, height_ft=height) for n, height in enumerate(heights)]
    assert truth(falling("height", 1000.0), rows) == [False, True, True, True]


def test_starting_below_is_no_crossing() -> None:
    rows = [row(n, height_ft=900.0) for n in range(3)]
    assert truth(falling("height", 1000.0), rows) == [False, False, False]


def test_rising_and_falling_are_different() -> None:
    rows = [row(n, height_ft=height) for n, height in enumerate([900.0, 1100.0, 900.0])]
    rising = Compare("height", "rising", Figure(1000.0))
    assert truth(rising, rows) == [False, True, True]
    assert truth(falling("height", 1000.0), rows) == [False, False, True]


def test_a_named_value_carries_its_offset() -> None:
    moment = falling("altitude", 100.0, "minimums")
    rows = [row(n, altitude_ft=altitude) for n, altitude in enumerate([331.0, 330.0, 329.0])]
    assert truth(moment, rows) == [False, True, True]


def test_without_a_received_dme_every_comparison_is_false() -> None:
    rows = [row(0, dme_nm=None), row(1, dme_nm=5.0)]
    assert truth(below("dme", 18.0), rows) == [False, True]
    assert truth(Compare("dme", "above", Figure(1.0)), rows) == [False, True]


def test_a_band_includes_its_ends() -> None:
    moment = Compare("localizer", "from", Figure(-1.0), Figure(1.0))
    rows = [row(n, localizer_dots=dots) for n, dots in enumerate([-1.1, -1.0, 0.0, 1.0, 1.1])]
    assert truth(moment, rows) == [False, True, True, True, False]


def test_every_mile_is_true_in_the_step_of_each_mile() -> None:
    moment = Compare("distance", "every", Figure(1.0))
    miles = [5.3, 5.1, 4.9, 4.8, 3.95]
    rows = [row(n, distance_nm=distance) for n, distance in enumerate(miles)]
    assert truth(moment, rows) == [False, False, True, False, True]


def test_for_needs_an_unbroken_stretch_and_a_bounce_resets_it() -> None:
    moment = Held(Compare("vertical speed", "above", Figure(0.0)), 0.3)
    climbs = [100.0, 100.0, -10.0, 50.0, 50.0, 50.0, 50.0]
    rows = [row(n, vertical_speed_fpm=climb) for n, climb in enumerate(climbs)]
    assert truth(moment, rows) == [False, False, False, False, False, False, True]


def test_plus_counts_time_from_the_first_time_it_was_true() -> None:
    moment = Later(Happened("passed", "TULEP"), seconds=0.3)
    rows = [row(n) for n in range(6)]
    levels = truth(moment, rows, {1: [Fact(0, "passed", "TULEP")]})
    assert levels == [False, False, False, False, True, True]


def test_plus_counts_miles_flown() -> None:
    moment = Later(Happened("passed", "TULEP"), miles=0.02)
    rows = [row(n) for n in range(7)]
    levels = truth(moment, rows, {1: [Fact(0, "passed", "TULEP")]})
    assert levels == [False] * 5 + [True, True]


def test_between_two_and_five_miles_after_a_fix_but_not_before_cleared() -> None:
    opens = AllOf((Later(Happened("passed", "TULEP"), miles=0.02), Happened("granted", "approach")))
    rows = [row(n) for n in range(9)]
    facts = {1: [Fact(0, "passed", "TULEP")], 7: [Fact(6, "granted", "approach", "cleared")]}
    assert truth(opens, rows, facts) == [False] * 7 + [True, True]


def test_whichever_comes_first() -> None:
    moment = AnyOf((below("distance", 11.5), Happened("event", "slow down")))
    rows = [row(n, distance_nm=12.0 - 0.2 * n) for n in range(5)]
    assert truth(moment, rows) == [False, False, False, True, True]
    early = truth(moment, rows, {1: [Fact(0, "event", "slow down")]})
    assert early == [False, True, True, True, True]


def test_then_counts_a_happening_only_after_the_one_before() -> None:
    moment = Then((Happened("acted", "go-around"), Happened("acted", "gear", "up")))
    rows = [row(n) for n in range(5)]
    facts = {1: [Fact(0, "acted", "gear", "up")], 2: [Fact(1, "acted", "go-around")]}
    assert truth(moment, rows, facts) == [False] * 5
    facts[4] = [Fact(3, "acted", "gear", "up")]
    assert truth(moment, rows, facts) == [False, False, False, False, True]


def test_then_with_a_held_climb_starts_the_clock_at_the_press() -> None:
    climb = Held(Compare("vertical speed", "above", Figure(0.0)), 0.2)
    moment = Then((Happened("acted", "go-around"), climb))
    rows = [row(n, vertical_speed_fpm=500.0) for n in range(6)]
    facts = {2: [Fact(1, "acted", "go-around")]}
    assert truth(moment, rows, facts) == [False, False, False, False, True, True]


def test_not_is_a_state() -> None:
    moment = Not(Happened("granted", "land"))
    rows = [row(n) for n in range(3)]
    assert truth(moment, rows, {1: [Fact(0, "granted", "land", "tower")]}) == [True, False, False]


@pytest.mark.parametrize(
    ("key", "value", "changes"),
    [
        ("vertical armed", "PATH", {"vertical_armed": ("FLARE", "PATH")}),
        ("lateral", "LOC", {"lateral": "LOC"}),
        ("engagement", "AP BOTH", {"engagement": "AP BOTH"}),
    ],
)
def test_a_mode_is_true_while_it_is_shown(key: str, value: str, changes: dict[str, object]) -> None:
    rows = [row(0), row(1, modes=modes(**changes)), row(2)]
    assert truth(Shows("mode", key, (value,)), rows) == [False, True, False]


def test_received_includes_covered_and_alive_means_off_the_stop() -> None:
    rows = [
        row(0, glide="flagged", glide_dots=None),
        row(1, glide="received", glide_dots=-2.5),
        row(2, glide="covered", glide_dots=-2.49),
    ]
    assert truth(Shows("signal", "glideslope", ("received",)), rows) == [False, True, True]
    assert truth(Shows("signal", "glideslope", ("covered",)), rows) == [False, False, True]
    assert truth(Shows("signal", "glideslope", ("alive",)), rows) == [False, False, True]


def test_config_waits_for_the_surface_and_lever_does_not() -> None:
    rows = [row(0, flap_lever=4, flap=3.2), row(1, flap_lever=4, flap=4.0)]
    assert truth(Shows("config", "flaps", ("36",)), rows) == [False, True]
    assert truth(Shows("lever", "flaps", ("36",)), rows) == [True, True]


def test_last_chance_keeps_twelve_seconds_for_the_checklist() -> None:
    # Hand calculation: 180 kt for 12 s is 0.6 NM.
    rows = [row(n, ground_speed_kt=180.0, margin_nm=margin) for n, margin in enumerate([0.61, 0.6])]
    assert truth(Happened("last chance", "stable"), rows) == [False, True]


def test_last_chance_is_that_of_the_gate_named() -> None:
    # The rows hold the margin to the main gate; that to another one is worked out on the way.
    gates = (Gate("main", 1000.0, (), True), Gate("low", 500.0, (), False))
    evaluator = Evaluator(exercise(gates=gates), book())
    main, low = (evaluator.watch(Happened("last chance", gate.name)) for gate in gates)
    evaluator.observe(row(margin_nm=0.1), ())
    assert (main.now, low.now) == (True, False)
    evaluator.observe(row(60, margin_nm=9.0, distance_nm=2.0, height_ft=600.0), ())
    assert (main.now, low.now) == (False, True)


def test_the_segment_minimum_is_that_up_to_the_next_step_of_the_approach() -> None:
    steps = tuple(
        Leg(Fix(name, 0.0, 0.0, distance_nm), "above", altitude_ft)
        for name, distance_nm, altitude_ft in
        (("FIRST", 7.0, 2000.0), ("SECOND", 5.0, 1500.0), ("THIRD", 3.0, 1000.0))
    )  # fmt: skip
    plain = exercise()
    approach = replace(plain.approach, steps=steps, descent_minimum_ft=400.0)
    evaluator = Evaluator(replace(plain, approach=approach), book())
    found = []
    for step, passed in enumerate(["", "ORVEN", "FIRST", "SECOND", "THIRD"]):
        evaluator.observe(row(step), [Fact(step, "passed", passed)] if passed else [])
        found.append(evaluator.context.assigned["segment minimum"])
    assert found == [2000.0, 2000.0, 1500.0, 1000.0, 400.0]


def test_two_columns_changing_in_one_step_are_one_change() -> None:
    rows = [row(n) for n in range(3)]
    facts = {
        1: [Fact(0, "mode", "lateral", "LOC", "NAV"), Fact(0, "mode", "vertical", "GLIDE", "ALT")]
    }
    assert truth(Happened("changed", "announced"), rows, facts) == [False, True, True]


@pytest.mark.parametrize(
    ("before", "now", "listed", "announced"),
    [
        ("", "LOC", "LOC armed", True),
        ("NAV", "NAV, LOC", "LOC armed", True),
        ("NAV", "NAV, LOC", "NAV armed", False),  # it was armed before
        ("LOC, NAV", "NAV", "NAV armed", False),
        ("LOC", "", "LOC armed", False),  # captured, and announced as that
        ("NAV", "NAV, LOC", "armed", True),
        ("NAV, LOC", "NAV", "armed", False),
        ("LOC", "", "armed", False),
        ("NAV", "NAV, LOC", "LOC", False),
    ],
)
def test_of_an_armed_list_what_is_new_in_it_is_announced(
    before: str, now: str, listed: str, announced: bool
) -> None:
    fact = Fact(0, "mode", "lateral armed", now, before)
    assert is_announced(fact, frozenset({listed})) is announced


@pytest.mark.parametrize(
    ("listed", "announced"), [("thrust", True), ("IDLE", True), ("ALT", False)]
)
def test_a_list_names_a_column_or_what_is_shown_in_it(listed: str, announced: bool) -> None:
    assert is_announced(Fact(0, "mode", "thrust", "IDLE"), frozenset({listed})) is announced


def test_a_change_that_is_not_on_the_announce_list_is_a_change_all_the_same() -> None:
    rows = [row(n) for n in range(2)]
    facts = {1: [Fact(0, "mode", "thrust", "IDLE", "SPEED")]}
    assert truth(Happened("changed", "announced"), rows, facts) == [False, False]
    assert truth(Happened("changed", "any"), rows, facts) == [False, True]


@pytest.mark.parametrize(
    ("changed", "columns"),
    [
        ("lateral", {"lateral", "any"}),
        ("capability", {"capability", "any"}),
        ("lateral armed", {"armed", "any"}),
        ("vertical armed", {"armed", "any"}),
    ],
)
def test_a_change_is_one_of_its_column_and_both_armed_lists_are_one(
    changed: str, columns: set[str]
) -> None:
    facts = {0: [Fact(0, "mode", changed, "NONE OF THE LIST")]}
    every = ("any", "announced", "lateral", "vertical", "armed", "thrust", "capability")
    found = {one for one in every if truth(Happened("changed", one), [row(0)], facts) == [True]}
    assert found == columns


def test_the_minimum_is_that_of_the_level_of_service_shown() -> None:
    # Decision at 230 ft, with LNAV at 480 ft.
    plain = exercise()
    final = RnpFinal(0.3, "LPV", -15.0, 40.0, descent_minimum_ft=430.0, minimums_ft=480.0)
    evaluator = Evaluator(replace(plain, approach=replace(plain.approach, rnp=final)), book())
    below_it = evaluator.watch(Compare("altitude", "below", Figure(0.0, "minimums")))
    steps = [
        (229.0, "", "", True),
        (400.0, "capability", "LPV", False),
        (400.0, "capability", "LNAV", True),
        (400.0, "lateral", "HDG", True),
        (400.0, "capability", "LPV", False),
    ]
    for step, (altitude_ft, column, word, is_below) in enumerate(steps):
        facts = [Fact(step, "mode", column, word)] if column else []
        evaluator.observe(row(step, altitude_ft=altitude_ft), facts)
        assert below_it.now is is_below, step


def test_said_is_known_by_its_intent() -> None:
    rows = [row(n) for n in range(2)]
    facts = {1: [Fact(0, "said", "", "Glide slope alive")]}
    assert truth(Happened("said", "glide alive"), rows, facts) == [False, True]


def test_a_needle_that_moves_within_its_signal_becomes_alive() -> None:
    # The small exercise calls a needle alive within 2.5 dots.
    rows = [row(n, glide="received", glide_dots=dots) for n, dots in enumerate([-2.6, -2.49])]
    assert truth(Shows("signal", "glideslope", ("alive",)), rows) == [False, True]


def test_a_happening_has_occurred_in_its_own_step_alone() -> None:
    evaluator = Evaluator(exercise(), book())
    observer = evaluator.watch(Happened("event", "traffic"))
    assert isinstance(observer, Happening)
    occurred = []
    for step, facts in enumerate([[], [Fact(0, "event", "traffic")], []]):
        evaluator.observe(row(step), facts)
        occurred.append(observer.occurred)
    assert occurred == [False, True, False]


def test_the_speeds_with_ice_hold_from_the_event_that_meets_ice_and_no_other() -> None:
    events = (
        Event("mist", Happened("event", "x"), weather=WeatherChange(visibility_m=800.0)),
        Event("ice", Happened("event", "x"), weather=WeatherChange(is_icing=True)),
    )
    plain = exercise(events=events)
    made = replace(plain, before_ice=Speeds(plain.aircraft, 120.0, 125.0))
    evaluator = Evaluator(made, book())
    slow = evaluator.watch(Compare("speed", "below", Figure(0.0, "final approach speed")))
    # 125 kt is the final speed without ice, 137 kt that with it.
    told = []
    for step, (speed_kt, name) in enumerate([(124.0, ""), (130.0, "mist"), (130.0, "ice")]):
        facts = [Fact(step, "event", name)] if name else []
        evaluator.observe(row(step, cas_kt=speed_kt), facts)
        told.append(slow.now)
    assert told == [True, False, True]


def test_equal_moments_share_one_observer() -> None:
    evaluator = Evaluator(exercise(), book())
    first = evaluator.watch(below("speed", 180.0))
    assert evaluator.watch(below("speed", 180.0)) is first


def test_identified_is_the_ident_of_the_approachs_own_station() -> None:
    rows = [row(0, identified=""), row(1, identified="IPEL"), row(2, identified="IMRW")]
    assert truth(Shows("signal", "localizer", ("identified",)), rows) == [False, False, True]


def test_a_vor_is_a_signal_of_its_own() -> None:
    rows = [row(0), row(1, vor="covered", vor_dots=1.0)]
    assert truth(Shows("signal", "vor", ("received",)), rows) == [False, True]


GIVEN = 1000
"""The step at which a clearance is given."""


def assigned_after(event: Event, later: Sequence[tuple[Row, Sequence[Fact]]]) -> list[str]:
    """What `event`, which happens at `GIVEN`, has assigned after each later row."""
    words = {"unable": ("unable",)}
    evaluator = Evaluator(exercise(events=(event,)), book(words))
    evaluator.observe(row(GIVEN), [Fact(GIVEN, "event", event.name)])
    found = []
    for one, facts in later:
        evaluator.observe(one, facts)
        found.append(assigned_in(evaluator))
    return found


def assigned_in(evaluator: Evaluator) -> str:
    """The names of what a controller has assigned, a segment minimum left out."""
    names = sorted(evaluator.context.assigned)
    return ", ".join(name for name in names if name.startswith("assigned"))


def clearance(**slots: str) -> Event:
    return Event("now", Happened("event", "x"), grants="speed", slots=tuple(slots.items()))


@pytest.mark.parametrize(
    ("slots", "last_nm", "ended_nm"),
    [
        # AIM 4-4-12: no speed inside 5 miles; a clearance may state another end.
        ({"speed": "160"}, 5.01, 5.0),
        ({"speed": "160", "distance": "7"}, 7.01, 7.0),
    ],
)
def test_an_assigned_speed_is_over_at_its_end(
    slots: dict[str, str], last_nm: float, ended_nm: float
) -> None:
    later = [(row(GIVEN + 1, distance_nm=last_nm), ()), (row(GIVEN + 2, distance_nm=ended_nm), ())]
    assert assigned_after(clearance(**slots), later) == ["assigned speed", ""]


@pytest.mark.parametrize("phase", ["go-around", "climb-out", "decision", "discontinued"])
def test_an_assigned_speed_is_over_with_the_approach(phase: str) -> None:
    later = [(row(GIVEN + 1, phase=phase), ())]
    both = clearance(speed="160", altitude="2000")
    assert assigned_after(both, later) == ["assigned altitude"]


@pytest.mark.parametrize(("step", "left"), [(1, ""), (250, ""), (251, "assigned speed")])
@pytest.mark.parametrize("kind", ["said", "read back"])
def test_a_clearance_may_be_declined_for_twenty_five_seconds(
    kind: str, step: int, left: str
) -> None:
    at = GIVEN + step
    later = [(row(at), [Fact(at, kind, "", "unable")])]
    assert assigned_after(clearance(speed="160"), later) == [left]


@pytest.mark.parametrize(("kind", "words"), [("read back", "speed 160"), ("granted", "unable")])
def test_a_clearance_is_declined_by_words_of_the_crew_and_by_no_others(
    kind: str, words: str
) -> None:
    later = [(row(GIVEN + 1), [Fact(GIVEN + 1, kind, "speed", words)])]
    assert assigned_after(clearance(speed="160"), later) == ["assigned speed"]


def test_declining_takes_back_what_the_newest_clearance_assigned_and_no_more() -> None:
    evaluator = Evaluator(
        exercise(events=(clearance(speed="160"), replace(clearance(heading="90"), name="turn"))),
        book({"unable": ("unable",)}),
    )
    evaluator.observe(row(0), [Fact(0, "said", "", "unable")])
    evaluator.observe(row(1), [Fact(1, "event", "now")])
    evaluator.observe(row(2), [Fact(2, "event", "turn")])
    evaluator.observe(row(3), [Fact(3, "said", "", "unable")])
    assert assigned_in(evaluator) == "assigned speed"
    assert evaluator.context.assigned["assigned speed"] == 160.0


@pytest.mark.parametrize(("speed", "left"), [({}, ""), ({"speed": "170"}, "assigned speed")])
def test_an_approach_clearance_ends_an_assigned_speed_unless_it_says_one(
    speed: dict[str, str], left: str
) -> None:
    cleared = replace(clearance(**speed), name="cleared")
    evaluator = Evaluator(exercise(events=(clearance(speed="160"), cleared)), book())
    evaluator.observe(row(0), [Fact(0, "event", "now")])
    evaluator.observe(row(1), [Fact(1, "granted", "approach", "cleared")])
    assert assigned_in(evaluator) == left
