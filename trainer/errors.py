"""Problems with what a person wrote: collected, reported all at once, and the exit code they cause.

Owns the shape of a report (position first, then what is wrong, what would be right, a suggestion,
and the excerpt with a caret). Knows nothing of YAML or of scenarios. Surprising rule: a line number
appears only if it is real; a problem without a place says so by showing none.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Iterator

from trainer.values import dataclass

EXIT_JUDGED = 1
"""Exit code of a judged repeat, an abandoned flight, or a valid file that was not proven."""
EXIT_USAGE = 2
"""Exit code of bad usage or a bad file."""
EXIT_INTERNAL = 3
"""Exit code of a broken promise inside the program."""
EXIT_INTERRUPTED = 130
"""Exit code after an interrupt from the keyboard."""


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing that is wrong in one file.

    `line` and `column` count from 1 (0 = there is no such place). `message` holds what is wrong,
    what was expected and the suggestion, on one line. `excerpt` is ready to print ("" for none).
    """

    file: str
    line: int
    column: int
    message: str
    excerpt: str = ""

    def headline(self) -> str:
        """Position and message on one line, in the form editors jump to."""
        place = self.file
        if self.line > 0:
            place += f":{self.line}:{self.column}"
        return f"{place}: {self.message}" if place else self.message

    def __str__(self) -> str:
        """The headline, followed by the excerpt where there is one."""
        return f"{self.headline()}\n{self.excerpt}" if self.excerpt else self.headline()


class UserError(Exception):
    """A mistake of the user that ends a command: a message, no traceback, an exit code."""

    exit_code = EXIT_USAGE


_LONG = 6
_MOST_LISTED = 40
_LEAST_LENGTHS = 0.6


class FileProblems(UserError):
    """One or more problems found in files; nothing was loaded."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        """Keep `problems` in the order in which they are to be read."""
        self.problems = tuple(problems)
        super().__init__(report(self.problems))


class Problems:
    """Collects problems of any number of files, so that one run reports them all."""

    LIMIT = 100
    """No more than this many are kept: beyond it one report helps nobody."""

    def __init__(self) -> None:
        self._found: list[Problem] = []

    def add(self, problem: Problem) -> None:
        """Keep `problem`, unless the same one is already there or the limit is reached."""
        if len(self._found) < self.LIMIT and problem not in self._found:
            self._found.append(problem)

    def extend(self, problems: Iterable[Problem]) -> None:
        """Keep each of `problems`."""
        for problem in problems:
            self.add(problem)

    def __len__(self) -> int:
        return len(self._found)

    def __iter__(self) -> Iterator[Problem]:
        return iter(self.ordered())

    def ordered(self) -> tuple[Problem, ...]:
        """All problems: files in the order in which they first had one, then by place."""
        order: dict[str, int] = {}
        for problem in self._found:
            order.setdefault(problem.file, len(order))
        return tuple(sorted(self._found, key=lambda p: (order[p.file], p.line, p.column)))

    def raise_if_any(self) -> None:
        """Raise FileProblems with everything collected, if anything was."""
        if self._found:
            raise FileProblems(self.ordered())


def report(problems: Iterable[Problem]) -> str:
    """All `problems` as one text, a block each."""
    return "\n".join(str(problem) for problem in problems)


def nearest(word: str, known: Iterable[str]) -> str:
    """The member of `known` that `word` most likely meant, or "" if none is near.

    Near is a similar spelling, or a name of which `word` says more ("approach clearance").
    """
    names = list(known)
    folded = {name.casefold(): name for name in reversed(names)}
    asked = word.casefold()[:80]
    if asked in folded:
        return folded[asked]
    alike = [one for one in folded if _are_alike_long(one, asked)]
    found = difflib.get_close_matches(asked, alike, n=1, cutoff=0.65)
    if not found:
        found = sorted((one for one in folded if f" {one} " in f" {asked} "), key=len)[-1:]
    return folded[found[0]] if found else ""


def _are_alike_long(name: str, asked: str) -> bool:
    """Whether neither says much more than the other, unless it begins with it."""
    short, long = sorted((name, asked), key=len)
    return len(short) >= _LEAST_LENGTHS * len(long) or long.startswith(short)


def did_you_mean(word: str, known: Iterable[str]) -> str:
    """The sentence `; did you mean "X"?` for the nearest of `known`, or "" if none is near."""
    name = nearest(word, known)
    return f'; did you mean "{name}"?' if name else ""


def hint(word: str, known: Iterable[str], noun: str = "known are") -> str:
    """What would have been right in place of `word`: the nearest of `known`, or all of them.

    `noun` opens the list, as in "known are" or "expected". A long list is shown only if nothing
    is near.
    """
    names = [name for name in known if name]
    near = did_you_mean(word, names)
    if len(names) > _MOST_LISTED:
        found = difflib.get_close_matches(word[:80], names, n=12, cutoff=0.0)
        names = [*found, *(name for name in names if name not in found)]
        return near or f"; nearest are {sentence_of(names, 12)}"
    if not names:
        return "; there is none here"
    if near and len(names) > _LONG:
        return near
    return f"; {noun} {sentence_of(names, 40)}{near}"


def sentence_of(names: Iterable[str], most: int = 12) -> str:
    """Names as a phrase: `a, b or c`; beyond `most` the rest is only counted."""
    shown = list(names)
    if len(shown) > most:
        return ", ".join(shown[:most]) + f" … ({len(shown) - most} more)"
    if len(shown) <= 1:
        return "".join(shown)
    return ", ".join(shown[:-1]) + " or " + shown[-1]


def with_article(noun: str) -> str:
    """`noun` with its article: "an angle", "a speed"."""
    return f"{'an' if noun[:1] in 'aeiou' else 'a'} {noun}"
