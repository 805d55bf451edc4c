"""What no crew could fly is refused with its numbers; what one can fly is not."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import pytest

from tests.scenario import corpus
from trainer.scenario import compose, flyability
from trainer.scenario.abilities import Machine
from trainer.scenario.exercise import Event, Exercise, Fix, Leg, Weather, WindLayer
from trainer.scenario.moments import AllOf, AnyOf, Compare, Figure, Happened, Later, Not, Shows
from trainer.scenario.openings import never, reach_of
from trainer.scenario.windows import Order, misplaced

NM = 1852.0
STRAIGHT_RAD = math.radians(140.0)


@pytest.fixture(scope="module")
def base_turn() -> Exercise:
    return compose.load(corpus.ROOT / "good" / "base-turn.yaml", corpus.corpus_library())


def moved(exercise: Exercise, name: str, **changed: float | str) -> Exercise:
    """The exercise with something else coded at one fix."""
    legs = tuple(
        replace(leg, **changed) if leg.fix.name == name else leg  # type: ignore[arg-type]
        for leg in exercise.approach.legs
    )
    return replace(exercise, approach=replace(exercise.approach, legs=legs))


def placed(exercise: Exercise, name: str, x_nm: float, y_nm: float) -> Exercise:
    """The exercise with one fix somewhere else."""
    fix = Fix(name, x_nm * NM, y_nm * NM, math.hypot(x_nm, y_nm))
    legs = tuple(
        replace(leg, fix=fix) if leg.fix.name == name else leg for leg in exercise.approach.legs
    )
    return replace(exercise, approach=replace(exercise.approach, legs=legs))


def squared(base_nm: float, wind: tuple[WindLayer, ...] = ()) -> Exercise:
    """Downwind, a base leg of so many miles, final: two square turns, from 10 NM before base."""
    exercise = compose.load(corpus.ROOT / "good" / "base-turn.yaml", corpus.corpus_library())
    along, right = (-math.sin(STRAIGHT_RAD), -math.cos(STRAIGHT_RAD)), (
        math.cos(STRAIGHT_RAD), -math.sin(STRAIGHT_RAD)
    )  # fmt: skip

    def fix(name: str, out_nm: float, right_nm: float) -> Fix:
        x_nm = out_nm * along[0] + right_nm * right[0]
        y_nm = out_nm * along[1] + right_nm * right[1]
        return Fix(name, x_nm * NM, y_nm * NM, math.hypot(x_nm, y_nm))

    base = Leg(fix("BASEE", 12.0, base_nm), "above", 3000.0, 210.0)
    final = Leg(fix("FINAL", 12.0, 0.0), "above", 3000.0)
    begun = fix("", 2.0, base_nm)
    approach = replace(exercise.approach, legs=(base, final, *exercise.approach.legs[-1:]))
    start = replace(exercise.start, x_m=begun.x_m, y_m=begun.y_m, next_fix="BASEE")
    weather = replace(exercise.weather, wind=wind)
    return replace(exercise, approach=approach, start=start, weather=weather)


def places(exercise: Exercise) -> set[tuple[str, str]]:
    return {(one.place, one.name) for one in flyability.findings(exercise)}


@pytest.mark.parametrize(
    ("base_nm", "is_tight"),
    # Hand calculation: 205 kt calibrated at 3000 ft is 214 kt (110 m/s) true; r = V²/(g·tan φ)
    # with φ = 0.8 × 25° = 20° is 3.4 km = 1.83 NM (ICAO Doc 8168 Vol II, III-3-8), and a square
    # turn begins r before its fix, so two of them need 3.66 NM.
    [(3.4, True), (3.9, False)],
)
def test_a_base_leg_holds_the_turns_at_both_its_ends(base_nm: float, is_tight: bool) -> None:
    exercise = squared(base_nm)
    assert exercise.aircraft.handling.bank_deg == 25.0
    assert (("leg", "FINAL") in places(exercise)) is is_tight


def test_a_wind_that_blows_round_the_turns_makes_the_same_leg_too_short() -> None:
    # 40 kt from behind on the base leg: 254 kt over the ground, so r grows by (254/214)² = 1.41.
    assert ("leg", "FINAL") not in places(squared(4.2))
    behind = (WindLayer(0.0, 50.0, 40.0), WindLayer(9000.0, 50.0, 40.0))
    across = (WindLayer(0.0, 230.0, 40.0), WindLayer(9000.0, 230.0, 40.0))
    found = [("leg", "FINAL") in places(squared(4.2, wind)) for wind in (behind, across)]
    assert sorted(found) == [False, True]


def test_the_message_gives_miles_and_speed(base_turn: Exercise) -> None:
    (found,) = [one for one in flyability.findings(squared(1.9)) if one.name == "FINAL"]
    assert found.message.startswith("the leg from BASEE to FINAL is 1.9 NM, but the turns at its")
    assert "kt need 3." in found.message


def test_a_descent_is_refused_only_beyond_everything_out(base_turn: Exercise) -> None:
    machine = Machine(base_turn)
    steepest = machine.steepest_ft_per_nm(5000.0, 210.0, STRAIGHT_RAD)
    # From OMBRY to KEVUX are 2.53 NM.
    for share, is_refused in ((0.97, False), (1.05, True)):
        high_ft = 3000.0 + share * steepest * 2.53
        exercise = moved(base_turn, "OMBRY", constraint="at", altitude_ft=high_ft)
        assert (("leg", "KEVUX") in places(exercise)) is is_refused


def test_the_same_type_loses_less_for_each_mile_with_the_wind_behind(base_turn: Exercise) -> None:
    behind = Weather(
        **{
            **{name: getattr(base_turn.weather, name) for name in Weather.__dataclass_fields__},
            "wind": (WindLayer(0.0, 320.0, 40.0), WindLayer(9000.0, 320.0, 40.0)),
        }
    )
    still = Machine(base_turn).steepest_ft_per_nm(4000.0, 210.0, STRAIGHT_RAD)
    blown = Machine(replace(base_turn, weather=behind)).steepest_ft_per_nm(
        4000.0, 210.0, STRAIGHT_RAD
    )
    assert 0.75 * still < blown < 0.95 * still


def test_the_path_and_the_gate_are_compared_with_the_ground_speed(base_turn: Exercise) -> None:
    # The gate allows 1000 ft/min. At 137 kt calibrated (139 true), 3° needs 139 × 101.27 × tan 3°
    # = 738 ft/min; with 60 kt behind 199 kt and 1056 ft/min.
    assert ("gate", "stable") not in places(base_turn)
    tail = (WindLayer(0.0, 320.0, 60.0), WindLayer(3000.0, 320.0, 60.0))
    blown = replace(base_turn, weather=replace(base_turn.weather, wind=tail))
    assert ("gate", "stable") in places(blown)


def test_every_shipped_exercise_can_be_flown() -> None:
    from trainer.scenario.library import Library

    library = Library(corpus.roots()[1:])
    for name in library.names("exercise"):
        assert flyability.findings(compose.load(name, library)) == [], name


def test_a_flight_may_begin_over_a_fix(tmp_path: Path) -> None:
    from trainer.crew.session import Session

    exercise = corpus.smallest()
    assert exercise.start.next_fix == "OMBRY"
    session = Session(exercise)
    for _ in range(50):
        session.step()
    assert session.row.distance_nm == pytest.approx(11.1, abs=0.3)


def test_a_moment_that_cannot_come_is_told_from_one_that_may(base_turn: Exercise) -> None:
    reach = reach_of(base_turn)
    far = Compare("distance", "falling", Figure(60.0))
    near = Compare("distance", "falling", Figure(6.0))
    assert never(far, reach)
    assert not never(near, reach)
    assert never(AllOf((near, far)), reach)
    assert not never(AnyOf((near, far)), reach)
    assert never(AnyOf((far, Happened("granted", "descend"))), reach)
    assert not never(Not(far), reach)
    assert not never(Compare("distance", "below", Figure(60.0)), reach)
    assert never(Happened("passed", "ZUFEN"), reach)
    assert not never(Happened("passed", "TULEP"), reach)


def test_what_nothing_sends_and_no_annunciator_shows_never_comes(base_turn: Exercise) -> None:
    path = Shows("signal", "glideslope", ("received", "alive"))
    both = Shows("mode", "engagement", ("AP BOTH",))
    reach = reach_of(base_turn)
    assert not never(path, reach)
    assert not never(both, reach)
    bare = replace(reach, has_glide_path=False)
    assert "no glide path" in never(path, bare)
    assert not never(Shows("signal", "glideslope", ("none", "received")), bare)
    options = replace(base_turn.aircraft.guidance, autopilots=1)
    single = replace(reach, kind=replace(base_turn.aircraft, guidance=options))
    assert "never shows engagement AP BOTH" in never(both, single)
    assert not never(Shows("mode", "engagement", ("AP", "AP BOTH")), single)


def test_a_due_that_has_always_come_is_told_from_one_that_may_lie_ahead() -> None:
    def below(miles: float) -> Compare:
        return Compare("distance", "below", Figure(miles))

    cleared = Event("cleared", below(10.0))
    order = Order({"final fix distance": 9.0}, [cleared])
    final = Compare("distance", "below", Figure(0.5, "final fix distance"))
    opened = Happened("event", "cleared")
    sees = Shows("sees", "", ("runway",))
    assert order.has_come(AllOf((opened, sees)), below(10.0))
    assert not order.has_come(AnyOf((opened, sees)), below(12.0))
    assert order.has_come(final, below(9.6))
    assert not order.has_come(final, below(9.4))
    assert order.has_come(Later(opened, miles=1.0), AnyOf((below(11.0), sees)))
    assert not order.has_come(opened, AllOf((below(11.0), sees)))
    assert not order.has_come(Happened("event", "unknown"), below(40.0))
    higher = Compare("altitude", "below", Figure(9000.0))
    assert not order.has_come(Compare("altitude", "below", Figure(3000.0)), higher), "may climb"


def test_no_window_of_the_shipped_flows_stands_the_wrong_way_round(base_turn: Exercise) -> None:
    order = Order(base_turn.figures(), base_turn.events)
    for item in (*base_turn.flow.items, *base_turn.flow.go_around):
        assert misplaced(item, order) is None
