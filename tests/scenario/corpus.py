"""What the corpus tests share: where the files are, and how one bad part is put in place."""

from __future__ import annotations

import re
from pathlib import Path

from trainer import paths
from trainer.errors import FileProblems, report
from trainer.scenario import compose, crew_files, ends, library
from trainer.scenario.exercise import Exercise

ROOT = Path(__file__).resolve().parents[1] / "corpus"
GOOD = sorted((ROOT / "good").glob("*.yaml"))
BAD = sorted((ROOT / "bad").glob("*.yaml"))


ASKED_FOR = ("qxma", "twin-jet", "drill", "standard")
"""The parts that the smallest good exercise names."""


class Overlaid(library.Library):
    """A library in which one file stands in for what the smallest exercise names of its kind."""

    def __init__(self, kind: str, path: Path) -> None:
        super().__init__(roots())
        self._kind = kind
        self._path = path

    def find(self, kind: str, name: str) -> library.Entry | None:
        if kind == self._kind and name in ASKED_FOR:
            return library.Entry(kind, name, self._path, ROOT)
        return super().find(kind, name)

    def beside(self, exercise: Path) -> library.Library:
        return self


def roots() -> tuple[Path, ...]:
    """The small library of the tests, then the scenarios that come with the program."""
    return (ROOT / "library", paths.built_in_scenarios())


def corpus_library() -> library.Library:
    """The library the corpus is composed with."""
    return library.Library(roots())


def smallest() -> Exercise:
    """The smallest good exercise."""
    return compose.load(ROOT / "good" / "smallest.yaml", corpus_library())


def report_of(path: Path) -> str:
    """The report that the bad file `path` gets; "" if it is taken for good.

    The first word of its name says what it is: exercise, airport, aircraft, flow, house, crew; or
    leg, an airport flown from before its base turn; or vary, an exercise that is right as written.
    """
    kind = path.stem.split("-")[0]
    try:
        if kind == "exercise":
            compose.load(path, corpus_library())
        elif kind == "vary":
            ends.check_ends(compose.load(path, corpus_library()), path)
        elif kind == "crew":
            everything = compose.load(ROOT / "good" / "everything.yaml", corpus_library())
            crew_files.load(path, everything)
        elif kind == "leg":
            compose.load(ROOT / "good" / "base-turn.yaml", Overlaid("airport", path))
        else:
            compose.load(ROOT / "good" / "smallest.yaml", Overlaid(kind, path))
    except FileProblems as error:
        # Only the name of the file: the folder depends on where the tests are run.
        return re.sub(r"(?m)^\S*/([\w-]+\.yaml[: ])", r"\1", report(error.problems)) + "\n"
    return ""
