"""The corpus of crews: a crew file each, and beside it what is expected of it.

`correct/EXERCISE/NAME.yaml` gives no finding and a hundred points. `faulty/EXERCISE/NAME.yaml` has
`NAME.txt` beside it with what it gives, line by line; a correct crew has one only if its exercise
differs from the shipped one:

    with: PATH = VALUE          the exercise is changed first (as `vary` writes paths, in YAML)
    drawn: with EVENT           a corner of its variation
    house: NAME                 other words on top of the house's own, of `corpus/crews/NAME.yaml`
    outcome: passed             or repeat
    reason: WORDS               part of the reason of the outcome
    points: 96.90               of a hand-timed crew, worked out by hand in a comment beside it
    finds: VERDICT ITEM         every primary finding; a watch or gate has "watch" or "gate"
    follows: NAME from ITEM     every consequence
    says: WORDS                 part of the first paragraph of the debrief
    # ...                       how the expectation was come by
"""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from tests.crew.crews import exercise
from tests.project.sources import ROOT
from trainer.crew.fly import fly_crew
from trainer.crew.session import Session
from trainer.judge.judgement import Judgement
from trainer.scenario import crew_files, library, nodes
from trainer.scenario.compose import document_of, from_document
from trainer.scenario.draw import NOTHING, corners
from trainer.scenario.exercise import Choose, Exercise

CREWS = ROOT / "tests" / "corpus" / "crews"
KEYS = ("with", "drawn", "house", "outcome", "reason", "points", "finds", "follows", "says")


@dataclass(frozen=True, slots=True)
class Crew:
    """One crew of the corpus, and the lines beside it by their key."""

    path: Path
    lines: dict[str, tuple[str, ...]] = field(default_factory=dict)

    @property
    def name(self) -> str:
        """Exercise and name of the file, as a test is called."""
        return f"{self.path.parent.name}/{self.path.stem}"

    def every(self, key: str) -> tuple[str, ...]:
        """All values of `key`."""
        return self.lines.get(key, ())

    def only(self, key: str) -> str:
        """The one value of `key`, or ""."""
        found = self.every(key)
        assert len(found) <= 1, f"{self.name}: {key} stands twice"
        return found[0] if found else ""

    def findings(self) -> set[tuple[str, str]]:
        """The expected primary findings, as `Judgement.primary` gives them."""
        found = set()
        for line in self.every("finds"):
            verdict, _, item = line.partition(" ")
            found.add((item, verdict))
        return found

    def consequences(self) -> set[tuple[str, str]]:
        """The expected consequences: gate or watch, and the item it follows from."""
        found = set()
        for line in self.every("follows"):
            name, _, item = line.rpartition(" from ")
            found.add((name, item))
        return found


def crews(kind: str) -> list[Crew]:
    """All crews of `kind` ("correct" or "faulty"), by exercise and name."""
    return [
        Crew(path, _lines(path.with_suffix(".txt")))
        for path in sorted((CREWS / kind).glob("*/*.yaml"))
    ]


def _lines(path: Path) -> dict[str, tuple[str, ...]]:
    found: dict[str, tuple[str, ...]] = {}
    if not path.exists():
        return found
    for number, line in enumerate(path.read_text().splitlines(), start=1):
        if not line.strip() or line.startswith("#"):
            continue
        key, _, value = line.partition(": ")
        assert key in KEYS, f"{path.name}:{number}: {key!r} is no key; known are {KEYS}"
        found[key] = (*found.get(key, ()), value.strip())
    return found


def flown(crew: Crew) -> tuple[Session, Judgement]:
    """Fly a crew in its exercise, and judge it."""
    found = exercise_of(crew)
    return fly_crew(found, crew_files.load(crew.path, found))


def exercise_of(crew: Crew) -> Exercise:
    """The exercise a crew flies, with the changes that the lines beside it make."""
    found = exercise(crew.path.parent.name)
    if label := crew.only("drawn"):
        found = dict(corners(found))[label]
    if not crew.every("with") and not crew.only("house"):
        return found
    document = document_of(found)
    for line in crew.every("with"):
        path, _, text = line.partition(" = ")
        _change(document["exercise"], path.split("."), nodes.plain(nodes.parse(text, "with")))
    if house := crew.only("house"):
        other = nodes.plain(library.parse_file(CREWS / f"{house}.yaml"))
        for kind in ("words", "short"):
            document["house"][kind].update(other[kind])
    return from_document(document, _undrawn(found))


def _undrawn(found: Exercise) -> frozenset[str]:
    """The events that the drawing of `found` left out."""
    happen = {event.name for event in found.events} | {NOTHING}
    choices = [one for one in found.variations if isinstance(one, Choose)]
    return frozenset(name for one in choices for name in one.options if name not in happen)


def _change(holder: Any, steps: list[str], value: Any) -> None:
    for step in steps[:-1]:
        holder = holder[int(step) - 1] if isinstance(holder, list) else holder[step]
    if not isinstance(holder, list):
        holder[steps[-1]] = value
    elif (place := int(steps[-1]) - 1) == len(holder):
        holder.append(value)
    else:
        holder[place] = value
