"""An exercise that can be flown as it is written, but not everywhere in its variation.

Owns which places of the variation are tried on paper, before anything is flown: every end of every
varied value, every combination of ends (of pairs, where many values vary), directions in between.
Surprising rule: a wind that turns is worst somewhere inside its range, so directions are tried in
steps; of everything else the ends are worst.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterator
from itertools import combinations, product
from pathlib import Path

from trainer.errors import FileProblems, Problem
from trainer.scenario import flyability, library, quantities
from trainer.scenario.checks import never_coming
from trainer.scenario.draw import (
    Corner,
    at_corner,
    drawn_value,
    first_choices,
    single_ends,
    varied_values,
)
from trainer.scenario.exercise import Exercise, Vary
from trainer.scenario.fields import Fields, read
from trainer.scenario.nodes import Mapping, Node, Scalar, Sequence
from trainer.scenario.openings import reach_of
from trainer.scenario.reading import Reading

ALL_COMBINED = 6
"""Up to so many varied values all combinations of their ends are tried; above, those of pairs."""
DIRECTION_STEP_DEG = 15.0
"""How far apart directions inside a range are tried, degrees."""

_Wrong = tuple[Hashable, str]
"""What is wrong: what it is about (told once for all places), and the message."""


def check_ends(exercise: Exercise, path: Path) -> None:
    """Raise FileProblems if the exercise cannot be flown at some place of its variation.

    Problems stand at the entry of `vary` that leads there, each with the fewest values that do.

    Args:
        exercise: as composed from the file at `path`, flyable as written.
        path: its file.
    """
    varied = varied_values(exercise)
    if not varied:
        return
    root = library.parse_file(path)
    fields = read(root, "exercise", Reading())
    assert fields is not None
    problems: list[Problem] = []
    told: set[Hashable] = set()
    for place in _places(exercise, varied):
        for about, message in _wrong(exercise, place, fields):
            if about not in told:
                told.add(about)
                at = _entry_of(root, place)
                problems.append(at.problem(f"with {place.label}: {message}"))
    if problems:
        raise FileProblems(problems)


def _wrong(exercise: Exercise, place: Corner, fields: Fields) -> Iterator[_Wrong]:
    """Everything that is wrong at one place of the variation."""
    try:
        drawn = at_corner(exercise, place)
    except FileProblems as error:
        for problem in error.problems:
            yield ("file", problem.message), problem.message
        return
    for finding in flyability.findings(drawn):
        yield (finding.place, finding.name), finding.message
    # With the events of all choices: which of them happen is another matter.
    for node, message in never_coming(exercise, fields, reach_of(drawn, exercise.events)):
        yield ("moment", node.line, node.column), message


def _places(exercise: Exercise, varied: list[Vary]) -> Iterator[Corner]:
    """The places to try: those with one value first, so that the others repeat nothing."""
    yield from single_ends(exercise)
    first = first_choices(exercise)
    turning = [one for one in varied if one.low.endswith("deg")]
    for one in turning:
        for at in _inner_shares(one):
            yield _corner([(one, at)], first)
    if len(varied) <= ALL_COMBINED:
        groups = [varied] if len(varied) > 1 else []
    else:
        groups = [list(pair) for pair in combinations(varied, 2)]
    for group in groups:
        for ends in product((0.0, 1.0), repeat=len(group)):
            yield _corner(list(zip(group, ends, strict=True)), first)
    for one in turning:
        others = [other for other in varied if other is not one]
        for end in (0.0, 1.0) if others else ():
            for at in _inner_shares(one):
                yield _corner([(one, at), *((other, end) for other in others)], first)


def _inner_shares(one: Vary) -> list[float]:
    """Where inside a range of directions it is tried, as shares of the range."""
    low, high = (quantities.parse(text, "deg").value for text in (one.low, one.high))
    count = int((high - low) / DIRECTION_STEP_DEG)
    shares = [step * DIRECTION_STEP_DEG / (high - low) for step in range(1, count + 1)]
    return [share for share in shares if share < 1.0]


def _corner(taken: list[tuple[Vary, float]], choices: dict[int, str]) -> Corner:
    values = {one.path: drawn_value(one, at) for one, at in taken}
    label = " and ".join(f"{path} at {text}" for path, text in values.items())
    return Corner(label, values, choices)


def _entry_of(root: Node, place: Corner) -> Node:
    """The path in `vary` of the value that leads to a place; the whole list if several do."""
    found = root.get("vary") if isinstance(root, Mapping) else None
    if isinstance(found, Sequence) and len(place.values) == 1:
        for entry in found.items:
            value = entry.get("value") if isinstance(entry, Mapping) else None
            if isinstance(value, Scalar) and value.text in place.values:
                return value
    return found or root
