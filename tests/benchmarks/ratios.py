"""Measuring as ratios: against a yardstick loop, an empty interpreter, or a bare screen.

Times of different machines cannot be compared and one machine is not the same twice, so each
figure is taken together with what it is compared to, in turn: real times as medians, processor
times as the least of several, which other work disturbs least.
"""

from __future__ import annotations

import gc
import math
import os
import pty
import select
import struct
import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from fcntl import ioctl
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


class Screen(NamedTuple):
    """A program on a pseudo-terminal: its process and our end."""

    process: subprocess.Popen[bytes]
    end: int


def on_terminal(arguments: Sequence[str], columns: int = 100, rows: int = 30) -> Screen:
    """Start a program on a pseudo-terminal of its own."""
    ours, theirs = pty.openpty()
    ioctl(theirs, TIOCSWINSZ, struct.pack("HHHH", rows, columns, 0, 0))
    process = subprocess.Popen(
        arguments, stdin=theirs, stdout=theirs, stderr=theirs, start_new_session=True
    )
    os.close(theirs)
    return Screen(process, ours)


def read_until(screen: Screen, words: bytes, limit_s: float = 30.0) -> bytes:
    """Read what is painted until `words` are in it. Raises TimeoutError."""
    seen = b""
    ends = time.perf_counter() + limit_s
    while words not in seen:
        if time.perf_counter() > ends:
            raise TimeoutError(f"{words!r} was not painted; seen {seen[-300:]!r}")
        if select.select([screen.end], [], [], 0.1)[0]:
            seen += os.read(screen.end, 65536)
    return seen


def drain(screen: Screen, seconds: float) -> int:
    """Read for so long and return how many bytes were painted."""
    count = 0
    ends = time.perf_counter() + seconds
    while (left := ends - time.perf_counter()) > 0:
        if select.select([screen.end], [], [], left)[0]:
            count += len(os.read(screen.end, 65536))
    return count


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


def first_paint_s(arguments: Sequence[str], words: bytes) -> float:
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
