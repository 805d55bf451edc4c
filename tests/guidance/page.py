"""The page `docs/modes.md`, made of the transition tables: `python -m tests.guidance.page`."""

from __future__ import annotations

from pathlib import Path

from trainer.guidance.conditions import CONDITIONS
from trainer.guidance.modes import CODED
from trainer.guidance.tables import TABLES, Table, diagram
from trainer.scenario import aircraft_types, library
from trainer.scenario.fields import read
from trainer.scenario.moment_parser import Reading
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


def option_rows(kinds: tuple[AircraftType, ...]) -> list[tuple[str, list[str]]]:
    """Every option of the guidance: its name, and what each of `kinds` has."""
    guides = [kind.guidance for kind in kinds]
    return [
        ("early arming", [one.early_arming for one in guides]),
        ("the approach can be left", [one.leaving for one in guides]),
        ("nav after the localizer, in an approach",
         ["does nothing" if one.is_nav_inert_after_localizer else "takes over" for one in guides]),
        ("second press of approach mode", [one.second_press for one in guides]),
        ("glide path before the localizer",
         [_yes(one.is_glide_before_localizer) for one in guides]),
        ("selector turned in ALT CAP", [one.altitude_capture_turn for one in guides]),
        ("autothrust", [_autothrust(kind) for kind in kinds]),
        ("autopilots", [_autopilots(one) for one in guides]),
        ("capability shown from", [_height(one.capability_ft) for one in guides]),
        ("alert height", [_height(one.alert_height_ft) for one in guides]),
        ("ALIGN from", [_height(one.align_ft) for one in guides]),
        ("ROLLOUT", [_yes(one.rollout_fitted) for one in guides]),
        ("autopilot down to", [_height(one.autopilot_minimum_ft) for one in guides]),
        ("go-around: second press for full thrust",
         [_yes(one.go_around_second_press) for one in guides]),
        ("go-around: other modes from", [_height(one.go_around_lateral_ft) for one in guides]),
        ("signal lost after capture: held for", [f"{one.signal_hold_s:g} s" for one in guides]),
        ("deviation that counts as alive", [f"{one.alive_dots:g} dots" for one in guides]),
        ("speed after capture",
         ["final speed bug" if one.is_approach_speed_flown else "as selected" for one in guides]),
        ("frequency locked on a captured localizer",
         [_yes(one.is_retune_inhibited) for one in guides]),
        ("ident", [one.ident for one in guides]),
    ]  # fmt: skip


def _options() -> str:
    kinds = types()
    lines = ["## Options of the types\n", "| option | " + " | ".join(k.title for k in kinds) + " |"]
    lines.append("| --- |" + " --- |" * len(kinds))
    lines += [f"| {name} | " + " | ".join(row) + " |" for name, row in option_rows(kinds)]
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
