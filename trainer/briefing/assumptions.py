"""One page of what a flow takes for granted, for a pilot or instructor to compare with their own.

Made of the flow, the type and the house; it says nothing that they do not. Surprising rule: an
exercise lends its place and type only. What it changes in the flow is left out, because the page
is about the procedure.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from trainer.briefing.layout import table, wrap
from trainer.briefing.told import figure_text, moment_text
from trainer.errors import UserError, did_you_mean
from trainer.scenario import nodes
from trainer.scenario.compose import compose
from trainer.scenario.exercise import Exercise, Item
from trainer.scenario.library import Library, parse_file
from trainer.scenario.moments import START, Moment
from trainer.text import NOTICE, quoted

_OURS = "_" * 12
_OF_EXERCISES = ("changes", "vary", "traps", "slips", "watches")
_PLACED = ("energy", "guidance", "setup", "landing")
_UNITS = {
    "localizer": "dot", "glideslope": "dot", "path": "ft", "speed above": "kt", "speed below": "kt",
    "track": "dot", "sink": "ft/min", "sink rate": "ft/min", "bank": "deg", "thrust idle": "s",
}  # fmt: skip
_LIMIT_NAMES = {"glideslope": "glide path"}


def exercise_for(flow: str, library: Library) -> Exercise:
    """A flow as it stands, at the place and with the type of the first exercise that flies it.

    Raises UserError if there is no such flow, or no exercise that flies it.
    """
    if library.find("flow", flow) is None:
        raise UserError(
            f"there is no flow {quoted(flow)}{did_you_mean(flow, library.names('flow'))}"
        )
    for name in library.names("exercise"):
        path = library.exercise_path(name)
        written = nodes.plain(node := parse_file(path))
        if isinstance(written, dict) and written.get("flow") == flow:
            kept = {key: value for key, value in written.items() if key not in _OF_EXERCISES}
            return compose(nodes.from_plain(kept, node.source), name, library.beside(path))
    raise UserError(f"no exercise flies the flow {quoted(flow)}; expected one that names it")


def assumptions_text(exercise: Exercise, cells: int = 80) -> str:
    """The page in lines of at most `cells` cells (from 72): figures to compare, and room beside."""
    flow = exercise.flow
    lines = wrap(f"Assumptions of this procedure: {flow.title}", cells)
    lines += wrap(f"Flow {flow.name}, type {exercise.aircraft.title}.", cells)

    def section(title: str, body: Sequence[str]) -> None:
        lines.extend(["", title, "-" * len(title), *body])

    section("Gates and limits", _limits(exercise, cells))
    section("Steps: where a good crew takes them, and yours", _steps(exercise, cells))
    section("Calls and checklists", _calls(exercise, cells))
    section("Decisions", _decisions(exercise, cells))
    section("Going around, or discontinuing, in this order", wrap(_order(flow.go_around), cells))
    lines += ["", *wrap(NOTICE, cells)]
    return "\n".join(lines)


def _limits(exercise: Exercise, cells: int) -> list[str]:
    lines = []
    for gate in exercise.flow.gates:
        criteria = "; ".join(
            f"{one.name} {one.text}" if one.text else _limit(one.name, one.limit)
            for one in gate.criteria
        )
        lines += wrap(f"{gate.name} at {gate.height_ft:.0f} ft: {criteria}", cells, "  ")
    if exercise.flow.pilots > 1:
        calls = "; ".join(_limit(name, value) for name, value in exercise.house.limits)
        lines += wrap(f"deviations are called from: {calls}", cells, "  ")
    else:
        lines.append("one pilot alone calls no deviations")
    if exercise.flow.add_on_ft:
        lines.append(f"added to a minimum descent altitude: {exercise.flow.add_on_ft:.0f} ft")
    return lines


def _limit(name: str, value: float) -> str:
    return f"{_LIMIT_NAMES.get(name, name)} {value:g} {_UNITS[name]}"


def _steps(exercise: Exercise, cells: int) -> list[str]:
    rows = [
        (item.name, _where(item, exercise), _OURS)
        for item in exercise.flow.items
        if item.area in _PLACED and item.act.kind in ("do", "set")
    ]
    return table(("step", "here", "ours"), rows, cells)


def _told(moment: Moment, exercise: Exercise) -> str:
    """`moment` in words; the place is borrowed, so its final fix goes by its role."""
    fix = exercise.approach.final_fix.name
    return moment_text(moment).replace(f"{fix} passed", "final fix passed")


def _where(item: Item, exercise: Exercise) -> str:
    if item.aim is not None and not isinstance(item.aim, float):
        return _told(item.aim, exercise)
    opens = item.each or item.opens
    text = _told(opens, exercise)
    return f"within {item.due:g} s" if opens == START and isinstance(item.due, float) else text


def _calls(exercise: Exercise, cells: int) -> list[str]:
    flow = exercise.flow
    said = [item.name for item in flow.items if item.act.kind == "say" and item.area != "decision"]
    lines = wrap(f"said: {'; '.join(said)}", cells, "  ")
    lines += wrap(f"mode changes said: {', '.join(flow.announce)}", cells, "  ")
    for one in flow.checklists:
        answers = "; ".join(f"{line.challenge}: {line.answer}" for line in one.lines)
        lines += wrap(f"{one.name} checklist: {answers}", cells, "  ")
    return lines


def _decisions(exercise: Exercise, cells: int) -> list[str]:
    lines = []
    for item in exercise.flow.items:
        if item.area == "decision":
            lines += wrap(f"{item.name}: {_told(item.opens, exercise)}", cells, "  ")
    return lines


def _order(items: Iterable[Item]) -> str:
    steps = []
    for item in items:
        figure = item.act.figure
        value = f" ({figure_text(figure, '')})" if figure is not None else ""
        steps.append(item.name + value)
    return " > ".join(steps)
