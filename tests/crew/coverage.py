"""The page `docs/coverage.md`: which exercise asks for what: `python -m tests.crew.coverage`.

Flown, not claimed: the perfect crew in each exercise as written and with each event that can be
drawn, the crew of each trap, and the faulty crews of the corpus. An item counts where it was
reached. A watch counts where it is in force; beside it stands a crew that breaks it. A law of the
guidance counts where a fact of a flight shows that it came into effect; an option of a type counts
where that type is flown.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from functools import cache
from pathlib import Path
from typing import NamedTuple

from tests.crew.corpus import Crew, crews, flown
from tests.crew.crews import exercise
from tests.guidance.page import TYPES, option_rows, types
from trainer.briefing.assumptions import exercise_for
from trainer.flight.acts import Fact
from trainer.judge.judgement import Judgement
from trainer.proof.prove import fly_perfect
from trainer.scenario.book import book_of
from trainer.scenario.draw import corners
from trainer.scenario.exercise import Flow
from trainer.scenario.library import default_library
from trainer.scenario.procedure import recurring_part

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
name counts in every flow that has it. At the end stand the laws of the guidance, counted where the
annunciator or a refused press shows them in effect, and the choices of the types, counted where
such a type is flown, whether or not the choice made a difference there. This page is written by
`python -m tests.crew.coverage`.
"""


LAWS = {
    "a press of approach mode arms LOC": r"mode lateral armed: .* to LOC; approach mode pressed",
    "a press of approach mode arms GLIDE where it is received":
        r"mode vertical armed: .* to GLIDE; approach mode pressed",
    "early arming: a computed path is armed":
        r"mode vertical armed: .* to PATH; glide path not received",
    "early arming: GLIDE is armed and waits":
        r"mode vertical armed: .* to GLIDE; glide path not received",
    "early arming: nothing is armed": r"refused approach mode: .*no glide path received",
    "approach mode on an RNP final arms PATH": r"mode vertical armed: .* path armed$",
    "a refused press says why": r"refused [a-z -]+: .* ignored: ",
    "a second press of approach mode disarms": r"mode .*; approach mode pressed again",
    "localizer mode drops an approach": r"mode .*; localizer mode pressed: approach dropped",
    "an approach is left by a basic mode": r"mode vertical armed: .*approach left with",
    "an approach is not left by a basic mode": r"refused .*: approach captured: only a go-around",
    "NAV is inert behind a captured localizer": r"refused nav mode: .*captured in approach",
    "LOC is captured": r"mode lateral: .*; localizer captured",
    "GLIDE is captured": r"mode vertical: .*; glide path captured",
    "GLIDE is captured before the localizer":
        r"mode vertical: .*; glide path captured while (HDG|NAV)",
    "PATH is captured, computed": r"mode vertical: .*; computed path captured",
    "PATH is captured, of an RNP final": r"mode vertical: .*; (LPV|LNAV/VNAV) path captured",
    "NAV takes a coded leg": r"mode lateral: .*; (coded leg captured|nav mode pressed)",
    "the coded descent is captured": r"mode vertical: .*; coded path captured",
    "VOR is captured": r"mode lateral: .*; VOR course captured",
    "ALT CAP takes the selected altitude": r"mode vertical: .*; selected altitude captured",
    "ALT follows on ALT CAP": r"mode vertical: .*; level at the captured altitude",
    "the selector turned in ALT CAP: the target is kept": r"turned altitude: kept",
    "the selector turned in ALT CAP: back to VS": r"mode vertical: ALT CAP .*selector turned",
    "CLIMB or DESCEND hold the speed with pitch": r"mode vertical: .* to (CLIMB|DESCEND);",
    "VS": r"mode vertical: .* to VS; vertical speed mode pressed",
    "a go-around leaves any approach": r"mode vertical: (GLIDE|PATH|FLARE) to GA;",
    "autopilot and flight director off leave any approach":
        r"mode vertical.*: (GLIDE|PATH) to .*autopilot and flight director off",
    "a lost localizer is held, then given up": r"mode lateral: .*; localizer lost",
    "a lost glide path is held, then given up": r"mode vertical: .*; glide path lost",
    "a lost position is held, then given up": r"mode lateral: .*; position lost",
    "a lost level of service is held, then given up": r"mode vertical.*; level of service .* lost",
    "a lost VOR is held, then given up": r"mode lateral: .*; VOR lost",
    "both autopilots in an approach": r"mode engagement: .* to AP BOTH;",
    "the autopilot leaves below its height": r"mode engagement: .*below its minimum height",
    "an autopilot fails": r"mode engagement: .*autopilot \d failed",
    "a receiver fails": r"mode engagement: .*receiver \d failed",
    "two courses that differ": r"mode engagement: .*course",
    "the capability PASSIVE": r"mode capability: .* to PASSIVE;",
    "the capability OPERATIONAL": r"mode capability: .* to OPERATIONAL;",
    "a capability falls": r"mode capability: OPERATIONAL to PASSIVE;",
    "ALIGN": r"mode lateral: .* to ALIGN;",
    "FLARE": r"mode vertical: .* to FLARE;",
    "thrust closed for the landing": r"mode thrust: .*thrust closed for the landing",
    "ROLLOUT": r"mode lateral: .* to ROLLOUT;",
    "autothrust off and power by hand": r"mode thrust: .* to OFF;",
    "a speed out of reach is flown at its bound": r"protected speed:",
}  # fmt: skip
"""Each law of the guidance, and the fact (see `told`) that shows it in effect."""


