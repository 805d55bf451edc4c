"""Our procedure differs: a finding becomes an override in the user's own house file, and back.

Owns which file an override goes to; which one answers which verdict is known to `overrides`.
Surprising rule: the house that came with the program is copied into the user's own folder before
it is changed.
"""

from __future__ import annotations

from pathlib import Path
from tempfile import TemporaryDirectory

from trainer import paths
from trainer.errors import FileProblems, UserError, did_you_mean
from trainer.judge.judgement import ItemVerdict, Judgement
from trainer.report.output import replace_own
from trainer.report.overrides import keep_what_a_gate_asks_for, override
from trainer.scenario import compose, differing
from trainer.scenario.exercise import Exercise
from trainer.scenario.library import Library, default_library, shown_path
from trainer.scenario.vocabulary.tables import KINDS
from trainer.text import quoted
from trainer.values import dataclass


@dataclass(frozen=True, slots=True)
class Differing:
    """An override: what it means, its line, the file it stands or would stand in."""

    meaning: str
    line: str
    path: Path

    @property
    def is_written(self) -> bool:
        """Whether the file has it."""
        return differing.holds(_text(self.path), self.line)


def how_it_differs(exercise: Exercise, verdict: ItemVerdict) -> Differing:
    """The override that makes what was done on an item right in this house.

    Raises:
        UserError: no procedure makes it right, or there is no file to write it into.
    """
    line, meaning = override(exercise, verdict)
    found = Differing(meaning, line, _place(exercise.house.name))
    if not found.is_written:  # an older version may have written it; it can be taken back
        keep_what_a_gate_asks_for(exercise, verdict)
    return found


def write(exercise: Exercise, found: Differing) -> None:
    """Put the override into its file; the new file must be valid with the exercise.

    Raises:
        UserError: it would not be valid, or cannot be written.
    """
    name = exercise.house.name
    before = _text(found.path) or _built_in(name)
    if differing.holds(before, found.line):
        return
    after = differing.with_change(before, found.line)
    if after is None:
        raise UserError(
            f"{shown_path(found.path)}: its changes stand on one line; "
            f"expected one entry a line; add by hand: {found.line}"
        )
    _check(exercise, after, found)
    replace_own(found.path, after)


def take_back(exercise: Exercise, found: Differing) -> None:
    """Take the override out of its file again; a copy that then differs in nothing goes.

    Raises UserError if it does not stand there, or the file cannot be written.
    """
    before = _text(found.path)
    if not differing.holds(before, found.line):
        raise UserError(f"{shown_path(found.path)}: no such override; nothing was changed")
    after = differing.without_change(before, found.line)
    if after == _built_in(exercise.house.name) and _is_own(found.path):
        found.path.unlink()
    else:
        replace_own(found.path, after)


def finding_called(judgement: Judgement, name: str) -> ItemVerdict:
    """The item of that name, also as the debrief calls it: "mode call 2 (glide captured)".

    Raises UserError if there is none.
    """
    for item in judgement.items:
        if name == item.item or name.startswith(f"{item.item} ("):
            return item
    names = [item.item for item in judgement.items]
    raise UserError(f"there is no item {quoted(name)}{did_you_mean(name, names)}")


# Files ------------------------------------------------------------------------------------------


def _place(house: str) -> Path:
    """The user's own file of that house; where it would be, if only the built-in one is there."""
    entry = default_library().find("house", house)
    if entry is None:
        raise UserError(
            f"the house {quoted(house)} is in neither your scenario folder nor the program"
        )
    if entry.root == paths.built_in_scenarios():
        return paths.user_scenarios() / KINDS["house"] / f"{house}.yaml"
    return entry.path


def _is_own(path: Path) -> bool:
    return path.is_relative_to(paths.user_scenarios())


def _text(path: Path) -> str:
    try:
        return path.read_text(encoding="utf-8")
    except FileNotFoundError:
        return ""
    except (OSError, ValueError) as error:
        raise UserError(f"{shown_path(path)}: cannot be read: {error}") from None


def _built_in(house: str) -> str:
    return _text(paths.built_in_scenarios() / KINDS["house"] / f"{house}.yaml")


def _check(exercise: Exercise, text: str, found: Differing) -> None:
    """Refuse a house with which the exercise could not be read."""
    library = default_library()
    with TemporaryDirectory() as folder:
        file = Path(folder) / KINDS["house"] / f"{exercise.house.name}.yaml"
        file.parent.mkdir()
        file.write_text(text, encoding="utf-8")
        try:
            compose.load(_exercise_with(exercise, library), Library((Path(folder), *library.roots)))
        except FileProblems as error:
            raise UserError(
                f"{found.meaning}: the procedure hangs together with it, so nothing was written: "
                f"{error.problems[0].message}"
            ) from None


def _exercise_with(exercise: Exercise, library: Library) -> str:
    """The exercise to try the house on: the same, or the first that uses the same flow."""
    if library.find("exercise", exercise.name) is not None:
        return exercise.name
    for one in library.exercises():
        if not one.problem and compose.load(one.name, library).flow.name == exercise.flow.name:
            return one.name
    raise UserError(f"no exercise with the flow {quoted(exercise.flow.name)} to try it on")
