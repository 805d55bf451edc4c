"""The tables of docs/format.md, made from the vocabulary: `python -m tests.project.format_page`.

What is between the two marks of that page is written here and nowhere else; a test compares.
"""

from __future__ import annotations

from tests.project.sources import ROOT
from trainer.scenario.controls import CONTROLS
from trainer.scenario.quantities import UNITS
from trainer.scenario.vocabulary import moments, words
from trainer.scenario.vocabulary.shapes import Key, Record, Shape
from trainer.scenario.vocabulary.tables import KINDS, RECORDS

PAGE = ROOT / "docs" / "format.md"
BEGIN = "<!-- made by: python -m tests.project.format_page -->"
END = "<!-- end of what is made -->"

FILES = ("airport", "aircraft", "flow", "based flow", "house", "exercise", "crew")
FOLDERS = {**KINDS, "based flow": "flows"}


def tables() -> str:
    """All records, files first, each with the records it uses; then the closed lists."""
    parts = []
    done: list[str] = []
    for kind in FILES:
        folder = f"`scenarios/{FOLDERS[kind]}/`" if kind in FOLDERS else "wherever you like"
        parts.append(f"## The {kind} file\n\nFolder: {folder}.\n")
        for name in _family(kind):
            if name not in done:
                done.append(name)
                parts.append(_record(RECORDS[name], is_file=name == kind))
    assert set(done) == set(RECORDS), set(RECORDS) - set(done)
    return "\n".join([*parts, _words(), _controls(), _figures(), _units(), _lists()])


def _family(kind: str) -> list[str]:
    """The record of a file and those it uses, in the order in which they are met."""
    found = [kind]
    for name in found:
        for key in RECORDS[name].keys:
            if key.shape.record and key.shape.record not in found:
                found.append(key.shape.record)
    return found


def _record(record: Record, is_file: bool) -> str:
    lines = [] if is_file else [f"### {record.name}\n"]
    lines.append(f"{record.help[0].upper()}{record.help[1:]}.\n")
    for group in record.one_of:
        lines.append(f"Exactly one of: {_quoted(group)}.\n")
    for group in record.at_most_one:
        lines.append(f"At most one of: {_quoted(group)}.\n")
    lines += ["| key | value | default | meaning |", "| --- | --- | --- | --- |"]
    lines += [_row(key) for key in record.keys]
    return "\n".join(lines) + "\n"


def _row(key: Key) -> str:
    default = "required" if key.required else (f"`{key.default}`" if key.default else "")
    return f"| `{key.name}` | {_shape(key.shape)} | {default} | {key.help} |"


def _shape(shape: Shape) -> str:
    match shape.kind:
        case "quantity":
            return f"{_bound(shape.low)} to {_bound(shape.high)} {shape.unit}"
        case "figure":
            return f"{_bound(shape.low)} to {_bound(shape.high)} {shape.unit}, or a named value"
        case "number" | "integer":
            kind = "number" if shape.kind == "number" else "whole number"
            return f"{kind} {_bound(shape.low)} to {_bound(shape.high)}"
        case "capitals":
            return f"{shape.low:.0f} to {shape.high:.0f} capital letters and digits"
        case "choice":
            return _quoted(shape.choices, " or ")
        case "choices":
            return f"one or several of {_quoted(shape.choices)}"
        case "record":
            return f"[{shape.record}](#{shape.record.replace(' ', '-')})"
        case "records":
            return (
                f"list of [{shape.record}](#{shape.record.replace(' ', '-')}), at most {shape.most}"
            )
        case "named records":
            return f"by name, lists of [{shape.record}](#{shape.record.replace(' ', '-')})"
        case "named record":
            return f"by name, [{shape.record}](#{shape.record.replace(' ', '-')})"
    return _KINDS[shape.kind].format(most=shape.most)


