"""The page `docs/steps.md`: why each step is made, and where: `python -m tests.crew.steps`.

One exercise of each flow is flown as written by the perfect crew; what it does is listed in its
order with miles, height and speed, then what was not called for. A flow that builds on another
lists what it has of its own.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from trainer.proof.prove import fly_perfect
from trainer.proof.timeline import timeline
from trainer.scenario.book import book_of
from trainer.scenario.compose import load
from trainer.scenario.draw import draw
from trainer.scenario.exercise import Exercise
from trainer.scenario.library import default_library
from trainer.scenario.procedure import recurring_part

PAGE = Path(__file__).parents[2] / "docs" / "steps.md"
FLOWN = {
    "jet-ils": "straight-in",
    "jet-loc": "localizer-only",
    "jet-autoland": "to-the-stop",
    "jet-ils-decelerating": "second-gate",
    "jet-rnp": "cold-path",
    "turboprop-ils": "turboprop-ils",
    "piston-ils": "by-radial",
    "business-jet-ils": "glide-first",
}
"""The exercise that shows each flow, the one on which the others build first."""
HEAD = """# Why each step

For training on fictional types; not for navigation or real flight; operator manuals, current charts
and licensed instructors come first.

What a crew does in each procedure of this program and why, with the miles to the threshold, the
indicated altitude and the airspeed at which a good crew does it in the exercise named, flown as
written. What is on time is decided by wind, mass and temperature of the day: the figures are those
of one flight and no rule. The sources are those of the procedure files. This page is written by
`python -m tests.crew.steps`.
"""


def page() -> str:
    """The whole page; flies one flight a flow."""
    lines = [HEAD]
    told: set[tuple[str, str]] = set()
    for flow, name in FLOWN.items():
        exercise = draw(load(name, default_library()), 0)
        assert exercise.flow.name == flow
        reasons = {
            item.name: (item.why, item.source)
            for item in exercise.flow.every_item
            if item.why and (item.name, item.why) not in told
        }
        lines += _part(exercise, reasons)
        told |= {(name, why) for name, (why, _) in reasons.items()}
    return "\n".join(lines)


def _part(exercise: Exercise, reasons: Mapping[str, tuple[str, str]]) -> list[str]:
    """A flow as flown: its steps with their reasons and sources, then what was not called for."""
    lines = [f"## {exercise.flow.title} (`{exercise.flow.name}`)", ""]
    lines += [f"Flown in *{exercise.title}*: {exercise.lesson}", ""]
    lines += ["| step | NM | ft | kt | why | source |", "| --- | --- | --- | --- | --- | --- |"]
    session, _ = fly_perfect(exercise, book_of(exercise))
    rows = session.flight.rows
    rest = dict(reasons)
    done = [one for one in timeline(session.tracker, rows) if one.done is not None]
    for entry in sorted(done, key=lambda one: one.done or 0):
        step = entry.item if entry.item in rest else recurring_part(entry.item)
        if step not in rest:
            continue
        why, source = rest.pop(step)
        row = rows[min(entry.done or 0, len(rows) - 1)]
        lines.append(
            f"| {step} | {row.distance_nm:.1f} | {row.altitude_ft:.0f} "
            f"| {row.cas_kt:.0f} | {why} | {source} |"
        )
    if rest:
        lines += ["", "Not called for in that flight:", "", "| step | why | source |"]
        lines.append("| --- | --- | --- |")
        lines += [f"| {step} | {why} | {source} |" for step, (why, source) in rest.items()]
    return [*lines, ""]


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8")
    print(f"written: {PAGE}")
