"""The commands for authors: `new` and `schema`.

Owns where a new file goes. Refuses to know what stands in it, and what is asked for (`dialogue`).
Surprising rule: a new file is checked as `check` would before it is written, so that nothing
invalid is left behind.
"""

from __future__ import annotations

import argparse
import sys
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from trainer.cli.shared import command, dump
from trainer.errors import FileProblems, UserError, report, sentence_of
from trainer.text import quoted, shown

if TYPE_CHECKING:
    from trainer.scenario.drafts import Wish
    from trainer.scenario.library import Library

_KINDS = ("exercise", "airport", "aircraft", "flow", "house", "crew")
_NEW_KINDS = _KINDS[:-1]
_PARTS = ("airport", "approach", "aircraft", "flow", "house")


def add(commands: Any) -> None:
    """Add `new` and `schema` to the parser."""
    new = command(
        commands, "new", _new, "write a new file, every key explained, to begin with",
        'approach-drill new exercise tailwind --title "Tailwind aloft"',
    )  # fmt: skip
    new.add_argument("kind", nargs="?", choices=_NEW_KINDS, metavar="KIND",
                     help=f"{', '.join(_NEW_KINDS)}; asked for if left out")  # fmt: skip
    new.add_argument(
        "name", nargs="?", help="small letters, digits, hyphens; asked for if left out"
    )
    new.add_argument("--title", help="name shown; default: made of the name")
    new.add_argument("--like", default="", help="the file of that kind to begin with")
    new.add_argument("--lesson", help="of an exercise: the one thing it teaches")
    for part in _PARTS:
        new.add_argument(f"--{part}", help=f"of an exercise: its {part}")
    new.add_argument(
        "--set", action="append", default=[], metavar="PATH=VALUE",
        help="a value by its path, such as weather.ceiling=300 ft; may stand several times",
    )  # fmt: skip
    new.add_argument(
        "--output", type=Path, metavar="FILE", help="default: your own scenario folder"
    )
    new.add_argument("--force", action="store_true", help="replace an existing file")
    schema = command(
        commands, "schema", _schema, "print the JSON Schema of a kind of file, for editors",
        "approach-drill schema exercise --output exercise.json",
    )  # fmt: skip
    schema.add_argument("kind", nargs="?", choices=_KINDS, default="exercise", metavar="KIND",
                        help=f"{', '.join(_KINDS)}; default: exercise")  # fmt: skip
    schema.add_argument("--output", type=Path, help="write it to this file")
    schema.add_argument("--force", action="store_true", help="replace an existing file")


def _schema(options: argparse.Namespace) -> int:
    from trainer.report.output import write_output
    from trainer.scenario.schema import schema

    text = dump(schema(options.kind))
    if options.output is None:
        print(text)
        return 0
    write_output(options.output, text + "\n", options.force)
    print(f"written: {options.output}", file=sys.stderr)
    return 0


def _new(options: argparse.Namespace) -> int:
    from trainer import paths
    from trainer.report.output import write_output
    from trainer.scenario import drafts
    from trainer.scenario.library import Library, default_library, shown_path
    from trainer.scenario.vocabulary.tables import KINDS

    asked = _asked(options)
    kind, name = asked.kind, asked.name
    path = options.output or drafts.place_of(kind, name, paths.user_scenarios())
    if path.suffix != ".yaml":
        raise UserError(f"{shown(str(path))}: expected a file that ends in .yaml")
    in_kinds = path.resolve().parent.name == KINDS[kind]
    root = path.resolve().parent.parent if in_kinds else path.resolve().parent
    schema_file = root / "schemas" / f"{kind}.json"
    asked = replace(asked, schema=("../" if in_kinds else "") + f"schemas/{kind}.json")
    found = Library((root, *default_library().roots))
    hidden = found.find(kind, name)
    if hidden is not None and hidden.path.resolve() != path.resolve() and not options.force:
        raise UserError(
            f"there is already {_article(kind)} {name}, {shown_path(hidden.path)}, which the new "
            "one would hide; expected another name, or --force"
        )
    text = drafts.draft(asked, found)
    _check(kind, name, text, path, found)
    _make_folder(path.parent)
    write_output(path, text, options.force)
    print(f"written: {shown_path(path)}", file=sys.stderr)
    _write_schema(kind, schema_file)
    _say_how_to_go_on(kind, name if options.output is None else shown_path(path), path)
    return 0


