"""The page `docs/coverage.md`: which exercise asks for what: `python -m tests.crew.coverage`.

Flown, not claimed: the perfect crew in each exercise as written and with each event that can be
drawn, the crew of each trap, and the faulty crews of the corpus. An item counts where it was
reached. A watch counts where it is in force; beside it stands a crew that breaks it.
"""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

from tests.crew.corpus import Crew, crews, flown
from tests.crew.crews import exercise
from trainer.briefing.assumptions import exercise_for
from trainer.judge.judgement import Judgement
from trainer.proof.prove import fly_perfect
from trainer.scenario.book import book_of
from trainer.scenario.draw import corners
from trainer.scenario.exercise import Flow
from trainer.scenario.library import default_library

_DERIVED = re.compile(r"read back |answer to |set .*\(")
"""Items that an event of an exercise makes, not the flow."""
PAGE = Path(__file__).parents[2] / "docs" / "coverage.md"

HEAD = """# What the exercises cover

For training on fictional types; not for navigation or real flight; operator manuals, current charts
and licensed instructors come first.

For each flow: its items with the number of exercises in which they were reached, and the first
three; its watches with the number of exercises in which they are in force, and a crew of the tests
that breaks them. Counted by flying: the perfect crew in each exercise as written and with each
event that can be drawn, the crew of each trap, and the faulty crews of the tests. An item of one
name counts in every flow that has it. This page is written by `python -m tests.crew.coverage`.
"""


def reached(name: str) -> set[str]:
    """Names of the items that came due in some flight of an exercise."""
    found = exercise(name)
    drawn = [one for label, one in corners(found) if label.startswith("with ")]
    judged = [fly_perfect(one, book_of(one))[1] for one in (found, *drawn)]
    judged += [fly_perfect(found, book_of(found), trap.edits)[1] for trap in found.traps]
    judged += [flown(crew)[1] for crew in _faulty(name)]
    return {item for one in judged for item in _asked(one)}


def _faulty(name: str) -> list[Crew]:
    return [crew for crew in crews("faulty") if crew.path.parent.name == name]


def _asked(judgement: Judgement) -> set[str]:
    names = {one.item for one in judgement.items if one.verdict != "not reached"}
    return names | {name.rstrip("0123456789").rstrip() for name in names}


@cache
def breaking() -> dict[str, str]:
    """A crew of the corpus that breaks each watch, as its lines say."""
    found: dict[str, str] = {}
    for crew in crews("faulty"):
        watches = [one.removeprefix("watch ") for one in crew.every("finds") if "watch " in one]
        watches += [one.rpartition(" from ")[0] for one in crew.every("follows")]
        for watch in watches:
            found.setdefault(watch, crew.name)
    return found


def flows() -> list[Flow]:
    """Every shipped flow as its file says."""
    library = default_library()
    return [exercise_for(name, library).flow for name in library.names("flow")]


def page() -> str:
    """The whole page; flies some two hundred flights."""
    names = default_library().names("exercise")
    found = {name: reached(name) for name in names}
    watched = {name: {one.name for one in exercise(name).flow.watches} for name in names}
    lines = [HEAD]
    for flow in flows():
        lines += [f"## {flow.title} (`{flow.name}`)\n", "| item | exercises | such as |"]
        lines.append("| --- | --- | --- |")
        for item in (*flow.items, *flow.go_around):
            if _DERIVED.match(item.name):
                continue
            lines.append(_row(item.name, [name for name in names if item.name in found[name]]))
        lines += ["", "| watch | in force in | broken by |", "| --- | --- | --- |"]
        for watch in flow.watches:
            count = len([name for name in names if watch.name in watched[name]])
            lines.append(f"| {watch.name} | {count} | {breaking().get(watch.name, '–')} |")
        lines.append("")
    return "\n".join(lines)


def _row(name: str, where: list[str]) -> str:
    return f"| {name} | {len(where)} | {', '.join(where[:3]) or '–'} |"


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8")
    print(f"written: {PAGE}")
