"""How fast it is, as ratios taken in one run: `pytest -m long -s tests/benchmarks`.

On a quiet machine: other work makes every one of these worse, and none of them is part of the
usual run.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.benchmarks.ratios import (
    PYTHON,
    bare_steps,
    first_paint_s,
    interleaved,
    least_s,
    machine,
    run_s,
    show,
    work_to_first_paint_s,
)
from trainer.crew.perfect import PerfectCrew
from trainer.crew.session import Session
from trainer.scenario.book import book_of
from trainer.scenario.compose import load
from trainer.scenario.library import default_library

pytestmark = pytest.mark.long

COMMAND = [str(Path(sys.executable).with_name("approach-drill"))]
BARE = """
from textual.app import App
from textual.widgets import Static
class Bare(App):
    def compose(self):
        yield Static("bare screen")
Bare().run()
"""


def test_a_judged_flight_runs_a_thousand_times_faster_than_real_time() -> None:
    exercise = load("straight-in", default_library())
    book = book_of(exercise)
    flown: list[Session] = []

    def fly() -> None:
        session = Session(exercise, book)
        session.run(PerfectCrew(session.tracker).acts)
        flown[:] = [session]  # the ones before would only burden the collector

    fly()  # imports and first use are not part of it

    took_s, bare_s = least_s([fly, bare_steps], 7)
    slow = machine(bare_s)
    factor = flown[-1].row.step / 10.0 / took_s
    show(
        "judged flight, times real time",
        f"{factor:.0f} (yardstick {slow:.2f}, so {factor * slow:.0f})",
        "at least 1000 with the yardstick at 1",
    )
    assert factor * slow >= 1000.0


@pytest.mark.parametrize("arguments", [("--help",), ("check", "--help")], ids=" ".join)
def test_help_costs_little_more_than_an_interpreter(arguments: tuple[str, ...]) -> None:
    helped, empty = interleaved(
        lambda: run_s([*COMMAND, *arguments]), lambda: run_s([*PYTHON, "-c", "pass"]), 15
    )
    show(
        f"{' '.join(arguments)} / empty interpreter",
        f"{helped * 1000:.0f} / {empty * 1000:.0f} ms = {helped / empty:.2f}",
        "at most 6",
    )
    assert helped / empty <= 6.0


def beside_a_bare_app(
    what: str, measure: Callable[[list[str], str], float], opened: list[str], words: str, wish: str
) -> float:
    """How many times that of a bare app `measure` finds for a command that shows `words`."""
    ours, bare = interleaved(
        lambda: measure(opened, words), lambda: measure([*PYTHON, "-c", BARE], "bare screen"), 9
    )
    told = f"{ours * 1000:.0f} / {bare * 1000:.0f} ms = {ours / bare:.2f}"
    show(f"{what} / bare", told, wish)
    return ours / bare


@pytest.mark.parametrize(
    ("arguments", "words", "limit"),
    [((), "APPROACH DRILL", 1.6), (("fly", "straight-in", "--level", "check"), "LATERAL", 2.0)],
    ids=["home", "flight"],
)
def test_the_first_screen_comes_soon_after_that_of_a_bare_app(
    arguments: tuple[str, ...], words: str, limit: float
) -> None:
    name = " ".join(arguments) or "home"
    opened = [*COMMAND, *arguments]
    beside_a_bare_app(f"work to it ({name})", work_to_first_paint_s, opened, words, "")
    wish = f"at most {limit}"
    ratio = beside_a_bare_app(f"first screen ({name})", first_paint_s, opened, words, wish)
    assert ratio <= limit
