"""Which scenario files there are: roots scanned once, files looked up by kind and name.

The one module between `world` and `study` that reads files. A reference in a file is a look-up
in this index and never becomes a path. Surprising rule: the first root that has a name wins, so
that a user's own copy hides the built-in file; a link that leads out of its root is not a file.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from pathlib import Path

from trainer import paths, text
from trainer.errors import FileProblems, Problem, UserError, did_you_mean, sentence_of
from trainer.scenario import nodes
from trainer.scenario.scalars import STEM
from trainer.scenario.vocabulary.tables import KINDS
from trainer.values import dataclass

MOST_FILES = 2000
"""Most files of one kind that a root may hold."""


@dataclass(frozen=True, slots=True)
class Entry:
    """One file: kind (airport, aircraft, flow, house, exercise), name, place, its root."""

    kind: str
    name: str
    path: Path
    root: Path

    @property
    def is_shipped(self) -> bool:
        """Whether the file came with the program: the tests of the program have tried it."""
        return self.root == paths.built_in_scenarios()


@dataclass(frozen=True, slots=True)
class Listing:
    """An exercise as listed: what its file says at the top. `problem` = why it cannot be read.

    `is_hiding`: a file of the same name in a later root is hidden by this one.
    """

    name: str
    title: str
    lesson: str
    level: int
    aircraft: str
    airport: str
    approach: str
    root: Path
    path: Path
    is_hiding: bool = False
    problem: str = ""


class Library:
    """An index of the scenario files under some roots, the first root first."""

    def __init__(self, roots: Sequence[Path]) -> None:
        """Scan `roots` (a root that does not exist holds nothing)."""
        self.roots = tuple(roots)
        self._found: dict[tuple[str, str], Entry] = {}
        self._hiding: set[tuple[str, str]] = set()
        for root in self.roots:
            for kind, folder in KINDS.items():
                self._scan(kind, root, root / folder)

    def _scan(self, kind: str, root: Path, folder: Path) -> None:
        try:
            is_inside = folder.resolve().is_relative_to(root.resolve())
            files = sorted(folder.iterdir())[:MOST_FILES]
        except (OSError, RuntimeError):  # not there, not ours to read, or a link in a circle
            return
        for path in files:
            if path.suffix != ".yaml" or not STEM.fullmatch(path.stem):
                continue
            is_here = is_inside
            try:
                if path.is_symlink():  # to look where each leads takes longer than all the rest
                    is_here = path.resolve(strict=True).is_relative_to(root.resolve())
                if not (is_here and path.is_file()):
                    continue
            except (OSError, RuntimeError):  # a link to nowhere, or in a circle
                continue
            key = (kind, path.stem)
            if key in self._found:
                if self._found[key].root != root:
                    self._hiding.add(key)
                continue
            self._found[key] = Entry(kind, path.stem, path, root)

    def find(self, kind: str, name: str) -> Entry | None:
        """The file of `kind` called `name`, or None."""
        return self._found.get((kind, name))

    def names(self, kind: str) -> list[str]:
        """Names of all files of `kind`, sorted."""
        return sorted(name for found, name in self._found if found == kind)

    def beside(self, exercise: Path) -> Library:
        """This library with the folder that `exercise` stands in searched first.

        Only when the file stands in a folder called `exercises` that is no root already.
        """
        folder = exercise.parent.resolve()
        if folder.name != KINDS["exercise"]:
            return self
        root = folder.parent
        if any(root == known.resolve() for known in self.roots):
            return self
        return Library((root, *self.roots))

    def exercises(self) -> list[Listing]:
        """All exercises by name, read only as far as their first lines need."""
        return [
            _listing(self._found[key], key in self._hiding)
            for key in sorted(self._found)
            if key[0] == "exercise"
        ]

    def exercise_path(self, reference: str | Path) -> Path:
        """The file that `reference` (a name of the index, or a path) means.

        Raises UserError if there is none; FileProblems, a UserError too, if it is a folder.
        """
        if isinstance(reference, str):
            if STEM.fullmatch(reference):
                entry = self.find("exercise", reference)
                if entry is not None:
                    return entry.path
                if Path(reference).is_dir():
                    raise FileProblems([_folder_problem(Path(reference))])
                known = self.names("exercise")
                raise UserError(
                    f"there is no exercise {text.quoted(reference)}; approach-drill list shows "
                    f"all{did_you_mean(reference, known)}"
                )
            reference = Path(reference)
        if reference.is_dir():
            raise FileProblems([_folder_problem(reference)])
        return reference


def read_bytes(path: Path, shown_as: str) -> bytes:
    """The bytes of a plain file, if they are no more than a scenario may have.

    A pipe, a device or a folder is never opened. Raises FileProblems if it cannot be read.
    """
    try:
        if not path.is_file():
            raise FileProblems([Problem(text.shown(shown_as), 0, 0, f"the file {_what(path)}")])
        size = path.stat().st_size
        if size > nodes.BYTES:
            message = f"{size:,} bytes are too many; at most {nodes.BYTES:,} are read"
            raise FileProblems([Problem(text.shown(shown_as), 0, 0, message)])
        with path.open("rb") as file:
            return file.read(nodes.BYTES + 1)
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "no such name"
        message = f"the file cannot be read: {reason}"
        raise FileProblems([Problem(text.shown(shown_as), 0, 0, message)]) from None


def _what(path: Path) -> str:
    """What `path` is, which is no plain file."""
    if path.is_dir():
        return "is a folder"
    return "is no plain file but a pipe or device" if path.exists() else "does not exist"


def _folder_problem(folder: Path) -> Problem:
    """What to say when `folder` stands where one exercise is expected: which ones are in it."""
    found: list[str] = []
    try:
        for place in (folder, folder / KINDS["exercise"]):
            if place.is_dir():
                files = sorted(place.iterdir())[:MOST_FILES]
                found += [shown_path(path) for path in files if _is_exercise(path)]
    except OSError:  # not ours to read: it holds nothing
        found = []
    inside = f"its exercises are {sentence_of(found)}" if found else "there is no exercise in it"
    shown = text.shown(shown_path(folder))
    message = f"{text.quoted(folder.name or shown)} is a folder; expected one exercise; {inside}"
    return Problem(shown, 0, 0, text.shown(message))


def _is_exercise(path: Path) -> bool:
    """Whether the file looks like an exercise, or cannot be read (then it may be one)."""
    if path.suffix != ".yaml" or not STEM.fullmatch(path.stem):
        return False
    try:
        node = parse_file(path)
    except FileProblems:
        return True
    keys = node.index if isinstance(node, nodes.Mapping) else {}
    return "flow" in keys and ("airport" in keys or "start" in keys)


def shown_path(path: Path) -> str:
    """A path as people read it: relative to the working folder where it lies inside."""
    try:
        return str(path.resolve().relative_to(Path.cwd()))
    except (ValueError, OSError, RuntimeError):  # elsewhere, not there, or a link in a circle
        return str(path)


@lru_cache(maxsize=256)
def parsed(path: Path, modified_ns: int, size: int) -> nodes.Node:
    """Nodes of a file, kept as long as it does not change on disk."""
    shown = shown_path(path)
    return nodes.parse(read_bytes(path, shown), shown)


def parse_file(path: Path) -> nodes.Node:
    """Nodes of the file at `path`. Raises FileProblems."""
    try:
        state = path.stat()
    except (OSError, ValueError):
        return nodes.parse(read_bytes(path, shown_path(path)), shown_path(path))
    return parsed(path, state.st_mtime_ns, state.st_size)


def _listing(entry: Entry, is_hiding: bool) -> Listing:
    problem = ""
    top: dict[str, str] = {}
    try:
        node = parse_file(entry.path)
        if isinstance(node, nodes.Mapping):
            for key, value in node.pairs:
                if isinstance(value, nodes.Scalar):
                    top[key.text] = value.text
        else:
            problem = f"{shown_path(entry.path)}: not a mapping"
    except FileProblems as error:
        problem = error.problems[0].headline()
    level = top.get("level", "1")
    return Listing(
        name=entry.name,
        title=top.get("title", entry.name),
        lesson=top.get("lesson", ""),
        level=int(level) if level in ("1", "2", "3", "4", "5") else 1,
        aircraft=top.get("aircraft", ""),
        airport=top.get("airport", ""),
        approach=top.get("approach", ""),
        root=entry.root,
        path=entry.path,
        is_hiding=is_hiding,
        problem=problem,
    )


def default_library() -> Library:
    """The user's own folder, then the scenarios that came with the program."""
    return Library(paths.scenario_roots())
