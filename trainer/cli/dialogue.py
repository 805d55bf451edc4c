"""What `new` asks for on a terminal: each question again until its answer can be used.

Owns the questions and their order. Surprising rule: the end of input counts as an interrupt, so
that nothing is written by somebody who has left.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable

from trainer.errors import hint, sentence_of
from trainer.scenario import drafts
from trainer.scenario.library import Library, default_library
from trainer.scenario.scalars import STEM
from trainer.text import quoted

LESSON = "Say here what it teaches, in one sentence."
"""The lesson of an exercise until its author says one."""

_Wrong = Callable[[str], str]
"""What is wrong with an answer; "" if nothing is."""


def complete(options: argparse.Namespace, kinds: tuple[str, ...]) -> None:
    """Ask for what the options of `new` leave open, and put the answers there."""
    found = default_library()
    if options.kind is None:
        options.kind = _ask("Kind of file", kinds[0], lambda answer: _no_kind(answer, kinds))
    kind = options.kind
    options.title = options.title or _ask("Title", f"New {kind}")
    suggested = drafts.name_of(options.title) or f"new-{kind}"
    options.name = _ask("Name of the file", suggested, lambda answer: _no_name(answer, kind, found))
    if kind == "exercise":
        options.lesson = options.lesson or _ask("The one thing it teaches", LESSON)
    if not options.like:
        model = drafts.MODELS[kind]
        options.like = _ask("Like which one", model, lambda answer: _no_model(answer, kind, found))


def _ask(question: str, default: str, wrong: _Wrong = lambda answer: "") -> str:
    while True:
        print(f"{question} [{default}]: ", end="", file=sys.stderr, flush=True)
        answer = sys.stdin.readline()
        if not answer:  # the end of input: nothing more will be answered
            raise KeyboardInterrupt
        answer = answer.strip() or default
        problem = wrong(answer)
        if not problem:
            return answer
        print(f"  {problem}", file=sys.stderr)


def _no_kind(answer: str, kinds: tuple[str, ...]) -> str:
    return "" if answer in kinds else f"{quoted(answer)}: expected {sentence_of(kinds)}"


def _no_name(answer: str, kind: str, found: Library) -> str:
    if not STEM.fullmatch(answer):
        return f"{quoted(answer)}: expected small letters, digits and hyphens"
    if answer in found.names(kind):
        return f"there is already one called {quoted(answer)}; expected another name"
    return ""


def _no_model(answer: str, kind: str, found: Library) -> str:
    known = found.names(kind)
    return "" if answer in known else f"there is no {kind} {quoted(answer)}{hint(answer, known)}"
