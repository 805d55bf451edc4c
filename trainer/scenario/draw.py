"""What a seed changes: drawn values and chosen events, each independent of the others.

Owns the draw: a hash of seed and path, never a random source, so that one more varied value
shifts no other. Surprising rule: seed 0 is the exercise as written, with the first of each choice;
a drawn exercise keeps the stored form and digest of the written one, and only names its seed.
"""

from __future__ import annotations

import hashlib
from dataclasses import replace
from typing import Any, NamedTuple

from trainer.scenario import quantities
from trainer.scenario.compose import document_of, from_document, varied
from trainer.scenario.exercise import Choose, Exercise, Vary

NOTHING = "nothing"
"""The choice in which none of the listed events happens."""


class Corner(NamedTuple):
    """One place of the variation: varied values by path, and what each choice (by place) takes."""

    label: str
    values: dict[str, str]
    choices: dict[int, str]


def share(seed: int, path: str) -> float:
    """A number in [0, 1) that depends on `seed` and `path` alone."""
    digest = hashlib.sha256(f"{seed}:{path}".encode()).digest()
    # 53 bits are all that a float holds; more could round up to 1.
    return int.from_bytes(digest, "big") // (1 << 203) / float(1 << 53)


def draw(exercise: Exercise, seed: int) -> Exercise:
    """`exercise` as `seed` draws it (0 = as written).

    Args:
        exercise: a composed exercise, drawn or not.
        seed: 0 or any whole number.

    Returns:
        The drawn exercise; `digest` and `canonical` are those of the written one.
    """
    place = _place_of(exercise, seed)
    dropped = _dropped(exercise, place.choices)
    if exercise.seed == 0 and not place.values and not dropped:
        return replace(exercise, seed=seed)  # nothing varies: it is built already
    built = varied(exercise, _document(exercise, place.values), dropped)
    return replace(built, seed=seed)


def seed_label(exercise: Exercise, seed: int) -> str:
    """`seed` with what it draws, to be read: "seed 3 (weather.wind.2.speed at 17 kt)"."""
    place = _place_of(exercise, seed)
    return f"seed {seed} ({place.label})" if place.label else f"seed {seed}"


def _place_of(exercise: Exercise, seed: int) -> Corner:
    """Where in its variation a seed draws an exercise."""
    values: dict[str, str] = {}
    choices: dict[int, str] = {}
    for place, variation in enumerate(exercise.variations, start=1):
        if isinstance(variation, Choose):
            count = len(variation.options)
            at = 0 if seed == 0 else min(count - 1, int(share(seed, f"choose.{place}") * count))
            choices[place] = variation.options[at]
        elif seed != 0:
            values[variation.path] = drawn_value(variation, share(seed, variation.path))
    told = [f"{path} at {text}" for path, text in values.items()]
    told += [f"with {option}" for option in choices.values()]
    return Corner(", ".join(told), values, choices)


def drawn_value(variation: Vary, at: float) -> str:
    """The value at the share `at` (0..1) of a range, as text in the unit it was written in."""
    low, high, unit = _range(variation)
    value = quantities.rounded(low + at * (high - low), unit)
    return quantities.written(min(high, max(low, value)), unit)


def _range(variation: Vary) -> tuple[float, float, str]:
    unit = variation.low.lstrip("+-0123456789. ")
    low = quantities.parse(variation.low, unit)
    return low.value, quantities.parse(variation.high, unit).value, unit


def corners(exercise: Exercise) -> list[tuple[str, Exercise]]:
    """The exercise at the ends of its variation, each with a label.

    Each varied value at both ends (the others as written), each option of each choice, then all
    values low and all high. Empty if nothing varies. Each is a stored exercise of its own.
    """
    places = [*single_ends(exercise), *_options(exercise), *_together(exercise)]
    return [(place.label, at_corner(exercise, place)) for place in places]


def single_ends(exercise: Exercise) -> list[Corner]:
    """Each varied value at its low and at its high end, the others as written."""
    first = first_choices(exercise)
    return [
        Corner(f"{one.path} at {text}", {one.path: drawn_value(one, at)}, first)
        for one in varied_values(exercise)
        for at, text in ((0.0, one.low), (1.0, one.high))
    ]


def varied_values(exercise: Exercise) -> list[Vary]:
    """What is varied by value."""
    return [one for one in exercise.variations if isinstance(one, Vary)]


def first_choices(exercise: Exercise) -> dict[int, str]:
    """The first option of each choice, by its place: as written."""
    return {
        place: one.options[0]
        for place, one in enumerate(exercise.variations, start=1)
        if isinstance(one, Choose)
    }


def _options(exercise: Exercise) -> list[Corner]:
    first = first_choices(exercise)
    found = []
    for place, choice in enumerate(exercise.variations, start=1):
        if isinstance(choice, Choose):
            others = dict.fromkeys(choice.options[1:])
            found += [
                Corner(f"with {option}", {}, {**first, place: option})
                for option in others
                if option != choice.options[0]
            ]
    return found


def _together(exercise: Exercise) -> list[Corner]:
    varied = varied_values(exercise)
    if len(varied) < 2:
        return []
    return [
        Corner(label, {one.path: drawn_value(one, at) for one in varied}, first_choices(exercise))
        for at, label in ((0.0, "all values low"), (1.0, "all values high"))
    ]


def at_corner(exercise: Exercise, place: Corner) -> Exercise:
    """The exercise at one place of its variation, as a stored exercise of its own."""
    return from_document(_document(exercise, place.values), _dropped(exercise, place.choices))


def _dropped(exercise: Exercise, choices: dict[int, str]) -> frozenset[str]:
    gone: list[str] = []
    for place, option in choices.items():
        variation = exercise.variations[place - 1]
        assert isinstance(variation, Choose)
        gone.extend(name for name in variation.options if name not in (option, NOTHING))
    return frozenset(gone)


def _document(exercise: Exercise, values: dict[str, str]) -> dict[str, Any]:
    document = document_of(exercise)
    for path, text in values.items():
        steps = path.split(".")
        holder: Any = document["exercise"]
        for step in steps[:-1]:
            holder = holder[int(step) - 1] if isinstance(holder, list) else holder[step]
        holder[steps[-1]] = text
    return document
