"""What reading a file collects: its problems, and names that must exist.

Knows no key and no name. Surprising rule: reading never stops at a problem; names are noted as a
`Mention` where they are met, and checked once everything that could be meant has been read.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import field

from trainer.errors import Problem, Problems, hint
from trainer.scenario.nodes import Node
from trainer.text import quoted
from trainer.values import dataclass


@dataclass(frozen=True, slots=True)
class Mention:
    """A name that must exist: kind (fix, event, item, gate, intent, stage, control, checklist)."""

    kind: str
    name: str
    node: Node


@dataclass(slots=True)
class Reading:
    """What a reader collects besides values: problems, and names to be checked later.

    `refusals` counts every problem noted, also those that `problems` no longer keeps.
    """

    problems: Problems = field(default_factory=Problems)
    mentions: list[Mention] = field(default_factory=list)
    refusals: int = 0

    def refuse(self, node: Node, message: str) -> None:
        """Note that `node` is wrong."""
        self.note(node.problem(message))

    def unknown(self, node: Node, said: str, name: str, known: Iterable[str]) -> None:
        """Note that `node` names something not in `known`: "SAID NAME; …" and what is near."""
        self.refuse(node, f"{said} {quoted(name)}{hint(name, known)}")

    def note(self, problem: Problem) -> None:
        """Note a `problem` made elsewhere."""
        self.refusals += 1
        self.problems.add(problem)

    def mention(self, kind: str, name: str, node: Node) -> None:
        """Note that `node` names a `kind` that must exist."""
        self.mentions.append(Mention(kind, name, node))


def is_known(text: str, known: tuple[str, ...], node: Node, reading: Reading) -> bool:
    """Whether `text` is one of `known` words; if not, a problem is noted at `node`."""
    if text in known:
        return True
    reading.refuse(node, f"unknown {quoted(text)}{hint(text, known, 'expected')}")
    return False
