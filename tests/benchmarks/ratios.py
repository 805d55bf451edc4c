"""Measuring as ratios: against a yardstick loop, an empty interpreter, or a bare screen.

Times of different machines cannot be compared and one machine is not the same twice, so each
figure is taken together with what it is compared to, in turn: real times as medians, processor
times as the least of several, which other work disturbs least.
"""

from __future__ import annotations

import gc
import itertools
import math
import os
import pty
import re
import select
import struct
import subprocess
import sys
import time
from collections.abc import Callable, Iterator, Sequence
from fcntl import ioctl
from pathlib import Path
from statistics import median
from termios import TIOCSWINSZ
from typing import NamedTuple

from tests.benchmarks.point_mass import fly

BARE_S = 1.66e-6
"""Processor time of a bare point-mass step on the machine for which the limits were chosen, s (one
core of a small virtual machine with Python 3.11)."""
BARE_STEPS = 100_000


def process_time_s(work: Callable[[], object]) -> float:
    """Processor time of `work`, s."""
    begun = time.process_time()
    work()
    return time.process_time() - begun


def least_s(works: Sequence[Callable[[], object]], times: int) -> list[float]:
    """Least processor time of each work, all taken in turn, s.

    Collection of garbage is paused, as it is while a flight is flown without a screen.
    """
    gc.disable()
    try:
        least = [math.inf] * len(works)
        for _ in range(times):
            least = [min(one, process_time_s(work)) for one, work in zip(least, works, strict=True)]
            gc.collect()
        return least
    finally:
        gc.enable()


def least_in_pieces_s(
    works: Sequence[Callable[[], Iterator[None]]], yardstick: Callable[[], object], times: int
) -> tuple[float, list[float]]:
    """Least processor time of a yardstick, and of long works that are taken a piece at a time, s.

    Before each piece comes the yardstick, so that what else runs on the machine meets both alike;
    a work is the sum of the least that each of its pieces took.
    """
    gc.disable()
    try:
        bare = math.inf
        least: list[list[float]] = [[] for _ in works]
        for _ in range(times):
            for kept, work in zip(least, works, strict=True):
                pieces = work()
                for place in itertools.count():
                    bare = min(bare, process_time_s(yardstick))
                    begun = time.process_time()
                    if next(pieces, pieces) is pieces:
                        break
                    took = time.process_time() - begun
                    kept[place : place + 1] = [min([took, *kept[place : place + 1]])]
                gc.collect()
        return bare, [math.fsum(one) for one in least]
    finally:
        gc.enable()


def bare_steps() -> None:
    """The yardstick: point-mass steps, for about as long as a judged flight takes."""
    fly(BARE_STEPS)


def machine(took_s: float) -> float:
    """How slow a machine is on which `bare_steps` take so long (s): 1 is that of the limits."""
    return took_s / BARE_STEPS / BARE_S


def run_s(arguments: Sequence[str]) -> float:
    """Real time of one run of a program, s."""
    begun = time.perf_counter()
    subprocess.run(arguments, check=True, stdout=subprocess.DEVNULL)
    return time.perf_counter() - begun


ROOT = Path(__file__).parents[2]
_SEQUENCE = re.compile(rb"\x1b(?:\[[0-9;?<=>]*[A-Za-z]|\][^\x07]*\x07)")


class Screen(NamedTuple):
    """A program on a pseudo-terminal: its process and our end."""

    process: subprocess.Popen[bytes]
    end: int


def on_terminal(arguments: Sequence[str], columns: int = 100, rows: int = 30) -> Screen:
    """Start a program on a pseudo-terminal of its own."""
    ours, theirs = pty.openpty()
    ioctl(theirs, TIOCSWINSZ, struct.pack("HHHH", rows, columns, 0, 0))
    process = subprocess.Popen(
        arguments, stdin=theirs, stdout=theirs, stderr=theirs, start_new_session=True, cwd=ROOT
    )
    os.close(theirs)
    return Screen(process, ours)


