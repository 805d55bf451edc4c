"""Watches: excursions, merging, severities of limit speeds, and words against the display."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from tests.builders import SELECTORS, modes, say
from tests.crew.crews import exercise as drill
from tests.judge.fold import fold
from tests.world.types import twin_jet
from trainer.scenario.exercise import Act, Item, Watch
from trainer.scenario.moments import START, Compare, Figure, Shows

FAST = Watch(
    "fast",
    "never",
    Compare("speed", "above", Figure(200.0)),
    for_s=2.0,
    severity="minor",
    causes=("energy",),
)
FLAPS = Watch("flap limit", "limit", None, limit="flaps", causes=("flaps", "energy"))
SLOW = Watch("slow", "limit", None, limit="manoeuvring", for_s=10.0, causes=("energy",))
SAID = Watch("said, not shown", "mismatch", None, severity="major", causes=("awareness",))


def test_an_excursion_begins_when_it_began_and_needs_its_time() -> None:
    changes: dict[int, dict[str, Any]] = {
        0: {"cas_kt": 190.0}, 10: {"cas_kt": 201.0}, 40: {"cas_kt": 190.0}
    }  # fmt: skip
    (finding,) = fold(100, changes, watches=(FAST,)).watches
    assert (finding.start, finding.end) == (10, 39)
    short = {**changes, 25: {"cas_kt": 190.0}}
    assert fold(100, short, watches=(FAST,)).watches == ()


def test_excursions_less_than_five_seconds_apart_are_one() -> None:
    changes: dict[int, dict[str, Any]] = {
        0: {"cas_kt": 201.0}, 40: {"cas_kt": 190.0}, 80: {"cas_kt": 201.0}, 120: {"cas_kt": 190.0}
    }  # fmt: skip
    assert len(fold(200, changes, watches=(FAST,)).watches) == 1
    apart = {0: changes[0], 40: changes[40], 95: changes[80], 140: changes[120]}
    assert len(fold(200, apart, watches=(FAST,)).watches) == 2


def test_a_watch_silenced_by_a_call_has_no_finding() -> None:
    watch = Watch(
        "path not read",
        "never",
        Shows("mode", "vertical armed", ("PATH",)),
        for_s=5.0,
        unless_said="path armed",
        severity="major",
    )
    shown = {5: {"modes": modes(vertical_armed=("PATH",))}}
    assert len(fold(200, shown, watches=(watch,)).watches) == 1
    assert fold(200, shown, [say(30, "path armed")], watches=(watch,)).watches == ()


@pytest.mark.parametrize(
    ("severity", "points"),
    [("advisory", 100.0), ("minor", 98.0), ("major", 95.0), ("critical", 90.0)],
)
def test_what_an_excursion_costs_is_what_the_pilots_are_told(severity: str, points: float) -> None:
    watch = replace(FAST, severity=severity)
    item = Item("done", Act("do", "gear", "down"), opens=START, due=5.0)
    judgement = fold(
        100, {0: {"cas_kt": 201.0, "gear_lever": "down"}}, watches=(watch,), items=(item,)
    )
    assert judgement.points == points


def test_limit_speeds_have_two_knots_of_grace_and_grow_grave_beyond_five() -> None:
    # Stage 12 of the twin jet: limit 214 kt.
    at = {"flap_lever": 2, "flap": 2.0}
    assert fold(50, {0: {**at, "cas_kt": 216.0}}, watches=(FLAPS,)).watches == ()
    (slight,) = fold(40, {0: {**at, "cas_kt": 217.0}}, watches=(FLAPS,)).watches
    assert (slight.severity, slight.worst, slight.limit) == ("advisory", 217.0, 214.0)
    (grave,) = fold(40, {0: {**at, "cas_kt": 220.0}}, watches=(FLAPS,)).watches
    assert grave.severity == "major"


def test_a_limit_is_exceeded_anew_after_each_time_inside_it() -> None:
    # A second is needed; it was broken for nine tenths, kept for one, and broken again.
    at = {"flap_lever": 2, "flap": 2.0, "cas_kt": 190.0}
    fast, slow = {"cas_kt": 220.0}, {"cas_kt": 190.0}
    assert fold(60, {0: at, 10: fast, 19: slow, 20: fast, 29: slow}, watches=(FLAPS,)).watches == ()
    (finding,) = fold(60, {0: at, 10: fast, 21: slow}, watches=(FLAPS,)).watches
    assert (finding.start, finding.end) == (10, 20)


def test_slightly_beyond_a_limit_for_long_is_grave_too() -> None:
    at = {"flap_lever": 2, "flap": 2.0, "cas_kt": 217.0}
    (finding,) = fold(100, {0: at}, watches=(FLAPS,)).watches
    assert finding.severity == "major"


def test_a_moving_flap_counts_against_the_limit_of_the_selected_stage() -> None:
    moving = {"flap_lever": 3, "flap": 2.1, "cas_kt": 200.0}
    (finding,) = fold(40, {0: moving}, watches=(FLAPS,)).watches
    assert finding.limit == 193.0


def test_saying_a_mode_that_is_not_shown_is_a_finding_and_deducts() -> None:
    judgement = fold(60, {}, [say(30, "glide captured")], watches=(SAID,))
    (finding,) = judgement.watches
    assert finding.because is None
    assert finding.why == "glide was said; shown was vertical ALT, nothing armed"
    assert fold(60, {}, [say(30, "checked")], watches=(SAID,)).watches == ()


def test_false_words_less_than_five_seconds_apart_are_one_finding() -> None:
    both = "glide captured, localizer captured"
    (finding,) = fold(60, {}, [say(30, both)], watches=(SAID,)).watches
    assert finding.why == (
        "glide was said; shown was vertical ALT, nothing armed; "
        "localizer was said; shown was lateral NAV, nothing armed"
    )
    for second, count in ((80, 1), (81, 2)):
        deeds = [say(30, "glide captured"), say(second, "glide captured")]
        found = fold(120, {}, deeds, watches=(SAID,)).watches
        assert len(found) == count, second
        assert found[-1].end == second
        assert found[0].why == "glide was said; shown was vertical ALT, nothing armed"


def test_what_was_shown_within_two_seconds_before_the_call_counts_as_seen() -> None:
    changes: dict[int, dict[str, Any]] = {
        0: {"modes": modes(vertical="GLIDE")}, 20: {"modes": modes(vertical="ALT")}
    }  # fmt: skip
    assert fold(90, changes, [say(35, "glide captured")], watches=(SAID,)).watches == ()
    assert len(fold(90, changes, [say(60, "glide captured")], watches=(SAID,)).watches) == 1


# How long, how far apart, how far beyond ---------------------------------------------------------


def speeds(*changes: tuple[int, float]) -> dict[int, dict[str, Any]]:
    return {step: {"cas_kt": cas_kt} for step, cas_kt in changes}


@pytest.mark.parametrize(("watch", "steps"), [(FAST, 20), (FLAPS, 10)])
def test_a_watch_is_broken_once_it_has_been_for_its_time(watch: Watch, steps: int) -> None:
    # Two seconds as written; a limit speed that says nothing has one.
    at: dict[str, Any] = {"flap_lever": 2, "flap": 2.0}
    for lasts, count in ((steps, 0), (steps + 1, 1)):
        changes = speeds((0, 190.0), (10, 217.0), (10 + lasts, 190.0))
        changes[0] |= at
        found = fold(100, changes, watches=(watch,)).watches
        assert [(one.start, one.end) for one in found] == [(10, 10 + steps)] * count


@pytest.mark.parametrize(("again_at", "count"), [(90, 1), (91, 2)])
def test_excursions_are_one_up_to_five_seconds_apart(again_at: int, count: int) -> None:
    # Looked at from row 1 on; the first ends with row 40.
    changes = speeds((0, 201.0), (41, 190.0), (again_at, 201.0))
    found = fold(200, changes, watches=(FAST,)).watches
    assert len(found) == count
    assert (found[0].start, found[-1].end) == (1, 200)


def test_a_watch_that_is_kept_hides_no_other() -> None:
    kept = replace(FAST, name="very fast", moment=Compare("speed", "above", Figure(400.0)))
    (found,) = fold(60, speeds((0, 201.0)), watches=(kept, FAST)).watches
    assert found.watch == "fast"


def test_what_must_always_be_so_is_broken_while_it_is_not() -> None:
    slow = Watch("slow enough", "always", Compare("speed", "below", Figure(200.0)))
    (found,) = fold(60, speeds((0, 190.0), (20, 201.0), (30, 190.0)), watches=(slow,)).watches
    assert (found.start, found.end) == (20, 29)


@pytest.mark.parametrize(
    "watch", [replace(FAST, for_s=0.0), Watch("limit", "limit", None, limit="maximum")]
)
def test_a_watch_counts_only_while_it_is_meant_to(watch: Watch) -> None:
    meant = replace(watch, while_=Shows("phase", "", ("final",)))
    changes: dict[int, dict[str, Any]] = {0: {"cas_kt": 350.0}, 20: {"phase": "final"},
                                          40: {"phase": "minimums"}}  # fmt: skip
    (found,) = fold(60, changes, watches=(meant,)).watches
    assert (found.start, found.end) == (20, 39)
    assert fold(60, {0: {"cas_kt": 350.0}}, watches=(meant,)).watches == ()


def test_a_call_silences_what_is_broken_and_not_what_comes_later() -> None:
    watch = replace(FAST, unless_said="checked")
    changes = speeds((0, 201.0), (40, 190.0), (100, 201.0))
    (found,) = fold(200, changes, [say(10, "checked")], watches=(watch,)).watches
    assert found.start == 100
    # Said before anything was broken it has silenced nothing, nor has another call.
    changes = speeds((0, 190.0), (40, 201.0))
    assert len(fold(200, changes, [say(10, "checked")], watches=(watch,)).watches) == 1
    assert len(fold(200, changes, [say(50, "minimums")], watches=(watch,)).watches) == 1
    assert fold(200, changes, [say(50, "checked")], watches=(watch,)).watches == ()


TOP = Watch("maximum", "limit", None, limit="maximum")
"""The twin jet's maximum speed is 332 kt."""


