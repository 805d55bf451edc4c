"""Watches: excursions, merging, severities of limit speeds, and words against the display."""

from __future__ import annotations

from typing import Any

from tests.builders import SELECTORS, modes, say
from tests.crew.crews import exercise as drill
from tests.judge.fold import fold
from trainer.scenario.exercise import Watch
from trainer.scenario.moments import Compare, Figure, Shows

FAST = Watch(
    "fast",
    "never",
    Compare("speed", "above", Figure(200.0)),
    for_s=2.0,
    severity="minor",
    causes=("energy",),
)
FLAPS = Watch("flap limit", "limit", None, limit="flaps", causes=("flaps", "energy"))
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


def test_limit_speeds_have_two_knots_of_grace_and_grow_grave_beyond_five() -> None:
    # Stage 12 of the twin jet: limit 214 kt.
    at = {"flap_lever": 2, "flap": 2.0}
    assert fold(50, {0: {**at, "cas_kt": 216.0}}, watches=(FLAPS,)).watches == ()
    (slight,) = fold(40, {0: {**at, "cas_kt": 217.0}}, watches=(FLAPS,)).watches
    assert (slight.severity, slight.worst, slight.limit) == ("advisory", 217.0, 214.0)
    (grave,) = fold(40, {0: {**at, "cas_kt": 220.0}}, watches=(FLAPS,)).watches
    assert grave.severity == "major"


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


SLOW = Watch("slow", "limit", None, limit="manoeuvring", for_s=10.0, causes=("energy",))


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
