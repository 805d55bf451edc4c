"""The commands that only show: `brief` and `list`.

They fly no attempt and write no file (`brief` flies its exercise to compute the tables).
"""

from __future__ import annotations

import argparse
from typing import Any

from trainer.cli.shared import cells, command, drawn_exercise, dump, row_text
from trainer.text import NOTICE


def add(commands: Any) -> None:
    """Add `brief` and `list` to the parser."""
    brief = command(
        commands, "brief", _brief, "print the procedure sheet and its computed tables",
        "approach-drill brief straight-in",
    )  # fmt: skip
    brief.add_argument("exercise", metavar="EXERCISE", help="an exercise, or a flow")
    brief.add_argument("--seed", type=int, default=0)
    form = brief.add_mutually_exclusive_group()
    form.add_argument("--json", action="store_true", help="for programs: one document")
    form.add_argument(
        "--assumptions",
        action="store_true",
        help="of a flow: one page of what it takes for granted, to compare with your own",
    )

    lists = command(
        commands, "list", _list, "list the exercises, or the keys", "approach-drill list --keys"
    )
    lists.add_argument("--json", action="store_true", help="for programs: one document")
    lists.add_argument("--keys", action="store_true", help="print the key map instead")


def _brief(options: argparse.Namespace) -> int:
    if options.assumptions:
        from trainer.briefing.assumptions import assumptions_text, exercise_for
        from trainer.scenario.library import default_library

        print(assumptions_text(exercise_for(options.exercise, default_library()), cells()))
        return 0
    from trainer.briefing.paper import sheet_text
    from trainer.briefing.sheet import flown_sheet, sheet_json

    made = flown_sheet(drawn_exercise(options.exercise, options.seed))
    print(dump(sheet_json(made)) if options.json else sheet_text(made, cells()))
    return 0


def _list(options: argparse.Namespace) -> int:
    if options.keys:
        from trainer.app.settings import load
        from trainer.paths import configuration_file

        for key, name, text in load(configuration_file()).keymap.table():
            print(row_text(f"{key:<12}{name:<22}", text))
        return 0
    from trainer.scenario.library import default_library

    listed = default_library().exercises()
    if options.json:
        entries = [
            {
                "exercise": one.name,
                "title": one.title,
                "lesson": one.lesson,
                "level": one.level,
                "aircraft": one.aircraft,
                "airport": one.airport,
                "approach": one.approach,
                "root": str(one.root),
            }
            for one in listed
        ]
        head = {"format": "approach-drill/list", "version": 1, "notice": NOTICE}
        print(dump({**head, "exercises": entries}))
        return 0
    room = max((len(one.name) for one in listed), default=0)
    for one in listed:
        left = f"{one.name:<{room}}  {one.level} of 5  "
        print(row_text(left, f"{one.title}: {one.lesson}"))
        if one.problem:
            print(row_text(" " * len(left), one.problem))
    return 0