@pytest.mark.parametrize(
    ("cas_kt", "severity"),
    [(334.0, None), (334.1, "advisory"), (337.0, "advisory"), (337.1, "major")],
)
def test_grace_ends_at_two_knots_and_what_is_grave_begins_beyond_five(
    cas_kt: float, severity: str | None
) -> None:
    found = fold(40, speeds((0, cas_kt)), watches=(TOP,)).watches
    assert [one.severity for one in found] == ([] if severity is None else [severity])


@pytest.mark.parametrize(("steps", "severity"), [(52, "advisory"), (53, "major")])
def test_beyond_a_limit_for_more_than_five_seconds_is_grave(steps: int, severity: str) -> None:
    # Beyond it from row 1 on.
    (found,) = fold(100, speeds((0, 335.0), (steps, 300.0)), watches=(TOP,)).watches
    assert found.severity == severity


def test_the_worst_of_an_excursion_is_told_and_what_was_grave_stays_so() -> None:
    changes = speeds((0, 335.0), (20, 338.04), (30, 335.0), (40, 300.0))
    (found,) = fold(60, changes, watches=(TOP,)).watches
    assert (found.worst, found.limit, found.unit, found.severity) == (338.0, 332.0, "kt", "major")


# Which limit applies -----------------------------------------------------------------------------