class Seen(NamedTuple):
    """What came up in the flights of one exercise: items that came due, and laws in effect."""

    items: frozenset[str]
    laws: frozenset[str]


def seen(name: str) -> Seen:
    """Fly everything an exercise is counted by."""
    found = exercise(name)
    drawn = [one for label, one in corners(found) if label.startswith("with ")]
    flights = [fly_perfect(one, book_of(one)) for one in (found, *drawn)]
    flights += [fly_perfect(found, book_of(found), trap.edits) for trap in found.traps]
    flights += [flown(crew) for crew in _faulty(name)]
    lines = {line for session, _ in flights for line in told(session.flight.facts)}
    laws = {law for law, pattern in LAWS.items() if any(re.match(pattern, one) for one in lines)}
    items = {item for _, judged in flights for item in _asked(judged)}
    return Seen(frozenset(items), frozenset(laws))


def told(facts: Iterable[Fact]) -> Iterator[str]:
    """What guidance did, a line each; marks GLIDE before LOC and a selector turned in ALT CAP."""
    lateral = vertical = ""
    turned = -1
    for fact in facts:
        if 0 <= turned < fact.step:
            turned = -1
            yield "turned altitude: kept"
        if fact.kind == "mode":
            if turned == fact.step and fact.name == "vertical":
                turned = -1
            reason = fact.reason
            if fact.detail == "GLIDE" and lateral in ("HDG", "NAV"):
                reason = f"{reason} while {lateral}"
            lateral = fact.detail if fact.name == "lateral" else lateral
            vertical = fact.detail if fact.name == "vertical" else vertical
            yield f"mode {fact.name}: {fact.before} to {fact.detail}; {reason}"
        elif fact.kind in ("refused", "protected"):
            yield f"{fact.kind} {fact.name}: {fact.reason}"
        elif fact.kind == "acted" and fact.name == "altitude" and vertical == "ALT CAP":
            turned = fact.step


def _faulty(name: str) -> list[Crew]:
    return [crew for crew in crews("faulty") if crew.path.parent.name == name]


def _asked(judgement: Judgement) -> set[str]:
    names = {one.item for one in judgement.items if one.verdict != "not reached"}
    return names | {recurring_part(name) or name for name in names}


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
    return written({name: seen(name) for name in names})


def written(found: dict[str, Seen]) -> str:
    """The page of what was seen in each exercise."""
    names = list(found)
    watched = {name: {one.name for one in exercise(name).flow.watches} for name in names}
    lines = [HEAD]
    for flow in flows():
        lines += [f"## {flow.title} (`{flow.name}`)\n", "| item | exercises | such as |"]
        lines.append("| --- | --- | --- |")
        for item in (*flow.items, *flow.go_around):
            if _DERIVED.match(item.name):
                continue
            lines.append(
                _row(item.name, [name for name in names if item.name in found[name].items])
            )
        lines += ["", "| watch | in force in | broken by |", "| --- | --- | --- |"]
        for watch in flow.watches:
            count = len([name for name in names if watch.name in watched[name]])
            lines.append(f"| {watch.name} | {count} | {breaking().get(watch.name, '–')} |")
        lines.append("")
    lines += [*_laws(found), "", *_options(names)]
    return "\n".join(lines) + "\n"


def _laws(found: dict[str, Seen]) -> list[str]:
    """The table of laws."""
    lines = ["## Laws of the guidance\n", "| law | exercises | such as |", "| --- | --- | --- |"]
    return lines + [_row(law, [name for name in found if law in found[name].laws]) for law in LAWS]


def _options(names: list[str]) -> list[str]:
    """The table of what the types choose: a row for each choice."""
    kinds = types()
    flown_in = [[one for one in names if exercise(one).aircraft.name == kind] for kind in TYPES]
    lines = ["## Options of the types\n", "| option: choice | exercises | such as |"]
    lines.append("| --- | --- | --- |")
    for option in option_rows(kinds):
        for value in dict.fromkeys(option.values):
            where = [flown_in[at] for at, one in enumerate(option.values) if one == value]
            lines.append(_row(f"{option.name}: {value}", sorted(set().union(*where))))
    return lines


def _row(name: str, where: list[str]) -> str:
    return f"| {name} | {len(where)} | {', '.join(where[:3]) or '–'} |"


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8")
    print(f"written: {PAGE}")