def read(screen: Screen, limit_s: float) -> bytes:
    """What is painted next, empty if nothing comes in time or the program has ended."""
    if not select.select([screen.end], [], [], max(0.0, limit_s))[0]:
        return b""
    try:
        return os.read(screen.end, 65536)
    except OSError:  # nobody has the other end open any more
        return b""


KEPT = 65536
"""So much of what was painted is looked through for words, bytes: more than one screen."""


def read_until(screen: Screen, words: str, limit_s: float = 30.0) -> str:
    """Read what is painted until `words` are in it, without colours and places.

    Raises TimeoutError with what was painted, also where the program has ended before.
    """
    seen = b""
    ends = time.perf_counter() + limit_s
    while words not in (text := plain(seen)):
        more = read(screen, ends - time.perf_counter())
        if not more:
            has_ended = screen.process.poll() is not None
            why = f"ended with {screen.process.returncode}" if has_ended else f"{limit_s:g} s"
            raise TimeoutError(f"{words!r} was not painted ({why}); seen: {text[-3000:]}")
        seen = (seen + more)[-KEPT:]
    return text


def plain(painted: bytes) -> str:
    """What was painted without the sequences that say where and how."""
    return _SEQUENCE.sub(b"", painted).decode("utf-8", "replace")


def press(screen: Screen, key: bytes, words: str) -> float:
    """Real time from a key to `words` on the screen, s."""
    begun = time.perf_counter()
    os.write(screen.end, key)
    read_until(screen, words, 5.0)
    return time.perf_counter() - begun


def drain(screen: Screen, seconds: float) -> int:
    """Read for so long and return how many bytes were painted."""
    count = 0
    ends = time.perf_counter() + seconds
    while (left := ends - time.perf_counter()) > 0:
        count += len(read(screen, left))
        if screen.process.poll() is not None:
            raise TimeoutError(f"the program has ended with {screen.process.returncode}")
    return count


def share(screen: Screen, seconds: float) -> float:
    """The share of one core that a program takes for so long."""
    before, begun = used_s(screen), time.perf_counter()
    drain(screen, seconds)
    return (used_s(screen) - before) / (time.perf_counter() - begun)


def used_s(screen: Screen) -> float:
    """Processor time that a program has used so far, s (Linux)."""
    with open(f"/proc/{screen.process.pid}/stat", encoding="ascii") as file:
        fields = file.read().rsplit(") ", 1)[1].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def stop(screen: Screen) -> None:
    """End a program and close its terminal."""
    screen.process.kill()
    screen.process.wait()
    os.close(screen.end)


def worked_s(screen: Screen) -> float:
    """Processor time of the main thread of a program so far, s, to a millionth (Linux)."""
    with open(f"/proc/{screen.process.pid}/schedstat", encoding="ascii") as file:
        return int(file.read().split()[0]) / 1e9


def work_to_first_paint_s(arguments: Sequence[str], words: str) -> float:
    """Processor time that the main thread takes until `words` stand on its screen, s.

    Other work on the machine disturbs it less than real time.
    """
    screen = on_terminal(arguments)
    try:
        read_until(screen, words)
        return worked_s(screen)
    finally:
        stop(screen)


def first_paint_s(arguments: Sequence[str], words: str) -> float:
    """Real time from the start of a program until `words` stand on its screen, s."""
    begun = time.perf_counter()
    screen = on_terminal(arguments)
    try:
        read_until(screen, words)
        return time.perf_counter() - begun
    finally:
        stop(screen)


def interleaved(
    first: Callable[[], float], second: Callable[[], float], times: int
) -> tuple[float, float]:
    """Medians of both, taken in turn."""
    pairs = [(first(), second()) for _ in range(times)]
    return median(one for one, _ in pairs), median(other for _, other in pairs)


PYTHON = [sys.executable]


def show(name: str, figure: str, limit: str) -> None:
    """One line of the table."""
    print(f"\n{name:<44}{figure:>34}   {limit}")
