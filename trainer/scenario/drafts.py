"""The text of a new file: a good one to begin with, every key explained.

Owns what `new` writes: a file that came with the program as its model, under a name and title of
its own, with a few values asked for. Refuses to know disks and dialogues. Surprising rule: nothing
is invented; what a new file says was proved in its model, and what its author changes is theirs.
"""

from __future__ import annotations

import re
import textwrap
from dataclasses import field
from pathlib import Path
from typing import Any

from trainer.errors import UserError, hint
from trainer.scenario import library, nodes
from trainer.scenario.nodes import Mapping, Node, Source
from trainer.scenario.scalars import STEM
from trainer.scenario.vocabulary.tables import KINDS
from trainer.scenario.written import yaml_text
from trainer.text import NOTICE, quoted
from trainer.values import dataclass

MODELS = {
    "exercise": "straight-in",
    "airport": "qxma",
    "aircraft": "twin-jet",
    "flow": "jet-ils",
    "house": "standard",
}
"""The file of each kind that a new one is like, unless another is wanted."""
PARTS = ("flow", "aircraft", "airport", "approach", "house")
"""Keys of an exercise that say what it is composed of, those first that settle most."""

_TITLES = {"airport": "name"}
_DROPPED = {"exercise": ("brief", "notes"), "flow": (), "house": ("notes",)}
_SOURCE = Source("a new file")


@dataclass(frozen=True, slots=True)
class Wish:
    """What is wanted of a new file.

    kind: of file. name: its stem. title: name shown. like: name of the model ("" = the usual one).
    values: further texts by path ("weather.ceiling"), as they are to stand in the file. schema:
    where an editor finds the schema, seen from the file ("" = nowhere).
    """

    kind: str
    name: str
    title: str
    like: str = ""
    values: dict[str, str] = field(default_factory=dict)
    schema: str = ""


def title_of(name: str) -> str:
    """A title made of the name of a file: "early-glide" is "Early glide"."""
    words = name.replace("-", " ")
    return words[:1].upper() + words[1:]


def name_of(title: str) -> str:
    """A name for a file made of a title: "Early glide!" is "early-glide"; "" if none can be."""
    return re.sub(r"[^a-z0-9]+", "-", title.lower()).strip("-")[:64].strip("-")


def draft(wish: Wish, found: library.Library) -> str:
    """The text of the file that `wish` asks for.

    Raises:
        UserError: the name is none, or there is no such model.
    """
    if not STEM.fullmatch(wish.name):
        raise UserError(
            f"{quoted(wish.name)} is no name of a file; expected small letters, digits and hyphens"
        )
    model, like = _model(wish, found)
    if wish.kind == "flow":
        return _head(wish, like) + _based_flow(wish, like, model)
    plain: dict[str, Any] = nodes.plain(model)
    for key in _DROPPED.get(wish.kind, ()):
        plain.pop(key, None)
    plain[_TITLES.get(wish.kind, "title")] = wish.title
    if wish.kind == "house":
        plain["house"] = wish.name
    for path, text in wish.values.items():
        _put(plain, path, text)
    node = nodes.from_plain(plain, _SOURCE)
    return _head(wish, like) + yaml_text(node, wish.kind, is_explained=True)


def _model(wish: Wish, found: library.Library) -> tuple[Node, str]:
    like = wish.like or _usual(wish, found)
    entry = found.find(wish.kind, like)
    if entry is None:
        known = found.names(wish.kind)
        raise UserError(f"there is no {wish.kind} {quoted(like)}{hint(like, known)}")
    node = library.parse_file(entry.path)
    if not isinstance(node, Mapping):
        raise UserError(f"{library.shown_path(entry.path)}: no mapping; expected a {wish.kind}")
    if wish.kind == "flow" and node.get("based on") is not None:
        raise UserError(
            f"the flow {quoted(like)} builds on another one; expected one that stands alone"
        )
    return node, like


def _usual(wish: Wish, found: library.Library) -> str:
    """The usual model; of an exercise the easiest that is flown with the parts wanted."""
    usual = MODELS[wish.kind]
    if wish.kind != "exercise":
        return usual
    listed = {one.name: one for one in found.exercises() if not one.problem}
    names = sorted(listed, key=lambda name: (name != usual, listed[name].level, name))

    def fitting(name: str) -> tuple[bool, ...]:
        """Which of the parts wanted the exercise `name` has."""
        entry = found.find("exercise", name)
        top = None if entry is None else library.parse_file(entry.path)
        written = nodes.plain(top) if isinstance(top, Mapping) else {}
        return tuple(written.get(key) == wish.values[key] for key in PARTS if key in wish.values)

    return max(names, key=fitting, default=usual)


def _put(plain: dict[str, Any], path: str, text: str) -> None:
    """Write `text` at a path such as weather.wind.1.speed; mappings on the way are made.

    Raises UserError if the path leads nowhere.
    """
    holder: Any = plain
    steps = path.split(".")
    for number, step in enumerate(steps, start=1):
        if isinstance(holder, list):
            place = int(step[:6]) - 1 if step.isascii() and step.isdigit() else -1
            if not 0 <= place < len(holder):
                raise UserError(
                    f"{quoted(path)}: there is no entry {quoted(step)}; expected 1 to {len(holder)}"
                )
            key: Any = place
        elif isinstance(holder, dict):
            key = step
            holder.setdefault(key, {})
        else:
            raise UserError(f"{quoted(path)}: {quoted(step)} stands below a value; leave it out")
        if number == len(steps):
            holder[key] = text
            return
        holder = holder[key]


def _head(wish: Wish, like: str) -> str:
    lines = []
    if wish.schema:
        lines.append(f"# yaml-language-server: $schema={wish.schema}")
    text = (
        f"A new {wish.kind}, like {like} in everything until you change it. {NOTICE} "
        "Names, places and call signs are invented. What each key means stands beside it; "
        "`approach-drill check` says what is wrong, at its line."
    )
    lines += [f"# {line}" for line in textwrap.wrap(text, 96)]
    return "\n".join(lines) + "\n"


def _based_flow(wish: Wish, like: str, model: Node) -> str:
    """A flow that builds on `like`, with the names that its changes can use."""
    node = nodes.from_plain({"format": "1", "title": wish.title, "based on": like}, _SOURCE)
    assert isinstance(model, Mapping)
    parts = [yaml_text(node, "based flow", is_explained=True)]
    first = ""
    for key in ("items", "go around", "watches"):
        names = [
            value.text
            for entry in getattr(model.get(key), "items", ())
            if isinstance(entry, Mapping)
            and (value := entry.get("watch" if key == "watches" else "item")) is not None
            and isinstance(value, nodes.Scalar)
        ]
        first = first or next(iter(names), "")
        listed = textwrap.wrap("; ".join(names), 94)
        parts.append("\n".join([f"# {key} of {like}:", *(f"#   {one}" for one in listed)]) + "\n")
    parts.append(
        "# A change takes the # away:\n"
        "# changes:\n"
        f"#   - {{change: {first}, weight: 5}}\n"
        f"#   - {{remove: {first}}}\n"
    )
    return "".join(parts)


def place_of(kind: str, name: str, root: Path) -> Path:
    """Where a file of `kind` called `name` stands under the scenario folder `root`."""
    return root / KINDS[kind] / f"{name}.yaml"
