"""The page `docs/modes.md`, made of the transition tables: `python -m tests.guidance.page`."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

from tests.guidance.table_check import diagram
from trainer.guidance.conditions import CONDITIONS
from trainer.guidance.modes import CODED
from trainer.guidance.tables import TABLES, Table
from trainer.scenario import aircraft_types, library
from trainer.scenario.fields import read
from trainer.scenario.reading import Reading
from trainer.world.aircraft import AircraftType, GuidanceOptions

PAGE = Path(__file__).parents[2] / "docs" / "modes.md"

HEAD = f"""# The modes of the flight guidance

For training on fictional types; not for navigation or real flight; operator manuals, current charts
and licensed instructors come first.

One table an axis. A row is taken when its trigger comes in one of its states and all its conditions
hold; no press and no signal changes a mode in any other way. Where one trigger leads from one state
to several, the conditions exclude one another. A press that no row takes is refused, and the log
says the sentence of the first condition that was missing. ALIGN, ROLLOUT and FLARE stand armed as a
consequence of the capability. {CODED} reads PATH on the annunciator, as the computed path does.

This page is written by `python -m tests.guidance.page` from the tables themselves; a test compares
it, and every row has a test in which it is taken.
"""

TYPES = ("twin-jet", "turboprop", "business-jet", "piston-single")


def types() -> tuple[AircraftType, ...]:
    """The shipped types, as their files say."""
    found = library.default_library()
    made = []
    for name in TYPES:
        entry = found.find("aircraft", name)
        assert entry is not None
        reading = Reading()
        fields = read(library.parse_file(entry.path), "aircraft", reading)
        assert fields is not None
        kind = aircraft_types.build(name, fields, reading)
        assert kind is not None
        made.append(kind)
    return tuple(made)


def _height(feet: float) -> str:
    return f"{feet:.0f} ft" if feet else "–"


def _yes(is_so: bool) -> str:
    return "yes" if is_so else "no"


def _autothrust(kind: AircraftType) -> str:
    if kind.autothrust is not None:
        return "fitted"
    return "option of an exercise" if kind.autothrust_option is not None else "none"


def _autopilots(options: GuidanceOptions) -> str:
    if not options.autopilot_option:
        return str(options.autopilots)
    return f"none; option of an exercise: {' and '.join(options.autopilot_option)} only"


class Option(NamedTuple):
    """A row of the table: its name, what each type has, and the test that flies the difference."""

    name: str
    values: list[str]
    test: str


def _speed_after(kind: AircraftType) -> str:
    bug = kind.guidance.is_approach_speed_flown
    held = "final speed bug" if bug else "as selected"
    if kind.autothrust is not None:
        return held
    return "by hand" if kind.autothrust_option is None else f"by hand; with the option {held}"


def _nav(kind: AircraftType) -> str:
    return "does nothing" if kind.guidance.is_nav_inert_after_localizer else "takes over"


_OPTIONS: tuple[tuple[str, Callable[[AircraftType], str], str], ...] = (
    (
        "early arming",
        lambda kind: kind.guidance.early_arming,
        "flight/stories/test_early_arming.py: "
        "the_type_that_computes_a_path_arms_path_and_no_landing_comes_of_it",
    ),
    (
        "the approach can be left",
        lambda kind: kind.guidance.leaving,
        "guidance/test_presses.py: until_glide_a_basic_mode_drops_the_whole_approach",
    ),
    (
        "nav after the localizer, in an approach",
        _nav,
        "guidance/test_presses.py: nav_is_inert_on_the_twin_jet_once_the_localizer_is_captured",
    ),
    (
        "second press of approach mode",
        lambda kind: kind.guidance.second_press,
        "guidance/test_presses.py: a_type_that_always_disarms_drops_a_captured_approach",
    ),
    (
        "glide path before the localizer",
        lambda kind: _yes(kind.guidance.is_glide_before_localizer),
        "flight/stories/test_early_arming.py: "
        "only_the_business_jet_takes_the_glide_path_before_the_localizer",
    ),
    (
        "selector turned in ALT CAP",
        lambda kind: kind.guidance.altitude_capture_turn,
        "guidance/test_captures.py: "
        "turning_the_altitude_selector_in_its_capture_is_the_types_option",
    ),
    ("autothrust", _autothrust, "flight/test_fitted.py: an_exercise_fits_the_optional_autothrust"),
    (
        "speed after capture",
        _speed_after,
        "guidance/test_options.py: "
        "the_final_speed_bug_is_flown_after_capture_where_the_type_does_that",
    ),
    (
        "level of service on an RNP final",
        lambda kind: kind.guidance.service,
        "flight/test_rnp_final.py: the_level_of_service_is_the_lower_of_type_and_approach",
    ),
    (
        "autopilots",
        lambda kind: _autopilots(kind.guidance),
        "flight/test_fitted_autopilot.py: a_flight_begins_with_what_the_type_has",
    ),
    (
        "capability shown from",
        lambda kind: _height(kind.guidance.capability_ft),
        "guidance/test_landing.py: a_type_without_a_landing_system_shows_no_capability",
    ),
    (
        "alert height of OPERATIONAL",
        lambda kind: _height(kind.guidance.alert_height_ft),
        "guidance/test_landing.py: the_capability_goes_with_the_signal_above_the_alert_height_only",
    ),
    (
        "decision height of PASSIVE",
        lambda kind: _height(kind.guidance.decision_height_ft),
        "guidance/test_options.py: the_decision_height_of_the_type_is_a_named_value",
    ),
    (
        "ALIGN from",
        lambda kind: _height(kind.guidance.align_ft),
        "guidance/test_landing.py: each_step_of_the_landing_comes_at_its_height",
    ),
    (
        "ROLLOUT",
        lambda kind: _yes(kind.guidance.rollout_fitted),
        "guidance/test_landing.py: an_automatic_landing_goes_through_its_steps_in_order",
    ),
    (
        "autopilot down to",
        lambda kind: _height(kind.guidance.autopilot_minimum_ft),
        "guidance/test_options.py: each_autopilot_leaves_below_its_own_height",
    ),
    (
        "go-around: second press for full thrust",
        lambda kind: _yes(kind.guidance.go_around_second_press),
        "guidance/test_landing.py: the_first_press_gives_a_climb_rate_and_the_second_full_thrust",
    ),
    (
        "go-around: other modes from",
        lambda kind: _height(kind.guidance.go_around_lateral_ft),
        "guidance/test_options.py: in_a_go_around_other_modes_wait_for_the_height_of_the_type",
    ),
    (
        "signal lost after capture: held for",
        lambda kind: f"{kind.guidance.signal_hold_s:g} s",
        "flight/stories/test_signal_loss.py: "
        "lost_after_its_capture_the_localizer_is_held_for_the_types_time",
    ),
    (
        "deviation that counts as alive",
        lambda kind: f"{kind.guidance.alive_dots:g} dots",
        "judge/rules/test_claims.py: a_needle_on_its_stop_is_not_alive",
    ),
    (
        "frequency locked on a captured localizer",
        lambda kind: _yes(kind.guidance.is_retune_inhibited),
        "flight/test_fitted.py: "
        "a_frequency_turned_on_a_captured_localizer_is_refused_where_the_type_locks_it",
    ),
    (
        "ident",
        lambda kind: kind.guidance.ident,
        "flight/test_radios.py: a_decoded_ident_goes_out_with_its_station_and_a_heard_one_stays",
    ),
)
"""Each option: its name, what a type has, the test that flies the difference."""


def option_rows(kinds: tuple[AircraftType, ...]) -> list[Option]:
    """Every option of the guidance."""
    return [Option(name, [of(kind) for kind in kinds], test) for name, of, test in _OPTIONS]


def _options() -> str:
    kinds = types()
    titles = " | ".join(kind.title for kind in kinds)
    lines = ["## Options of the types\n", f"| option | {titles} |"]
    lines.append("| --- |" + " --- |" * len(kinds))
    rows = option_rows(kinds)
    lines += [f"| {row.name} | {' | '.join(row.values)} |" for row in rows]
    lines += ["\nThe test in which each difference is flown, in `tests/`:\n"]
    lines += ["| option | test |", "| --- | --- |"]
    lines += [f"| {row.name} | `{row.test}` |" for row in rows]
    return "\n".join(lines) + "\n"


def _table(table: Table) -> str:
    lines = [f"## {table.axis.capitalize()}\n", "```mermaid", diagram(table.axis).rstrip(), "```\n"]
    lines += ["| trigger | from | to | if |", "| --- | --- | --- | --- |"]
    for rule in table.rules:
        cells = (
            rule.trigger, ", ".join(rule.sources), rule.dest, ", ".join(rule.conditions)
        )  # fmt: skip
        lines.append(f"| {' | '.join(cells)} |")
    return "\n".join(lines) + "\n"


def _conditions() -> str:
    lines = ["## Conditions\n", "| condition | said where it is missing |", "| --- | --- |"]
    lines += [f"| {name} | {one.refusal} |" for name, one in CONDITIONS.items()]
    return "\n".join(lines) + "\n"


def page() -> str:
    """The whole page."""
    return "\n".join([HEAD, _options(), *(_table(t) for t in TABLES.values()), _conditions()])


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8")
    print(f"written: {PAGE}")
