"""Which items of a flow exist on a type, and the names that they and their shorthands make.

Surprising rule: a condition that could not be read counts as true, so that one mistake does not
make every name unknown.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import PurePath

from trainer.scenario.fields import Fields
from trainer.scenario.reading import Reading
from trainer.text import quoted
from trainer.values import dataclass
from trainer.world.aircraft import AircraftType


@dataclass(frozen=True, slots=True)
class Listed:
    """An item as read: its fields, its list, and the names it and its shorthands make."""

    fields: Fields
    is_go_around: bool
    names: tuple[str, ...]


def holds(condition: Fields | None, aircraft: AircraftType | None) -> bool:
    """Whether an `if:` is true for `aircraft` (True when either is missing or not sound)."""
    if condition is None or aircraft is None or not condition.is_sound:
        return True
    wanted = condition.part("aircraft")
    guidance = aircraft.guidance
    capability = "OPERATIONAL" if guidance.rollout_fitted else "PASSIVE"
    if guidance.capability_ft <= 0.0:
        capability = ""
    offered = {"OPERATIONAL": ("OPERATIONAL", "PASSIVE"), "PASSIVE": ("PASSIVE",), "": ()}
    roles = tuple(role for stage in aircraft.flaps for role in stage.roles)
    tests: dict[str, Callable[[str], bool]] = {
        "gear": lambda text: aircraft.gear.is_fixed == (text == "fixed"),
        "capability": lambda text: text in offered[capability],
        "autothrust": lambda text: (aircraft.autothrust is not None) == (text == "fitted"),
        "control": lambda text: text in aircraft.controls,
        "flaps": lambda text: text in roles,
    }
    for key, test in tests.items():
        if key in wanted and not test(wanted.text(key)):
            return False
    return "early arming" not in wanted or guidance.early_arming in wanted.texts("early arming")


def listed(flow: Fields, aircraft: AircraftType | None) -> tuple[list[Listed], list[Listed]]:
    """Items that exist on `aircraft`, and those filtered out, in file order."""
    kept: list[Listed] = []
    filtered: list[Listed] = []
    for key in ("items", "go around"):
        for fields in flow.records(key):
            names = _names_made(fields, flow, aircraft)
            one = Listed(fields, key == "go around", names)
            (kept if holds(fields.record("if"), aircraft) else filtered).append(one)
    return kept, filtered


def is_complete(fields: Fields, key: str, name_key: str) -> bool:
    """Whether every entry of the list `key` was read with its name."""
    node = fields.node.get(key)
    if node is None:
        return True
    found = fields.records(key)
    if len(found) != len(getattr(node, "items", ())):
        return False
    return key in fields and all(name_key in one for one in found)


def _names_made(fields: Fields, flow: Fields, aircraft: AircraftType | None) -> tuple[str, ...]:
    name = fields.text("item")
    if not name:
        return ()
    if "say" in fields and ("do" in fields or "set" in fields):
        return (name, f"{name}, said", *_answered(name, fields))
    checklist = fields.text("checklist")
    if checklist:
        lines = lines_of(checklist, flow, aircraft)
        return (name, *(f"{checklist}: {line.text('challenge')}" for line in lines))
    return (name, *_answered(name, fields))


def _answered(name: str, fields: Fields) -> tuple[str, ...]:
    return (f"{name}, answered",) if "response" in fields else ()


def lines_of(checklist: str, flow: Fields, aircraft: AircraftType | None) -> tuple[Fields, ...]:
    """The lines of a checklist that exist on `aircraft`."""
    lines = flow.named("checklists").get(checklist, ())
    return tuple(line for line in lines if holds(line.record("if"), aircraft))


def check_unique(items: list[Listed], reading: Reading) -> None:
    """Note a problem for each item name that is used twice."""
    seen: dict[str, Fields] = {}
    for item in items:
        for name in item.names:
            if name in seen:
                first = seen[name].node
                where = f" (line {first.line})" if first.line else ""
                if first.source.name != item.fields.node.source.name:
                    where = f" (in {PurePath(first.source.name).name}, line {first.line})"
                reading.refuse(
                    item.fields.at("item"),
                    f"a second item is called {quoted(name)}{where}; expected unique names",
                )
            seen[name] = item.fields