_KINDS = {
    "text": "text, one line",
    "prose": "text",
    "stem": "name of a file",
    "texts": "list of texts, at most {most}",
    "flag": "`true` or `false`",
    "position": "position, as `33.41260 S 117.26840 W`",
    "named texts": "by name, lists of texts",
    "named text": "by name, texts",
    "moment": "[moment](#moments)",
    "moments": "[moment](#moments), or a list of at most {most}",
    "when": "duration up to 2700 s, or [moment](#moments)",
    "each": "[moment](#moments) that recurs; `every` is allowed",
    "lever": "`CONTROL` or `CONTROL POSITION`",
}


def _bound(value: float) -> str:
    return f"{value:g}" if abs(value) < 1e6 else f"{value:.0f}"


def _quoted(names: tuple[str, ...], between: str = ", ") -> str:
    return between.join(f"`{name}`" if name else "`''`" for name in names)


def _words() -> str:
    lines = ["## Words of a moment\n", "| word | meaning |", "| --- | --- |"]
    helps = {**moments.PRIMITIVES, **moments.MODIFIERS}
    lines += [f"| `{word}` | {text} |" for word, text in helps.items()]
    return "\n".join(lines) + "\n"


def _controls() -> str:
    lines = [
        "## Controls\n",
        "| control | kind | values | tolerance |",
        "| --- | --- | --- | --- |",
    ]
    for one in CONTROLS.values():
        values = tolerance = ""
        if one.kind == "selector":
            values = f"{_bound(one.low)} to {_bound(one.high)} {one.unit}"
            tolerance = f"{one.tolerance:g} {one.unit}" if one.tolerance else "exact"
        elif one.kind == "lever":
            values = _quoted(one.positions, " or ") if one.positions else "stages or roles"
        lines.append(f"| `{one.name}` | {one.kind} | {values} | {tolerance} |")
    return "\n".join(lines) + "\n"


def _figures() -> str:
    lines = ["## Quantities a moment compares\n", "| subject | bounds |", "| --- | --- |"]
    for name, (unit, low, high, _) in words.SUBJECTS.items():
        lines.append(f"| `{name}` | {_bound(low)} to {_bound(high)} {unit} |")
    lines += ["", "## Named values\n", "| name | unit | stands where is wanted |"]
    lines += ["| --- | --- | --- |"]
    for name, (unit, sort) in words.NAMED_VALUES.items():
        lines.append(f"| `{name}` | {unit} | {sort} |")
    return "\n".join(lines) + "\n"


def _units() -> str:
    kinds: dict[str, list[str]] = {}
    for unit in UNITS.values():
        kinds.setdefault(unit.dimension, []).append(unit.name)
    lines = ["## Units\n", "| of | units |", "| --- | --- |"]
    lines += [f"| {kind} | {_quoted(tuple(names))} |" for kind, names in kinds.items()]
    return "\n".join(lines) + "\n"


def _lists() -> str:
    lists = {
        "phases": words.PHASES,
        "flap roles": words.FLAP_ROLES,
        "fix roles": words.FIX_ROLES,
        "clearances (`grants`, `granted`)": words.GRANTS,
        "areas": words.AREAS,
        "causes": words.CAUSES,
        "severities": words.SEVERITIES,
        "what `changed` names": words.CHANGES,
        "states of a signal": words.SIGNAL_STATES,
        "criteria of a gate": words.CRITERIA,
        "answers to a fault": words.ANSWERS,
        "names in a transmission": words.ATC_NAMES,
    }
    lines = ["## Closed lists\n", "| list | words |", "| --- | --- |"]
    lines += [f"| {name} | {_quoted(known)} |" for name, known in lists.items()]
    lines += [
        f"| annunciator, {column} | {_quoted(known)} |" for column, known in words.MODES.items()
    ]
    return "\n".join(lines) + "\n"


def page(before: str) -> str:
    """The page with its made part made again."""
    head, _, rest = before.partition(BEGIN)
    _, _, tail = rest.partition(END)
    return f"{head}{BEGIN}\n\n{tables()}\n{END}{tail}"


def main() -> None:
    """Write the page."""
    PAGE.write_text(page(PAGE.read_text(encoding="utf-8")), encoding="utf-8")
    print(f"written: {PAGE}")


if __name__ == "__main__":
    main()