def _asked(options: argparse.Namespace) -> Wish:
    """What is wanted, by flags and, on a terminal, by asking for what flags leave open."""
    from trainer.cli import dialogue
    from trainer.scenario import drafts

    if options.name is None and options.output is not None:
        options.name = options.output.stem
    if options.name is None and sys.stdin.isatty() and sys.stderr.isatty():
        dialogue.complete(options, _NEW_KINDS)
    kind, name, title = options.kind, options.name, options.title
    if kind is None:
        raise UserError(f"new: a kind is missing; expected {sentence_of(_NEW_KINDS)}")
    if name is None:
        raise UserError(f"new: a name is missing; expected approach-drill new {kind} NAME")
    if options.output is not None and name != options.output.stem:
        raise UserError(
            f"new: the name {quoted(name)} and the file {quoted(options.output.name)} differ; "
            "expected one of them"
        )
    values: dict[str, str] = {}
    if kind == "exercise":
        values["lesson"] = options.lesson or dialogue.LESSON
    given = {part: getattr(options, part) for part in _PARTS}
    given["lesson"] = options.lesson
    for key, value in given.items():
        if value is None:
            continue
        if kind != "exercise":
            raise UserError(f"new: --{key} is only for an exercise")
        values[key] = value
    for text in options.set:
        place, equals, value = text.partition("=")
        if not equals or not place.strip() or not value.strip():
            raise UserError(f"new: --set {quoted(text)}; expected PATH=VALUE")
        values[place.strip()] = value.strip()
    return drafts.Wish(kind, name, title or drafts.title_of(name), options.like, values)


def _article(kind: str) -> str:
    return f"{'an' if kind[0] in 'aeiou' else 'a'} {kind}"


def _check(kind: str, name: str, text: str, path: Path, found: Library) -> None:
    """Refuse a `text` that `check` would refuse, with its problems at their place in `path`."""
    from tempfile import TemporaryDirectory

    from trainer.scenario import alone, compose, library
    from trainer.scenario.vocabulary.tables import KINDS

    with TemporaryDirectory() as folder:
        file = Path(folder) / KINDS[kind] / f"{name}.yaml"
        file.parent.mkdir()
        file.write_text(text, encoding="utf-8")
        try:
            if kind == "exercise":
                compose.load(file, found)
            else:
                alone.check_alone(file, kind, found)
        except FileProblems as error:
            here = {library.shown_path(file): shown(str(path))}
            moved = [replace(one, file=here.get(one.file, one.file)) for one in error.problems]
            message = f"new: nothing was written, because it would not be valid:\n{report(moved)}"
            raise UserError(message) from None


def _make_folder(folder: Path) -> None:
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        reason = error.strerror or "it cannot be made"
        raise UserError(f"{shown(str(folder))}: no folder for the new file ({reason})") from None


def _write_schema(kind: str, path: Path) -> None:
    """The schema of `kind` for editors; one of ours is made anew, anything else is left alone."""
    from trainer.report.output import write_output
    from trainer.scenario.schema import MADE_BY, schema

    text = dump(schema(kind)) + "\n"
    try:
        before = path.read_text(encoding="utf-8") if path.exists() else ""
    except (OSError, ValueError):
        before = "not ours"
    if before == text or (before and MADE_BY not in before[:400]):
        return
    _make_folder(path.parent)
    write_output(path, text, is_forced=True)


def _say_how_to_go_on(kind: str, reference: str, path: Path) -> None:
    lines = {
        "exercise": [f"approach-drill fly {reference} --crew perfect",
                     f"approach-drill check {reference}"],
        "airport": [f"approach-drill check {path}",
                    f"approach-drill new exercise NAME --airport {path.stem}"],
        "aircraft": [f"approach-drill check {path}",
                     f"approach-drill new exercise NAME --aircraft {path.stem}"],
        "flow": [f"approach-drill check {path}",
                 f"approach-drill new exercise NAME --flow {path.stem}"],
        "house": [f"approach-drill check {path}",
                  f"approach-drill new exercise NAME --house {path.stem}"],
    }[kind]  # fmt: skip
    print("edit it, then:", *lines, sep="\n  ", file=sys.stderr)
