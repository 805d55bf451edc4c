"""JSON Schema of the scenario files, made from the vocabulary: what editors complete and explain.

Owns how each form of value is said in JSON Schema (draft 2020-12). Knows no key by name.
Surprising rule: a schema is meant for YAML 1.2 as editors read it, where `22` is a number and `on`
a word, so a text may be a number and a quantity is always a text. It is weaker than `check`: names
that must exist, bounds of quantities and what needs more than one place are left to that.
"""

from __future__ import annotations

import re
from typing import Any

from trainer.scenario.controls import CONTROLS, Control
from trainer.scenario.quantities import NUMBER, plain_number, units_like
from trainer.scenario.vocabulary import moments, words
from trainer.scenario.vocabulary.shapes import MAY_BE_EMPTY, Key, Record, Shape, capitals_pattern
from trainer.scenario.vocabulary.tables import KINDS, RECORDS

FILES = (*KINDS, "crew")
"""Kinds of file that have a schema."""
DIALECT = "https://json-schema.org/draft/2020-12/schema"
"""The dialect in which schemas are written."""
MADE_BY = "made by: approach-drill schema"
"""Comment in every schema, by which a made file is known."""

_STEM = "^[a-z0-9][a-z0-9-]{0,63}$"
_POSITION = (
    r"^[0-9]{1,2}(\.[0-9]{1,7})? ?[NS],? [0-9]{1,3}(\.[0-9]{1,7})? ?[EW]$"  # as in scenario.scalars
)
_INTEGER = "^-?(0|[1-9][0-9]{0,5})$"
_MOMENT, _RECURRING = "moment", "recurring moment"


def schema(kind: str) -> dict[str, Any]:
    """The schema of files of `kind` (one of `FILES`), as plain JSON data."""
    made: dict[str, Any] = {
        "$schema": DIALECT,
        "$comment": f"{MADE_BY}; for training on fictional types, not for real flight",
        "title": f"Approach Drill: {kind} file",
        "description": RECORDS[kind].help,
    }
    made |= _top(kind)
    found: dict[str, Any] = {}
    wanted = _references(made)
    for name in wanted:
        found[name] = _definition(name)
        wanted += [one for one in _references(found[name]) if one not in wanted]
    made["$defs"] = found
    return made


def _top(kind: str) -> dict[str, Any]:
    if kind == "crew":  # also a bare list of acts
        return {"anyOf": [_ref("crew"), {"type": "array", "items": _ref("act")}]}
    if kind == "flow":
        test = {"required": ["based on"]}
        return {"if": test, "then": _ref("based flow"), "else": _ref("flow")}
    return _ref(kind)


def _definition(name: str) -> dict[str, Any]:
    if name in (_MOMENT, _RECURRING):
        return _moment(name)
    return _record(RECORDS[name])


def _ref(name: str) -> dict[str, Any]:
    return {"$ref": f"#/$defs/{name.replace(' ', '%20')}"}


def _references(value: Any) -> list[str]:
    """Names of the definitions that `value` refers to, in their order."""
    if isinstance(value, list):
        return [name for one in value for name in _references(one)]
    if not isinstance(value, dict):
        return []
    found = [name for one in value.values() for name in _references(one)]
    target = value.get("$ref")
    if isinstance(target, str):
        found.append(target.removeprefix("#/$defs/").replace("%20", " "))
    return found


def _record(record: Record) -> dict[str, Any]:
    made: dict[str, Any] = {
        "description": record.help,
        "type": "object",
        "additionalProperties": False,
        "properties": {key.name: _key(key) for key in record.keys},
    }
    if required := [key.name for key in record.keys if key.required]:
        made["required"] = required
    groups: list[dict[str, Any]] = [{"oneOf": _each_required(group)} for group in record.one_of]
    groups += [{"not": {"required": list(group)}} for group in record.at_most_one]
    if groups:
        made["allOf"] = groups
    return made


def _each_required(names: tuple[str, ...]) -> list[dict[str, Any]]:
    return [{"required": [name]} for name in names]


def _key(key: Key) -> dict[str, Any]:
    made = _value(key.shape)
    bounds = _bounds(key.shape)
    made["description"] = f"{key.help} ({bounds})" if bounds else key.help
    if key.default:
        made["default"] = key.default
    return made


