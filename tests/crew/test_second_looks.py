"""Judgements that a second look found unfair or wrong once, flown in the shipped exercises."""

from __future__ import annotations

from tests.crew.crews import edited, flown, item


def test_levelling_off_below_the_gate_is_no_discontinuation() -> None:
    acts = (
        "{when: {height: falling through 1150 ft}, do: autopilot off},"
        "{when: {height: falling through 1150 ft}, plus: 1 s, do: flight director},"
        "{when: {height: falling through 1150 ft}, plus: 2 s, do: flight director},"
        "{when: {height: falling through 1150 ft}, plus: 3 s, do: altitude hold},"
        "{when: {height: falling through 1150 ft}, plus: 12 s, do: vertical speed mode},"
        "{when: {height: falling through 1150 ft}, plus: 13 s, set: {vertical speed: -900 ft/min}}"
    )
    judgement = edited("straight-in", "{omit: landing flap}", acts=acts)
    assert judgement.outcome == "repeat"
    assert [gate.result for gate in judgement.gates] == ["failed"]


def test_a_go_around_within_its_eight_seconds_is_in_time() -> None:
    judgement = edited(
        "straight-in",
        "{omit: gear down}",
        "{omit: 'go around, not stable'}",
        acts="{when: {gate: {stable: failed}}, plus: 8 s, do: go-around}",
    )
    assert item(judgement, "go around, not stable").verdict == "on time"
    assert "continued" not in judgement.reason


def test_a_false_call_cannot_be_banked_for_later() -> None:
    judgement = edited("straight-in", "{omit: landing}", acts="{at: 60 s, say: landing}")
    assert item(judgement, "landing").verdict == "wrong"
    assert item(judgement, "landing").credit == 0.0


def test_localizer_mode_after_the_approach_clearance_is_not_early() -> None:
    judgement = edited(
        "early-temptation", acts="{when: {granted: approach}, plus: 8 s, do: localizer mode}"
    )
    assert judgement.primary() == set()


def test_go_around_said_before_the_button_counts_for_it() -> None:
    judgement = edited(
        "straight-in",
        "{omit: gear down}",
        "{omit: go around call}",
        acts="{when: {gate: {stable: failed}}, plus: 1 s, say: go around}",
    )
    assert item(judgement, "go around call").verdict == "on time"


def test_a_value_passed_through_in_half_a_second_is_not_wrong() -> None:
    acts = "{at: 97.2 s, set: {speed: 200 kt}}, {at: 97.7 s, set: {speed: 210 kt}}"
    assert edited("straight-in", acts=acts).primary() == set()


def test_a_garbled_read_back_is_asked_for_again() -> None:
    acts = "{when: {event: intercept}, plus: 1 s, read back: intercept, with: {runway: '14'}}"
    judgement = edited("straight-in", "{omit: read back intercept}", acts=acts)
    assert judgement.primary() == set()
    garbled = edited(
        "straight-in",
        "{replace: read back intercept, with: {say: mumble mumble}}",
        acts=acts.replace("plus: 1 s", "plus: 8 s"),
    )
    assert item(garbled, "read back intercept").verdict == "on time"


def test_a_flap_stage_passed_over_is_judged_by_its_effect() -> None:
    # Slow enough for stage 22 at once (limit 193 kt): nothing is left to do for stage 12.
    judgement = edited(
        "straight-in",
        "{omit: flap intermediate}",
        acts="{when: {all: [{distance: below 12 NM}, {speed: below 190 kt}]}, do: flaps 22}",
    )
    assert item(judgement, "flap intermediate").verdict == "on time"
    assert item(judgement, "landing flap").verdict == "on time"


def test_stable_said_at_a_failed_gate_is_wrong() -> None:
    judgement = edited(
        "straight-in",
        "{omit: gear down}",
        "{replace: one thousand not stable, with: {say: one thousand stable}}",
    )
    assert item(judgement, "one thousand not stable").verdict == "wrong"
    assert item(judgement, "one thousand stable").verdict == "not reached"


def test_after_retuning_nothing_is_heard_of_the_old_station() -> None:
    session, _ = flown(
        "straight-in",
        "{crew: 1, base: perfect, acts: [{at: 60 s, set: {frequency: 111.10 MHz}},"
        " {at: 60 s, do: identify}]}",
    )
    heard = [fact.name for fact in session.flight.facts if fact.kind == "heard"]
    assert "" in heard


def test_no_two_acts_of_a_flight_share_a_serial_number() -> None:
    session, _ = flown("straight-in", "{crew: 1, base: perfect, acts: [{at: 100 s, say: checked}]}")
    serials = [act.serial for act in session.flight.acts]
    assert serials == list(range(1, len(serials) + 1))


def test_a_wrong_altimeter_setting_on_the_path_is_a_finding() -> None:
    judgement = edited("straight-in", acts="{at: 64 s, set: {altimeter: 1021 hPa}}")
    assert ("altimeter wrong on the path", "watch") in judgement.primary()


def test_words_follow_from_no_missed_read_back() -> None:
    judgement = edited(
        "straight-in", "{omit: read back qnh}", acts="{at: 100 s, say: glide captured}"
    )
    (watch,) = judgement.watches
    assert (watch.watch, watch.because) == ("said, not shown", None)


def test_a_limit_far_exceeded_is_always_its_own() -> None:
    judgement = edited("straight-in", "{omit: final speed bug}", acts="{at: 130 s, do: flaps 36}")
    limit = next(watch for watch in judgement.watches if watch.watch == "flap limit")
    assert (limit.severity, limit.because) == ("major", None)


def test_a_gate_failed_on_gear_names_the_gear_before_anything_else() -> None:
    judgement = edited("straight-in", "{omit: final speed bug}", "{omit: gear down}")
    assert judgement.gates[0].because == "gear down"


def test_touching_down_without_gear_is_called_that() -> None:
    judgement = edited(
        "straight-in",
        "{omit: gear down}",
        "{omit: 'go around, not stable'}",
        "{omit: landing flap}",
    )
    assert judgement.reason == "abandoned: touched down without the gear down"
    assert judgement.outcome == "repeat"