def limit_of(kind: str, **shown: Any) -> float | None:
    """The limit speed of the twin jet that a wild speed breaks; None where none applies."""
    watch = Watch(kind, "limit", None, limit=kind)
    found = fold(40, {0: {"cas_kt": 500.0, **shown}}, watches=(watch,)).watches
    return found[0].limit if found else None


@pytest.mark.parametrize(
    ("shown", "limit_kt"),
    [
        ({"flap_lever": 0, "flap": 0.0}, None),
        ({"flap_lever": 2, "flap": 2.0}, 214.0),
        ({"flap_lever": 3, "flap": 2.1}, 193.0),  # on its way out: the stage selected
        ({"flap_lever": 1, "flap": 1.1}, 214.0),  # on its way in: the stage it leaves
        ({"flap_lever": 1, "flap": 1.0}, 238.0),
    ],
)
def test_a_flap_has_the_limit_of_the_further_stage(
    shown: dict[str, Any], limit_kt: float | None
) -> None:
    assert limit_of("flaps", **shown) == limit_kt


@pytest.mark.parametrize(
    ("shown", "limit_kt"),
    [
        ({"gear": 0.0, "gear_lever": "up"}, None),
        ({"gear": 0.0, "gear_lever": "down"}, 236.0),
        ({"gear": 0.5, "gear_lever": "down"}, 236.0),
        ({"gear": 1.0, "gear_lever": "down"}, 252.0),
        ({"gear": 1.0, "gear_lever": "up"}, 222.0),
        ({"gear": 0.5, "gear_lever": "up"}, 222.0),
    ],
)
def test_a_gear_has_a_limit_for_each_way_and_one_when_it_is_down(
    shown: dict[str, Any], limit_kt: float | None
) -> None:
    assert limit_of("gear", **shown) == limit_kt


def test_a_gear_that_is_fixed_has_no_limit() -> None:
    plain = twin_jet()
    fixed = replace(plain, gear=replace(plain.gear, is_fixed=True))
    watch = Watch("gear", "limit", None, limit="gear")
    shown = {"cas_kt": 500.0, "gear": 1.0, "gear_lever": "down"}
    assert fold(40, {0: shown}, watches=(watch,), aircraft=fixed).watches == ()


@pytest.mark.parametrize(("radio_ft", "count"), [(100.0, 1), (99.9, 0)])
def test_low_over_the_ground_the_speed_may_fall(radio_ft: float, count: int) -> None:
    slow = {"cas_kt": 150.0, "radio_ft": radio_ft}
    assert len(fold(200, {0: slow}, watches=(SLOW,)).watches) == count