def _bounds(shape: Shape) -> str:
    if shape.kind in ("quantity", "figure", "when"):
        return f"{plain_number(shape.low)} to {plain_number(shape.high)} {shape.unit}"
    return ""


def _value(shape: Shape) -> dict[str, Any]:
    """The schema of one value."""
    match shape.kind:
        case "text" | "prose":
            return _text(shape.most or 200, shape.subject == MAY_BE_EMPTY)
        case "capitals":
            return {"type": "string", "pattern": f"^{capitals_pattern(shape)}$"}
        case "stem":
            return {"type": ["string", "integer"], "pattern": _STEM}
        case "choice":
            return {"enum": list(shape.choices)}
        case "choices":
            return _one_or_list({"enum": list(shape.choices)}, shape.most)
        case "texts":
            return _one_or_list(_text(200), shape.most)
        case "flag":
            return {"anyOf": [{"type": "boolean"}, {"type": "string", "pattern": "^(true|false)$"}]}
        case "integer" | "number":
            return _number(shape)
        case "quantity":
            return {"type": "string", "pattern": f"^({_quantity(shape.unit)})$"}
        case "position":
            return {"type": "string", "pattern": _POSITION}
        case "figure":
            sort = words.SELECTOR_SORTS.get(shape.subject, "")
            return {"type": "string", "pattern": f"^({_figure(shape.unit, sort)})$"}
        case "lever":
            return _lever(is_bare=False)
    return _composed(shape)


def _composed(shape: Shape) -> dict[str, Any]:
    """The schema of a value that holds records, moments or names."""
    match shape.kind:
        case "record":
            return _ref(shape.record)
        case "records":
            return {"type": "array", "items": _ref(shape.record), "maxItems": shape.most}
        case "named records":
            rows = {"type": "array", "items": _ref(shape.record), "maxItems": shape.most}
            return _named(rows, 60)
        case "named record":
            return _named(_ref(shape.record), shape.most or 60)
        case "named texts":
            return _named(_one_or_list(_text(200), 60), shape.most or 60)
        case "named text":
            return _named(_text(200), shape.most or 60)
        case "moment":
            return _ref(_MOMENT)
        case "moments":
            return _one_or_list(_ref(_MOMENT), shape.most)
        case "each":
            return _ref(_RECURRING)
        case "when":
            duration = {"type": "string", "pattern": f"^({_quantity(shape.unit)})$"}
            return {"anyOf": [duration, _ref(_MOMENT)]}
    raise ValueError(f"no schema for the form {shape.kind}")


def _text(most: int, may_be_empty: bool = False) -> dict[str, Any]:
    made: dict[str, Any] = {"type": ["string", "number"], "maxLength": most}
    return made if may_be_empty else {**made, "pattern": r"\S"}


def _number(shape: Shape) -> dict[str, Any]:
    kind = "integer" if shape.kind == "integer" else "number"
    pattern = _INTEGER if kind == "integer" else f"^{NUMBER}$"
    return {
        "type": [kind, "string"],
        "minimum": shape.low,
        "maximum": shape.high,
        "pattern": pattern,
    }


def _one_or_list(one: dict[str, Any], most: int) -> dict[str, Any]:
    return {"anyOf": [one, {"type": "array", "items": one, "maxItems": most}]}


def _named(one: dict[str, Any], most: int) -> dict[str, Any]:
    return {"type": "object", "additionalProperties": one, "maxProperties": most}


# Quantities, figures, levers ---------------------------------------------------------------------


def _quantity(unit: str) -> str:
    units = [*units_like(unit), *(["dots"] if unit == "dot" else [])]
    return f"{NUMBER} ?({'|'.join(re.escape(one) for one in units)})"


def _figure(unit: str, sort: str) -> str:
    """A quantity, or a named value of the sort `sort` with or without an offset."""
    fitting = [
        (name, its_unit) for name, (its_unit, its) in words.NAMED_VALUES.items() if its == sort
    ]
    named = [f"{name}( (plus|minus) {_quantity(its_unit)})?" for name, its_unit in fitting]
    return "|".join((_quantity(unit), *(named if sort else ())))


