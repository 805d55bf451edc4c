"""What the flight screen costs beside the least that Textual can do: `pytest -m long -s`.

Everything runs on pseudo-terminals, in turn with what it is compared to (`apps`). A key is sent at
a random moment, as people do, and answered when the cell that it changes has been painted.
"""

from __future__ import annotations

import random
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from itertools import count
from pathlib import Path
from statistics import fmean, median, quantiles

import pytest

from tests.benchmarks.ratios import (
    PYTHON,
    Screen,
    drain,
    on_terminal,
    press,
    read_until,
    share,
    show,
    stop,
)

pytestmark = [pytest.mark.long, pytest.mark.skipif(sys.platform != "linux", reason="reads /proc")]

APPS = [*PYTHON, "-m", "tests.benchmarks.apps"]
FLY = [*PYTHON, "-m", "trainer", "fly", "straight-in", "--level"]
P50_LIMIT, P95_LIMIT = 2.0, 0.7
PANEL_LIMIT, SHARE_LIMIT = 0.4, 0.05
STRIP_LIMIT = 1.5
MEMORY_LIMIT = 1.5
GROWTH_LIMIT = 0.05
"""Part of the memory after the fifth of ten flights that the tenth may have more."""
ROUNDS = 3
KEYS = 120
WATCHED_S = 10.0


@contextmanager
def shown(arguments: Sequence[str], words: str) -> Iterator[Screen]:
    """A program on a terminal, once `words` stand on it and it has settled."""
    screen = on_terminal(arguments)
    try:
        read_until(screen, words)
        drain(screen, 2.0)
        yield screen
    finally:
        stop(screen)


def answers_s(
    arguments: Sequence[str], words: str, keys: Iterator[tuple[bytes, str]]
) -> list[float]:
    """How long each key took to change a cell, s."""
    moments = random.Random(7)
    found = []
    with shown(arguments, words) as screen:
        for _ in range(KEYS):
            drain(screen, moments.uniform(0.04, 0.14))
            found.append(press(screen, *next(keys)))
    return found


def counted() -> Iterator[tuple[bytes, str]]:
    return ((b"a", f"KEY {number}#") for number in count(1))


def typed() -> Iterator[tuple[bytes, str]]:
    """A digit into the entry line and its taking back."""
    while True:
        yield b"5", "KNOB  5▏"
        yield b"\x7f", "KNOB  ▏"


def test_a_key_is_answered_nearly_as_soon_as_by_an_app_that_does_nothing_else() -> None:
    ours, idle, lines = [], [], []
    for _ in range(ROUNDS):
        ours.append(quantiles(answers_s([*FLY, "check"], "LATERAL", typed()), n=20))
        idle.append(quantiles(answers_s([*APPS, "idle"], "KEY 0#", counted()), n=20))
        lines.append(quantiles(answers_s([*APPS, "lines"], "KEY 0#", counted()), n=20))
    half, bare_half = (median(one[9] for one in each) for each in (ours, idle))
    late, bare_late = (median(one[18] for one in each) for each in (ours, lines))
    show(
        "key to changed cell, p50 / idle app",
        f"{half * 1e3:.1f} / {bare_half * 1e3:.1f} ms = {half / bare_half:.2f}",
        f"at most {P50_LIMIT}",
    )
    show(
        "key to changed cell, p95 / 10 Hz of lines",
        f"{late * 1e3:.1f} / {bare_late * 1e3:.1f} ms = {late / bare_late:.2f}",
        f"at most {P95_LIMIT}",
    )
    assert half <= P50_LIMIT * bare_half
    assert late <= P95_LIMIT * bare_late


def test_the_flight_screen_costs_a_part_of_twenty_updated_lines() -> None:
    kinds = {
        "statics": ([*APPS, "statics"], "KEY 0#"),
        "panel": ([*APPS, "panel"], "LATERAL"),
        "as it is": ([*FLY, "check"], "LATERAL"),
        "canvas": ([*APPS, "canvas"], "KEY 0#"),
        "strip": ([*APPS, "strip"], "KEY 0#"),
        "idle": ([*APPS, "idle"], "KEY 0#"),
    }
    found: dict[str, list[float]] = {kind: [] for kind in kinds}
    for _ in range(ROUNDS):
        for kind, (arguments, words) in kinds.items():
            with shown(arguments, words) as screen:
                found[kind].append(share(screen, WATCHED_S))
    used = {kind: fmean(shares) for kind, shares in found.items()}
    panel = used["panel"] / used["statics"]
    strip = (used["strip"] - used["idle"]) / (used["canvas"] - used["idle"])
    show(
        "flight screen at 10 Hz / 20 Static.update",
        f"{used['panel']:.1%} / {used['statics']:.1%} = {panel:.2f}",
        f"at most {PANEL_LIMIT}",
    )
    show("flight screen at ×1, share of a core", f"{used['as it is']:.1%}", f"{SHARE_LIMIT:.0%}")
    show(
        "profile strip / a braille canvas, 10 Hz",
        f"{used['strip']:.1%} / {used['canvas']:.1%}, idle {used['idle']:.1%}: {strip:.2f}",
        f"at most {STRIP_LIMIT}",
    )
    assert panel <= PANEL_LIMIT
    assert used["as it is"] < SHARE_LIMIT
    assert strip <= STRIP_LIMIT


def memory_mb(told: Path, arguments: Sequence[str]) -> list[list[float]]:
    """Memory of the program after each flight, now and at most, MB."""
    screen = on_terminal([*APPS, *arguments, str(told)])
    try:
        read_until(screen, "FLOWN", 600.0)
    finally:
        stop(screen)
    return [[float(one) for one in line.split()] for line in told.read_text().splitlines()]


def bare_mb() -> float:
    """Memory of an app that does nothing, at most, MB."""
    with shown([*APPS, "idle"], "KEY 0#") as screen:
        text = Path(f"/proc/{screen.process.pid}/status").read_text(encoding="ascii")
    return int(text.partition("VmHWM:")[2].split()[0]) / 1024.0


def test_a_flight_of_a_quarter_of_an_hour_takes_little_more_memory_than_a_bare_app(
    empty_home: Path,
) -> None:
    bare = bare_mb()
    [(_, most)] = memory_mb(empty_home / "told", ["unattended", "15"])
    show(
        "memory after 15 minutes / bare app",
        f"{most:.1f} / {bare:.1f} MB = {most / bare:.2f}",
        f"at most {MEMORY_LIMIT}",
    )
    assert most <= MEMORY_LIMIT * bare


def test_ten_flights_take_no_more_memory_than_five(empty_home: Path) -> None:
    found = [now for now, _ in memory_mb(empty_home / "told", ["flights", "10"])]
    assert len(found) == 10
    show(
        "memory after each of ten flights",
        " ".join(f"{one:.0f}" for one in found) + " MB",
        f"the last at most {GROWTH_LIMIT:.0%} above the fifth",
    )
    assert found[-1] <= found[4] * (1.0 + GROWTH_LIMIT)