def test_too_slow_is_grave_beyond_five_knots_and_the_lowest_is_told() -> None:
    # 204.1 kt is the manoeuvring speed of the clean jet.
    quick = replace(SLOW, for_s=1.0)
    (slight,) = fold(40, {0: {"cas_kt": 200.0}}, watches=(quick,)).watches
    assert slight.severity == "advisory"
    (grave,) = fold(40, speeds((0, 200.0), (20, 198.0), (30, 201.0)), watches=(quick,)).watches
    assert (grave.severity, grave.worst) == ("major", 198.0)


# Words against the display -----------------------------------------------------------------------


def test_words_of_something_armed_are_told_as_armed() -> None:
    (finding,) = fold(60, {}, [say(30, "glide armed")], watches=(SAID,)).watches
    assert finding.why.startswith("glide armed was said; ")
    assert (finding.start, finding.end, finding.severity) == (30, 30, "major")


def test_where_no_watch_asks_for_them_false_words_are_no_finding_of_their_own() -> None:
    assert fold(60, {}, [say(30, "glide captured")], watches=(FAST,)).watches[1:] == ()


# The watches of the shipped flow ----------------------------------------------------------------


def shipped(name: str) -> Watch:
    """A watch of the flow for an ILS."""
    return next(watch for watch in drill("straight-in").flow.watches if watch.name == name)


ARMED_HIGH = {0: {"modes": modes(vertical_armed=("GLIDE",)), "glide_dots": 2.5, "dme_nm": 7.0,
                  "altitude_ft": 3900.0}}  # fmt: skip


def test_armed_above_the_path_is_found_unless_distance_was_held_against_height() -> None:
    watch = shipped("armed above the path")
    (finding,) = fold(100, ARMED_HIGH, watches=(watch,)).watches
    assert finding.severity == "major"
    before = [say(20, "DME 7 altitude 3900")]
    assert fold(100, ARMED_HIGH, before, watches=(watch,)).watches == ()
    below = {0: {**ARMED_HIGH[0], "glide_dots": -2.5}}
    assert fold(100, below, watches=(watch,)).watches == ()
    # At twice the angle the needle is flagged, and nothing can be said of it.
    flagged = {0: {**ARMED_HIGH[0], "glide": "flagged", "glide_dots": None}}
    assert fold(100, flagged, watches=(watch,)).watches == ()


def test_another_ident_does_not_identify_the_localizer() -> None:
    watch = shipped("localizer not identified")
    on = {"modes": modes(lateral="LOC")}
    assert fold(100, {0: {**on, "identified": "IMRW"}}, watches=(watch,)).watches == ()
    for heard in ("", "IPEL"):
        assert len(fold(100, {0: {**on, "identified": heard}}, watches=(watch,)).watches) == 1


def test_a_wrong_course_counts_while_the_law_steers_by_it() -> None:
    watch = shipped("localizer on a wrong course")
    wrong = SELECTORS._replace(course_deg=150.0)
    flown = {"modes": modes(lateral="LOC"), "selectors": wrong}
    assert len(fold(100, {0: flown}, watches=(watch,)).watches) == 1
    assert fold(100, {0: {"selectors": wrong}}, watches=(watch,)).watches == ()


def test_a_lowest_speed_must_be_lost_for_as_long_as_the_watch_says() -> None:
    # By hand: 26.8 kt times the root of 58 t is 204.1 kt, the manoeuvring speed of the clean jet.
    def found(steps: int, cas_kt: float = 195.0) -> tuple[tuple[float | None, str], ...]:
        changes = {10: {"cas_kt": cas_kt}, 10 + steps: {"cas_kt": 210.0}}
        watches = fold(200, changes, watches=(SLOW,)).watches
        return tuple((one.worst, one.severity) for one in watches)

    assert found(95) == ()
    assert found(110) == ((195.0, "major"),)
    assert found(110, 203.0) == ()  # within the two knots of grace
    (finding,) = fold(200, {10: {"cas_kt": 195.0}}, watches=(SLOW,)).watches
    assert finding.limit is not None
    assert round(finding.limit, 1) == 204.1


def test_a_landing_stage_may_be_flown_down_to_its_reference_speed() -> None:
    # By hand: 17.3 kt times the root of 58 t is 131.8 kt; the manoeuvring speed would be 136.3 kt.
    flap = {"flap_lever": 4, "flap": 4.0, "gear": 1.0, "gear_lever": "down"}
    assert fold(200, {0: {**flap, "cas_kt": 133.0}}, watches=(SLOW,)).watches == ()
    assert len(fold(200, {0: {**flap, "cas_kt": 128.0}}, watches=(SLOW,)).watches) == 1