def _lever(is_bare: bool) -> dict[str, Any]:
    """CONTROL [POSITION]; `is_bare`: levers and selectors may stand without a position."""
    known: list[str] = []
    for control in CONTROLS.values():
        if control.kind == "button" or is_bare:
            known.append(control.name)
        if control.kind == "lever":
            positions = control.positions or words.FLAP_ROLES
            known += [f"{control.name} {position}" for position in positions]
    return {"anyOf": [{"enum": known}, {"type": "string", "pattern": "^flaps \\S"}]}


# Moments -----------------------------------------------------------------------------------------


def _moment(name: str) -> dict[str, Any]:
    is_recurring = name == _RECURRING
    values = {key: _primitive(key, name) for key in moments.PRIMITIVES}
    lasting = {"type": "string", "pattern": f"^({_quantity('s')})$"}
    later = {"type": "string", "pattern": f"^({_quantity('s')}|{_quantity('NM')})$"}
    values |= {"for": lasting, "plus": later}
    helps = {**moments.PRIMITIVES, **moments.MODIFIERS}
    recurs = " that recurs; every V is allowed" if is_recurring else ""
    return {
        "description": f"when: exactly one word of the grammar, perhaps with for or plus{recurs}",
        "type": "object",
        "additionalProperties": False,
        "properties": {key: {**value, "description": helps[key]} for key, value in values.items()},
        "oneOf": _each_required(tuple(moments.PRIMITIVES)),
    }


def _primitive(key: str, moment: str) -> dict[str, Any]:
    """The schema of what stands after the word `key` of a moment."""
    if key in words.SUBJECTS:
        unit, _, _, sort = words.SUBJECTS[key]
        return _comparison(_figure(unit, sort), moment == _RECURRING)
    match key:
        case "all" | "any" | "then":
            return {"type": "array", "items": _ref(moment), "minItems": 1}
        case "not":
            return _ref(moment)
        case "deviation":
            return _by_name({one: _comparison(_quantity("dot"), False) for one in words.SIGNALS})
        case "selected":
            return _by_name(
                {one.name: _setting(one) for one in CONTROLS.values() if one.kind == "selector"}
            )
        case "granted" | "changed":
            return {"enum": list(words.GRANTS if key == "granted" else words.CHANGES)}
        case "acted":
            return _lever(is_bare=True)
        case "gate":
            one = {"enum": list(words.GATE_RESULTS)}
            return {**_named(one, 1), "minProperties": 1}
    return _shown(key)


def _setting(control: Control) -> dict[str, Any]:
    figure = _figure(control.unit, words.SELECTOR_SORTS.get(control.name, ""))
    return {"type": "string", "pattern": f"^({figure})$"}


def _shown(key: str) -> dict[str, Any]:
    """The schema of a state that lists words, or of a name."""
    match key:
        case "phase" | "sees":
            return _any_of(words.PHASES if key == "phase" else words.SEEN)
        case "signal":
            return _by_name({one: _any_of(words.SIGNAL_STATES) for one in words.SIGNALS})
        case "mode":
            return _by_name({column: _any_of(known) for column, known in words.MODES.items()})
        case "config" | "lever":
            levers = [one for one in CONTROLS.values() if one.kind == "lever"]
            keys = [one for one in levers if key == "lever" or one.name in words.SURFACES]
            return _by_name({one.name: _positions(one.positions) for one in keys})
    return _text(200)


def _positions(positions: tuple[str, ...]) -> dict[str, Any]:
    if positions:
        return _any_of(positions)
    stage = {"anyOf": [{"enum": list(words.FLAP_ROLES)}, _text(200)]}
    return {"anyOf": [stage, {"type": "array", "items": stage, "minItems": 1}]}


def _any_of(known: tuple[str, ...]) -> dict[str, Any]:
    one = {"enum": list(known)}
    return {"anyOf": [one, {"type": "array", "items": one, "minItems": 1}]}


def _by_name(values: dict[str, dict[str, Any]]) -> dict[str, Any]:
    return {
        "type": "object", "additionalProperties": False, "minProperties": 1, "properties": values,
    }  # fmt: skip


def _comparison(figure: str, is_recurring: bool) -> dict[str, Any]:
    relations = "below|above|falling through|rising through" + ("|every" if is_recurring else "")
    pattern = f"^(({relations}) ({figure})|from ({figure}) to ({figure}))$"
    return {"type": "string", "pattern": pattern}
