"""A moment in plain words, short enough for a line of a sheet.

Owns wording only; nothing is looked up. Surprising rule: what a crew cannot see on a flight deck
(which item was settled, the energy margin) is told as what it means to them.
"""

from __future__ import annotations

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

_UNITS = {
    "distance": "NM", "dme": "NM", "margin": "NM", "altitude": "ft", "height": "ft",
    "radio height": "ft", "altitude to go": "ft", "speed": "kt", "vertical speed": "ft/min",
    "localizer": "dots", "glideslope": "dots", "track": "dots",
}  # fmt: skip
_NAMES = {"dme": "DME", "glideslope": "glide path", "margin": "miles to spare before the gate"}
_RELATIONS = {
    "below": "below", "above": "above", "from": "from", "falling": "down through",
    "rising": "up through", "every": "every",
}  # fmt: skip
_SIGNALS = {"glideslope": "glide path", "localizer": "localizer", "vor": "VOR", "track": "position"}


def moment_text(moment: Moment) -> str:
    """`moment` as a crew would say it; "from the start" where it is always true."""
    match moment:
        case Compare(subject, relation, figure, upper):
            return _compared(subject, relation, figure, upper)
        case Shows(subject, key, values):
            return _shown(subject, key, " or ".join(values))
        case Happened(kind, name, detail):
            return _happened(kind, name, detail)
        case AllOf(children):
            return _joined(children, ", ") or "from the start"
        case AnyOf(children):
            return _joined(children, " or ")
        case Then(children):
            return _joined(children, ", then ")
        case Not(child):
            return f"not {moment_text(child)}"
        case Held(child, seconds):
            return f"{moment_text(child)} for {seconds:g} s"
        case Later(child, seconds, miles):
            return f"{moment_text(child)} plus " + (f"{miles:g} NM" if miles else f"{seconds:g} s")


def figure_text(figure: Figure, unit: str) -> str:
    """A number with its unit, or a name and what is added to it."""
    if not figure.name:
        return f"{figure.value:g} {unit}".rstrip()
    if not figure.value:
        return figure.name
    sign = "plus" if figure.value > 0.0 else "minus"
    return f"{figure.name} {sign} {abs(figure.value):g} {unit}".rstrip()


def _joined(children: tuple[Moment, ...], word: str) -> str:
    return word.join(
        f"({moment_text(child)})" if isinstance(child, AllOf | AnyOf) else moment_text(child)
        for child in children
    )


def _compared(subject: str, relation: str, figure: Figure, upper: Figure | None) -> str:
    unit = _UNITS.get(subject, "")
    text = f"{_NAMES.get(subject, subject)} {_RELATIONS[relation]} {figure_text(figure, unit)}"
    return text if upper is None else f"{text} to {figure_text(upper, unit)}"


def _shown(subject: str, key: str, values: str) -> str:
    match subject:
        case "signal":
            return f"{_SIGNALS[key]} {values}"
        case "mode":
            return f"{values} armed" if key.endswith("armed") else values or "nothing engaged"
        case "phase":
            return f"in {values}"
        case "sees":
            return f"{values} in sight"
    return f"{key} {values}"


def _happened(kind: str, name: str, detail: str) -> str:
    match kind:
        case "passed":
            return f"{name} passed"
        case "granted":
            return f"cleared: {name}"
        case "said":
            return f'"{name}" said'
        case "done":
            return f"after {name}"
        case "changed":
            return "each announced change" if name == "announced" else f"each change of {name}"
        case "gate":
            return f"gate {name} {detail}"
        case "last chance":
            return f"last chance for the gate {name}"
    return f"{name} {detail}".rstrip()
