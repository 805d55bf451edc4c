"""Moments from nodes: the grammar of "when" in scenario files, crew files and commands.

Owns the syntax and the closed words. Refuses to know which fixes, items, events, gates and calls
an exercise has: every name met is noted as a `Mention` and checked later (`references`).
Surprising rule: flap roles stay role names here and become stage names only with a type.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace

from trainer.errors import hint, sentence_of
from trainer.scenario.controls import CONTROLS
from trainer.scenario.figures import control_and_position, figure, quantity
from trainer.scenario.moments import (
    AllOf,
    AnyOf,
    Compare,
    Happened,
    Held,
    Later,
    Moment,
    Not,
    Shows,
    Then,
)
from trainer.scenario.nodes import Mapping, Node, Scalar, Sequence, end_of_number
from trainer.scenario.reading import Reading, is_known
from trainer.scenario.vocabulary import moments as grammar
from trainer.scenario.vocabulary import words
from trainer.text import quoted

_Entry = Callable[[str, str, Node, Reading], Moment | None]

NAMING = {
    "passed": "fix",
    "event": "event",
    "said": "intent",
    "done": "item",
    "last chance": "gate",
}
"""Happenings that name something, and what they name."""

COMBINATIONS = tuple(grammar.COMBINATIONS)
"""Combinations of moments."""
STATES = ("signal", "mode", "config", "lever")
"""States written as a mapping."""
PRIMITIVES = tuple(grammar.PRIMITIVES)
"""Every key of which a moment holds exactly one."""

_RELATIONS = {
    "below": "below", "above": "above", "falling through": "falling",
    "rising through": "rising", "every": "every",
}  # fmt: skip
_COMPARISON = re.compile(r"(below|above|falling through|rising through|every) (.{1,80})")
_RANGE = re.compile(r"from (.{1,60}) to (.{1,60})")
_PHRASING = "expected below V, above V, from V to V, falling through V, rising through V or every V"


def parse_moment(node: Node, reading: Reading, *, is_recurring: bool = False) -> Moment | None:
    """The moment that `node` writes.

    Args:
        node: a mapping with exactly one primitive or combination, and `for` or `plus`.
        reading: takes problems and mentioned names.
        is_recurring: whether `every` is allowed (only in `each`).

    Returns:
        The moment, or None if a problem was noted.
    """
    if not isinstance(node, Mapping):
        reading.refuse(
            node,
            f"{node.described} is not a moment; expected a mapping such as "
            "{distance: below 6 NM} or {event: NAME}",
        )
        return None
    chosen = [key for key, _ in node.pairs if key.text in PRIMITIVES]
    for key, value in node.pairs:
        if end := end_of_number(key, value):
            reading.refuse(key, f"{quoted(key.text)} is no moment; {end}")
            return None
        if key.text not in PRIMITIVES and key.text not in ("for", "plus"):
            known = (*PRIMITIVES, "for", "plus")
            reading.refuse(key, f"{quoted(key.text)} is no moment{hint(key.text, known)}")
    if len(chosen) != 1:
        if chosen:
            reading.refuse(
                chosen[1],
                f"two moments in one mapping ({chosen[0].text} and {chosen[1].text}); "
                "write all: [A, B] or any: [A, B]",
            )
        elif all(key.text in ("for", "plus") for key, _ in node.pairs):
            reading.refuse(node, "a moment needs exactly one of " + sentence_of(PRIMITIVES, 40))
        return None
    written = node.get(chosen[0].text)
    assert written is not None
    moment = _primitive(chosen[0].text, written, reading, is_recurring)
    return _modified(node, moment, reading)


def _modified(node: Mapping, moment: Moment | None, reading: Reading) -> Moment | None:
    held, later = node.get("for"), node.get("plus")
    if held is not None:
        seconds = _duration(held, reading)
        if moment is not None and not _is_state(moment):
            reading.refuse(
                node.key_node("for"),
                "for: is only for a state; a happening stays happened; expected plus: for later",
            )
        elif moment is not None and seconds is not None:
            moment = Held(moment, seconds)
    if later is not None:
        text = _scalar(later, reading, "a duration or a flown distance")
        if text is not None:
            moment = _later(later, text, moment, reading)
    return moment


def _later(node: Node, text: str, moment: Moment | None, reading: Reading) -> Moment | None:
    is_distance = text.endswith(("NM", "km"))
    unit, most = ("NM", 100.0) if is_distance else ("s", 2700.0)
    amount = quantity(node, text, unit, 0.0, most, reading)
    if moment is None or amount is None:
        return None
    return Later(moment, miles=amount) if is_distance else Later(moment, seconds=amount)


def _is_state(moment: Moment) -> bool:
    match moment:
        case Compare(relation=relation):
            return relation in ("below", "above", "from")
        case Happened() | Then() | Later():
            return False
        case AllOf(children) | AnyOf(children):
            return any(_is_state(child) for child in children)
    return True


def _primitive(key: str, node: Node, reading: Reading, is_recurring: bool) -> Moment | None:
    if key in words.SUBJECTS:
        return _compared(key, node, reading, is_recurring, words.SUBJECTS[key])
    if key in COMBINATIONS:
        return _combination(key, node, reading, is_recurring)
    if key == "deviation":
        return _entries(key, node, words.SIGNALS, reading, _deviation)
    if key == "selected":
        return _entries(key, node, _SELECTORS, reading, _selected)
    if key in STATES:
        return _entries(key, node, _STATE_KEYS[key], reading, _state)
    if key in ("phase", "sees"):
        known: tuple[str, ...] = words.PHASES if key == "phase" else words.SEEN
        values = _values(node, known, reading)
        return Shows(key, "", values) if values else None
    if key == "gate":
        return _gate(node, reading)
    text = _scalar(node, reading, "a name")
    if text is None:
        return None
    if key == "acted":
        return _acted(text, node, reading)
    if key in ("granted", "changed"):
        named: tuple[str, ...] = words.GRANTS if key == "granted" else words.CHANGES
        return Happened(key, text) if is_known(text, named, node, reading) else None
    reading.mention(NAMING[key], text, node)
    return Happened(key, text)


def _combination(key: str, node: Node, reading: Reading, is_recurring: bool) -> Moment | None:
    if key == "not":
        child = parse_moment(node, reading, is_recurring=is_recurring)
        return None if child is None else Not(child)
    if not isinstance(node, Sequence) or not node.items:
        reading.refuse(node, f"{node.described} after {key}:; expected a list of moments, [A, B]")
        return None
    children = [parse_moment(item, reading, is_recurring=is_recurring) for item in node.items]
    sound = tuple(child for child in children if child is not None)
    if len(sound) != len(children):
        return None
    if key == "all":
        return AllOf(sound)
    return AnyOf(sound) if key == "any" else Then(sound)


def _compared(
    subject: str,
    node: Node,
    reading: Reading,
    is_recurring: bool,
    form: tuple[str, float, float, str],
) -> Moment | None:
    unit, low, high, named = form
    text = _scalar(node, reading, f"a comparison in {unit}, such as below 6 {unit}")
    if text is None:
        return None
    between = _RANGE.fullmatch(text)
    if between:
        ends = [figure(node, part, unit, low, high, named, reading) for part in between.groups()]
        if ends[0] is None or ends[1] is None:
            return None
        if ends[0].name == ends[1].name and ends[0].value >= ends[1].value:
            reading.refuse(node, f"{quoted(text)} is empty; expected the lower value first")
            return None
        return Compare(subject, "from", ends[0], ends[1])
    match = _COMPARISON.fullmatch(text)
    if match is None:
        reading.refuse(node, f"{quoted(text)} is no comparison; {_PHRASING}{_meant(text)}")
        return None
    relation = _RELATIONS[match.group(1)]
    value = figure(node, match.group(2), unit, low, high, named, reading)
    if value is None:
        return None
    if relation == "every":
        if not is_recurring:
            reading.refuse(node, "every recurs and stands only in each:; expected below or above")
            return None
        if value.name or value.value <= 0.0:
            reading.refuse(node, f"every needs a step greater than zero in {unit}")
            return None
    return Compare(subject, relation, value)


def _meant(text: str) -> str:
    """What somebody means who writes a sign, or a quantity alone."""
    sign = re.match(r"(<=?|>=?|≤|≥)? *(?=[-+]?[0-9])", text)
    if sign is None:
        return ""
    word = "above" if sign[0][:1] in (">", "≥") else "below"
    return f'; did you mean "{word} {text[sign.end() :]}"?'


def _deviation(_key: str, signal: str, node: Node, reading: Reading) -> Moment | None:
    return _compared(signal, node, reading, False, ("dot", -5.0, 5.0, ""))


def _selected(_key: str, name: str, node: Node, reading: Reading) -> Moment | None:
    """A selector that stands at a value: a band as wide as the tolerance of the control."""
    control = CONTROLS[name]
    text = _scalar(node, reading, f"a value in {control.unit}")
    if text is None:
        return None
    sort = words.SELECTOR_SORTS.get(name, "")
    wanted = figure(node, text, control.unit, control.low, control.high, sort, reading)
    if wanted is None:
        return None
    around = control.tolerance + 0.5 if control.unit != "MHz" else 0.004
    low, high = replace(wanted, value=wanted.value - around), wanted
    return Compare(f"selected {name}", "from", low, replace(high, value=high.value + around))


_SELECTORS = tuple(control.name for control in CONTROLS.values() if control.kind == "selector")
_LEVERS = tuple(control.name for control in CONTROLS.values() if control.kind == "lever")
_STATE_KEYS: dict[str, tuple[str, ...]] = {
    "signal": words.SIGNALS,
    "mode": tuple(words.MODES),
    "config": words.SURFACES,
    "lever": _LEVERS,
}


def _entries(
    subject: str, node: Node, keys: tuple[str, ...], reading: Reading, one: _Entry
) -> Moment | None:
    if not isinstance(node, Mapping) or not node.pairs:
        reading.refuse(
            node, f"{node.described} after {subject}:; expected {sentence_of(keys)} with a value"
        )
        return None
    found: list[Moment] = []
    for key, value in node.pairs:
        if not is_known(key.text, keys, key, reading):
            continue
        moment = one(subject, key.text, value, reading)
        if moment is not None:
            found.append(moment)
    if len(found) != len(node.pairs):
        return None
    return found[0] if len(found) == 1 else AllOf(tuple(found))


def _state(subject: str, key: str, node: Node, reading: Reading) -> Moment | None:
    if subject == "signal":
        known: tuple[str, ...] = words.SIGNAL_STATES
    elif subject == "mode":
        known = words.MODES[key]
    elif key == "flaps":
        known = ()
    else:
        known = CONTROLS[key].positions
    values = _values(node, known, reading)
    if not known:
        for value in values:
            reading.mention("stage", value, node)
    return Shows(subject, key, values) if values else None


def _gate(node: Node, reading: Reading) -> Moment | None:
    if not isinstance(node, Mapping) or len(node.pairs) != 1:
        reading.refuse(
            node, f"{node.described} after gate:; expected {{NAME: failed}} or {{NAME: passed}}"
        )
        return None
    key, value = node.pairs[0]
    reading.mention("gate", key.text, key)
    text = _scalar(value, reading, "failed or passed")
    if text is None or not is_known(text, words.GATE_RESULTS, value, reading):
        return None
    return Happened("gate", key.text, text)


def _acted(text: str, node: Node, reading: Reading) -> Moment | None:
    found = control_and_position(text, node, reading, is_position_needed=False)
    return None if found is None else Happened("acted", *found)


def _duration(node: Node, reading: Reading) -> float | None:
    text = _scalar(node, reading, "a duration such as 3 s")
    return None if text is None else quantity(node, text, "s", 0.0, 2700.0, reading)


def _scalar(node: Node, reading: Reading, expected: str) -> str | None:
    if isinstance(node, Scalar) and node.text and "\n" not in node.text:
        return node.text
    reading.refuse(node, f"found {node.described}; expected {expected}")
    return None


def _values(node: Node, known: tuple[str, ...], reading: Reading) -> tuple[str, ...]:
    items = node.items if isinstance(node, Sequence) else (node,)
    found: list[str] = []
    for item in items:
        if isinstance(item, Scalar) and item.text == "" and not item.is_plain and "" in known:
            found.append("")
            continue
        text = _scalar(item, reading, sentence_of(known) if known else "a name")
        if text is not None and (not known or is_known(text, known, item, reading)):
            found.append(text)
    if not items:
        reading.refuse(node, "an empty list; expected at least one value")
    return tuple(found) if len(found) == len(items) else ()
